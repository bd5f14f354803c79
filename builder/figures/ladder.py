"""A column of labels beside a drawing: apart, in order, each as near its own level as can be."""

from __future__ import annotations

from collections.abc import Sequence


def ladder(wanted: Sequence[float], heights: Sequence[float], low: float, high: float) -> tuple[float, ...]:
    """Return the middles of boxes in a column, in the order given, apart and as near as can be.

    wanted: where each middle would like to be, rising; heights: what each box takes. Where they do
    not fit between `low` and `high`, they run on below `high`.
    """
    # Boxes that push each other form a block that stands at the mean of its members' wishes.
    blocks: list[list[int]] = []
    for at in range(len(wanted)):
        blocks.append([at])
        while len(blocks) > 1 and _top(blocks[-1], wanted, heights) < _bottom(blocks[-2], wanted, heights):
            last = blocks.pop()
            blocks[-1] += last
    middles = [0.0] * len(wanted)
    edge = low
    for members in blocks:
        rest = sum(heights[members[0] :])
        edge = max(edge, min(_top(members, wanted, heights), high - rest))
        for at in members:
            middles[at] = edge + heights[at] / 2
            edge += heights[at]
    return tuple(middles)


def _top(members: Sequence[int], wanted: Sequence[float], heights: Sequence[float]) -> float:
    """Where a block begins so that its members stand nearest to their wishes."""
    shift, wish = 0.0, 0.0
    for at in members:
        wish += wanted[at] - shift - heights[at] / 2
        shift += heights[at]
    return wish / len(members)


def _bottom(members: Sequence[int], wanted: Sequence[float], heights: Sequence[float]) -> float:
    return _top(members, wanted, heights) + sum(heights[at] for at in members)
