"""The figures of a job: drawn to scale from its levels and results, one SVG each.

Importing the room loads nothing heavy; the drawing library is loaded by the first figure drawn.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from builder.figures.drawn import Drawn, TextBox
from builder.figures.style import palette_css

if TYPE_CHECKING:
    from builder.figures.index import NAMES, draw

__all__ = ["NAMES", "Drawn", "TextBox", "draw", "palette_css"]


def __getattr__(name: str) -> Any:
    if name in ("NAMES", "draw"):
        from builder.figures import index

        return getattr(index, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
