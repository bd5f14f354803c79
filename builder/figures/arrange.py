"""Choosing one way to set each label so that none crosses another and all stay near the drawing.

The items are first parted at every place into those that run right and those that run left; the
best of these is then bettered by setting one item another way at a time, for a bounded number of
trials, so that a crowded figure costs no more than a plain one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

Point = tuple[float, float]

ROOM = 6.0  # points between two texts side by side
CLEAR = 2.5  # points between a text and a leader that passes it
TRIALS = 50  # arrangements looked at to better the first


@dataclass(frozen=True, eq=False)
class Way:
    """One way to set an item: what it blocks (low to high), its text's x0 to x1, its leaders.

    height: what the text takes away from the drawing; odd: 1 where the text stands across its
    leader, which is kept for need.
    """

    low: float
    high: float
    x0: float
    x1: float
    leaders: tuple[Point, ...]
    side: str
    height: float
    odd: int

    @property
    def middle(self) -> float:
        """Where it hangs, on the mean."""
        return sum(x for x, _ in self.leaders) / len(self.leaders)


Cost = tuple[int, float, int, float]


def arranged(ways: Sequence[Sequence[Way]]) -> tuple[int, list[tuple[Way, float]]]:
    """Return how many crossings are left, and for each item its way and how far off its text starts.

    Distances are in points from the drawing's edge.
    """
    if not ways:
        return 0, []
    order = sorted(range(len(ways)), key=lambda at: (ways[at][0].middle, at))
    rank = {at: place for place, at in enumerate(order)}
    starts = []
    for part in range(len(ways) + 1):
        sides = ["right" if rank[at] < part else "left" for at in range(len(ways))]
        starts.append(_Stack.of([_wanted(each, side) for each, side in zip(ways, sides, strict=True)]))
    starts.sort(key=lambda one: one.cost)
    best = _bettered(starts[0], ways)
    for start in starts[1:]:  # a crossing left: begin again elsewhere
        if not best.cost[0]:
            break
        best = min(best, _bettered(start, ways), key=lambda one: one.cost)
    return best.cost[0], list(zip(best.chosen, best.starts, strict=True))


def _bettered(best: _Stack, ways: Sequence[Sequence[Way]]) -> _Stack:
    """Set one item another way at a time, as long as that helps and trials are left."""
    trials, since = TRIALS, 0
    at = 0
    while since < len(ways) and trials > 0:
        since += 1
        for way in ways[at]:
            if way is best.chosen[at]:
                continue
            trials -= 1
            tried = best.with_way(at, way)
            if tried.cost < best.cost:
                best, since = tried, 0
        at = (at + 1) % len(ways)
    return best


def _wanted(ways: Sequence[Way], side: str) -> Way:
    return next((one for one in ways if one.side == side), ways[0])


def _pair(text: Way, other: Way) -> tuple[bool, bool]:
    """Whether the other's leaders pass through the text's place, and whether the two could meet."""
    low, high = text.low - CLEAR, text.high + CLEAR
    passes = any(low < x < high for x, _ in other.leaders)
    return passes, not (text.high + ROOM <= other.low or other.high + ROOM <= text.low)


class _Stack:
    """One way for every item, stacked off the drawing.

    passed[i] and meets[i] are sets of items as bits: those whose leaders pass i's text, so that they
    must be nearer, and those that i's text could meet.
    """

    def __init__(self, chosen: list[Way], passed: list[int], meets: list[int]) -> None:
        self.chosen, self.passed, self.meets = chosen, passed, meets
        self.starts = self._stacked()
        starts = self.starts
        crossings = 0
        for one, others in enumerate(passed):
            here = starts[one]
            while others:
                bit = others & -others
                others ^= bit
                crossings += starts[bit.bit_length() - 1] >= here
        height = max(start + way.height for start, way in zip(starts, chosen, strict=True))
        reach = sum(start * len(way.leaders) for start, way in zip(starts, chosen, strict=True))
        self.cost: Cost = (crossings, height, sum(way.odd for way in chosen), reach)

    @classmethod
    def of(cls, chosen: list[Way]) -> _Stack:
        """Stack the ways given."""
        passed, meets = [0] * len(chosen), [0] * len(chosen)
        for one, text in enumerate(chosen):
            for other, way in enumerate(chosen):
                if one != other:
                    passes, meet = _pair(text, way)
                    passed[one] |= passes << other
                    meets[one] |= meet << other
        return cls(chosen, passed, meets)

    def with_way(self, at: int, way: Way) -> _Stack:
        """Stack them again with one item set another way."""
        chosen, passed, meets = self.chosen.copy(), self.passed.copy(), self.meets.copy()
        chosen[at] = way
        bit = 1 << at
        passed[at] = meets[at] = 0
        for other, theirs in enumerate(chosen):
            if other != at:
                passes, meet = _pair(way, theirs)
                passed[at] |= passes << other
                meets[at] |= meet << other
                passed[other] = passed[other] & ~bit | _pair(theirs, way)[0] << at
                meets[other] = meets[other] & ~bit | meet << at
        return _Stack(chosen, passed, meets)

    def _stacked(self) -> list[float]:
        """Where each text starts: who must be nearer first, then who is narrower."""
        chosen, passed = self.chosen, self.passed
        starts = [0.0] * len(chosen)
        done = 0
        waiting = list(range(len(chosen)))
        while waiting:
            at = min(
                waiting,
                key=lambda one: ((passed[one] & ~done).bit_count(), chosen[one].high - chosen[one].low),
            )
            waiting.remove(at)
            starts[at] = self._start(at, starts, done)
            done |= 1 << at
        return starts

    def _start(self, at: int, starts: list[float], done: int) -> float:
        """The least distance clear of what is already set and must be nearer or stands in the way."""
        chosen = self.chosen
        start = 0.0
        others = self.passed[at] & done
        while others:
            bit = others & -others
            others ^= bit
            one = bit.bit_length() - 1
            start = max(start, starts[one] + chosen[one].height)
        height = chosen[at].height
        met = []
        others = self.meets[at] & done
        while others:
            bit = others & -others
            others ^= bit
            one = bit.bit_length() - 1
            met.append((starts[one], starts[one] + chosen[one].height))
        for low, high in sorted(met):
            if start < high - 1e-9 and low < start + height - 1e-9:
                start = high
        return start
