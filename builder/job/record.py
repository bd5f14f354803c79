"""What is measured after the job, and what someone answers for."""

import datetime
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from builder.job.floor import Point
from builder.job.reading import BROKEN, Path, Reading
from builder.job.scalars import Date, OneWord, Words
from builder.job.shapes import Fields, ListOf
from builder.job.sizes import POINT_AT, SHORT, length
from builder.yamlfile import Node


@dataclass(frozen=True)
class RimReading:
    """The rim at one place: where, and how far it lies below the peg, in m."""

    at: Annotated[Point, POINT_AT]
    below_peg: Annotated[float, length(-2.0, 5.0, "a rim lies 2 m above to 5 m below the peg", "502 mm")]


@dataclass(frozen=True)
class Dip:
    """A dip: the day, the depth from the mark down to the water in m, and which mark.

    mark: `build` (the ring painted at rim level) or `top` (the top of the trimmed tube).
    pool_below_rim: the pool's water that day, m below the rim, or None.
    """

    on: Annotated[datetime.date, Date()]
    dip: Annotated[float, length(-0.5, 10.0, "a dip is -500 mm to 10 m", "1.62 m")]
    mark: Annotated[Literal["build", "top"], OneWord(("build", "top"))]
    pool_below_rim: Annotated[
        float | None, length(0.0, 4.0, "a pool's water lies 0 mm to 4 m below the rim", "130 mm")
    ]


@dataclass(frozen=True)
class AsBuilt:
    """What was measured, each part None (or empty) until it is.

    measured, by: the day and the role. rim: four readings, one a corner or a quarter of the way
    round. tube_length: from the foot to the trimmed top; tube_top_above_rim: negative where it ends
    below the rim. All in m.
    """

    measured: Annotated[datetime.date | None, Date()]
    by: Annotated[str | None, Words(SHORT, "crew lead")]
    rim: Annotated[
        tuple[RimReading, ...] | None,
        ListOf(
            Fields(RimReading, "{at: [0 m, 0 m], below_peg: 502 mm}"),
            4,
            4,
            "four of {at: [0 m, 0 m], below_peg: 502 mm}",
        ),
    ]
    tube_length: Annotated[float | None, length(0.3, 12.0, "a tube is 300 mm to 12 m long", "1.77 m")]
    tube_top_above_rim: Annotated[
        float | None, length(-1.0, 2.0, "a tube ends 1 m below to 2 m above the rim", "10 mm")
    ]
    water_below_rim: Annotated[
        float | None, length(0.0, 1.0, "working water lies 0 mm to 1 m below the rim", "118 mm")
    ]
    paving_above_rim: Annotated[
        float | None, length(-0.2, 0.5, "paving lies 200 mm below to 500 mm above the rim", "42 mm")
    ]
    dips: Annotated[
        tuple[Dip, ...],
        ListOf(
            Fields(Dip, "{on: 2026-12-01, dip: 1.62 m, mark: top}"),
            0,
            500,
            "a list such as [{on: 2026-12-01, dip: 1.62 m, mark: top}]",
        ),
    ]


def _as_built(built: AsBuilt, node: Node, at: Path, reading: Reading) -> Any:
    sound = True
    places: dict[Point, int] = {}
    for index, corner in enumerate(built.rim or ()):
        if corner.at in places:
            wrong = f"this place is read twice (also rim[{places[corner.at]}])"
            reading.fault_at((*at, "rim", index, "at"), wrong, "Give four places around the rim")
            sound = False
        places.setdefault(corner.at, index)
    return built if sound else BROKEN


AS_BUILT = Fields(AsBuilt, "{measured: 2026-12-01, tube_length: 1.77 m}", then=_as_built)


@dataclass(frozen=True)
class Accepted:
    """A stop that someone answers for: the number's key, the role, the reason, the day or None."""

    check: Annotated[
        str,
        Words(
            SHORT,
            "uplift.safety_flooded",
            pattern=r"[a-z_]+(\.[a-z0-9_-]+)+",
            rule="a check is the key of a number",
        ),
    ]
    by: Annotated[str, Words(SHORT, "structural engineer")]
    reason: Annotated[str, Words(500, "anchored to the slab, drawing S-02")]
    on: Annotated[datetime.date | None, Date()]


ACCEPTED = ListOf(
    Fields(Accepted, "{check: uplift.safety_flooded, by: engineer, reason: anchored}"),
    0,
    50,
    "a list such as [{check: uplift.safety_flooded, by: engineer, reason: anchored to the slab}]",
)
