"""Water rises: from a dip to what is to be done, by the job's own watch and act lines."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from builder import say
from builder.checks import most_pumped
from builder.figures.canvas import Layer, Sheet, rectangle
from builder.figures.lettering import bold, spoken, wrapped
from builder.figures.marks import arrow
from builder.figures.placer import LEAD
from builder.figures.reader import Reader
from builder.figures.scene import Scene
from builder.figures.style import EDGE, MARGIN, OUTLINE, TEXT, WIDTH
from builder.units import UNITS

INSIDE = 6.0  # points between a box and its text
ASK = 118.0  # points: width of the boxes that ask
ACROSS = 30.0  # points from a question to what a yes leads to
DOWN = 24.0  # points from one question to the next
FIRST = ("Everyone out of pool and dig.", "Stop lowering the pool. Shut off hoses and leaks.")
SIGN = 6.0  # points: the radius of a mark's shape


@dataclass(frozen=True)
class _Line:
    """One line of the job: its name, its two dips and what is to be done at it."""

    name: str
    top: str
    mark: str
    do: tuple[str, ...]


def draw(read: Reader) -> Scene:
    """Return the decision flow of a job for rising water."""
    lines, missing = _lines(read)
    sheet = Sheet()
    y = _box(
        sheet, MARGIN, 0.0, WIDTH - 2 * MARGIN, (bold("Take a dip, and look at the pool's level."),), "paper"
    )
    middle = MARGIN + ASK / 2
    for number, line in enumerate(lines):
        top = y + DOWN
        _arrow(sheet, middle, y, top, "no" if number else "")
        asked = (
            f"Is the dip from the tube top {bold(line.top)} or less?",
            f"Before it is trimmed: from the build mark {bold(line.mark)} or less?",
        )
        left = MARGIN + ASK + ACROSS
        low = _box(sheet, MARGIN, top, ASK, asked, "paper")
        other = _box(sheet, left, top, WIDTH - MARGIN - left, (bold(line.name.upper()), *line.do), line.name)
        arrow(sheet, [(MARGIN + ASK, top + 12), (left, top + 12)], "ink", EDGE)
        sheet.text("yes", MARGIN + ASK + 4, top + 8)
        sheet.stroke([[(middle, low), (middle, max(low, other))]], "ink", EDGE, Layer.FRONT)
        y = max(low, other)
    _arrow(sheet, middle, y, y + DOWN, "no" if lines else "")
    rest = _rest(read) if lines else (f"The lines cannot be told: {missing}.", *_act(read))
    _box(sheet, MARGIN, y + DOWN, WIDTH - 2 * MARGIN, rest, "water" if lines else "act")
    sheet.close()
    anchors = {
        name: (0.0, depth)
        for name in ("act", "watch")
        if (depth := read.si(f"uplift.{name}_groundwater")) is not None
    }
    return Scene(
        sheet=sheet,
        title="When the water rises",
        caption="Dips from the tube top; before the tube is trimmed, from the build mark. The lines hold "
        "while the pool stands at its working level; if it stands lower, use the table. "
        "If you cannot take a dip, act.",
        description="Questions from the top down: a dip at or past the act line, at or past the watch line, "
        "or neither, each with what to do.",
        long_description=(
            *(
                f"At a dip of {line.top} or less from the tube top, or {line.mark} or less from the build "
                f"mark, {line.name}. {spoken(' '.join(line.do))}"
                for line in lines
            ),
            *(spoken(sentence) for sentence in rest),
        ),
        anchors=anchors,
    )


def _lines(read: Reader) -> tuple[list[_Line], str]:
    """The act and watch lines, the worse first, and why one is missing."""
    found = []
    for name, do in (("act", _act(read)), ("watch", _watch(read))):
        top, mark = f"uplift.{name}_dip", f"uplift.{name}_dip_build"
        if read.si(top) is None or read.si(mark) is None:
            return [], read.results[top].reason or "a number is missing"
        found.append(_Line(name, _dip(read, top), _dip(read, mark), do))
    return found, ""


def _dip(read: Reader, key: str) -> str:
    """A dip on its safe side; above its mark where it is below 0."""
    value = read.si(key)
    return read.mm(key) + (" above the mark" if value is not None and value < 0 else "")


def _act(read: Reader) -> tuple[str, ...]:
    most = read.si(most_pumped(read.results.__getitem__).key)
    if most is None:
        pump = "Do not count on pumping: too little water gets into the tube."
    else:
        pump = f"Pump the tube, at most {say.two_digits(most / UNITS['L/min'].si, 'down')} litres a minute."
        pump = say.in_feet_too(pump) if read.words.feet else pump
    return (
        *FIRST,
        f"Fill the pool to the overflow, {bold(read.mm('level.overflow'))} below the rim. Keep it full.",
        pump,
        "Call.",
    )


def _watch(read: Reader) -> tuple[str, ...]:
    return (
        *FIRST,
        f"Fill the pool to the overflow, {bold(read.mm('level.overflow'))} below the rim.",
        "Dip every day.",
    )


def _rest(read: Reader) -> tuple[str, ...]:
    level = bold(read.mm("level.water"))
    return (f"Keep the pool at its working level, {level} below the rim.", "Dip again tomorrow.")


def _box(sheet: Sheet, left: float, top: float, wide: float, texts: Sequence[str], role: str) -> float:
    """A box with its sentences, filled by what it means; returns where it ends."""
    marked = role in ("act", "watch")
    lines = [line for text in texts for line in wrapped(text, wide - 2 * INSIDE)]
    low = top + 2 * INSIDE + LEAD * len(lines) - (LEAD - TEXT)
    ring = rectangle(left, top, left + wide, low)
    sheet.fill([ring], f"{role}-fill" if marked else role, Layer.BODY)
    sheet.stroke([ring], role if marked else "ink", OUTLINE if marked else EDGE, Layer.EDGE, closed=True)
    for number, line in enumerate(lines):
        sheet.text(line, left + INSIDE, top + INSIDE + TEXT * 0.8 + LEAD * number)
    if marked:
        _sign(sheet, role, left + wide - INSIDE - SIGN, top + INSIDE + TEXT / 2)
    return low


def _sign(sheet: Sheet, role: str, x: float, y: float) -> None:
    """A triangle to watch, an octagon to act."""
    corners, turn = (3, -math.pi / 2) if role == "watch" else (8, math.pi / 8)
    angles = [turn + at * 2 * math.pi / corners for at in range(corners)]
    ring = [(x + SIGN * math.cos(angle), y + SIGN * math.sin(angle)) for angle in angles]
    sheet.fill([ring], "paper", Layer.FRONT)
    sheet.stroke([ring], role, OUTLINE, Layer.FRONT, closed=True)


def _arrow(sheet: Sheet, x: float, start: float, end: float, text: str) -> None:
    arrow(sheet, [(x, start), (x, end)], "ink", EDGE)
    if text:
        sheet.text(text, x + 5, (start + end) / 2 + 2)
