"""Choosing one way to set each label so that none crosses another and all stay near the drawing.

A text can be set, nearest the drawing first, as soon as no leader that has still to pass runs through
its place. Setting one takes its leader out of the others' way and never brings a new one in, so where
any order without a crossing exists, setting whatever can be set finds one.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass

Point = tuple[float, float]

ROOM = 6.0  # points between two texts side by side
CLEAR = 2.5  # points between a text and a leader that passes it


@dataclass(frozen=True, eq=False)
class Way:
    """One way to set an item: what it blocks (low to high), its text's x0 to x1, its leaders.

    height: what the text takes away from the drawing; odd: above 0 where the text stands across its
    leader or in shorter lines, which is kept for need.
    """

    low: float
    high: float
    x0: float
    x1: float
    leaders: tuple[Point, ...]
    side: str
    height: float
    odd: int
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class _Option:
    """A way with what it meets: the item, its own leaders' bits, and those of leaders in its place."""

    item: int
    way: Way
    own: int
    passing: int


Cost = tuple[int, float, int, float]
Rank = Callable[[_Option, float], tuple[float, ...]]

# What is set next, of all that can be: three thoughts, of which the best result is kept.
RANKS: tuple[Rank, ...] = (
    lambda one, start: (start + one.way.height, one.way.odd, one.way.high - one.way.low),
    lambda one, start: (one.way.odd, start + one.way.height, one.way.high - one.way.low),
    lambda one, start: (start, one.way.odd, one.way.low - one.way.high),
)


def arranged(ways: Sequence[Sequence[Way]]) -> tuple[int, list[tuple[Way, float]]]:
    """Return how many crossings are left, and for each item its way and how far off its text starts.

    Distances are in points from the drawing's edge.
    """
    if not ways:
        return 0, []
    options = _options(ways)
    best = min((_Stack(options, rank) for rank in RANKS), key=lambda one: one.cost)
    return best.cost[0], [best.set[item] for item in range(len(ways))]


def _options(ways: Sequence[Sequence[Way]]) -> list[list[_Option]]:
    """Every way of every item; each place a leader may run has a bit, in the order of x."""
    places = sorted({(x, item) for item, each in enumerate(ways) for way in each for x, _ in way.leaders})
    bits = {place: 1 << at for at, place in enumerate(places)}
    xs = [x for x, _ in places]
    of_item = [sum(bit for (_, owner), bit in bits.items() if owner == item) for item in range(len(ways))]
    found = []
    for item, each in enumerate(ways):
        options = []
        for way in each:
            low, high = bisect_right(xs, way.low - CLEAR), bisect_left(xs, way.high + CLEAR)
            within = (1 << high) - (1 << low) if high > low else 0
            own = sum(bits[x, item] for x, _ in dict.fromkeys(way.leaders))
            options.append(_Option(item, way, own, within & ~of_item[item]))
        found.append(options)
    return found


class _Stack:
    """Items set one after another, the nearest first, by one thought on which is next."""

    def __init__(self, options: Sequence[Sequence[_Option]], rank: Rank) -> None:
        self.set: dict[int, tuple[Way, float]] = {}
        self.placed: list[tuple[_Option, float]] = []
        self.taken = 0  # the places of leaders that what is set stands in
        waiting = {each[0].item: each[0].own for each in options}  # the leader each has at its first place
        crossings = 0
        while waiting:
            free = self._free(options, waiting) or self._moved(options, waiting)
            if not free:
                free = self._least_crossed(options, waiting)
                crossings += 1
            starts = [(one, self._start(one)) for one in free]
            one, start = min(starts, key=lambda each: (*rank(*each), each[0].item))
            self.placed.append((one, start))
            self.taken |= one.passing
            self.set[one.item] = one.way, start
            del waiting[one.item]
        ways = self.set.values()
        self.cost: Cost = (
            crossings,
            max(start + way.height for way, start in ways),
            sum(way.odd for way, _ in ways),
            sum(start * len(way.leaders) for way, start in ways),
        )

    def _free(self, options: Sequence[Sequence[_Option]], waiting: dict[int, int]) -> list[_Option]:
        """The ways that no leader still waiting passes through, and that pass through nothing set."""
        passing = 0
        for own in waiting.values():
            passing |= own
        return [
            one
            for item in waiting
            for one in options[item]
            if not one.passing & passing and not one.own & self.taken
        ]

    def _moved(self, options: Sequence[Sequence[_Option]], waiting: dict[int, int]) -> list[_Option]:
        """The same once one leader runs in another of its places."""
        for item in waiting:
            kept = waiting[item]
            for own in dict.fromkeys(one.own for one in options[item]):
                waiting[item] = own
                free = self._free(options, waiting) if own != kept and not own & self.taken else []
                if free:
                    return free
            waiting[item] = kept
        return []

    def _least_crossed(self, options: Sequence[Sequence[_Option]], waiting: dict[int, int]) -> list[_Option]:
        passing = 0
        for own in waiting.values():
            passing |= own
        every = [
            ((one.passing & passing).bit_count() + (one.own & self.taken).bit_count(), one)
            for item in waiting
            for one in options[item]
        ]
        least = min(crossed for crossed, _ in every)
        return [one for crossed, one in every if crossed == least]

    def _start(self, one: _Option) -> float:
        """The least distance beyond the texts whose leaders run in its place, and clear of the others."""
        way = one.way
        start = 0.0
        met = []
        for other, begun in self.placed:
            end = begun + other.way.height
            if one.passing & other.own:
                start = max(start, end)
            elif other.way.low < way.high + ROOM and way.low < other.way.high + ROOM:
                met.append((begun, end))
        for begun, end in sorted(met):
            if start < end - 1e-9 and begun < start + way.height - 1e-9:
                start = end
        return start
