"""The figures of a job: drawn to scale from its levels and results, one SVG each."""

from builder.figures.canvas import TextBox
from builder.figures.index import NAMES, Drawn, draw
from builder.figures.style import palette_css

__all__ = ["NAMES", "Drawn", "TextBox", "draw", "palette_css"]
