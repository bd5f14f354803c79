"""The works' part of the schema: bedding, backfill, standpipe, sump, beam, pump, water, dig."""

from dataclasses import dataclass
from typing import Annotated, Any, Literal

from builder.job.floor import Point
from builder.job.ids import Id
from builder.job.reading import BROKEN, Path, Reading
from builder.job.scalars import Count, OneWord, Quantity, Words, YesNo
from builder.job.shapes import Either, Fields, ListOf, Pair
from builder.job.sizes import POINT_AT, SHORT, length
from builder.yamlfile import Node


@dataclass(frozen=True)
class BeddingGiven:
    """Bedding: id of the material, thickness in m."""

    material: Annotated[str, Id("materials", "bedding-gravel-7", "bedding")]
    thickness: Annotated[float, length(0.02, 0.5, "a bedding is 20 mm to 500 mm thick", "75 mm")]


@dataclass(frozen=True)
class BackfillGiven:
    """Backfill: id of the material, gap at the base and height of a lift in m."""

    material: Annotated[str, Id("materials", "drainage-gravel-7", "backfill")]
    working_gap: Annotated[float, length(0.1, 2.0, "a working gap is 100 mm to 2 m wide", "300 mm")]
    lift: Annotated[float, length(0.05, 0.6, "a lift is 50 mm to 600 mm high", "150 mm")]


@dataclass(frozen=True)
class At:
    """A place in plan, in metres from the outline's x = 0, y = 0."""

    x: float
    y: float


@dataclass(frozen=True)
class _AtKeys:
    at: Annotated[Point, POINT_AT]


def _at(keys: _AtKeys, node: Node, at: Path, reading: Reading) -> At:
    return At(*keys.at)


@dataclass(frozen=True)
class Pit:
    """A gravel pit under the tube: depth below the bedding base and width, in m."""

    depth: Annotated[float, length(0.1, 2.0, "a pit under the tube is 100 mm to 2 m deep", "300 mm")]
    width: Annotated[float, length(0.1, 2.0, "a pit under the tube is 100 mm to 2 m wide", "400 mm")]


@dataclass(frozen=True)
class Lid:
    """The lid in the paving over the tube: clear width of its frame and its thickness, in m."""

    width: Annotated[float, length(0.05, 1.0, "a lid is 50 mm to 1 m wide", "250 mm")]
    thickness: Annotated[float, length(0.002, 0.2, "a lid is 2 mm to 200 mm thick", "20 mm")]


@dataclass(frozen=True)
class Standpipe:
    """The standpipe: id of its pipe; lengths in m; slots cut around the tube in rows along it."""

    pipe: Annotated[str, Id("pipes", "pvc-dn65-pn9")]
    beside: Annotated[
        Literal["deep end", "skimmer"] | At,
        Either(
            "deep end, skimmer, or {at: [6.1 m, -0.15 m]}",
            {"deep end": "deep end", "skimmer": "skimmer"},
            mapping=Fields(_AtKeys, "{at: [6.1 m, -0.15 m]}", then=_at),
        ),
    ]
    pit: Annotated[
        Pit | None,
        Either(
            "{depth: 300 mm, width: 400 mm}, or none",
            {"none": None},
            mapping=Fields(Pit, "{depth: 300 mm, width: 400 mm}"),
        ),
    ]
    foot_below_underside: Annotated[
        float, length(0.0, 2.5, "a tube's foot stands 0 mm to 2.5 m below the underside", "15 mm")
    ]
    slotted: Annotated[float, length(0.05, 4.0, "the slotted part is 50 mm to 4 m long", "600 mm")]
    slot_width: Annotated[float, length(0.0002, 0.01, "a slot is 0.2 mm to 10 mm wide", "1.5 mm")]
    slot_length: Annotated[float, length(0.005, 0.3, "a slot is 5 mm to 300 mm long", "30 mm")]
    rows: Annotated[int, Count(1, 12, "a tube has 1 to 12 rows of slots", "3")]
    pitch: Annotated[float, length(0.003, 0.3, "slots stand 3 mm to 300 mm apart", "25 mm")]
    below_lid: Annotated[float, length(0.0, 0.5, "a tube ends 0 mm to 500 mm below its lid", "30 mm")]
    lid: Annotated[Lid, Fields(Lid, "{width: 250 mm, thickness: 20 mm}")]


@dataclass(frozen=True)
class Sump:
    """A square pit under the valve: depth and width in m, id of its fill."""

    depth: Annotated[float, length(0.05, 1.5, "a sump is 50 mm to 1.5 m deep", "200 mm")]
    width: Annotated[float, length(0.1, 2.0, "a sump is 100 mm to 2 m wide", "400 mm")]
    fill: Annotated[str, Id("materials", "drainage-gravel-20", "sump")]


@dataclass(frozen=True)
class RingBeam:
    """The concrete around the rim, in m; tied: its weight holds the shell down."""

    width: Annotated[float, length(0.1, 1.5, "a ring beam is 100 mm to 1.5 m wide", "300 mm")]
    depth: Annotated[float, length(0.05, 1.0, "a ring beam is 50 mm to 1 m deep", "200 mm")]
    tied: Annotated[bool, YesNo()]


@dataclass(frozen=True)
class Hose:
    """The pump's hose, in m; rise: its end above the rim."""

    bore: Annotated[float, length(0.008, 0.15, "a hose's bore is 8 mm to 150 mm", "25 mm")]
    length: Annotated[float, length(0.5, 300.0, "a hose is 500 mm to 300 m long", "15 m")]
    rise: Annotated[float, length(-10.0, 30.0, "a hose's end lies 10 m below to 30 m above the rim", "0.5 m")]


@dataclass(frozen=True)
class Pump:
    """The pump that goes down the tube: body and least water in m, curve as (flow m3/s, head m)."""

    body: Annotated[float, length(0.01, 0.5, "a pump's body is 10 mm to 500 mm wide", "50 mm")]
    min_depth: Annotated[float, length(0.0, 1.0, "a pump needs 0 mm to 1 m of water", "50 mm")]
    curve: Annotated[
        tuple[Point, ...],
        ListOf(
            Pair(
                Quantity("m3/s", 0.0, 0.2, "a pump moves 0 L/min to 12000 L/min", "60 L/min"),
                length(0.0, 100.0, "a pump lifts 0 m to 100 m", "5 m"),
                "a point [flow, head] such as [60 L/min, 5 m]",
            ),
            2,
            40,
            "a list of points such as [[0 L/min, 7 m], [60 L/min, 5 m], [120 L/min, 0 m]]",
        ),
    ]
    hose: Annotated[Hose, Fields(Hose, "{bore: 25 mm, length: 15 m, rise: 0.5 m}")]


@dataclass(frozen=True)
class Water:
    """The tap's flow in m3/s and the groundwater's density in kg/m3."""

    flow: Annotated[float, Quantity("m3/s", 1e-5, 0.05, "a tap gives 0.6 L/min to 3000 L/min", "18 L/min")]
    density: Annotated[
        float, Quantity("kg/m3", 950.0, 1250.0, "groundwater weighs 950 kg/m3 to 1250 kg/m3", "1000 kg/m3")
    ]


@dataclass(frozen=True)
class Excavation:
    """The dig: batter in rad from the horizontal or None where shored; truck in m3; overdug in m."""

    shoring: Annotated[str | None, Words(SHORT, "engineer")]
    batter: Annotated[
        float | None,
        Either(
            "an angle from the horizontal such as 45 deg, or none",
            {"none": None},
            text=Quantity(
                "rad",
                0.17453292519943295,
                1.48352986419518,
                "a batter is 10 deg to 85 deg from the horizontal",
                "45 deg",
            ),
        ),
    ]
    truck: Annotated[float, Quantity("m3", 0.1, 60.0, "a truck holds 0.1 m3 to 60 m3", "8 m3")]
    overdug: Annotated[float, length(0.0, 3.0, "a dig is 0 mm to 3 m too deep", "0 mm")]
    makeup: Annotated[
        Literal["none", "compacted", "stabilised"], OneWord(("none", "compacted", "stabilised"))
    ]


def _excavation(dig: Excavation, node: Node, at: Path, reading: Reading) -> Any:
    if dig.batter is None and dig.shoring is None:
        wrong = "upright sides without shoring bury people"
        reading.fault_at((*at, "batter"), wrong, "Write an angle such as 45 deg, or add `shoring: engineer`")
        return BROKEN
    return dig


EXCAVATION = Fields(Excavation, "{batter: 45 deg, truck: 8 m3}", then=_excavation)
