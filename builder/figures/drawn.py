"""What a figure is once drawn. Loads nothing heavy, so a process that only receives figures stays light."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class TextBox:
    """One line of text and the box it may take, in points of the figure."""

    text: str
    x0: float
    y0: float
    x1: float
    y1: float
    size_pt: float


@dataclass(frozen=True)
class Drawn:
    """A figure ready to stand in a page.

    svg: for the page itself; long_description: the figure in sentences; texts: every line of text
    with the box it may take, in points; anchors: named points in model metres, (x, depth below the
    rim) in sections and (x, y) in plan.
    """

    name: str
    svg: str
    title: str
    caption: str
    description: str
    long_description: tuple[str, ...]
    width_in: float
    height_in: float
    texts: tuple[TextBox, ...]
    anchors: Mapping[str, tuple[float, float]]
