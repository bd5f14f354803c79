"""Thousands of random valid jobs through every number: `make random-jobs N=10000 SEED=1`.

Each job is drawn from "seed:number", so a failing one can be repeated alone:
`python tests/random_jobs.py --seed 1 --only 4711`. What must hold is in `faults_of`; every eighth
job is also changed in one respect, and must answer the way physics does (`relations.py`).
"""

from __future__ import annotations

import argparse
import gc
import json
import math
import random
import sys
import time
import traceback
from collections.abc import Iterator
from pathlib import Path
from typing import Any

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from builder import yamlfile
from builder.catalogue import Catalogue, load
from builder.checks import Results, work
from builder.errors import InputFaults
from builder.formula import evaluate
from builder.job import of
from builder.levels import place
from builder.quantity import VERDICTS, Number, Table
from tests import random_relations, random_specs
from tests.random_specs import Spec

DRAWS = 60  # a spec the job room refuses is drawn again, at most so often
NEVER_NEGATIVE = ("shell.", "bedding.", "backfill.", "beam.", "lift.", "proof.", "gap.", "pump.")
NEVER_NEGATIVE_KEYS = {
    *("dig.volume", "dig.bulked_volume", "dig.truckloads", "dig.depth_deep", "dig.depth_shallow"),
    *("dig.top_length", "dig.top_width", "dig.check_diagonal", "dig.people"),
    *("drawdown.inflow", "drawdown.mound_under_floor", "drawdown.time"),
    *("rain.rise_per_mm", "rain.rise_per_mm_30", "rain.forecast_rise", "rain.to_watch"),
    *("fill.barrier_litres", "fill.barrier_minutes", "uplift.float_height", "uplift.panel_head"),
    *("standpipe.open_area", "standpipe.gentle_flow", "standpipe.yield", "standpipe.bore"),
}
STAGE_COLUMNS = ("litres", "tap_minutes", "cumulative_litres", "backfill_m3")
COMPARED, PRINTED = 8, 20  # every so-manieth job is changed and compared; has its formulas put to the proof
LEAST = 1e-9
EXACT = 1e-9  # of the dig: all its volumes come from the same parabolas, so only rounding is left


def results_of(spec: Spec, catalogue: Catalogue) -> Results:
    """Return every number of a spec; raises InputFaults where the job room refuses it."""
    text = json.dumps(spec)  # which is YAML, and quicker to write
    return work(place(of(yamlfile.parse(text.encode(), "random.yml"), "random.yml", catalogue)))


def valid(seed: int, number: int, catalogue: Catalogue) -> tuple[Spec, Results, int]:
    """Return job `number` of `seed`: its spec, its numbers, and how many draws were refused before it."""
    rng = random.Random(f"{seed}:{number}")  # noqa: S311 a draw to repeat, no secret
    for refused in range(DRAWS):
        spec = random_specs.draw(rng, catalogue)
        try:
            return spec, results_of(spec, catalogue), refused
        except InputFaults:
            continue
        except Exception as error:
            raise Crash(spec) from error
    raise RuntimeError(f"job {number} of seed {seed}: {DRAWS} draws in a row were refused")


class Crash(Exception):
    """A spec the job room takes and the numbers fall over."""

    def __init__(self, spec: Spec) -> None:
        """Keep the spec."""
        super().__init__("the numbers fell over")
        self.spec = spec


def faults_of(worked: Results) -> Iterator[str]:
    """Yield everything that must hold of any job's numbers and does not."""
    for key, number in worked.items():
        yield from _entry(key, number)
    yield from _volumes(worked)
    yield from _order(worked)
    yield from _stages(worked)
    yield from _water(worked)


def _entry(key: str, number: Number) -> Iterator[str]:
    if not math.isfinite(sum(_values(number))):  # a NaN or an infinity goes through a sum
        yield f"{key} holds what is no number"
    if number.verdict not in VERDICTS:
        yield f"{key} has the verdict {number.verdict}"
    if (number.verdict != "ok" or number.value is None) and not number.reason:
        yield f"{key} is {number.verdict} without a reason"
    if number.low is not None and number.high is not None and not number.low <= number.si <= number.high:
        yield f"{key} does not lie in its range"
    if isinstance(number.value, float) and number.value < -LEAST:
        if key.startswith(NEVER_NEGATIVE) or key in NEVER_NEGATIVE_KEYS:
            yield f"{key} is {number.value}"


def _values(number: Number) -> list[float]:
    """Every number of an entry, its inputs apart."""
    if isinstance(number.value, Table):
        return [cell for row in number.value.rows for cell in row if isinstance(cell, float)]
    return [value for value in (number.value, number.low, number.high) if isinstance(value, float)]


def _volumes(worked: Results) -> Iterator[str]:
    """The dig is full: what is dug is what is put in and what stays open, to a billionth."""
    levels, spec = worked.levels, worked.job.spec
    stages = worked["fill.stages"].table.records()
    top = min(float(row["backfill_top"] or 0.0) for row in stages)
    placed = sum(float(row["backfill_m3"] or 0.0) for row in stages)
    beam = levels.beam.volume_below(levels.ground)
    # Over the last lift, beside what of the beam stands in the dig and not in a trench of its own.
    beside = levels.dig.gap_volume(levels.ground, max(top, levels.ground)) - (beam - levels.beam_trench)
    parts = {
        "shell": levels.solid.outside_profile.volume_below(levels.ground),
        "bedding": worked["bedding.volume"].si,
        "make-up": worked["bedding.makeup_volume"].si,
        "sump": 0.0 if spec.sump is None else spec.sump.depth * spec.sump.width**2,
        "pit": 0.0 if spec.standpipe.pit is None else spec.standpipe.pit.depth * spec.standpipe.pit.width**2,
        "lifts": placed,
        "beam": beam,
        "open": beside,
    }
    dug = worked["dig.volume"].si
    for name, part in parts.items():
        if part < -EXACT * dug:
            yield f"{part} m3 of {name} in a dig of {dug}"
    if abs(sum(parts.values()) - dug) > EXACT * dug:
        yield f"the dig of {dug} m3 is full of {parts}, {sum(parts.values())} m3"
    if abs(placed + beside - worked["backfill.volume"].si) > EXACT * dug:
        yield f"the lifts make {placed + beside} m3 of backfill, the dig {worked['backfill.volume'].si}"


def _order(worked: Results) -> Iterator[str]:
    for row in worked["order.table"].table.records():
        net, order = row["net"], row["order"]
        if isinstance(net, float) and isinstance(order, float) and order < net - LEAST:
            yield f"order.table: {order} of {row['item']} is less than {net}"


def _stages(worked: Results) -> Iterator[str]:
    table = worked["fill.stages"]
    rows = table.table.records()
    for at, row in enumerate(rows, 1):
        for column in STAGE_COLUMNS:
            cell = row[column]
            if isinstance(cell, float) and cell < -LEAST:
                yield f"fill.stages row {at}: {column} is {cell}"
    if table.verdict in ("ok", "watch"):
        for at, row in enumerate(rows, 1):
            water, fill = row["water_after"], row["backfill_top"]
            if isinstance(water, float) and isinstance(fill, float) and water > fill + LEAST:
                yield f"fill.stages row {at}: the fill stands over the water"


def _water(worked: Results) -> Iterator[str]:
    """Verdicts and numbers of the groundwater agree with each other."""
    known, levels = worked.groundwater, worked.levels
    inflow, base, time_down = worked["drawdown.inflow"], worked["dig.base"], worked["drawdown.time"]
    if known.state == "unknown":
        for key in ("dig.base", "drawdown.inflow", "level.groundwater", "standpipe.yield"):
            if worked[key].verdict != "cannot tell":
                yield f"{key} is {worked[key].verdict} with an unknown groundwater"
        if worked["fill.start_groundwater"].verdict == "ok":
            yield "filling may start over an unknown groundwater"
        return
    deepest = levels.bedding_base if levels.sump_base is None else levels.sump_base
    dry = known.used >= deepest - 1e-6
    if inflow.verdict != "cannot tell" and (inflow.value is None) != dry:
        yield f"drawdown.inflow is {inflow.value} with groundwater at {known.used}, dug to {deepest}"
    if base.verdict == "ok" and known.used < levels.bedding_base - 1e-6:
        yield "dig.base is ok with water in it"
    if time_down.value is not None:
        fastest = min(worked["standpipe.yield"].si, worked["pump.duty_flow"].si)
        if fastest <= (inflow.high or 0.0):
            yield "drawdown.time has a value though the inflow wins"
    rise, room = worked["rain.forecast_rise"], max(levels.underside_deep, known.used) - levels.ground
    if rise.value is not None and rise.si > room + 1e-6:
        yield f"rain.forecast_rise of {rise.si} passes the ground"
    made_up = worked["bedding.makeup"]
    loose = made_up.si > 0.150 + LEAST and worked.job.spec.excavation.makeup == "none"
    if (made_up.verdict == "stop") != loose:
        yield f"bedding.makeup of {made_up.si} is {made_up.verdict}"


def printed(worked: Results) -> Iterator[str]:
    """Yield what JSON cannot hold, and every key whose printed formula does not give its printed value."""
    try:
        json.dumps(worked.as_json(), allow_nan=False)
    except ValueError as error:
        yield f"the JSON cannot be written: {error}"
    for key, number in worked.items():
        if number.formula.startswith("method:") or not isinstance(number.value, float):
            continue
        inputs = {name: one.value for name, one in number.inputs.items() if one.value is not None}
        again = evaluate(number.formula, inputs)
        if not math.isclose(again, number.value, rel_tol=1e-9, abs_tol=1e-12):
            yield f"{key} is {number.value}, its formula gives {again}"


def look(seed: int, number: int, catalogue: Catalogue) -> tuple[int, int]:
    """Work job `number` and raise AssertionError with its faults.

    Returns how many draws were refused, and 1 where the job was also changed and compared.
    """
    spec, worked, refused = valid(seed, number, catalogue)
    faults = list(faults_of(worked))
    if number % PRINTED == 0:
        faults += printed(worked)
    compared = 0
    if number % COMPARED == 0:
        rng = random.Random(f"{seed}:{number}:changed")  # noqa: S311
        changed = random_relations.change(rng, spec, worked)
        if changed is not None:
            name, other, holds = changed
            try:
                after = results_of(other, catalogue)
            except InputFaults:
                pass  # the change made the spec impossible
            else:
                compared = 1
                faults += [f"{name}: {fault}" for fault in holds(worked, after)]
                faults += list(faults_of(after))
    if faults:
        raise AssertionError("\n  ".join([f"seed {seed}, job {number}:", *faults, json.dumps(spec)]))
    return refused, compared


def main(given: list[str] | None = None) -> int:
    """Run the jobs; 1 where one failed, after printing its seed and spec."""
    parser = argparse.ArgumentParser(description="Thousands of random valid jobs through every number.")
    parser.add_argument("-n", type=int, default=10_000, help="how many jobs")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", type=int, help="one job of the seed, to repeat a failure")
    asked = parser.parse_args(given)
    catalogue = load()
    gc.freeze()  # what stays for the whole run is not looked over again and again
    gc.set_threshold(50_000, 20, 20)
    numbers: Any = range(asked.n) if asked.only is None else [asked.only]
    failed = refused = compared = 0
    start = time.perf_counter()
    for done, number in enumerate(numbers, 1):
        try:
            more, pair = look(asked.seed, number, catalogue)
            refused, compared = refused + more, compared + pair
        except AssertionError as error:
            failed += 1
            say(error)
        except Crash as error:
            failed += 1
            say(traceback.format_exc())
            say(f"seed {asked.seed}, job {number}: crash\n  {json.dumps(error.spec)}")
        if failed >= 20:
            say("Twenty jobs failed: enough")
            return 1
        if done % 1000 == 0:
            say(f"{done} jobs, {time.perf_counter() - start:.0f} s")
    took = time.perf_counter() - start
    each = 1000 * took / len(numbers)
    say(f"{len(numbers)} jobs of seed {asked.seed} in {took:.0f} s ({each:.1f} ms each)")
    say(f"{compared} changed and compared, {refused} impossible specs drawn again, {failed} failed")
    return 1 if failed else 0


def say(what: object) -> None:
    """Write a line at once."""
    sys.stdout.write(f"{what}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main())
