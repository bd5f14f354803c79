"""What a vertical cut through a job shows, in model metres: the lines every part of a scene shares.

A scene makes one Cut and hands it to the parts. Everything comes from levels; nothing is measured
off a picture.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from builder.figures.canvas import Point, View
from builder.figures.lines import Line, cut
from builder.figures.style import MARGIN, OUTLINE, WIDTH
from builder.levels import Levels, Section

SIDE = 12.0  # points of ground shown beyond the dig's edge
DEEPER = 0.35  # of the dig's depth: groundwater further below it is named, not drawn
STRIP = 9.0  # points: how far the hatch of the ground reaches in from the cut


@dataclass(frozen=True)
class Cut:
    """A section of the job with the things beside the shell brought into its plane."""

    levels: Levels
    section: Section

    @property
    def tube_at(self) -> float:
        """Where the tube's centre stands along the cut."""
        return self.levels.tube.x if self.section.axis == "x" else self.levels.tube.y

    @property
    def valve_at(self) -> float:
        """Where the relief valve sits along the cut."""
        return self.levels.valve[0 if self.section.axis == "x" else 1]

    @property
    def beam(self) -> float:
        """The width of the ring beam."""
        return self.levels.job.spec.ring_beam.width

    @cached_property
    def rims(self) -> tuple[float, float]:
        """The shell's outside at the rim, left and right."""
        return self.section.outside[0][0], self.section.outside[-1][0]

    @cached_property
    def edges(self) -> tuple[float, float]:
        """The dig's edges at the ground, left and right."""
        return self.section.dig[0][0], self.section.dig[-1][0]

    @cached_property
    def base(self) -> tuple[Point, ...]:
        """The dig's base without its sides."""
        return tuple(self.section.dig[1:-1])

    @property
    def tube_hidden(self) -> bool:
        """Whether the tube stands behind the shell in this cut."""
        return self.rims[0] < self.tube_at < self.rims[1]

    @cached_property
    def pit(self) -> tuple[float, float, float, float] | None:
        """The gravel pit under the tube: x from, depth from, x to, depth to."""
        pit, base = self.levels.job.spec.standpipe.pit, self.levels.pit_base
        if pit is None or base is None:
            return None
        return self.tube_at - pit.width / 2, self._base_at(self.tube_at), self.tube_at + pit.width / 2, base

    @cached_property
    def sump(self) -> tuple[float, float, float, float] | None:
        """The sump under the valve, filled up to the floor: x from, depth from, x to, depth to."""
        sump, base = self.levels.job.spec.sump, self.levels.sump_base
        if sump is None or base is None:
            return None
        return (
            self.valve_at - sump.width / 2,
            self.levels.underside_deep,
            self.valve_at + sump.width / 2,
            base,
        )

    @cached_property
    def dug(self) -> float:
        """The lowest thing dug or set in this cut."""
        pits = [z for z in (self.levels.pit_base, self.levels.sump_base) if z is not None]
        return max([self.levels.tube_foot, *(z for _, z in self.base), *pits])

    def shows(self, level: float) -> bool:
        """Whether a water level is near enough to the dig to be drawn to scale."""
        return level <= self.dug * (1 + DEEPER)

    @cached_property
    def lowest(self) -> float:
        """The lowest thing drawn."""
        water = self.levels.groundwater
        return max(self.dug, water) if water is not None and self.shows(water) else self.dug

    @cached_property
    def window(self) -> tuple[float, float, float, float]:
        """What is shown: x from, depth from, x to, depth to."""
        high = min(self.levels.paving, self.levels.tube_top, self.levels.ground, 0.0)
        out = self.levels.tube.outside / 2
        left = min(self.edges[0], self.rims[0] - self.beam, self.tube_at - out)
        right = max(self.edges[1], self.rims[1] + self.beam, self.tube_at + out)
        side = SIDE * (right - left) / (WIDTH - 2 * MARGIN - 2 * SIDE)
        return left - side, high, right + side, self.lowest

    def view(self) -> View:
        """Return the view that fits the window to the sheet's width."""
        left, high, right, _ = self.window
        return View(scale=(WIDTH - 2 * MARGIN) / (right - left), x0=left, z0=high, left=MARGIN)

    def thicker(self, view: View) -> int:
        """Return the whole number by which the laminate is thickened to be seen."""
        true = self.levels.job.spec.shell.wall * view.scale
        factor = 1
        while true * factor < OUTLINE:
            factor += 1
        return factor

    def outside_shell(self, level: float) -> tuple[tuple[float, float], ...]:
        """Return the runs of x within the window at a level that lie outside the shell."""
        left, _, right, _ = self.window
        if level <= 0:
            return (left, self.rims[0]), (self.rims[1], right)
        passed = cut(self.section.outside, level)
        return ((left, passed[0]), (passed[-1], right)) if passed else ((left, right),)

    def _base_at(self, x: float) -> float:
        """The dig's base under x; at its nearer end where x lies beyond it."""
        line: Line = self.base
        if x <= line[0][0]:
            return line[0][1]
        for (x0, z0), (x1, z1) in pairwise(line):
            if x0 <= x <= x1:
                return z0 + (z1 - z0) * (x - x0) / (x1 - x0)
        return line[-1][1]
