"""The shell's part of the schema: by id from the catalogue, or the same mapping in line."""

from dataclasses import dataclass
from typing import Annotated, Any, Literal

from builder import plan
from builder.errors import InputFaults
from builder.job.floor import Point
from builder.job.ids import Id, report_unknown
from builder.job.outline import OutlineForm
from builder.job.reading import BROKEN, Path, Reading, wrong_shape
from builder.job.scalars import Factor, OneWord, Quantity, Words
from builder.job.shapes import Either, Fields, ListOf, Pair
from builder.job.sizes import POINT_AT, POINT_IN, SHORT, length
from builder.yamlfile import Mapping, Node, Text

_ALONG = length(0.0, 30.0, "a pool is 1 m to 30 m long", "7.4 m")
_DEPTH = length(0.1, 4.0, "a pool's floor lies 100 mm to 4 m below the rim", "1.7 m")


@dataclass(frozen=True)
class Ledge:
    """A step or seat: solid below `depth`, over a rectangle whose corner of least x, y is (x, y)."""

    name: str
    x: float
    y: float
    length: float
    width: float
    depth: float


@dataclass(frozen=True)
class _LedgeKeys:
    name: Annotated[str, Words(40, "entry steps")]
    at: Annotated[Point, POINT_IN]
    size: Annotated[
        Point,
        Pair(
            length(0.1, 30.0, "a ledge is 100 mm to 30 m long", "0.9 m"),
            length(0.1, 15.0, "a ledge is 100 mm to 15 m wide", "3.4 m"),
            "a size [along, across] such as [0.9 m, 3.4 m]",
        ),
    ]
    depth: Annotated[float, length(0.05, 3.0, "a ledge lies 50 mm to 3 m below the rim", "400 mm")]


def _ledge(keys: _LedgeKeys, node: Node, at: Path, reading: Reading) -> Ledge:
    return Ledge(keys.name, *keys.at, *keys.size, keys.depth)


@dataclass(frozen=True)
class Bead:
    """A seal of sealant: the diameter of the bead in metres."""

    bead: Annotated[float, length(0.002, 0.03, "a bead of sealant is 2 mm to 30 mm thick", "8 mm")]


@dataclass(frozen=True)
class Relief:
    """The relief valve in the floor."""

    at: Annotated[
        Literal["lowest"] | Point,
        Either("lowest, or a place [x, y] such as [6.1 m, 1.7 m]", {"lowest": "lowest"}, items=POINT_IN),
    ]
    throat: Annotated[float, length(0.02, 0.2, "a throat is 20 mm to 200 mm wide", "50 mm")]
    thread: Annotated[
        str | None, Either("the id of a thread, or none", {"none": None}, text=Id("threads", "G2"))
    ]
    flange: Annotated[float, length(0.03, 0.6, "a flange is 30 mm to 600 mm wide", "90 mm")]
    opening_head: Annotated[float, length(0.0, 1.0, "a valve opens at 0 mm to 1 m of water", "60 mm")]
    discharge_coefficient: Annotated[float, Factor(0.1, 1.0, "a discharge coefficient is 0.1 to 1", "0.6")]
    seal: Annotated[
        Literal["ring"] | Bead,
        Either("ring, or {bead: 8 mm} for sealant", {"ring": "ring"}, mapping=Fields(Bead, "{bead: 8 mm}")),
    ]
    fitted_by: Annotated[Literal["factory", "site"], OneWord(("factory", "site"))]


@dataclass(frozen=True)
class WallLimit:
    """What the shell's maker lets the walls bear, in Pa; None where the maker is silent."""

    outward: Annotated[float | None, Quantity("Pa", 200.0, 1e5, "a wall bears 0.2 kPa to 100 kPa", "6 kPa")]
    inward: Annotated[float | None, Quantity("Pa", 200.0, 1e5, "a wall bears 0.2 kPa to 100 kPa", "3 kPa")]


def _wall_limit(limit: WallLimit, node: Node, at: Path, reading: Reading) -> Any:
    if limit.outward is None and limit.inward is None:
        reading.fault(
            node, at, "no limit stands here", "Write outward, inward or both, or leave wall_limit out"
        )
        return BROKEN
    return limit


@dataclass(frozen=True)
class _SkimmerKeys:
    at: Annotated[Point, POINT_AT]


def _skimmer(keys: _SkimmerKeys, node: Node, at: Path, reading: Reading) -> Point:
    return keys.at


@dataclass(frozen=True)
class Shell:
    """A shell: sizes inside, in metres from x = 0, y = 0 and below the rim.

    id is None for a shell in line. floor: (x, depth) stations. wall_batter in rad from vertical.
    wall_limit, weight_centre and skimmer may be None: not known, or none there.
    """

    id: str | None
    name: Annotated[str, Words(SHORT, "Tern 74")]
    outline: Annotated[plan.Outline, OutlineForm()]
    floor: Annotated[
        tuple[Point, ...],
        ListOf(
            Pair(_ALONG, _DEPTH, "a station [x, depth] such as [4.8 m, 1.7 m]"),
            2,
            60,
            "a list of stations such as [[0 m, 1.15 m], [7.4 m, 1.7 m]]",
        ),
    ]
    ledges: Annotated[
        tuple[Ledge, ...],
        ListOf(
            Fields(
                _LedgeKeys,
                "{name: entry steps, at: [0 m, 0 m], size: [0.9 m, 3.4 m], depth: 400 mm}",
                then=_ledge,
            ),
            0,
            40,
            "a list such as [{name: entry steps, at: [0 m, 0 m], size: [0.9 m, 3.4 m], depth: 400 mm}]",
        ),
    ]
    wall_batter: Annotated[
        float,
        Quantity(
            "rad",
            0.0,
            0.5235987755982988,
            "a pool's wall leans in 0 deg to 30 deg from the vertical",
            "4 deg",
        ),
    ]
    wall: Annotated[float, length(0.002, 0.04, "a laminate is 2 mm to 40 mm thick", "7 mm")]
    floor_thickness: Annotated[
        float, length(0.002, 0.08, "a floor's laminate is 2 mm to 80 mm thick", "8 mm")
    ]
    laminate_density: Annotated[
        float, Quantity("kg/m3", 900.0, 2500.0, "a laminate weighs 900 kg/m3 to 2500 kg/m3", "1600 kg/m3")
    ]
    mass: Annotated[float, Quantity("kg", 30.0, 2e4, "a shell weighs 30 kg to 20 t", "780 kg")]
    weight_centre: Annotated[
        float | None, length(0.0, 30.0, "a weight's centre lies 0 m to 30 m along the shell", "3.9 m")
    ]
    relief: Annotated[Relief, Fields(Relief, "{at: lowest, throat: 50 mm}")]
    skimmer: Annotated[
        Point | None,
        Either(
            "{at: [6.9 m, 0 m]}, or none",
            {"none": None},
            mapping=Fields(_SkimmerKeys, "{at: [6.9 m, 0 m]}", then=_skimmer),
        ),
    ]
    wall_limit: Annotated[
        WallLimit | None, Fields(WallLimit, "{outward: 6 kPa, inward: 3 kPa}", then=_wall_limit)
    ]


@dataclass(frozen=True)
class ShellForm:
    """The id of a shell of the catalogue, or the shell's mapping in line."""

    example: str = "the id of a shell such as tern-74, or its mapping in line"

    @property
    def forms(self) -> tuple[Fields]:
        """The keys of the mapping."""
        return (Fields(Shell, self.example),)

    def read(self, node: Node, at: Path, reading: Reading) -> Any:
        """Return the Shell; faults of a catalogue shell are told in the catalogue's file."""
        (fields,) = self.forms
        if isinstance(node, Mapping):
            return fields.read(node, at, reading, {"id": None})
        if not isinstance(node, Text) or not node.text:
            return wrong_shape(node, at, reading, self.example)
        try:
            shells = reading.catalogue.shells
        except InputFaults as exc:
            reading.borrow(exc.faults)
            return BROKEN
        row = shells.get(node.text.strip())
        if row is None:
            report_unknown(node, at, reading, "shells", shells)
            return BROKEN
        reading.settle(at, row.file, row.spec, (row.id, "spec"))
        return fields.read(row.spec, at, reading, {"id": row.id, "name": row.name})
