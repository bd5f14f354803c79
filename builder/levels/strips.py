"""Area and first moment of plans between stations, exact and many at once, without a polygon made."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from builder.plan import following

Values = NDArray[np.float64]
Runs = Sequence[tuple[float, float]]
FAR = 1e3  # metres: beyond any pool; a run that reaches so far has no end on that side
EVERYWHERE = [(-FAR, FAR)]


def left_of(rings: Values, x: Values | None = None) -> tuple[Values, Values]:
    """Return area in m2 and first moment about x = 0 in m3 of each ring left of its x, or of all of it.

    rings (m, n, 2) in metres, counter-clockwise, not crossing themselves, or (1, n, 2) for one ring
    cut m times; x (m,). Every edge counts with the trapezium under its part left of x; the cut
    itself runs across and has none.
    """
    ends = following(rings, 1)
    x0, y0, x1, y1 = rings[..., 0], rings[..., 1], ends[..., 0], ends[..., 1]
    if x is not None:
        along = np.where(x1 == x0, 1.0, x1 - x0)
        slope = (y1 - y0) / along
        start, end = np.minimum(x0, x[:, None]), np.minimum(x1, x[:, None])
        x0, y0, x1, y1 = start, y0 + (start - x0) * slope, end, y0 + (end - x0) * slope
    width, middle = x0 - x1, (y0 + y1) / 2
    area = (width * middle).sum(axis=1)
    moment = (width * (x0 * (middle + y0 / 2) + x1 * (middle + y1 / 2))).sum(axis=1) / 3
    return area, moment


def within(rings: Values, runs: Sequence[Runs]) -> tuple[Values, Values]:
    """Return area and moment of each ring over its runs of x; the runs of one ring lie apart.

    rings as for `left_of`, one for each set of runs, or one for all.
    """
    one_for_all = len(rings) == 1
    whole = left_of(rings)
    found = np.zeros(len(runs)), np.zeros(len(runs))
    cuts: list[tuple[int, float, float]] = []  # whose, where, and +1 for what lies left of it, else -1
    for at, own in enumerate(runs):
        for start, end in own:
            if end >= FAR:
                for sums, all_of_it in zip(found, whole, strict=True):
                    sums[at] += all_of_it[0 if one_for_all else at]
            else:
                cuts.append((at, end, 1.0))
            if start > -FAR:
                cuts.append((at, start, -1.0))
    if cuts:
        owner, x, sign = (np.array(column) for column in zip(*cuts, strict=True))
        for sums, part in zip(found, left_of(rings if one_for_all else rings[owner], x), strict=True):
            np.add.at(sums, owner, sign * part)
    return found
