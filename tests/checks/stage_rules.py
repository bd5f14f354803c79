"""The rules of filling and backfilling (DESIGN section 6) held against a printed table of stages.

Only what is printed and what the spec says is used, and volumes cut in slices here (sliced.py): nothing
of the search that found the table. `faults` yields a line for each rule or number that does not hold.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any

from builder.checks import Results
from tests.checks.sliced import Sliced
from tests.checks.test_fill_brute_force import inward

G = 9.80665
NEAR = 1e-6
SLICED = 1e-3  # of the brim: the profiles' panels against slices (worst seen 5e-4, in the first water)
FIRST = (0.150, 0.200)  # m of water on the deep floor before lift 1
LEADS = (0.140, 0.100)
MOST = 0.300
STEPS = {"metric": 0.005, "us": 0.00635}  # m: 5 mm, a quarter of an inch
Row = Mapping[str, Any]


def rows_of(printed: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The table of stages as it is printed, each row by column."""
    table = printed["fill.stages"]["value"]
    keys = [column["key"] for column in table["columns"]]
    return [dict(zip(keys, row, strict=True)) for row in table["rows"]]


class Rules:
    """What a printed job says, besides its table of stages."""

    def __init__(self, worked: Results) -> None:
        """Read levels and limits off the printed numbers and the spec."""
        self.printed: dict[str, Any] = worked.as_json()
        self.levels, self.job, self.spec = worked.levels, worked.job, worked.job.spec
        self.solid = Sliced(worked.levels)
        at = {key: self.printed[f"level.{key}"]["value"] for key in ("water", "overflow", "ground")}
        self.water, self.overflow, self.ground = at["water"], at["overflow"], at["ground"]
        self.floor = self.printed["level.floor_deep"]["value"]
        self.underside = self.printed["level.underside_deep"]["value"]
        self.bedding_base = self.printed["level.bedding_base"]["value"]
        self.end = max(self.spec.ring_beam.depth, self.ground)
        limit = self.spec.shell.wall_limit
        self.outward = None if limit is None else limit.outward
        self.inward = None if limit is None else limit.inward
        seen = self.printed["level.groundwater"]
        self.unknown = seen["verdict"] == "cannot tell"
        self.seen: float | None = seen["value"]
        # Unknown is planned for with water at the ground; a dry hole's bottom is under the bedding.
        self.groundwater = (
            self.seen if self.seen is not None else self.ground if self.unknown else self.levels.not_seen_to
        )
        self.pumped = self.unknown or self.groundwater < self.bedding_base - NEAR  # type: ignore[operator]
        self.rows = rows_of(self.printed)
        # the row at which the verdict says that no schedule keeps the rules
        entry = self.printed["fill.stages"]
        at = re.match(r"(?:at lift (\d+)|with the last water) ", entry["reason"])
        self.said = None if at is None or entry["verdict"] != "stop" else int(at[1] or len(self.rows))

    def faults(self, *, backfill: bool = False) -> Iterator[str]:
        """Yield every rule that the rows break while no verdict says so, and every number that is wrong."""
        broken = list(self.broken())
        if self.said is None:
            yield from broken
        elif broken:
            first = min(int(fault.split(" of row ")[1].split()[0].rstrip(":")) for fault in broken)
            if first != self.said:
                yield f"a stop at row {self.said}, but {broken[0]}"
        elif not self.job.backfill.cemented:  # wet fill as a liquid is not looked at here
            yield f"a stop at row {self.said} for a rule that holds"
        yield from self.order()
        yield from self.amounts()
        yield from self.safety()
        yield from self.nights()
        if backfill:
            yield from self.heap()

    def before(self) -> list[float]:
        """The fill's top before each row."""
        return [self.underside, *(row["backfill_top"] for row in self.rows[:-1])]

    def order(self) -> Iterator[str]:
        """The order of the rows: what holds of a broken schedule too."""
        rows, first, last = self.rows, self.rows[0], self.rows[-1]
        depth = self.floor - first["water_before"]
        if not FIRST[0] - NEAR <= depth <= FIRST[1] + NEAR:
            yield f"water_before: first water is {depth}"
        for at, (one, two) in enumerate(pairwise(rows), 2):
            if abs(two["water_before"] - one["water_after"]) > NEAR:
                yield f"water_before of row {at} is not where row {at - 1} left it"
        for at, row in enumerate(rows, 1):
            if row["water_after"] > row["water_before"] + NEAR:
                yield f"water_after of row {at}: the pool is let down"
        if abs(last["water_after"] - self.water) > NEAR:
            yield f"water_after: the last water ends at {last['water_after']}"
        if len(rows) > 1 and abs(last["backfill_top"] - rows[-2]["backfill_top"]) > NEAR:
            yield "backfill_top: the last water places fill"
        if abs(last["backfill_top"] - self.end) > NEAR:
            yield f"backfill_top: the fill ends at {last['backfill_top']}, not {self.end}"
        lift = self.spec.backfill.lift
        heights = [before - row["backfill_top"] for before, row in zip(self.before(), rows, strict=True)][:-1]
        for at, height in enumerate(heights, 1):
            if not NEAR < height <= lift + NEAR:
                yield f"backfill_top: lift {at} is {height} high"
        step = STEPS[self.job.region.units]
        # Each top is half a step at most from where equal lifts would put it.
        even = (self.underside - self.end) / len(heights)
        for at, row in enumerate(rows[:-2], 1):
            off_step = abs(row["backfill_top"] / step - round(row["backfill_top"] / step)) * step
            if off_step > NEAR:
                yield f"backfill_top of row {at} is not on a whole step of the tape"
            if abs(row["backfill_top"] - (self.underside - even * at)) > step / 2 + NEAR:
                yield f"backfill_top: lift {at} is not as high as the others"
        if len(heights) > (self.underside - self.end) / (lift - step) + 1:
            yield f"backfill_top: {len(heights)} lifts are more than it takes"
        if not any(self._leads(rows, lead) for lead in LEADS):
            yield "water_after: no one lead over the coming fill's tops"
        elif not self._leads(rows, LEADS[0]):
            asked = self.outward is not None or self.inward is not None
            over = max(heights) + LEADS[0] > MOST + NEAR
            if not asked and not over and self.said is None:
                yield "water_after: the smaller lead, which nothing asks for"

    def _leads(self, rows: list[dict[str, Any]], lead: float) -> bool:
        """Whether each lift's water stands a lead over its coming top, or was higher, or is at its level."""
        return all(
            abs(row["water_after"] - min(row["water_before"], max(row["backfill_top"] - lead, self.water)))
            < NEAR
            for row in rows[:-1]
        )

    def broken(self) -> Iterator[str]:
        """The rules that a schedule may break only with a stop."""
        last = len(self.rows)
        for at, (before, row, held) in enumerate(zip(self.before(), self.rows, self.held(), strict=True), 1):
            pool = row["water_after"]
            if pool > row["backfill_top"] + NEAR:
                yield f"water_after of row {at}: the fill stands over the water"
            over = before - pool
            if over > MOST + NEAR and not (at == last and self.outward is not None):
                yield f"water_after of row {at}: the water stands {over} over placed fill"
            if held < self.underside:
                if row["water_before"] > held - 0.05 + NEAR:
                    yield f"water_before of row {at}: less than 50 mm over the held water"
                if self.sf(row["water_before"], held) < 1.2 * (1 - SLICED):
                    yield f"sf of row {at}: the shell floats"
            height = self.spec.backfill.lift if row["backfill_top"] < before - NEAR else 0.0
            if self.outward is not None:
                for bare in (before, min(before + height, self.underside)):
                    if G * 1000 * (min(bare, self.floor) - pool) > self.outward + NEAR:
                        yield f"outward_kpa of row {at} passes the wall's limit"
            if self.inward is not None:
                for top in (row["backfill_top"], max(row["backfill_top"] - height, self.ground)):
                    if inward(self.levels, top, held, pool) > self.inward + NEAR:
                        yield f"inward_kpa of row {at} passes the wall's limit"

    def held(self) -> list[float]:
        """The groundwater that stands outside at each row: pumped until the pool holds the spec's."""
        gw: float = self.groundwater  # type: ignore[assignment]
        levels, free = [], not self.pumped
        for row in self.rows:
            free = free or self.holds(row["water_before"], gw)
            levels.append(gw if free else self.bedding_base)
        return levels

    def holds(self, pool: float, gw: float) -> bool:
        """Whether a pool is as high as uplift.lowest_water asks: SF 1.3, and 150 mm in hand at the floor."""
        if gw >= self.underside:
            return True
        shell, density = self.spec.shell, self.spec.water.density
        up = density * (self.underside - gw) - shell.laminate_density * shell.floor_thickness
        by_panel = self.floor - up / 1000 - 0.150
        return pool <= by_panel + NEAR and self.sf(pool, gw) >= 1.3 * (1 - NEAR)

    def sf(self, pool: float, gw: float) -> float:
        """Weight of shell and water over the water it displaces."""
        displaced = self.solid.outside(gw)
        weight: float = self.spec.shell.mass + 1000 * self.solid.inside(pool)
        return weight / (self.spec.water.density * displaced) if displaced > 0 else math.inf

    def amounts(self) -> Iterator[str]:
        """Litres, minutes, the push outwards and inwards, and how long the hose may run."""
        litres_per_minute = self.spec.water.flow * 60_000
        brim = self.solid.inside(0.0) * 1000
        poured = self.solid.inside(self.rows[0]["water_before"]) * 1000
        last = len(self.rows)
        for at, (before, row, held) in enumerate(zip(self.before(), self.rows, self.held(), strict=True), 1):
            pool, old = row["water_after"], row["water_before"]
            litres = 1000 * (self.solid.inside(pool) - self.solid.inside(old))
            if abs(row["litres"] - litres) > SLICED * brim:
                yield f"litres of row {at}: {row['litres']}, from {old} to {pool} there are {litres}"
            poured += row["litres"]
            if abs(row["cumulative_litres"] - poured) > SLICED * brim:
                yield f"cumulative_litres of row {at}: {row['cumulative_litres']}, the litres sum to {poured}"
            if abs(row["tap_minutes"] - row["litres"] / litres_per_minute) > NEAR:
                yield f"tap_minutes of row {at} are not its litres by the flow"
            out = G * (min(before, self.floor) - pool)
            if abs(row["outward_kpa"] - out) > NEAR:
                yield f"outward_kpa of row {at}: {row['outward_kpa']}, by hand {out}"
            top = row["backfill_top"]
            for key, outside in (("inward_kpa", held), ("inward_flooded_kpa", min(top, held))):
                push = inward(self.levels, top, outside, pool) / 1000
                if abs(row[key] - push) > NEAR:
                    yield f"{key} of row {at}: {row[key]}, by hand {push}"
            over = [] if at == last and self.outward is not None else [MOST]
            over += [] if self.outward is None else [self.outward / (G * 1000)]
            off = max(before - min(over), self.overflow)
            minutes = 1000 * (self.solid.inside(off) - self.solid.inside(old)) / litres_per_minute
            if abs(row["leave_by_minutes"] - minutes) > SLICED * brim / litres_per_minute:
                yield f"leave_by_minutes of row {at}: {row['leave_by_minutes']}, by hand {minutes}"
            if self.said is None and row["leave_by_minutes"] < row["tap_minutes"] - NEAR:
                yield f"leave_by_minutes of row {at}: the hose is off before the water is up"
        total = self.printed["shell.water_volume"]["value"] * 1000
        if abs(self.rows[-1]["cumulative_litres"] - total) > NEAR * total:
            yield "cumulative_litres: the last is not the pool's water"

    def safety(self) -> Iterator[str]:
        """Safety against floating, and the dip that stops the work: the lower of SF 1.2 and 50 mm under."""
        for at, (row, held) in enumerate(zip(self.rows, self.held(), strict=True), 1):
            pool, stop = row["water_before"], row["dip_stop_build"]
            sf = self.sf(pool, held)
            if (row["sf"] is None) != math.isinf(sf):
                yield f"sf of row {at} is {row['sf']}, by hand {sf}"
            elif row["sf"] is not None and abs(row["sf"] / sf - 1) > 5 * SLICED:
                yield f"sf of row {at} is {row['sf']}, by hand {sf}"
            at_stop = self.sf(pool, stop)
            if stop < pool + 0.05 - NEAR or at_stop < 1.2 * (1 - 5 * SLICED):
                yield f"dip_stop_build of row {at} is too high: SF {at_stop} with the pool at {pool}"
            elif stop > pool + 0.05 + NEAR and at_stop > 1.2 * (1 + 5 * SLICED):
                yield f"dip_stop_build of row {at} is lower than either rule asks"

    def nights(self) -> Iterator[str]:
        """safe_stop: SF 1.3 and 100 mm over the dip with a night's rain on it."""
        rise = self.printed["rain.forecast_rise"]["value"]
        start = self.underside
        if self.seen is not None:
            start = max(min(self.seen, self.underside), self.ground)
        sure = rise is not None and not self.unknown
        for at, row in enumerate(self.rows, 1):
            best = self.night(row["water_after"], start - (rise or 0.0))
            worst = self.night(row["water_after"], self.ground)
            expected = {best} if sure else {b and (w or None) for b in (best,) for w in (worst,)}
            said = {"yes": True, "no": False, "cannot tell": None}[row["safe_stop"]]
            if said not in expected and not self._close(row["water_after"], start - (rise or 0.0)):
                yield f"safe_stop of row {at} says {row['safe_stop']}"

    def night(self, pool: float, gw: float) -> bool:
        """Whether a pool holds overnight with the groundwater so high."""
        return pool <= gw - 0.1 + NEAR and self.sf(pool, gw) >= 1.3

    def _close(self, pool: float, gw: float) -> bool:
        """Whether the safety is so near 1.3 that slices cannot tell."""
        return abs(self.sf(pool, gw) / 1.3 - 1) < 5 * SLICED

    def heap(self) -> Iterator[str]:
        """backfill_m3 row by row: the dig, less shell and bedding; and all of it with what stays open."""
        whole = self.printed["dig.volume"]["value"]
        lower, placed = self.levels.dig.deepest, 0.0
        for at, row in enumerate(self.rows, 1):
            upper = row["backfill_top"]
            heap = self.solid.backfill(upper) - self.solid.backfill(lower)
            if abs(row["backfill_m3"] - heap) > SLICED * whole:
                yield f"backfill_m3 of row {at}: {row['backfill_m3']}, sliced {heap}"
            placed, lower = placed + row["backfill_m3"], upper
        if placed > self.printed["backfill.volume"]["value"] + SLICED * whole:
            yield f"backfill_m3: {placed} is placed, more than all the backfill"
