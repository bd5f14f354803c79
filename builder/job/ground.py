"""The ground's part of the schema: soil, groundwater, what sheds rain, what stands near."""

from dataclasses import dataclass
from typing import Annotated, Any

from builder.job.ids import Id
from builder.job.reading import BROKEN, Path, Reading, echo
from builder.job.scalars import Factor, OneWord, Quantity, Words, YesNo
from builder.job.shapes import Either, Fields, ListOf
from builder.job.sizes import SHORT, length
from builder.yamlfile import Node, Text

SITE_CLASSES = ("A", "S", "M", "M-D", "H1", "H1-D", "H2", "H2-D", "E", "E-D", "P")


@dataclass(frozen=True)
class Seen:
    """Groundwater was seen: its depth below ground in metres."""

    depth: float


@dataclass(frozen=True)
class NotSeen:
    """No groundwater in a hole of that depth below ground (m), watched for that long (s)."""

    not_seen_to: Annotated[float, length(0.1, 60.0, "a hole is 100 mm to 60 m deep", "2.4 m")]
    watched_for: Annotated[float, Quantity("s", 0.0, 4e7, "a hole is watched for 0 d to 460 d", "3 d")]


_NOT_SEEN = "{not_seen_to: 2.4 m, watched_for: 3 d}"
_DEPTH = length(0.0, 60.0, "groundwater stands 0 m (at ground level) to 60 m below ground", "1.9 m")


@dataclass(frozen=True)
class _SeenForm:
    """A depth below ground, read as Seen."""

    example: str = _DEPTH.example
    about: str = _DEPTH.about
    written: Quantity = _DEPTH

    def read(self, node: Node, at: Path, reading: Reading) -> Any:
        """Return Seen."""
        if isinstance(node, Text) and not node.text.lstrip("-. ")[:1].isdigit():
            instead = f"Write a depth below ground such as {self.example}, or {_NOT_SEEN} where none was seen"
            reading.fault(node, at, f"{echo(node.text)} is no depth", instead)
            return BROKEN
        depth = _DEPTH.read(node, at, reading)
        return BROKEN if depth is BROKEN else Seen(depth)


@dataclass(frozen=True)
class LayerGiven:
    """One layer from the ground down: its bottom below ground in m (None: on down), the soil's id."""

    to: Annotated[float | None, length(0.05, 60.0, "a layer ends 50 mm to 60 m below ground", "0.6 m")]
    soil: Annotated[str, Id("grounds", "sand")]


@dataclass(frozen=True)
class Neighbour:
    """Something beside the dig: what, how far from the outline, how deep it reaches, in metres."""

    what: Annotated[str, Words(SHORT, "house footing")]
    away: Annotated[float, length(0.0, 100.0, "a neighbour stands 0 m to 100 m away", "2.4 m")]
    depth: Annotated[float, length(0.0, 20.0, "a neighbour reaches 0 mm to 20 m below ground", "400 mm")]


@dataclass(frozen=True)
class GroundGiven:
    """The ground as the author gives it; either soil or layers. Depths below ground in metres.

    groundwater: Seen or NotSeen. highest_known, aquifer_base and site_class may be None: not known.
    catchment in m2, runoff a fraction, rain_overnight in m.
    """

    soil: Annotated[str | None, Id("grounds", "stiff-clay")]
    layers: Annotated[
        tuple[LayerGiven, ...] | None,
        ListOf(
            Fields(LayerGiven, "{to: 0.6 m, soil: sand}"),
            1,
            20,
            "a list such as [{to: 0.6 m, soil: sand}, {to: 3 m, soil: stiff-clay}]",
        ),
    ]
    groundwater: Annotated[
        Seen | NotSeen,
        Either(
            "a depth below ground such as 1.9 m, or {not_seen_to: 2.4 m, watched_for: 3 d}",
            text=_SeenForm(),
            mapping=Fields(NotSeen, _NOT_SEEN),
        ),
    ]
    highest_known: Annotated[float | None, _DEPTH]
    aquifer_base: Annotated[
        float | None, length(0.2, 200.0, "an aquifer's base lies 200 mm to 200 m below ground", "6 m")
    ]
    catchment: Annotated[float, Quantity("m2", 0.0, 2e4, "a catchment is 0 m2 to 20000 m2", "60 m2")]
    runoff: Annotated[float, Factor(0.0, 1.0, "a runoff factor is 0 to 1", "1.0")]
    rain_overnight: Annotated[float, length(0.0, 1.0, "a night's rain is 0 mm to 1 m", "50 mm")]
    site_class: Annotated[str | None, OneWord(SITE_CLASSES)]
    neighbours: Annotated[
        tuple[Neighbour, ...],
        ListOf(
            Fields(Neighbour, "{what: house footing, away: 2.4 m, depth: 400 mm}"),
            0,
            40,
            "a list such as [{what: house footing, away: 2.4 m, depth: 400 mm}]",
        ),
    ]
    tidal: Annotated[bool, YesNo()]
