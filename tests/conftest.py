"""Drawn examples are the same on every run; another seed is a matter of `make random-jobs`."""

from hypothesis import settings

settings.register_profile("same-every-run", derandomize=True, deadline=None)
settings.load_profile("same-every-run")
