"""Every figure of random valid jobs, looked at as a reader would: `make random-figures N=200 SEED=1`.

What must hold of a figure is in `faults_of`. Jobs are those of random_jobs.py, so a failing one can be
repeated alone: `python tests/random_figures.py --seed 1 --only 17 --figure plan`.
"""

from __future__ import annotations

import argparse
import itertools
import re
import resource
import sys
import traceback
from collections.abc import Iterator, Sequence
from pathlib import Path

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from builder.catalogue import load
from builder.checks import Results
from builder.figures import Drawn, TextBox, draw
from builder.figures.canvas import Layer, Point, Sheet
from builder.figures.index import NAMES, SCENES
from builder.figures.reader import Reader
from builder.figures.style import WIDTH
from tests import random_jobs

PHONE = 390 - 32  # CSS pixels: a narrow phone less the page's margins
LEAST_PIXELS = 10
MOST_BYTES = 40_000
TOUCH = 0.75  # points by which a line must enter a text's box
BEYOND = 3.2  # points by which an extension line may pass its own dimension line
NUMBER = re.compile(r"\d+(?:,\d{3})*(?:\.\d+)?")
# Named points that are levels of the job: the end of the name, and the level it must lie on.
LEVELS = {
    "tube.top": "tube_top",
    "tube.foot": "tube_foot",
    "tube top": "tube_top",
    "foot": "tube_foot",
    "ground.left": "ground",
    "ground.right": "ground",
    "paving.left": "paving",
    "paving.right": "paving",
    "beam.left": "beam_underside",
    "beam.right": "beam_underside",
    "water.left": "water",
    "water.right": "water",
    "pit.left": "pit_base",
    "sump.left": "sump_base",
    "valve": "seat",
}
SECTIONS = (
    *("long-section", "cross-section", "dig-section", "dip-gauge", "standpipe-cut", "valve-detail"),
    "lid-detail",
)


def faults_of(name: str, results: Results, *, twice: bool = True) -> Iterator[str]:
    """Yield everything that must hold of one figure of a job and does not."""
    drawn = draw(name, results.levels, results)
    yield from _texts(drawn)
    yield from _frame(drawn)
    told = set(NUMBER.findall(" ".join(drawn.long_description)))
    for box in drawn.texts:
        for number in NUMBER.findall(box.text):
            if number not in told:
                yield f"{number} of {box.text!r} is not in the long description"
    if len(drawn.svg.encode()) >= MOST_BYTES:
        yield f"{len(drawn.svg.encode())} bytes"
    yield from _anchors(drawn, results)
    if twice and draw(name, results.levels, results).svg != drawn.svg:
        yield "drawn twice, it is not the same bytes"
    sheet = SCENES[name](Reader(results.levels, results, results.groundwater)).sheet
    yield from _leaders(sheet)


def _texts(drawn: Drawn) -> Iterator[str]:
    for one, other in itertools.combinations(drawn.texts, 2):
        wide = min(one.x1, other.x1) - max(one.x0, other.x0)
        high = min(one.y1, other.y1) - max(one.y0, other.y0)
        if wide > 0 and high > 0:
            yield f"{one.text!r} and {other.text!r} overlap by {wide:.1f} x {high:.1f}"
    for box in drawn.texts:
        if box.x0 < 0 or box.y0 < 0 or box.x1 > drawn.width_in * 72 or box.y1 > drawn.height_in * 72:
            yield f"{box.text!r} leaves the frame"
        if box.size_pt * PHONE / WIDTH < LEAST_PIXELS:
            yield f"{box.text!r} is too small"


def _frame(drawn: Drawn) -> Iterator[str]:
    for data in re.findall(r'<path d="([^"]*)"', drawn.svg):
        numbers = [float(text) for text in re.findall(r"-?\d+(?:\.\d+)?", data)]
        xs, ys = numbers[0::2], numbers[1::2]
        if min(xs) < 0 or min(ys) < 0 or max(xs) > drawn.width_in * 72 or max(ys) > drawn.height_in * 72:
            yield (
                f"a line leaves the frame: x {min(xs):.1f} to {max(xs):.1f}, "
                f"y {min(ys):.1f} to {max(ys):.1f} of {drawn.height_in * 72:.1f}"
            )


def _anchors(drawn: Drawn, results: Results) -> Iterator[str]:
    if drawn.name not in SECTIONS:
        return
    for name, (_, depth) in drawn.anchors.items():
        level = LEVELS.get(name)
        if level is None:
            continue
        wanted = getattr(results.levels, level)
        if wanted is None or abs(depth - wanted) > 1e-6:
            yield f"anchor {name} is at {depth}, {level} at {wanted}"


def _leaders(sheet: Sheet) -> Iterator[str]:
    """Leaders and dimension lines that cross each other, or run through a text."""
    segments = [
        (a, b)
        for pen, lines in sheet.batches.items()
        if pen.role == "dimension" and pen.weight and pen.layer == Layer.NOTE and not pen.dash
        for line, _ in lines
        for a, b in itertools.pairwise(line)
    ]
    for one, other in itertools.combinations(segments, 2):
        if _crossing(one, other):
            yield f"two leaders cross: {_shown(one)} and {_shown(other)}"
    patches = [
        line
        for pen, lines in sheet.batches.items()
        if pen.layer == Layer.BACKING and not pen.weight
        for line, _ in lines
    ]
    for letter in sheet.letters:
        box = letter.box()
        if any(_inside(box, patch) for patch in patches):
            continue  # a patch of its own covers the line
        for segment in segments:
            if _enters(segment, box):
                yield f"a leader runs through {box.text!r}: {_shown(segment)}"


def _crossing(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    """Whether two lines cross, each well within its length."""
    (a, b), (c, d) = one, other

    def side(p: Point, q: Point, r: Point) -> float:
        long = max(((q[0] - p[0]) ** 2 + (q[1] - p[1]) ** 2) ** 0.5, 1e-9)
        return ((q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])) / long

    ends = (side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b))
    if min(abs(end) for end in ends) < BEYOND:
        return False
    return ends[0] * ends[1] < 0 and ends[2] * ends[3] < 0


def _enters(segment: tuple[Point, Point], box: TextBox) -> bool:
    """Whether a line enters a box, all sides of it drawn in by TOUCH."""
    (x0, y0), (x1, y1) = segment
    low, high = 0.0, 1.0
    for start, end, least, most in (
        (x0, x1, box.x0 + TOUCH, box.x1 - TOUCH),
        (y0, y1, box.y0 + TOUCH, box.y1 - TOUCH),
    ):
        if least >= most:
            return False
        if abs(end - start) < 1e-9:
            if not least < start < most:
                return False
            continue
        shares = sorted(((least - start) / (end - start), (most - start) / (end - start)))
        low, high = max(low, shares[0]), min(high, shares[1])
    return low < high


def _inside(box: TextBox, ring: Sequence[Point]) -> bool:
    """Whether a text's box lies within a patch, to a tenth of a point."""
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    return (
        min(xs) <= box.x0 + 0.02
        and min(ys) <= box.y0 + 0.02
        and max(xs) >= box.x1 - 0.06
        and max(ys) >= box.y1 - 0.06
    )


def _shown(segment: tuple[Point, Point]) -> str:
    (x0, y0), (x1, y1) = segment
    return f"{x0:.0f},{y0:.0f} to {x1:.0f},{y1:.0f}"


def main(arguments: Sequence[str] | None = None) -> int:
    """Draw and judge; print faults and the time a figure takes; return how many jobs failed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("-n", type=int, default=200, help="how many jobs")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", type=int, help="this job alone")
    parser.add_argument("--figure", choices=NAMES, help="this figure alone")
    given = parser.parse_args(arguments)
    catalogue = load()
    names = (given.figure,) if given.figure else NAMES
    failed = 0
    taken = dict.fromkeys(names, 0.0)
    most = dict.fromkeys(names, 0.0)
    jobs = [given.only] if given.only is not None else list(range(given.n))
    for number in jobs:
        _, results, _ = random_jobs.valid(given.seed, number, catalogue)
        bad = False
        for name in names:
            try:
                begun = _user()
                draw(name, results.levels, results)
                spent = _user() - begun
                taken[name] += spent
                most[name] = max(most[name], spent)
                for fault in faults_of(name, results):
                    _say(f"{number} {name}: {fault}")
                    bad = True
            except Exception:
                _say(f"{number} {name}: crash\n{traceback.format_exc(limit=-3)}")
                bad = True
        failed += bad
    for name in names:
        _say(f"{name:16} {taken[name] / len(jobs) * 1000:6.1f} ms on the mean, {most[name] * 1000:6.1f} most")
    _say(f"{failed} of {len(jobs)} jobs failed")
    return min(failed, 1)


def _say(text: str) -> None:
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def _user() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_utime


if __name__ == "__main__":
    sys.exit(main())
