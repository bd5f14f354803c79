"""The whole result of a job: every number by key, with its verdicts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from builder.checks import (
    care,
    digging,
    fill,
    filters,
    groundwater,
    pool_level,
    pumping,
    quantities,
    rain,
    readings,
    shell,
    site,
    stages,
    standpipe,
    uplift,
    valve,
    walls,
)
from builder.checks.groundwater import Groundwater
from builder.checks.sheet import Sheet
from builder.job import Accepted, Job
from builder.levels import Levels
from builder.quantity import Number, Verdict


@dataclass(frozen=True)
class Results(Mapping[str, Number]):
    """Numbers by key, in the order of DESIGN section 6."""

    numbers: Mapping[str, Number]
    levels: Levels
    groundwater: Groundwater

    @property
    def job(self) -> Job:
        """The job."""
        return self.levels.job

    def __getitem__(self, key: str) -> Number:
        """Return the number under `key`."""
        return self.numbers[key]

    def __iter__(self) -> Iterator[str]:
        """Iterate over the keys."""
        return iter(self.numbers)

    def __len__(self) -> int:
        """Return how many numbers there are."""
        return len(self.numbers)

    def with_verdict(self, verdict: Verdict) -> list[Number]:
        """Return the numbers of one verdict, in order."""
        return [number for number in self.numbers.values() if number.verdict == verdict]

    @property
    def stops(self) -> list[Number]:
        """What stops the job."""
        return self.with_verdict("stop")

    @property
    def unknowns(self) -> list[Number]:
        """What cannot be told."""
        return self.with_verdict("cannot tell")

    @property
    def watches(self) -> list[Number]:
        """What must be watched."""
        return self.with_verdict("watch")

    def accepted(self, key: str) -> Accepted | None:
        """Return who answers for the stop under `key` and why; None where nobody does."""
        return next((entry for entry in self.job.spec.accepted if entry.check == key), None)

    @property
    def open_stops(self) -> list[Number]:
        """What stops the job and nobody answers for."""
        return [number for number in self.stops if self.accepted(number.key) is None]

    def as_json(self) -> dict[str, object]:
        """Return the JSON shape of DESIGN section 6."""
        return {key: number.as_json() for key, number in self.numbers.items()}


def work(levels: Levels) -> Results:
    """Return every number of the job whose levels are given."""
    sheet = Sheet()
    shell.work(sheet, levels)
    known = groundwater.work(sheet, levels)
    standpipe.work(sheet, levels)
    readings.work(sheet, levels, known)
    float_level = uplift.work(sheet, levels, known)
    pool_level.work(sheet, levels, known)
    valve.work(sheet, levels, known, float_level)
    filters.work(sheet, levels)
    digging.work(sheet, levels)
    pumping.work(sheet, levels, known)
    rain.work(sheet, levels, known)
    schedule = fill.find(levels, known)
    walls.work(sheet, levels, schedule)
    stages.work(sheet, levels, known, schedule)
    quantities.work(sheet, levels, known)
    site.work(sheet, levels)
    care.work(sheet, levels, known)
    order = (
        *("shell", "level", "ground", "standpipe", "proof", "valve", "filter", "uplift", "wall", "fill"),
        *("dig", "bedding", "backfill", "beam", "lift", "order", "drawdown", "pump", "gap", "rain", "care"),
    )
    keys = sorted(sheet.numbers, key=lambda key: order.index(key.split(".", 1)[0]))
    return Results({key: sheet.numbers[key] for key in keys}, levels, known)
