"""What was measured on site. Wherever it is given it takes over from the plan.

The working level, the paving, the trimmed tube's top, its length (so its foot), and the latest dip,
which is then today's groundwater. The rim's four readings are kept as a record: they move no level,
for the rim is the datum and the peg has done its work once the shell is set.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from builder.job import Spec

DRY = 1e-3  # m: a dip that ends within a millimetre of the foot, or beyond it, found no water


@dataclass(frozen=True)
class Reading:
    """The latest dip that found water: the day, the mark's level and the dip down from it, in m."""

    on: datetime.date
    mark: float
    dip: float

    @property
    def level(self) -> float:
        """The water's depth below the rim."""
        return self.mark + self.dip


@dataclass(frozen=True)
class Built:
    """The levels that can be measured, as measured or else as planned: depths below the rim in m.

    measured   names of those that were measured
    reading    the latest dip, None where there is none or it was dry to the foot
    """

    paving: float
    water: float
    tube_top: float
    tube_foot: float
    measured: frozenset[str]
    reading: Reading | None


def built(spec: Spec, underside_deep: float) -> Built:
    """Return what was measured, and the plan where nothing was.

    A dip from the build mark counts from the rim, one from the top counts from the tube's top. A
    tube that was dry to the foot gives no level: the spec's groundwater then stands.
    """
    found = spec.as_built
    given = {
        "paving": None if found is None else found.paving_above_rim,
        "water": None if found is None else found.water_below_rim,
        "tube_top": None if found is None else found.tube_top_above_rim,
        "tube_foot": None if found is None else found.tube_length,
    }
    paving = -_first(given["paving"], spec.levels.paving_above_rim)
    water = _first(given["water"], spec.levels.water_below_rim)
    top = spec.standpipe.below_lid + paving if given["tube_top"] is None else -given["tube_top"]
    foot = (
        underside_deep + spec.standpipe.foot_below_underside
        if given["tube_foot"] is None
        else top + given["tube_foot"]
    )
    measured = frozenset(name for name, value in given.items() if value is not None)
    return Built(paving, water, top, foot, measured, _latest(spec, top, foot))


def _latest(spec: Spec, tube_top: float, tube_foot: float) -> Reading | None:
    """The last dip of the latest day; None where none was taken, or no water stood in the tube."""
    dips = spec.as_built.dips if spec.as_built is not None else ()
    if not dips:
        return None
    at = max(range(len(dips)), key=lambda index: (dips[index].on, index))
    reading = Reading(dips[at].on, 0.0 if dips[at].mark == "build" else tube_top, dips[at].dip)
    return None if reading.level > tube_foot - DRY else reading


def _first(measured: float | None, planned: float) -> float:
    return planned if measured is None else measured
