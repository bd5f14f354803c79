"""The nearest known word to one that was mistyped."""

from __future__ import annotations

import difflib
from collections.abc import Iterable


def nearest(name: str, known: Iterable[str]) -> str | None:
    """Return the word of `known` most like `name`, or None where none is close.

    Case, spaces and underscores do not count against a word: `Stiff Clay` finds `stiff-clay`.
    """
    words = list(known)
    plain = {_plain(word): word for word in reversed(words)}
    wanted = _plain(name)
    if wanted in plain:
        return plain[wanted]
    found = difflib.get_close_matches(wanted, list(plain), n=1, cutoff=0.6)
    return plain[found[0]] if found else None


def _plain(word: str) -> str:
    return word.strip().lower().replace(" ", "-").replace("_", "-")
