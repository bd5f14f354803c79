"""What changed of a job: from issue to issue, and from what was sent to what today's numbers would be."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from builder.desk.sent import Shown
from builder.pages import Earlier
from builder.pages.changed import Changed, MovedRow, changed
from builder.quantity import Number


@dataclass(frozen=True)
class Step:
    """One step: from what to what, in words, and the numbers that moved, the stop lines first."""

    title: str
    said: tuple[str, ...]  # what the issue itself says of it
    stop_lines: tuple[MovedRow, ...]
    others: tuple[MovedRow, ...]

    @property
    def moved(self) -> int:
        """How many numbers a reader would see moved."""
        return len(self.stop_lines) + len(self.others)


def between(issues: Sequence[Shown]) -> tuple[Step, ...]:
    """Return the steps from issue to issue, newest first."""
    pairs = list(pairwise(issues))
    return tuple(
        _step(f"From issue {old.issue} to issue {new.issue}", old, new, new.numbers, new.changed)
        for old, new in reversed(pairs)
    )


def to_today(sent: Shown, now: Mapping[str, Number]) -> Step:
    """Return what would be other today than in the issue that was sent."""
    return _step(f"From issue {sent.issue} to today", sent, sent, now, ())


def _step(title: str, old: Shown, new: Shown, numbers: Mapping[str, Number], said: tuple[str, ...]) -> Step:
    before = {key: number.as_json() for key, number in old.numbers.items()}
    found = changed(Earlier(old.issue, before), numbers, new.words)
    if found is None:
        found = Changed(old.issue, (), ())
    return Step(title, said, found.stop_lines, found.others)
