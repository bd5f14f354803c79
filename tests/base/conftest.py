"""Drawn examples are the same on every run and have no time limit of their own."""

from hypothesis import settings

settings.register_profile("house", deadline=None, derandomize=True)
settings.load_profile("house")
