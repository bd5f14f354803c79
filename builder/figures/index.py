"""The figures by name, in the order of showing, and how one is drawn."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Protocol

from builder.figures import (
    cross_section,
    dip_gauge,
    long_section,
    plan_view,
    standpipe_cut,
    valve_detail,
)
from builder.figures.canvas import Point, TextBox
from builder.figures.reader import Known, Reader
from builder.figures.scene import Scene
from builder.figures.svg import render
from builder.levels import Levels
from builder.quantity import Number

SCENES: Mapping[str, Callable[[Reader], Scene]] = {
    "long-section": long_section.draw,
    "cross-section": cross_section.draw,
    "plan": plan_view.draw,
    "valve-detail": valve_detail.draw,
    "standpipe-cut": standpipe_cut.draw,
    "dip-gauge": dip_gauge.draw,
}
NAMES: tuple[str, ...] = tuple(SCENES)


class Results(Protocol):
    """The numbers of a job by key, and what is known of its groundwater."""

    def __getitem__(self, key: str, /) -> Number:
        """Return one number."""

    @property
    def groundwater(self) -> Known:
        """What is known of the groundwater."""


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
    anchors: Mapping[str, Point]


def draw(name: str, levels: Levels, results: Results, *, plain: bool = False) -> Drawn:
    """Return a figure of a job; `plain` has print colours in place of CSS variables.

    Raises KeyError for a name that is not in NAMES.
    """
    scene = SCENES[name](Reader(levels, results, results.groundwater))
    return Drawn(
        name=name,
        svg=render(scene.sheet, name, scene.title, scene.description, plain=plain),
        title=scene.title,
        caption=scene.caption,
        description=scene.description,
        long_description=scene.long_description,
        width_in=scene.sheet.width / 72,
        height_in=scene.sheet.height / 72,
        texts=scene.sheet.boxes(),
        anchors=scene.anchors,
    )
