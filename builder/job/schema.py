"""The whole job spec, typed: every key, in SI, with its range and its remedy.

Key order is reading order: a default that rests on other parts is worked out after them.
"""

import datetime
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from builder.job.ground import GroundGiven
from builder.job.ids import Id
from builder.job.reading import Path, Reading
from builder.job.record import ACCEPTED, AS_BUILT, Accepted, AsBuilt
from builder.job.scalars import Date, OneWord, Words
from builder.job.shapes import Either, Fields, ListOf
from builder.job.shell import Shell, ShellForm
from builder.job.sizes import SHORT, length
from builder.job.works import (
    EXCAVATION,
    BackfillGiven,
    BeddingGiven,
    Excavation,
    Pump,
    RingBeam,
    Standpipe,
    Sump,
    Water,
)
from builder.yamlfile import Node

TITLE = 80  # characters
NOTES = 4000
_CHANGE = Words(300, "the tube is 50 mm longer")
_RESERVED = "(?!(?i:con|prn|aux|nul|com[0-9]|lpt[0-9])$)"  # names no folder can have everywhere


@dataclass(frozen=True)
class Peg:
    """The peg levels are measured from until the shell is set: height above the rim in m, place."""

    above_rim: Annotated[float, length(-1.0, 3.0, "a peg stands 1 m below to 3 m above the rim", "500 mm")]
    where: Annotated[str, Words(SHORT, "gate post")]


@dataclass(frozen=True)
class LevelsGiven:
    """Levels around the rim, in m, each in the direction its name says."""

    rim_above_ground: Annotated[float, length(0.0, 2.0, "a rim lies 0 mm to 2 m above the ground", "50 mm")]
    paving_above_rim: Annotated[
        float, length(-0.2, 0.5, "paving lies 200 mm below to 500 mm above the rim", "40 mm")
    ]
    water_below_rim: Annotated[
        float, length(0.0, 1.0, "working water lies 0 mm to 1 m below the rim", "120 mm")
    ]
    overflow_below_rim: Annotated[
        float, length(0.0, 1.0, "an overflow lies 0 mm to 1 m below the rim, never above it", "60 mm")
    ]
    peg: Annotated[Peg, Fields(Peg, "{above_rim: 500 mm, where: gate post}")]


@dataclass(frozen=True)
class _ChangedForm:
    """One text read as a list of one."""

    example: str = "a list of sentences such as [the tube is 50 mm longer]"
    written: Words = _CHANGE

    def read(self, node: Node, at: Path, reading: Reading) -> Any:
        """Return a tuple of one text."""
        value = _CHANGE.read(node, at, reading)
        return (value,) if isinstance(value, str) else value


@dataclass(frozen=True)
class Spec:
    """One job spec. Attributes are the keys; lengths in m, everything else SI too."""

    ref: Annotated[
        str,
        Words(
            40,
            "QR-0412",
            pattern=_RESERVED + r"[A-Za-z0-9][A-Za-z0-9-]*",
            rule="a reference has letters, digits and dashes, and is no word like con, kept by systems",
        ),
    ]
    title: Annotated[str, Words(TITLE, "Quandong Rise")]
    issue: Annotated[str, Words(2, "A", pattern="[A-Z]{1,2}", rule="an issue is a capital letter")]
    issued: Annotated[datetime.date | None, Date()]
    changed: Annotated[
        tuple[str, ...],
        Either(
            _ChangedForm.example,
            {"none": ()},
            text=_ChangedForm(),
            items=ListOf(_CHANGE, 0, 50, _ChangedForm.example),
        ),
    ]
    link: Annotated[
        str | None,
        Words(
            40,
            "the 26 characters that `new` writes",
            pattern="[a-z2-7]{26}",
            rule="a link is 26 characters of a to z and 2 to 7",
        ),
    ]
    region: Annotated[str, Id("regions", "au-nsw")]
    audience: Annotated[Literal["owner-builder", "crew"], OneWord(("owner-builder", "crew"))]
    shell: Annotated[Shell, ShellForm()]
    levels: Annotated[LevelsGiven, Fields(LevelsGiven, "{rim_above_ground: 50 mm}")]
    ground: Annotated[
        GroundGiven,
        Fields(GroundGiven, "{soil: stiff-clay, groundwater: 1.9 m}", one_of=("soil", "layers")),
    ]
    bedding: Annotated[BeddingGiven, Fields(BeddingGiven, "{material: bedding-gravel-7, thickness: 75 mm}")]
    backfill: Annotated[
        BackfillGiven, Fields(BackfillGiven, "{material: drainage-gravel-7, working_gap: 300 mm}")
    ]
    standpipe: Annotated[Standpipe, Fields(Standpipe, "{pipe: pvc-dn65-pn9, beside: deep end}")]
    sump: Annotated[
        Sump | None,
        Either(
            "{depth: 200 mm, width: 400 mm, fill: drainage-gravel-20}, or none",
            {"none": None},
            mapping=Fields(Sump, "{depth: 200 mm, width: 400 mm}"),
        ),
    ]
    mesh: Annotated[
        str | None,
        Either("the id of a fabric, or none", {"none": None}, text=Id("fabrics", "geotextile-fine")),
    ]
    ring_beam: Annotated[RingBeam, Fields(RingBeam, "{width: 300 mm, depth: 200 mm, tied: no}")]
    pump: Annotated[Pump, Fields(Pump, "{body: 50 mm, min_depth: 50 mm}")]
    water: Annotated[Water, Fields(Water, "{flow: 18 L/min}")]
    excavation: Annotated[Excavation, EXCAVATION]
    as_built: Annotated[AsBuilt | None, AS_BUILT]
    accepted: Annotated[tuple[Accepted, ...], ACCEPTED]
    notes: Annotated[str, Words(NOTES, "Side gate is 1.1 m wide.", lines=True, blank=True)]


SPEC = Fields(Spec, "`key: value` lines")
