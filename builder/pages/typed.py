"""Text that came from outside, made safe: it reads on the page exactly as it was typed.

Every string that reaches a template and is not already marked up is escaped: ASCII punctuation
becomes a numeric entity, so HTML, Markdown and template tricks stay the characters they are. Typed
text is fenced with two private characters while a page is made, so that no later pass (such as
the linking of terms) touches it; `unfenced` takes them off at the end.
"""

from __future__ import annotations

import re
import string
from functools import lru_cache
from typing import Any

from markupsafe import Markup

OPEN, CLOSE = "\ue000", "\ue001"
SPACE = "\u00a0"
_ENTITIES = {ord(sign): f"&#{ord(sign)};" for sign in (*string.punctuation, OPEN, CLOSE) if sign != ","}
_BLANKS = re.compile(r"\s+")


def markup(text: str) -> Markup:
    """Return text of our own, or built of escaped parts, as it is: nothing from outside goes through here."""
    return Markup(text)  # noqa: S704 (the one place where text is trusted)


@lru_cache(maxsize=8192)
def typed(text: str) -> Markup:
    """Return `text` on one line, shown as typed wherever it lands (Markdown, HTML, an attribute)."""
    line = _BLANKS.sub(lambda blanks: SPACE if SPACE in blanks.group() else " ", text)
    return markup(f"{OPEN}{line.translate(_ENTITIES)}{CLOSE}")


def as_typed(text: str) -> str:
    """Return how typed text stands in a finished page."""
    return unfenced(typed(text))


def finalize(value: Any) -> Any:
    """Return what a template prints for `value`: marked-up text as it is, all else as typed text."""
    if hasattr(value, "__html__"):
        return markup(value.__html__())
    if value is None:
        raise ValueError("a value that is not there would be printed")
    if isinstance(value, str):
        return typed(value)
    return value


def unfenced(page: str) -> str:
    """Return the finished page without the fences of typed text."""
    return page.replace(OPEN, "").replace(CLOSE, "")
