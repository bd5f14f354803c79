"""The figures by name, in the order of showing, and how one is drawn."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Protocol

from builder.figures import (
    cross_section,
    depth_volume,
    dig_section,
    dip_gauge,
    gradings,
    lid_detail,
    lift_strip,
    long_section,
    plan_view,
    pump_curve,
    site_plan,
    standpipe_cut,
    story_pole,
    uplift,
    valve_detail,
    wall_pressure,
    water_rises,
)
from builder.figures.drawn import Drawn
from builder.figures.reader import Known, Reader
from builder.figures.scene import Scene
from builder.figures.svg import render
from builder.levels import Levels
from builder.quantity import Number

SCENES: Mapping[str, Callable[[Reader], Scene]] = {
    "long-section": long_section.draw,
    "cross-section": cross_section.draw,
    "plan": plan_view.draw,
    "site-plan": site_plan.draw,
    "valve-detail": valve_detail.draw,
    "standpipe-cut": standpipe_cut.draw,
    "dip-gauge": dip_gauge.draw,
    "lift-strip": lift_strip.draw,
    "story-pole": story_pole.draw,
    "dig-section": dig_section.draw,
    "water-rises": water_rises.draw,
    "uplift": uplift.draw,
    "wall-pressure": wall_pressure.draw,
    "depth-volume": depth_volume.draw,
    "gradings": gradings.draw,
    "lid-detail": lid_detail.draw,
    "pump-curve": pump_curve.draw,
}
NAMES: tuple[str, ...] = tuple(SCENES)


class Results(Protocol):
    """The numbers of a job by key, and what is known of its groundwater."""

    def __getitem__(self, key: str, /) -> Number:
        """Return one number."""

    @property
    def groundwater(self) -> Known:
        """What is known of the groundwater."""


def draw(name: str, levels: Levels, results: Results, *, plain: bool = False) -> Drawn:
    """Return a figure of a job; `plain` has print colours in place of CSS variables.

    Raises KeyError for a name that is not in NAMES.
    """
    scene = SCENES[name](Reader(levels, results, results.groundwater))
    return Drawn(
        name=name,
        svg=render(
            scene.sheet,
            name,
            scene.title,
            scene.description,
            plain=plain,
            printed=scene.printed,
        ),
        title=scene.title,
        caption=scene.caption,
        description=scene.description,
        long_description=scene.long_description,
        width_in=scene.sheet.width / 72,
        height_in=scene.sheet.height / 72,
        texts=scene.sheet.boxes(),
        anchors=scene.anchors,
    )
