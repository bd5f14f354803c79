"""How a scene reads levels and results: each on its safe side, in the region's units."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from builder.figures.lettering import bold
from builder.figures.wording import Words
from builder.levels import Levels
from builder.quantity import Number
from builder.units import SafeSide


class Numbers(Protocol):
    """The numbers of a job by key."""

    def __getitem__(self, key: str, /) -> Number:
        """Return one number."""


class Known(Protocol):
    """What is known of the groundwater."""

    @property
    def state(self) -> str:
        """One of seen, below, unknown."""

    @property
    def used(self) -> float:
        """The depth below the rim that the numbers are worked with."""

    @property
    def said(self) -> str:
        """The state in a sentence."""


@dataclass(frozen=True)
class Reader:
    """Levels and results of one job, in words."""

    levels: Levels
    results: Numbers
    groundwater: Known

    @property
    def words(self) -> Words:
        """The wording of the job's region."""
        return Words(feet=self.levels.job.region.units == "us")

    def side(self, key: str) -> SafeSide:
        """Return which way a number may be rounded."""
        return self.results[key].safe_side

    def si(self, key: str) -> float | None:
        """Return the SI value of a single number, None where there is none."""
        value = self.results[key].value
        return float(value) if isinstance(value, int | float) else None

    def length(self, key: str) -> str:
        """Return a length of the results on its safe side, without unit."""
        return self.words.length(self.results[key].si, self.side(key))

    def mm(self, key: str) -> str:
        """Return a length of the results on its safe side, with its unit."""
        return self.words.mm(self.results[key].si, self.side(key))

    def level(self, key: str) -> str:
        """Return a level for a label: `1,700 below rim`."""
        return self.words.level(self.results[key].si, side=self.side(key))

    def spoken(self, key: str) -> str:
        """Return a level for a sentence: `1,700 mm below the rim`."""
        return self.words.spoken_level(self.results[key].si, self.side(key))

    def water(self) -> tuple[tuple[str, ...], str]:
        """Return the groundwater's label in lines, and its sentence."""
        used = self.groundwater.used
        if self.groundwater.state == "seen":
            return (
                ("groundwater", bold(self.level("level.groundwater"))),
                f"Groundwater was seen {self.spoken('level.groundwater')}.",
            )
        if self.groundwater.state == "below":
            return (
                ("no groundwater seen to", bold(self.words.level(used, side="down"))),
                f"No groundwater was seen down to {self.words.spoken_level(used, 'down')}.",
            )
        return (
            ("groundwater not known:", bold("planned at ground level")),
            f"The groundwater is not known; this plan puts it at ground level, "
            f"{self.spoken('level.ground')}.",
        )
