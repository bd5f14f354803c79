"""A solid by level: its plan area and first moment at every depth, and their integrals.

Between the depths where something changes (a slope begins, a flat run ends, a ledge starts) area
and moment are smooth, so each panel keeps the parabola through its two ends and its middle. The
integral of a parabola is exact, and so is Simpson's rule for the quadratics a mitred inset gives.
"""

from __future__ import annotations

import bisect
import operator
from collections.abc import Callable, Iterable

import numpy as np
from numpy.typing import NDArray

Depths = NDArray[np.float64]
# Areas (m2) and first moments about x = 0 (m3) of the solid at many depths.
Slicer = Callable[[Depths], tuple[NDArray[np.float64], NDArray[np.float64]]]

_Panel = tuple[float, float, float]  # a, b, c of one panel's parabola

STEP = 0.05  # panel height in metres; halving it moves no volume by more than 0.01 % (tested)
_EDGE = 1e-9  # how far inside a panel its end is looked at, for areas jump where a flat run ends


class Profile:
    """Area and first moment of a solid by depth, depths in metres below the rim, downwards."""

    def __init__(
        self, slicer: Slicer, top: float, bottom: float, breaks: Iterable[float], step: float = STEP
    ) -> None:
        """Slice the solid between `top` and `bottom`, with panel ends at every one of `breaks`."""
        inner = sorted(z for z in set(breaks) if top + 1e-7 < z < bottom - 1e-7)
        ends = [top]
        for z in [*inner, bottom]:
            count = max(1, int(np.ceil((z - ends[-1]) / step - 1e-9)))
            ends.extend(np.linspace(ends[-1], z, count + 1)[1:].tolist())
        start, end = np.array(ends[:-1]), np.array(ends[1:])
        nodes = np.concatenate([start + _EDGE, (start + end) / 2, end - _EDGE])
        areas, moments = slicer(nodes)
        height = end - start
        self._area, self._volume_below = _panels(areas, height)
        self._moment, self._moment_below = _panels(moments, height)
        self._height: list[float] = height.tolist()
        self.ends = ends
        self.top, self.bottom = top, bottom

    def area(self, z: float) -> float:
        """Return the plan area in m2 just below depth z; 0 below the bottom, the top's own above it."""
        if z >= self.bottom:
            return 0.0
        at, share = self._panel(max(z, self.top))
        a, b, c = self._area[at]
        return a + b * share + c * share * share

    def volume_below(self, z: float) -> float:
        """Return the volume in m3 below depth z.

        Above the top the solid goes on with its top area, so that the volume stays a strictly
        falling function of depth; callers that must not do so compare z with `top`.
        """
        return self._below(self._area, self._volume_below, z)

    def between(self, upper: float, lower: float) -> float:
        """Return the volume in m3 between two depths, of the solid alone: nothing above its top."""
        return self.volume_below(max(upper, self.top)) - self.volume_below(max(lower, self.top))

    def moment_below(self, z: float) -> float:
        """Return the first moment in m4 of the volume below depth z about x = 0."""
        return self._below(self._moment, self._moment_below, z)

    def depth_holding(self, volume: float) -> float:
        """Return the depth z with `volume` m3 below it; the bottom for none or less.

        Volumes over the whole solid's go on above the top with the top area, a depth above `top`.
        """
        if volume <= 0:
            return self.bottom
        whole = self._volume_below[0]
        if volume >= whole:
            return self.top - (volume - whole) / self._area[0][0]
        at = bisect.bisect_left(self._volume_below, -volume, key=operator.neg) - 1
        a, b, c = self._area[at]
        wanted = (self._volume_below[at] - volume) / self._height[at]  # from the panel's top down
        low, high = 0.0, 1.0
        while high - low > 1e-13:
            share = (low + high) / 2
            if share * (a + share * (b / 2 + share * c / 3)) < wanted:
                low = share
            else:
                high = share
        return self.ends[at] + (low + high) / 2 * self._height[at]

    def _panel(self, z: float) -> tuple[int, float]:
        at = min(bisect.bisect_right(self.ends, z) - 1, len(self._height) - 1)
        return at, (z - self.ends[at]) / self._height[at]

    def _below(self, panels: list[_Panel], below: list[float], z: float) -> float:
        if z >= self.bottom:
            return 0.0
        if z < self.top:
            return below[0] + (self.top - z) * panels[0][0]
        at = bisect.bisect_right(self.ends, z) - 1  # between top and bottom: inside a panel
        height = self._height[at]
        share = (z - self.ends[at]) / height
        a, b, c = panels[at]
        return below[at] - share * (a + share * (b / 2 + share * c / 3)) * height


def _panels(values: NDArray[np.float64], height: NDArray[np.float64]) -> tuple[list[_Panel], list[float]]:
    """Return v(s) = a + b s + c s^2 by panel, s from 0 at its top to 1 at its bottom, and the sums below."""
    count = height.size
    first, middle, last = values[:count], values[count : 2 * count], values[2 * count :]
    a, b, c = first, 4 * middle - 3 * first - last, 2 * (first + last - 2 * middle)
    below = np.concatenate([np.cumsum(((a + b / 2 + c / 3) * height)[::-1])[::-1], [0.0]])
    return list(zip(a.tolist(), b.tolist(), c.tolist(), strict=True)), below.tolist()
