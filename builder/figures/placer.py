"""Where labels and dimensions go: in rows outside the drawing, apart, in the frame, uncrossed.

Each label hangs on a leader that runs upright from the thing it names to its text; each dimension
hangs on two. A text must not stand where another leader passes on its way to a farther text; `arrange`
chooses among the ways to set each item.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from builder.figures.arrange import Way, arranged
from builder.figures.canvas import Point
from builder.figures.lettering import bold, spoken, width, wrapped
from builder.figures.style import TEXT, WIDTH

LEAD = 10.8  # points from line to line within a label
PAD = 3.2  # points between labels one under another
APART = 6.0  # points between two leaders
SHELF = 4.0  # points from a leader to its text
OVER = 8.0  # points of a text set across its leader that stand beyond it on the short side
HEADS = 13.0  # points of a dimension line that its two heads and their room take
MANY = 8  # how many of a label's places are tried where it is crowded
NARROW = 58.0  # points: the widest line of a label where nothing else helps, but for a longer word
# What is tried until no leader crosses a text: few places for a leader or many, labels in shorter lines
# too, dimensions turned into labels that point at what they measure.
TRIES = ((True, False, False), (False, False, False), (False, True, False), (False, True, True))
SHIFTS = (0.5, 1.0, 0.0, 0.75, 0.25)  # how a text set across its leader may stand to it


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
    """An item with its place: its lines, how far off the drawing its text starts, and from x0 to x1.

    leaders: one for a label, two for a dimension. side: where the text is from the leader: "right",
    "left", or "over" (the leader ends at the text; a dimension's text stands in its line); "under" for a
    dimension's text in a line of its own.
    """

    item: Note | Span
    lines: tuple[str, ...]
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
    best: tuple[int, list[tuple[Way, float]]] | None = None
    for few, narrow, plain in TRIES:
        hung = [_as_note(item) if plain else item for item in items]
        ways = [
            tuple(
                way
                for leaders in each
                for way in _ways(item, leaders, left, right, size, few=few, narrow=narrow)
            )
            for item, each in zip(hung, _leaders(hung, few=few), strict=True)
        ]
        crossings, found = arranged(ways)
        if best is None or crossings < best[0]:
            best = crossings, found
        if not crossings:
            break
    if best is None:
        return ()
    return tuple(
        Placed(item, way.lines, start, way.height, way.x0, way.x1, way.leaders, way.side)
        for item, (way, start) in zip(items, best[1], strict=True)
    )


def _as_note(item: Note | Span) -> Note:
    """A dimension as a label: at its middle where that is narrow, else at either end."""
    if isinstance(item, Note):
        return item
    (x0, y0), (x1, y1) = item.start, item.end
    if x1 - x0 < 2 * HEADS:
        return Note((item.text,), (((x0 + x1) / 2, (y0 + y1) / 2), item.end, item.start))
    return Note((item.text,), (item.end, item.start))


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
    taken = [place for item in items if isinstance(item, Span) for place in _kept_clear(item)]
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


def _kept_clear(span: Span) -> tuple[float, ...]:
    """Where no leader may run beside a dimension: at its ends, and at the heads that stand outside it."""
    start, end = span.start[0], span.end[0]
    if width(span.text, TEXT) + 2 * HEADS <= end - start:
        return start, end
    return start - HEADS + APART / 2, start, end, end + HEADS - APART / 2


def _few(spots: list[Point]) -> list[Point]:
    """The best place, and the outermost ones where there are more."""
    kept = [*spots[:1], *sorted(spots[1:])[:1], *sorted(spots[1:])[-1:]]
    return list(dict.fromkeys(kept))


def _freedom(item: Note | Span) -> int:
    return len(item.spots) if isinstance(item, Note) else 0


def _near(x: float, taken: Iterable[float]) -> float:
    return min((abs(x - other) for other in taken), default=float("inf"))


def _ways(
    item: Note | Span,
    leaders: tuple[Point, ...],
    left: float,
    right: float,
    size: float,
    *,
    few: bool,
    narrow: bool,
) -> list[Way]:
    """Every way to set an item within the frame, the plainest first; `narrow`: in shorter lines too."""
    if isinstance(item, Span):
        return _span_ways(item, width(item.text, size), left, right)
    found = _note_ways(item.lines, leaders, left, right, size, odd=0, few=few)
    if narrow:
        words = [word for line in item.lines for word in spoken(line).split(" ")]
        room = max(NARROW, *(width(bold(word), size) for word in words))  # no word is cut
        lines = tuple(part for line in item.lines for part in wrapped(line, room, size))
        if lines != item.lines:
            found += _note_ways(lines, leaders, left, right, size, odd=2, few=few)
    return found


def _note_ways(
    lines: tuple[str, ...],
    leaders: tuple[Point, ...],
    left: float,
    right: float,
    size: float,
    *,
    odd: int,
    few: bool,
) -> list[Way]:
    x = leaders[0][0]
    wide = max(width(line, size) for line in lines)
    high = len(lines) * LEAD + PAD
    found = []
    if (end := x + SHELF + wide) <= right:
        found.append(Way(x, end, x + SHELF, end, leaders, "right", high, odd, lines))
    if (start := x - SHELF - wide) >= left:
        found.append(Way(start, x, start, x - SHELF, leaders, "left", high, odd, lines))
    for shift in SHIFTS[: 3 if few else None]:
        wish = x - OVER - (wide - 2 * OVER) * shift
        x0 = max(left, min(wish, right - wide))
        low, top = min(x0, x), max(x0 + wide, x)
        found.append(Way(low, top, x0, x0 + wide, leaders, "over", high, odd + 1, lines))
    return found


def _span_ways(item: Span, wide: float, left: float, right: float) -> list[Way]:
    start, end = item.start[0], item.end[0]
    lines, leaders, high = (item.text,), (item.start, item.end), LEAD + PAD
    middle = (start + end) / 2
    if wide + 2 * HEADS <= end - start:
        return [Way(start, end, middle - wide / 2, middle + wide / 2, leaders, "over", high, 0, lines)]
    found = []
    low, top = start - HEADS, end + HEADS
    if top + wide <= right:
        found.append(Way(low, top + wide, top, top + wide, leaders, "right", high, 0, lines))
    if low - wide >= left:
        found.append(Way(low - wide, top, low - wide, low, leaders, "left", high, 0, lines))
    for shift in SHIFTS[:3]:
        x0 = max(left, min(middle - wide / 2 + (shift - 0.5) * wide, right - wide))
        ends = min(low, x0), max(top, x0 + wide)
        found.append(Way(*ends, x0, x0 + wide, leaders, "under", high + LEAD, 1, lines))
    return found
