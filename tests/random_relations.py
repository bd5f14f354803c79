"""What one change does to a job, whatever the job: more water, a bigger hose, a flatter cut.

Each relation changes a spec (or returns None where it says nothing there) and names the numbers
that must not fall, or must not rise.
"""

from __future__ import annotations

import copy
import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from builder.checks import Results
from tests.random_specs import Spec, mm

Holds = Callable[[Results, Results], Iterator[str]]


@dataclass(frozen=True)
class Relation:
    """A change with the keys that then never fall, and those that never rise."""

    name: str
    apply: Callable[[random.Random, Spec, Results], Spec | None]
    not_less: tuple[str, ...] = ()
    not_more: tuple[str, ...] = ()

    def holds(self, before: Results, after: Results) -> Iterator[str]:
        """Yield each key that went the wrong way; a key without a value on either side says nothing."""
        for key, sign in (*((key, 1) for key in self.not_less), *((key, -1) for key in self.not_more)):
            old, new = before[key].value, after[key].value
            if isinstance(old, float) and isinstance(new, float):
                # Panels of the profiles fall elsewhere in the changed job: volumes hold to 1e-4 (profile.py).
                if sign * (new - old) < -5e-5 * max(abs(old), abs(new), 1e-3) - 1e-12:
                    yield f"{key} went from {old} to {new}"


def change(rng: random.Random, spec: Spec, worked: Results) -> tuple[str, Spec, Holds] | None:
    """Return one relation's name, the changed spec, and what must hold between the two."""
    relation = rng.choice(RELATIONS)
    changed = relation.apply(rng, copy.deepcopy(spec), worked)
    return None if changed is None else (relation.name, changed, relation.holds)


def _more_groundwater(rng: random.Random, spec: Spec, worked: Results) -> Spec | None:
    water = spec["ground"]["groundwater"]
    if not isinstance(water, str) or worked.levels.built.reading is not None:
        return None
    depth = float(water.split()[0])
    spec["ground"]["groundwater"] = mm(round(depth * rng.uniform(0.0, 1.0)))
    spec["ground"].pop("highest_known", None)
    _hold_tube(spec, worked)
    return spec


def _bigger_hose(rng: random.Random, spec: Spec, worked: Results) -> Spec | None:
    return _pump(spec, worked, bore=1000 * worked.job.spec.pump.hose.bore + rng.randint(1, 12))


def _longer_hose(rng: random.Random, spec: Spec, worked: Results) -> Spec | None:
    return _pump(spec, worked, length=1000 * worked.job.spec.pump.hose.length + rng.randint(500, 30000))


def _higher_hose(rng: random.Random, spec: Spec, worked: Results) -> Spec | None:
    return _pump(spec, worked, rise=1000 * worked.job.spec.pump.hose.rise + rng.randint(10, 1500))


def _pump(spec: Spec, worked: Results, **hose: float) -> Spec:
    now = worked.job.spec.pump.hose
    sizes = {"bore": 1000 * now.bore, "length": 1000 * now.length, "rise": 1000 * now.rise} | hose
    pump = spec.setdefault("pump", {})
    pump["hose"] = {key: mm(value) for key, value in sizes.items()}
    return spec


def _more_rain(rng: random.Random, spec: Spec, worked: Results) -> Spec | None:
    spec["ground"]["rain_overnight"] = mm(1000 * worked.job.spec.ground.rain_overnight + rng.randint(1, 100))
    return spec


def _more_catchment(rng: random.Random, spec: Spec, worked: Results) -> Spec | None:
    spec["ground"]["catchment"] = f"{worked.job.spec.ground.catchment + rng.randint(1, 200):g} m2"
    return spec


def _deeper(rng: random.Random, spec: Spec, worked: Results) -> Spec | None:
    dig = worked.job.spec.excavation
    spec["excavation"]["overdug"] = mm(1000 * dig.overdug + rng.randint(1, 200))
    _hold_batter(spec, worked)
    return spec


def _flatter(rng: random.Random, spec: Spec, worked: Results) -> Spec | None:
    slope = worked.levels.dig.batter
    if slope is None:
        return None
    degrees = slope * 180 / 3.141592653589793
    spec["excavation"]["batter"] = f"{max(degrees - rng.uniform(1, 20), 12):.3f} deg"
    return spec if degrees > 12.001 else None


def _wider_gap(rng: random.Random, spec: Spec, worked: Results) -> Spec | None:
    spec["backfill"]["working_gap"] = mm(1000 * worked.job.spec.backfill.working_gap + rng.randint(1, 300))
    _hold_batter(spec, worked)
    return spec


def _heavier(rng: random.Random, spec: Spec, worked: Results) -> Spec | None:
    shell = spec["shell"]
    if isinstance(shell, str):
        return None
    shell["mass"] = f"{worked.levels.solid.shell.mass * rng.uniform(1.0, 1.8):.1f} kg"
    return spec


def _salter(rng: random.Random, spec: Spec, worked: Results) -> Spec | None:
    density = worked.job.spec.water.density
    spec["water"]["density"] = f"{density + rng.randint(1, 40):g} kg/m3"
    return spec


def _hold_batter(spec: Spec, worked: Results) -> None:
    """Keep the batter, which by default follows the grounds the dig meets."""
    batter = worked.levels.dig.batter
    if batter is not None:
        spec["excavation"]["batter"] = f"{batter} rad"


def _hold_tube(spec: Spec, worked: Results) -> None:
    """Keep pit and foot, which by default follow the groundwater."""
    tube = worked.job.spec.standpipe
    spec["standpipe"] |= {
        "pit": "none"
        if tube.pit is None
        else {"depth": f"{tube.pit.depth} m", "width": f"{tube.pit.width} m"},
        "foot_below_underside": f"{tube.foot_below_underside} m",
    }


DIG = ("dig.volume", "dig.bulked_volume", "dig.truckloads", "dig.top_length", "dig.top_width")
LINES = ("uplift.watch_groundwater", "uplift.act_groundwater")
RELATIONS = (
    Relation(
        "more groundwater",
        _more_groundwater,
        not_less=("drawdown.inflow", "standpipe.yield", "dig.base"),
        not_more=("uplift.safety_today", "level.groundwater"),
    ),
    Relation("a bigger hose", _bigger_hose, not_less=("pump.duty_flow",), not_more=("pump.duty_head",)),
    Relation("a longer hose", _longer_hose, not_less=("pump.duty_head",), not_more=("pump.duty_flow",)),
    Relation("a higher hose end", _higher_hose, not_less=("pump.duty_head",), not_more=("pump.duty_flow",)),
    Relation("more rain", _more_rain, not_less=("rain.forecast_rise",)),
    Relation(
        "more catchment",
        _more_catchment,
        not_less=("rain.forecast_rise", "rain.rise_per_mm", "rain.rise_per_mm_30"),
        not_more=("rain.to_watch",),
    ),
    Relation(
        "dug too deep",
        _deeper,
        not_less=(*DIG, "dig.depth_deep", "bedding.makeup", "bedding.makeup_volume", "backfill.volume"),
    ),
    Relation("a flatter cut", _flatter, not_less=(*DIG, "backfill.volume", "gap.litres_per_100mm")),
    Relation(
        "a wider gap",
        _wider_gap,
        not_less=(*DIG, "bedding.volume", "backfill.volume", "dig.check_diagonal"),
    ),
    Relation(
        "a heavier shell",
        _heavier,
        not_less=("uplift.float_height", "uplift.safety_flooded", "lift.mass"),
        not_more=LINES,
    ),
    Relation(
        "salter groundwater",
        _salter,
        not_less=LINES,
        not_more=("uplift.float_height", "uplift.panel_head", "uplift.safety_flooded", "uplift.safety_today"),
    ),
)
