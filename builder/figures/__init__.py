"""The figures of a job: drawn to scale from its levels and results, one SVG each.

Importing the room loads nothing heavy; the drawing library is loaded by the first figure drawn.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from builder.figures.drawn import Drawn, TextBox
from builder.figures.papers import papers_of, path_of
from builder.figures.style import palette_css

if TYPE_CHECKING:
    from builder.figures.index import NAMES, draw
    from builder.figures.sheets import true_size

__all__ = ["NAMES", "Drawn", "TextBox", "draw", "palette_css", "papers_of", "path_of", "true_size"]


def __getattr__(name: str) -> Any:
    if name in ("NAMES", "draw"):
        from builder.figures import index

        return getattr(index, name)
    if name == "true_size":
        _load_without_documentation()
        from builder.figures import sheets

        return sheets.true_size
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def _load_without_documentation() -> None:
    """Keep the drawing library from writing documentation into each of its classes, a third of its start."""
    from matplotlib.artist import Artist

    Artist._update_set_signature_and_docstring = classmethod(lambda _: None)  # type: ignore[attr-defined]
