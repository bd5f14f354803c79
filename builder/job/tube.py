"""Faults of the standpipe: a tube that cannot be cut, slotted or stood."""

from __future__ import annotations

import math
from typing import Literal

import shapely

from builder import plan
from builder.errors import InputFaults
from builder.job import rules
from builder.job.floor import Point
from builder.job.looks import Look, run, size
from builder.job.reading import Reading
from builder.job.works import At, Pit, Standpipe

SPARE = 0.15  # m a tube is cut longer than it will stand, to be trimmed at the paving


def foot_stands(reading: Reading, foot: float, pit: Pit | None, thickness: float) -> None:
    """The tube's foot stands in gravel: in the bedding, or in its pit."""
    at = ("standpipe", "foot_below_underside")
    bottom = thickness + (pit.depth if pit else 0.0)
    if foot > bottom + 1e-9:
        what = "the pit" if pit else "the bedding"
        wrong = (
            f"a foot {size(foot)} below the underside stands in the ground, "
            f"{size(foot - bottom)} under {what}"
        )
        most = size(bottom - (rules.FOOT_ABOVE_PIT if pit else 0.0))
        instead = (
            f"Write at most {most}, or a deeper pit"
            if pit
            else f"Write at most {most}, or give the tube a pit"
        )
        reading.fault_at(at, wrong, instead)


def tube_length(
    reading: Reading, floor: tuple[Point, ...], thickness: float, rim: float, paving: float, tube: Standpipe
) -> None:
    """The tube can be cut from a sold length, and its slots lie below ground."""
    foot = max(z for _, z in floor) + thickness + tube.foot_below_underside
    length = foot + paving - tube.below_lid
    cut = math.ceil(round((length + SPARE) * 1000, 3) / 10) * 0.01
    try:
        pipe = reading.catalogue.pipes[tube.pipe]
    except InputFaults:
        return  # told where the pipe is read
    if cut > max(pipe.sold_lengths) + 1e-9:
        wrong = (
            f"the tube is cut {size(cut)} long, "
            f"but {tube.pipe} is sold in at most {size(max(pipe.sold_lengths))}"
        )
        reading.fault_at(
            ("standpipe", "pipe"), wrong, "Name a pipe sold in longer lengths, or a shallower pit"
        )
    if 0.0 < foot - rim < tube.slotted - 1e-9:
        wrong = f"{size(tube.slotted)} of slots are more than the {size(foot - rim)} of tube below ground"
        reading.fault_at(
            ("standpipe", "slotted"),
            wrong,
            "Write the length of the slotted part from the foot up, such as 600 mm",
        )


def slots(reading: Reading, tube: Standpipe) -> None:
    """Slots and rows leave tube between them."""
    try:
        girth = math.pi * reading.catalogue.pipes[tube.pipe].outside
    except InputFaults:
        return  # told where the pipe is read
    if tube.rows * tube.slot_length >= girth - 1e-9:
        wrong = (
            f"{tube.rows} rows of slots {size(tube.slot_length)} long go right "
            f"around a tube of {size(girth)} girth"
        )
        reading.fault_at(
            ("standpipe", "rows"), wrong, "Write fewer rows or shorter slots, together under 0.4 of the girth"
        )
    if tube.slot_width >= tube.pitch:
        wrong = f"slots {size(tube.slot_width)} wide every {size(tube.pitch)} run into each other"
        reading.fault_at(("standpipe", "pitch"), wrong, "Write the distance from slot to slot, such as 25 mm")
    if tube.pitch > tube.slotted:
        wrong = f"slots every {size(tube.pitch)} find no room on {size(tube.slotted)} of tube"
        reading.fault_at(("standpipe", "pitch"), wrong, "Write the distance from slot to slot, such as 25 mm")


def lid_fits(reading: Reading, tube: Standpipe) -> None:
    """The lid closes over the tube: wider than the tube, and thinner than the room over its top."""
    lid = tube.lid
    if lid.thickness >= tube.below_lid and tube.below_lid > 0:
        wrong = (
            f"a lid {size(lid.thickness)} thick meets a tube that ends {size(tube.below_lid)} under its top"
        )
        reading.fault_at(
            ("standpipe", "lid", "thickness"),
            wrong,
            "Write a thinner lid, or a larger standpipe.below_lid",
        )
    try:
        outside = reading.catalogue.pipes[tube.pipe].outside
    except InputFaults:
        return  # told where the pipe is read
    if lid.width <= outside:
        wrong = f"a lid {size(lid.width)} wide does not pass a tube of {size(outside)}"
        reading.fault_at(
            ("standpipe", "lid", "width"), wrong, "Write a lid wider than the tube, such as 250 mm"
        )


def tube_fits(
    reading: Reading,
    outline: plan.Outline,
    wall: float,
    skimmer: Point | None,
    gap: float,
    pipe: str,
    beside: Literal["deep end", "skimmer"] | At,
    pit: Pit | None,
) -> None:
    """The tube stands in the working gap, beside the shell, and its pit takes it."""
    try:
        outside = reading.catalogue.pipes[pipe].outside
    except InputFaults:
        return  # told where the pipe is read
    if outside > gap:
        wrong = f"a tube {size(outside)} wide does not fit a working gap of {size(gap)}"
        reading.fault_at(("standpipe", "pipe"), wrong, "Name a smaller pipe, or widen backfill.working_gap")
    if pit and pit.width < outside:
        wrong = f"a pit {size(pit.width)} wide does not take a tube of {size(outside)}"
        reading.fault_at(
            ("standpipe", "pit", "width"), wrong, "Write at least three times the tube, such as 400 mm"
        )
    if beside == "skimmer" and skimmer is None:
        reading.fault_at(
            ("standpipe", "beside"), "this shell has no skimmer", "Write deep end, or {at: [6.1 m, -0.15 m]}"
        )
    if not isinstance(beside, At):
        return
    at = ("standpipe", "beside", "at")
    away = plan.clearance(outline.polygon, beside.x, beside.y)
    nearest, farthest = wall + outside / 2, wall + gap - outside / 2
    if outline.polygon.covers(shapely.Point(beside.x, beside.y)):
        reading.fault_at(
            at,
            "the tube would stand in the pool",
            "Write a place in the gap beside it, such as [6.1 m, -0.15 m]",
        )
    elif away < nearest - 1e-3:
        wrong = (
            f"a tube {size(outside)} wide cannot stand {size(away)} from the "
            "outline without cutting the shell"
        )
        reading.fault_at(at, wrong, f"Move it to {size(nearest)} or more from the outline")
    elif away > farthest + 1e-3 and farthest >= nearest:
        wrong = (
            f"the tube would stand {size(away)} from the outline, "
            f"in the bank and not in the gap of {size(gap)}"
        )
        reading.fault_at(
            at, wrong, f"Move it to {size(farthest)} or less from the outline, or widen backfill.working_gap"
        )


def look(reading: Reading) -> None:
    """Report every fault of the standpipe that could be read."""
    run(_LOOKS, reading)


_LOOKS: tuple[Look, ...] = (
    (foot_stands, ("standpipe.foot_below_underside", "standpipe.pit", "bedding.thickness")),
    (
        tube_length,
        (
            "shell.floor",
            "shell.floor_thickness",
            "levels.rim_above_ground",
            "levels.paving_above_rim",
            "standpipe",
        ),
    ),
    (slots, ("standpipe",)),
    (lid_fits, ("standpipe",)),
    (
        tube_fits,
        (
            "shell.outline",
            "shell.wall",
            "shell.skimmer",
            "backfill.working_gap",
            "standpipe.pipe",
            "standpipe.beside",
            "standpipe.pit",
        ),
    ),
)
