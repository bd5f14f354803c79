"""Where everything is: every level of a job below the rim, with the solids and the tube.

The datum is the top of the rim, inside edge: 0, depths positive downwards, in metres. What was
measured on site takes over from the plan (built.py).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from shapely.geometry import LineString, Point
from shapely.ops import nearest_points

from builder.catalogue.practice import practices
from builder.errors import InputFaults
from builder.job import At, Job, Seen
from builder.levels.built import Built, built
from builder.levels.dig import Dig
from builder.levels.profile import STEP
from builder.levels.solid import Solid
from builder.plan import Outline, chords, clearance

SLICES = 32  # of the trench of a beam wider than a dig whose sides lean
AT_AN_END = 0.05  # metres: a deepest run this near an end wall counts as reaching it


@dataclass(frozen=True)
class Tube:
    """The standpipe in plan: centre, outside diameter and bore, and the underside beside it."""

    x: float
    y: float
    outside: float
    bore: float
    underside: float


@dataclass(frozen=True)
class Beam:
    """The ring beam: a ring round the outside outline at the rim, its top at the rim.

    outer   the outline it reaches to
    """

    outer: Outline
    area: float
    depth: float

    @property
    def volume(self) -> float:
        """Volume in m3."""
        return self.area * self.depth

    def volume_below(self, z: float) -> float:
        """Return the volume in m3 below depth z."""
        return self.area * min(max(self.depth - z, 0.0), self.depth)


@dataclass(frozen=True)
class Levels:
    """Every level of one job, metres below the rim, and the solids they belong to."""

    job: Job
    solid: Solid
    dig: Dig
    valve: tuple[float, float]
    tube: Tube
    beam: Beam
    ground: float
    paving: float
    water: float
    overflow: float
    peg: float
    tube_foot: float
    tube_top: float
    built: Built
    groundwater: float | None  # where water was seen: by the latest dip, else as the spec says
    not_seen_to: float | None  # how deep a dry hole went
    pit_base: float | None
    sump_base: float | None

    @property
    def floor_deep(self) -> float:
        """The deepest inside floor."""
        return self.solid.floor_deep

    @property
    def underside_deep(self) -> float:
        """The underside of the deepest floor."""
        return self.solid.underside_deep

    @property
    def bedding_base(self) -> float:
        """The bedding's base under the deepest floor."""
        return self.underside_deep + self.dig.bedding

    @property
    def seat(self) -> float:
        """The inside floor at the relief valve."""
        return self.solid.floor(self.valve[0])

    @property
    def beam_underside(self) -> float:
        """The underside of the ring beam."""
        return self.beam.depth

    @cached_property
    def beam_trench(self) -> float:
        """What of the ring beam lies below the ground and outside the dig, in m3: ground to dig for it."""
        if self.beam.depth <= self.ground:
            return 0.0
        ring = self.beam.outer.polygon
        if ring.within(self.dig.region(self.beam.depth)):  # the dig is narrowest at the beam's underside
            return 0.0
        edges = np.linspace(self.ground, self.beam.depth, SLICES + 1)
        middles = (edges[:-1] + edges[1:]) / 2
        outside = [ring.difference(plan).area for plan in self.dig.regions(middles)]
        return float(np.mean(outside)) * (self.beam.depth - self.ground)

    @cached_property
    def valve_to_backfill(self) -> float:
        """Plan distance from the valve to the nearest backfill, outside the shell at the floor there."""
        return self.solid.to_outside(*self.valve)

    @cached_property
    def tube_away(self) -> float:
        """Plan distance from the shell's outside at the rim to the middle of the tube."""
        return clearance(self.solid.outside.polygon, self.tube.x, self.tube.y)

    @cached_property
    def tube_in_beam(self) -> bool:
        """Whether the ring beam, as planned, is poured round the tube or against it.

        A tube nearer to the beam's face than its wrap is thick counts: wet concrete reaches it.
        """
        return self.tube_away - self.tube.outside / 2 < self.job.spec.ring_beam.width + self.tube_wrap

    @cached_property
    def tube_at_face(self) -> bool:
        """Whether the beam's outer face runs through the wrapped tube, or along it."""
        out = self.tube.outside / 2 + self.tube_wrap
        return abs(self.tube_away - self.job.spec.ring_beam.width) < out

    @property
    def tube_wrap(self) -> float:
        """Thickness of the foam round a tube in the ring beam; common practice."""
        return practices()["tube-wrap"].value

    @cached_property
    def tube_collar(self) -> float | None:
        """Depth of the tight collar round the tube under the paving; None where the beam is all round."""
        if self.tube_in_beam and not self.tube_at_face:
            return None
        return practices()["tube-collar"].value

    @property
    def paving_base(self) -> float:
        """Where the paving's own ground begins: at the rim, or at the ground where that lies lower."""
        return max(self.ground, 0.0) if self.ground > self.paving else 0.0

    @cached_property
    def valve_to_tube(self) -> float:
        """Plan distance from the valve to the tube."""
        return math.dist(self.valve, (self.tube.x, self.tube.y))


def place(job: Job, step: float = STEP) -> Levels:
    """Return the levels of `job`; `step` is the height of a volume's slice in metres.

    Paving, working level, the tube's top and foot and today's groundwater are those of `as_built`
    where they were measured.

    Raises InputFaults where the floor has no room for the relief valve.
    """
    spec = job.spec
    solid = Solid(spec.shell, step)
    valve = solid.valve
    if valve is None:
        wrong = "the deepest floor is too narrow for the relief valve's flange with 150 mm to the wall's foot"
        raise InputFaults(
            [job.fault(("shell", "relief", "flange"), wrong, "Check the floor stations and the flange")]
        )
    ground = spec.levels.rim_above_ground
    dig = Dig(
        solid,
        ground,
        spec.bedding.thickness,
        spec.backfill.working_gap,
        spec.excavation.overdug,
        spec.excavation.batter,
        step,
    )
    bedding_base = solid.underside_deep + spec.bedding.thickness
    water = spec.ground.groundwater
    found = built(spec, solid.underside_deep)
    seen = ground + water.depth if isinstance(water, Seen) else None
    return Levels(
        job=job,
        solid=solid,
        dig=dig,
        valve=valve,
        tube=_tube(job, solid, valve),
        beam=_beam(job, solid),
        ground=ground,
        paving=found.paving,
        water=found.water,
        overflow=spec.levels.overflow_below_rim,
        peg=-spec.levels.peg.above_rim,
        tube_foot=found.tube_foot,
        tube_top=found.tube_top,
        built=found,
        groundwater=seen if found.reading is None else found.reading.level,
        not_seen_to=None if isinstance(water, Seen) else ground + water.not_seen_to,
        pit_base=None if spec.standpipe.pit is None else bedding_base + spec.standpipe.pit.depth,
        sump_base=None if spec.sump is None else bedding_base + spec.sump.depth,
    )


def _beam(job: Job, solid: Solid) -> Beam:
    beam = job.spec.ring_beam
    outer = solid.outside.grown_round(beam.width)
    return Beam(outer, outer.polygon.area - solid.outside.polygon.area, beam.depth)


def _tube(job: Job, solid: Solid, valve: tuple[float, float]) -> Tube:
    x, y = _tube_place(job, solid, valve)
    underside = solid.floor(x) + solid.shell.floor_thickness
    return Tube(x, y, job.pipe.outside, job.pipe.bore, underside)


def _tube_place(job: Job, solid: Solid, valve: tuple[float, float]) -> tuple[float, float]:
    """Centre of the tube: in the middle of the working gap beside the named place.

    "deep end" is the end wall the deepest run reaches, else the long wall nearest to the valve.
    """
    beside = job.spec.standpipe.beside
    if isinstance(beside, At):
        return beside.x, beside.y
    outside = solid.outside.polygon
    half_gap = job.spec.backfill.working_gap / 2
    if beside == "skimmer" and solid.shell.skimmer is not None:
        wall = nearest_points(outside.exterior, Point(solid.shell.skimmer))[0]
        wall_point = (float(wall.x), float(wall.y))
    else:
        wall_point = _deep_end(solid, valve)
    # Straight out from the wall: towards the nearest point of the outline grown by half the gap.
    grown = solid.outside.grown_round(half_gap).polygon.exterior
    out = nearest_points(grown, Point(wall_point))[0]
    return float(out.x), float(out.y)


def _deep_end(solid: Solid, valve: tuple[float, float]) -> tuple[float, float]:
    left, right = solid.wall_feet
    run = solid.deep_run
    x, y = valve
    across = chords(solid.outside.polygon, y=y)
    ends = [(low, high) for low, high in across if low <= x <= high]
    low, high = ends[0] if ends else (solid.outside.bounds[0], solid.outside.bounds[2])
    reaches_right, reaches_left = run[1] > right - AT_AN_END, run[0] < left + AT_AN_END
    if reaches_right and (not reaches_left or high - x <= x - low):
        return high, y
    if reaches_left:
        return low, y
    nearest = nearest_points(LineString(solid.outside.polygon.exterior.coords), Point(x, y))[0]
    return float(nearest.x), float(nearest.y)
