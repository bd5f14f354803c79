"""Area and first moment of the parts of one plan that lie between stations, exact and in one go."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from builder.plan import Outline

Values = NDArray[np.float64]


class Strips:
    """A plan to be cut across x, again and again: metres, square metres, cubic metres."""

    def __init__(self, outline: Outline) -> None:
        """Keep the ring's edges."""
        self._start = outline.points
        self._end = np.roll(outline.points, -1, axis=0)

    def left_of(self, x: Values) -> tuple[Values, Values]:
        """Return area and first moment about x = 0 of the plan left of each x.

        Every edge counts with the trapezium under its part left of x; the cut itself runs across
        and has none. The ring is counter-clockwise.
        """
        (x0, y0), (x1, y1) = self._start.T, self._end.T
        along = np.where(x1 == x0, 1.0, x1 - x0)
        start, end = np.minimum(x0, x[:, None]), np.minimum(x1, x[:, None])
        y_start = y0 + (start - x0) / along * (y1 - y0)
        y_end = y0 + (end - x0) / along * (y1 - y0)
        width = start - end
        area = (width * (y_start + y_end) / 2).sum(axis=1)
        moment = width / 6 * (start * (2 * y_start + y_end) + end * (y_start + 2 * y_end))
        return area, moment.sum(axis=1)

    def within(self, runs: Sequence[Sequence[tuple[float, float]]]) -> tuple[Values, Values]:
        """Return area and moment of the plan over each set of runs of x; the runs of a set lie apart."""
        ends = np.array([x for one in runs for run in one for x in run])
        owner = np.array([at for at, one in enumerate(runs) for _ in one], dtype=int)
        area, moment = np.zeros(len(runs)), np.zeros(len(runs))
        if ends.size:
            areas, moments = self.left_of(ends)
            np.add.at(area, owner, areas[1::2] - areas[::2])
            np.add.at(moment, owner, moments[1::2] - moments[::2])
        return area, moment
