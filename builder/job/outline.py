"""The outline's part of the schema: a box by its sizes, or any simple polygon by its points."""

from dataclasses import dataclass
from typing import Annotated, Any

import numpy as np

from builder import plan
from builder.catalogue.nearest import nearest
from builder.job.floor import Point
from builder.job.reading import BROKEN, ECHO, Path, Reading, wrong_shape
from builder.job.shapes import Fields, ListOf
from builder.job.sizes import POINT_IN, length
from builder.yamlfile import Mapping, Node

MOST_POINTS = 400  # of an outline


@dataclass(frozen=True)
class _Box:
    length: Annotated[float, length(1.0, 30.0, "a pool is 1 m to 30 m long", "7.4 m")]
    width: Annotated[float, length(0.8, 15.0, "a pool is 800 mm to 15 m wide", "3.4 m")]
    corner_radius: Annotated[float, length(0.0, 7.5, "a corner's radius is 0 mm to 7.5 m", "300 mm")]


@dataclass(frozen=True)
class _Polygon:
    points: Annotated[
        tuple[Point, ...],
        ListOf(
            POINT_IN,
            3,
            MOST_POINTS,
            "a list of places such as [[0 m, 0 m], [7.4 m, 0 m], [7.4 m, 3.4 m], [0 m, 3.4 m]]",
        ),
    ]


def _box(box: _Box, node: Node, at: Path, reading: Reading) -> Any:
    most = min(box.length, box.width) / 2
    if box.corner_radius > most + 1e-9:
        wrong = f"corners of {box.corner_radius:.4g} m need a pool wider than {box.width:.4g} m"
        reading.fault_at((*at, "corner_radius"), wrong, f"Write at most {most * 1000:.0f} mm")
        return BROKEN
    return plan.rectangle(box.length, box.width, box.corner_radius)


def _polygon(polygon: _Polygon, node: Node, at: Path, reading: Reading) -> Any:
    try:
        return plan.Outline(np.array(polygon.points))
    except ValueError:
        wrong = "the outline crosses or touches itself"
        reading.fault_at(
            (*at, "points"), wrong, "List the corners in the order a walk around the rim meets them"
        )
        return BROKEN


@dataclass(frozen=True)
class OutlineForm:
    """A box by length and width, or any simple polygon by its points."""

    example: str = "{length: 7.4 m, width: 3.4 m}, or {points: [[0 m, 0 m], [7.4 m, 0 m], …]}"

    @property
    def forms(self) -> tuple[Fields, Fields]:
        """The box's keys and the polygon's."""
        return Fields(_Box, self.example, then=_box), Fields(_Polygon, self.example, then=_polygon)

    def read(self, node: Node, at: Path, reading: Reading) -> Any:
        """Return a plan.Outline."""
        if not isinstance(node, Mapping):
            return wrong_shape(node, at, reading, self.example)
        box, polygon = self.forms
        meant = {nearest(key[:ECHO], (*box.kinds, *polygon.kinds)) for key in node.entries}
        if "points" in node.entries:
            extra = [key for key in box.kinds if key in node.entries]
            if extra:
                wrong = "the points give the outline already"
                reading.fault(
                    node.keys[extra[0]], (*at, extra[0]), wrong, "Keep the points, or the length and width"
                )
                return BROKEN
        return (polygon if "points" in meant and not meant & {"length", "width"} else box).read(
            node, at, reading
        )
