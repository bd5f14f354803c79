"""Where labels and dimensions go: in rows outside the drawing, apart, in the frame, uncrossed.

Each label hangs on a leader that runs upright from the thing it names to its text; each dimension
hangs on two. A text must not stand where another leader passes on its way to a farther text, so
every pair of ways to set two items says which of them must be nearer. `arrange` finds the set of
ways with no crossing and the least height.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from builder.figures.arrange import Way, arranged
from builder.figures.canvas import Point
from builder.figures.lettering import width
from builder.figures.style import TEXT, WIDTH

LEAD = 10.8  # points from line to line within a label
PAD = 3.2  # points between labels one under another
APART = 6.0  # points between two leaders
SHELF = 4.0  # points from a leader to its text
OVER = 8.0  # points of a text set across its leader that stand beyond it on the short side
HEADS = 13.0  # points of a dimension line that its two heads and their room take
MANY = 8  # how many of a label's places are tried where it is crowded


@dataclass(frozen=True)
class Note:
    """A label of one or more lines and the places its leader may point to, best first."""

    lines: tuple[str, ...]
    spots: tuple[Point, ...]
    dot: bool = True


@dataclass(frozen=True)
class Span:
    """A horizontal dimension between two points; its text in one line."""

    text: str
    start: Point
    end: Point


@dataclass(frozen=True)
class Placed:
    """An item with its place: how far off the drawing its text starts, and from x0 to x1.

    side: where the text is from the leader: "right", "left", or "over" (the leader ends at the text;
    a dimension's text stands in its line); "under" for a dimension's text in a line of its own.
    """

    item: Note | Span
    start: float
    height: float
    x0: float
    x1: float
    leaders: tuple[Point, ...]
    side: str


def place(items: Sequence[Note | Span], left: float, right: float, size: float = TEXT) -> tuple[Placed, ...]:
    """Return the items with their distances from the drawing, from x `left` to `right`.

    Where labels cannot all hang uncrossed, the arrangement with the fewest crossings is kept; texts
    never overlap.
    """
    for few in (True, False):  # a crowded figure looks at every place a leader may point to
        ways = [
            tuple(way for leaders in each for way in _ways(item, leaders, left, right, size))
            for item, each in zip(items, _leaders(items, few=few), strict=True)
        ]
        crossings, found = arranged(ways)
        if not crossings:
            break
    return tuple(
        Placed(item, start, way.height, way.x0, way.x1, way.leaders, way.side)
        for item, (way, start) in zip(items, found, strict=True)
    )


def along(start: Point, end: Point, count: int = 9) -> tuple[Point, ...]:
    """Return places along a line, from its middle outwards, for a leader to choose from."""
    shares = sorted(
        (at / (count + 1) for at in range(1, count + 1)), key=lambda share: (abs(share - 0.5), share)
    )
    return tuple((start[0] + (end[0] - start[0]) * s, start[1] + (end[1] - start[1]) * s) for s in shares)


def _leaders(items: Sequence[Note | Span], *, few: bool) -> list[list[tuple[Point, ...]]]:
    """The leaders each item may hang on; no leader of one stands nearer than APART to another's.

    Dimensions have theirs; then the labels with the least choice take their places.
    """
    taken = [x for item in items if isinstance(item, Span) for x in (item.start[0], item.end[0])]
    found: dict[int, list[tuple[Point, ...]]] = {}
    for at in sorted(range(len(items)), key=lambda one: (_freedom(items[one]), one)):
        item = items[at]
        if isinstance(item, Span):
            found[at] = [(item.start, item.end)]
            continue
        free = [spot for spot in item.spots if _near(spot[0], taken) >= APART]
        free = _few(free) if few else free[:MANY]
        if not free:
            spot = max(item.spots, key=lambda one: (_near(one[0], taken), -item.spots.index(one)))
            aside = APART / 2 if spot[0] < WIDTH / 2 else -APART / 2
            while _near(spot[0], taken) < APART / 2:  # every place is taken: step aside, inwards
                spot = spot[0] + aside, spot[1]
            free = [spot]
        taken += [x for x, _ in free]
        found[at] = [(spot,) for spot in free]
    return [found[at] for at in range(len(items))]


def _few(spots: list[Point]) -> list[Point]:
    """The best place, and the outermost ones where there are more."""
    kept = [*spots[:1], *sorted(spots[1:])[:1], *sorted(spots[1:])[-1:]]
    return list(dict.fromkeys(kept))


def _freedom(item: Note | Span) -> int:
    return len(item.spots) if isinstance(item, Note) else 0


def _near(x: float, taken: Iterable[float]) -> float:
    return min((abs(x - other) for other in taken), default=float("inf"))


def _ways(item: Note | Span, leaders: tuple[Point, ...], left: float, right: float, size: float) -> list[Way]:
    """Every way to set an item within the frame, the plainest first."""
    if isinstance(item, Span):
        return _span_ways(item, left, right, size)
    x = leaders[0][0]
    wide = max(width(line, size) for line in item.lines)
    high = len(item.lines) * LEAD + PAD
    found = []
    if x + SHELF + wide <= right:
        found.append(Way(x, x + SHELF + wide, x + SHELF, x + SHELF + wide, leaders, "right", high, 0))
    if x - SHELF - wide >= left:
        found.append(Way(x - SHELF - wide, x, x - SHELF - wide, x - SHELF, leaders, "left", high, 0))
    for wish in (x - wide / 2, x - wide + OVER, x - OVER):
        x0 = max(left, min(wish, right - wide))
        found.append(Way(min(x0, x), max(x0 + wide, x), x0, x0 + wide, leaders, "over", high, 1))
    return found


def _span_ways(item: Span, left: float, right: float, size: float) -> list[Way]:
    start, end = item.start[0], item.end[0]
    wide, high = width(item.text, size), LEAD + PAD
    leaders = (item.start, item.end)
    middle = (start + end) / 2
    if wide + 2 * HEADS <= end - start:
        return [Way(start, end, middle - wide / 2, middle + wide / 2, leaders, "over", high, 0)]
    found = []
    if end + HEADS + wide <= right:
        found.append(
            Way(start - HEADS, end + HEADS + wide, end + HEADS, end + HEADS + wide, leaders, "right", high, 0)
        )
    if start - HEADS - wide >= left:
        found.append(
            Way(
                start - HEADS - wide,
                end + HEADS,
                start - HEADS - wide,
                start - HEADS,
                leaders,
                "left",
                high,
                0,
            )
        )
    x0 = max(left, min(middle - wide / 2, right - wide))
    low, top = min(start - HEADS, x0), max(end + HEADS, x0 + wide)
    return [*found, Way(low, top, x0, x0 + wide, leaders, "under", high + LEAD, 1)]
