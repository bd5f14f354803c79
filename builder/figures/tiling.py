"""How a drawing larger than a sheet of paper is shared out over several, with laps and join marks.

Plane coordinates in mm of the drawing: x to the right, y down. A piece has a core of its own; where the
drawing goes on to the right or below, the piece shows a lap of its neighbour too. The neighbour's edge is
laid on the join line at the end of the core. Join marks stand on that line, on both pieces.
"""

from __future__ import annotations

import string
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

LAP = 10.0  # mm of the neighbour that a piece shows
CORNER = 5.0  # mm from the end of a join line to its marks, at least
ASIDE = (0.2, 0.8)  # where along an edge its two marks stand, where nothing asks for a better place

Range = tuple[float, float]


@dataclass(frozen=True)
class Join:
    """A join line: its letter, and its two marks by name and place along the line."""

    letter: str
    marks: tuple[tuple[str, float], ...]
    neighbour: int  # number of the piece on the other side, from 1


@dataclass(frozen=True)
class Piece:
    """One piece: its number, place in the grid and core, and its joins by side."""

    number: int  # from 1, row by row
    column: int
    row: int
    core: tuple[float, float, float, float]  # x0, y0, x1, y1
    left: Join | None
    above: Join | None
    right: Join | None
    below: Join | None

    @property
    def shown(self) -> tuple[float, float, float, float]:
        """What the piece shows: its core, and its laps on the right and below."""
        x0, y0, x1, y1 = self.core
        return x0, y0, x1 + (LAP if self.right else 0.0), y1 + (LAP if self.below else 0.0)

    @property
    def joins(self) -> Iterator[tuple[str, Join]]:
        """The joins with their sides."""
        for side in ("left", "above", "right", "below"):
            join = getattr(self, side)
            if join:
                yield side, join


def cuts(length: float, room: float, whole: Sequence[Range] = ()) -> tuple[float, ...]:
    """Return where a length is cut into pieces that fit a room with their laps, 0 and the end included.

    whole: ranges no cut should go through. Pieces are about alike; raises ValueError for a room that
    takes no more than a lap.
    """
    if room <= LAP:
        raise ValueError("there is no room for a piece and its lap")
    longest = _greedy(length, room, room, whole)
    count = len(longest) - 1
    for share in (length / count, length / count * 1.1, length / count * 1.25):
        even = _greedy(length, room, min(share + 1e-6, room), whole)
        if len(even) - 1 == count:
            return even
    return longest


def _greedy(length: float, room: float, most: float, whole: Sequence[Range]) -> tuple[float, ...]:
    found = [0.0]
    while length - found[-1] > min(room, max(most, LAP)):
        found.append(_cut(found[-1], min(most, room - LAP), whole))
    return (*found, length)


def _cut(start: float, most: float, whole: Sequence[Range]) -> float:
    """The farthest cut from a start that goes through nothing that should stay whole."""
    at = start + most
    while True:
        through = [low for low, high in whole if low < at < high]
        if not through:
            return at
        at = min(through)
        if at <= start + most / 3:
            return start + most  # nothing fits: what is cut here shows whole in no piece


def pieces(
    columns: Sequence[float], rows: Sequence[float], clear_x: Sequence[float], clear_y: Sequence[float]
) -> tuple[Piece, ...]:
    """Return the pieces of a grid cut at the given places.

    clear_x, clear_y: places where a mark on a join has nothing else under it.
    """
    across, down = len(columns) - 1, len(rows) - 1
    letters = iter(_letters())
    upright = [next(letters) for _ in range(across - 1)]
    level = [next(letters) for _ in range(down - 1)]

    def number(column: int, row: int) -> int:
        return row * across + column + 1

    def at_x(column: int, row: int, cut: int, other: tuple[int, int]) -> Join:
        marks = _marks(upright[cut], row, rows[row], rows[row + 1], clear_y)
        return Join(upright[cut], marks, number(*other))

    def at_y(column: int, row: int, cut: int, other: tuple[int, int]) -> Join:
        marks = _marks(level[cut], column, columns[column], columns[column + 1], clear_x)
        return Join(level[cut], marks, number(*other))

    return tuple(
        Piece(
            number(c, r),
            c,
            r,
            (columns[c], rows[r], columns[c + 1], rows[r + 1]),
            left=at_x(c, r, c - 1, (c - 1, r)) if c else None,
            above=at_y(c, r, r - 1, (c, r - 1)) if r else None,
            right=at_x(c, r, c, (c + 1, r)) if c < across - 1 else None,
            below=at_y(c, r, r, (c, r + 1)) if r < down - 1 else None,
        )
        for r in range(down)
        for c in range(across)
    )


def _marks(
    letter: str, nth: int, low: float, high: float, clear: Sequence[float]
) -> tuple[tuple[str, float], ...]:
    """The two marks of one edge, as near as can be to where they like to stand."""
    wishes = [low + share * (high - low) for share in ASIDE]
    found = [
        min((c for c in clear if low + CORNER <= c <= high - CORNER), key=lambda c: abs(c - w), default=w)
        for w in wishes
    ]
    if found[1] - found[0] < (high - low) / 4:
        found = wishes
    return tuple((f"{letter}{2 * nth + at}", place) for at, place in enumerate(found, 1))


def _letters() -> Iterator[str]:
    yield from string.ascii_uppercase
    for letter in _letters():
        yield from (letter + last for last in string.ascii_uppercase)
