"""Site plan: what stands round the dig, and how far it stays back: fence, heap of spoil, crane, hose.

The job does not know the block, so the sides are an example; the distances are not.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from builder.figures.canvas import Layer, Line, Point, Sheet, View, rectangle
from builder.figures.column import Tag, column
from builder.figures.lettering import bold
from builder.figures.marks import arrow, level_arrow, round_mark, upright_arrow
from builder.figures.reader import Reader
from builder.figures.scene import Scene
from builder.figures.style import EDGE, MARGIN, OUTLINE, THIN
from builder.plan import chords, pieces

WIDE, TALL = 156.0, 262.0  # points: as large as the drawing may be, beside its labels
COLUMN = 18.0  # points from the drawing to its labels
POST = 1.3  # points: half the side of a fence post
PANEL = 2.4  # metres from post to post: a pattern
FEET, SPREAD, BODY, PAD = 5.0, 4.4, (8.0, 2.5), 0.8  # metres: the crane, a pattern
HOSE = 1.0  # metres the crane keeps from the hose
LEAST = 2.4  # points: least radius of the tube's mark
TOUCH = 1e-6  # metres: what lies nearer than this to the farthest point lies as far
CHAIN = (8.0, 2.0, 1.6, 2.0)


@dataclass(frozen=True)
class _Site:
    """What the figure shows, in metres of the model; `way`: 1 with the heap at greater y, else -1."""

    read: Reader

    @cached_property
    def top(self) -> tuple[float, float, float, float]:
        x0, y0, x1, y1 = self.read.levels.dig.top.bounds
        return float(x0), float(y0), float(x1), float(y1)

    @cached_property
    def outline(self) -> list[Point]:
        """The dig's top edge, point by point."""
        parts = pieces(self.read.levels.dig.top)
        return [(float(x), float(y)) for part in parts for x, y in part.exterior.coords]

    @cached_property
    def way(self) -> float:
        """The heap lies across the dig from the tube, so that its hose runs clear of it."""
        _, y0, _, y1 = self.read.levels.solid.outside.bounds
        return -1.0 if self.read.levels.tube.y > y0 + 0.55 * (y1 - y0) else 1.0

    @cached_property
    def fence(self) -> tuple[float, float, float, float]:
        x0, y0, x1, y1 = self.top
        along = (self.size("dig.fence_length") - (x1 - x0)) / 2
        across = (self.size("dig.fence_width") - (y1 - y0)) / 2
        return x0 - along, y0 - across, x1 + along, y1 + across

    def side(self, *, heap: bool) -> float:
        """The y of the dig's edge on the heap's side, or on the crane's."""
        return self.top[3] if (self.way > 0) == heap else self.top[1]

    @cached_property
    def heap(self) -> tuple[float, float]:
        """Where the heap begins and ends, in y."""
        begins = self.side(heap=True) + self.way * self.size("dig.heap_back")
        return begins, begins + self.way * self.size("dig.heap_width")

    @cached_property
    def feet(self) -> float:
        """The y that the crane's feet stay outside of."""
        return self.side(heap=False) - self.way * self.size("dig.crane_back")

    @cached_property
    def crane(self) -> float:
        """The x of the crane's middle: on the dig's, or aside of the hose."""
        x0, _, x1, _ = self.top
        half, hose, middle = BODY[0] / 2 + HOSE, self.read.levels.tube.x, (x0 + x1) / 2
        if abs(hose - middle) >= half:
            return middle
        return hose - half if hose >= middle else hose + half

    @cached_property
    def end(self) -> float:
        """The y at which crane and hose end."""
        return self.feet - self.way * (SPREAD + PAD)

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        x0, _, x1, _ = self.fence
        low, high = sorted((self.heap[1], self.end))
        return min(x0, self.crane - BODY[0] / 2), low, max(x1, self.crane + BODY[0] / 2), high

    @property
    def spoil(self) -> str:
        """All of the spoil, in words."""
        return self.read.words.cubic(self.size("dig.bulked_volume"), self.read.side("dig.bulked_volume"))

    def high(self, *, unit: bool = False) -> str:
        """The heap's height: the habit's own words where it is as high as that allows."""
        most = self.given("dig.heap_height", "most")
        if self.size("dig.heap_height") > most - TOUCH:
            return self.read.words.habit(most, "down", unit=unit)
        return self.read.mm("dig.heap_height") if unit else self.read.length("dig.heap_height")

    def size(self, key: str) -> float:
        return self.read.results[key].si

    def given(self, key: str, name: str) -> float:
        """An input that a number was worked with."""
        value = self.read.results[key].inputs[name].value
        if value is None:
            raise ValueError(f"{key} was worked without {name}")
        return value


def draw(read: Reader) -> Scene:
    """Return the plan of what stands round a job's dig."""
    site, words = _Site(read), read.words
    x0, low, x1, high = site.bounds
    scale = min(WIDE / (x1 - x0), TALL / (high - low))
    view = View(scale, x0, high, left=MARGIN, up=True)
    sheet = Sheet()
    _dig(sheet, view, site)
    _fence(sheet, view, site)
    _heap(sheet, view, site)
    _crane(sheet, view, site)
    _hose(sheet, view, site)
    edge = view.x(x1) + 4
    column(sheet, _tags(sheet, view, site), edge=edge, x=edge + COLUMN, low=view.y(high), high=view.y(low))
    sheet.close()
    return Scene(
        sheet=sheet,
        title="Round the dig",
        caption=f"Seen from above, to one scale. Lengths in {words.unit}. The distances count; the sides are "
        "an example, because this guide does not know your block. The crane is a pattern: the crane firm, "
        "and an engineer for the bank under it, say where it stands.",
        description="The dig from above with the fence round it, a heap with all of its spoil, the line that "
        "the crane's feet stay outside of, and the hose that leads pumped water away.",
        long_description=_told(site),
        anchors={
            "fence.low": (site.fence[0], site.fence[1]),
            "fence.high": (site.fence[2], site.fence[3]),
            "heap.near": (site.fence[0], site.heap[0]),
            "heap.far": (site.fence[2], site.heap[1]),
            "crane.feet": (site.crane, site.feet),
            "tube": (read.levels.tube.x, read.levels.tube.y),
        },
    )


def _dig(sheet: Sheet, view: View, site: _Site) -> None:
    """The dig, the shell in it, and the pool's water at its working level."""
    levels = site.read.levels
    cut = view.region(levels.dig.top)
    sheet.hatch(cut, "ground", Layer.GROUND)
    sheet.stroke(cut, "edge", EDGE, closed=True)
    base = view.region(levels.dig.base.polygon)
    sheet.fill(base, "paper", Layer.BACKFILL)
    sheet.stroke(base, "edge", THIN, closed=True)
    sheet.fill(view.region(levels.solid.inset(levels.water)), "water", Layer.BODY)
    sheet.stroke(view.region(levels.solid.outside.polygon), "laminate", OUTLINE, Layer.BODY, closed=True)


def _fence(sheet: Sheet, view: View, site: _Site) -> None:
    x0, y0, x1, y1 = site.fence
    ring = rectangle(x0, y0, x1, y1)
    sheet.stroke([view.line(ring)], "ink", EDGE, closed=True)
    posts = []
    for (ax, ay), (bx, by) in pairwise([*ring, ring[0]]):
        count = max(1, round((abs(bx - ax) + abs(by - ay)) / PANEL))
        posts += [view.at(ax + (bx - ax) * n / count, ay + (by - ay) * n / count) for n in range(count)]
    sheet.fill([rectangle(x - POST, y - POST, x + POST, y + POST) for x, y in posts], "ink", Layer.FRONT)


def _heap(sheet: Sheet, view: View, site: _Site) -> None:
    """The heap from above: its foot, its top, and the edges between its sides."""
    x0, x1 = site.fence[0], site.fence[2]
    near, far = sorted(site.heap)
    foot = rectangle(x0, near, x1, far)
    run = site.size("dig.heap_height") / math.tan(site.given("dig.heap_height", "slope"))
    flat = rectangle(x0 + run, near + run, x1 - run, far - run)
    sheet.hatch([view.line(foot)], "ground", Layer.GROUND)
    sheet.stroke([view.line(foot)], "edge", EDGE, closed=True)
    sheet.stroke([view.line(flat)], "edge", THIN, closed=True)
    sheet.stroke([view.line(pair) for pair in zip(foot, flat, strict=True)], "edge", THIN)


def _crane(sheet: Sheet, view: View, site: _Site) -> None:
    """The line that its feet stay outside of, and the pattern of a crane behind it."""
    x, out = site.crane, -site.way
    line = [(site.bounds[0], site.feet), (site.bounds[2], site.feet)]
    sheet.stroke([view.line(line)], "act", EDGE, Layer.LEVEL, dash=CHAIN)
    near, far = site.feet + out * PAD / 2, site.feet + out * (SPREAD - PAD / 2)
    middle = (near + far) / 2
    legs: list[Line] = [view.line([(x + s * FEET / 2, near), (x + s * FEET / 2, far)]) for s in (-1, 1)]
    sheet.stroke(legs, "ink", OUTLINE, Layer.TUBE)
    pads = [_box(x + s * FEET / 2, y, PAD, PAD) for s in (-1, 1) for y in (near, far)]
    sheet.fill([view.line(pad) for pad in pads], "ink", Layer.FRONT)
    body = [view.line(_box(x, middle, *BODY))]
    sheet.fill(body, "valve", Layer.BODY)
    sheet.stroke(body, "ink", EDGE, Layer.BODY, closed=True)


def _hose(sheet: Sheet, view: View, site: _Site) -> None:
    """The hose from the tube across the fence, with an arrow where the water goes."""
    tube = site.read.levels.tube
    arrow(sheet, [view.at(tube.x, tube.y), view.at(tube.x, site.end)], "water-line")
    round_mark(sheet, view.at(tube.x, tube.y), max(tube.outside / 2 * view.scale, LEAST), "tube", "tube-line")


def _tags(sheet: Sheet, view: View, site: _Site) -> list[Tag]:
    """The distances, drawn, and the labels of everything."""
    read, words = site.read, site.read.words
    levels = read.levels
    top, (_, y0, x1, y1) = levels.dig.top, site.top
    pool = levels.solid.inset(levels.water)
    heap_x, crane_x = (_reached(site, heap=heap) for heap in (True, False))
    hose = levels.tube.x
    if abs(crane_x - hose) < HOSE:  # the hose lies there: the distance is shown beside it
        reached, crane_x = crane_x, hose + math.copysign(1.5 * HOSE, site.crane - hose)
        beyond = crane_x + math.copysign(0.3, site.crane - hose)
        across = [view.at(x, site.side(heap=False)) for x in (reached, beyond)]
        sheet.stroke([across], "dimension", THIN, Layer.NOTE)
    begins, ends = site.heap
    for x, start, end in (
        (heap_x, site.side(heap=True), begins),
        (crane_x, site.side(heap=False), site.feet),
    ):
        upright_arrow(sheet, view.x(x), *sorted((view.y(start), view.y(end))))
    ends_at = [y for x, y in site.outline if x > x1 - TOUCH]
    side = (min(ends_at) + max(ends_at)) / 2
    level_arrow(sheet, view.x(x1), view.x(site.fence[2]), view.y(side))
    edge_y = y0 + (y1 - y0) * (0.24 if side > (y0 + y1) / 2 - 0.2 * (y1 - y0) else 0.8)
    _, low, _, high = pool.bounds
    pool_y = low + (high - low) * (0.25 if edge_y > (y0 + y1) / 2 else 0.75)
    start, end = chords(pool, y=pool_y)[-1]
    fence = words.habit(site.given("dig.fence_length", "fence_back"), "up")
    heap, crane = (read.length(f"dig.{key}_back") for key in ("heap", "crane"))
    return [
        Tag(
            (
                "spoil heap:",
                bold(f"{site.spoil} loose,"),
                bold(f"{site.high()} high"),
            ),
            view.at(site.fence[2] - 0.06 * (site.fence[2] - site.fence[0]), begins + 0.6 * (ends - begins)),
        ),
        Tag(
            ("heap to edge", bold(f"{heap} or more")),
            view.at(heap_x, (site.side(heap=True) + begins) / 2),
        ),
        Tag(("fence to edge", bold(f"{fence} or more")), view.at(site.fence[2], side), dot=False),
        Tag(("dig's top edge",), view.at(chords(top, y=edge_y)[-1][1], edge_y)),
        Tag(
            ("pool water", bold(read.level("level.water"))),
            view.at(end - 0.12 * (end - start), pool_y),
        ),
        Tag(
            ("crane's feet to edge", bold(f"{crane} or more")),
            view.at(crane_x, (site.side(heap=False) + site.feet) / 2),
        ),
        Tag(
            ("crane: its firm", "says where"),
            view.at(site.crane + 0.35 * BODY[0], site.feet - site.way * SPREAD / 2),
        ),
        Tag(("hose: pumped water", "goes downhill"), view.at(levels.tube.x, site.end)),
    ]


def _told(site: _Site) -> tuple[str, ...]:
    """The figure in sentences."""
    read, words = site.read, site.read.words
    fence = words.habit(site.given("dig.fence_length", "fence_back"), "up", unit=True)
    return (
        f"The fence with its locked gate stands {fence} or more outside the top edge of the dig: "
        f"{read.mm('dig.fence_length')} by {read.mm('dig.fence_width')} or more.",
        f"All of the spoil, {site.spoil} loose, makes a heap as long as the fence, "
        f"{read.mm('dig.heap_width')} wide and {site.high(unit=True)} high. "
        f"It stays {read.mm('dig.heap_back')} or more from the edge of the dig, outside the fence.",
        f"The crane's feet stay {read.mm('dig.crane_back')} or more from the edge of the dig. The crane firm "
        "and an engineer decide where it stands; it may have to stand farther off.",
        f"The pool's water at its working level is {read.spoken('level.water')}.",
        "The pump's hose leads from the standpipe across the fence, downhill, to where the water may go.",
    )


def _reached(site: _Site, *, heap: bool) -> float:
    """Where along the dig's edge nearest to heap or crane its distance is shown, clear of the hose."""
    edge = site.side(heap=heap)
    along = [x for x, y in site.outline if abs(y - edge) < TOUCH]
    low, high = min(along), max(along)
    places = [low + (high - low) * share for share in (0.8, 0.5, 0.2, 1.0, 0.0)]
    if heap:
        return places[0]
    hose = site.read.levels.tube.x
    return max(places, key=lambda x: (min(abs(x - hose), HOSE), -places.index(x)))


def _box(x: float, y: float, wide: float, high: float) -> Line:
    return rectangle(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)
