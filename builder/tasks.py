"""What each command does with one job: from a spec's path to an outcome, in whichever process.

Nothing is printed here. Faults of a job are lines of its outcome, and its exit code.
"""

from __future__ import annotations

import gc
import json
import os
import sys
from collections.abc import Callable, Iterator, Mapping
from functools import lru_cache, wraps
from pathlib import Path
from typing import TYPE_CHECKING, ParamSpec

from builder import batch
from builder.batch import Outcome
from builder.errors import CannotWrite, InputFaults

if TYPE_CHECKING:
    from builder.catalogue import Catalogue
    from builder.checks import Results
    from builder.desk import Desk
    from builder.quantity import Number

FINE, STOPPED, WRONG_INPUT, NOT_WRITTEN, INTERRUPTED = 0, 1, 2, 3, 130
STRICT_GROUPS = ("uplift.", "wall.", "filter.")
P = ParamSpec("P")


@lru_cache(maxsize=1)
def catalogue() -> Catalogue:
    """Return the project's catalogue, read once a process."""
    from builder.catalogue import load

    return load()


def _faults_told(task: Callable[P, Outcome]) -> Callable[P, Outcome]:
    """Make faults of a task its outcome."""

    @wraps(task)
    def told(*args: P.args, **kwargs: P.kwargs) -> Outcome:
        try:
            return task(*args, **kwargs)
        except InputFaults as faults:
            return Outcome("wrong", wrong=tuple(str(fault) for fault in faults.faults), code=WRONG_INPUT)
        except CannotWrite as failure:
            return Outcome("not written", wrong=(str(failure),), code=NOT_WRITTEN)

    return told


def _worked(path: Path) -> Results:
    gc.disable()  # what is loaded here stays: to look through it again and again is a waste
    from builder import making

    known = catalogue()
    gc.enable()
    return making.results(path, known)


@_faults_told
def check(path: Path, strict: bool = False) -> Outcome:
    """Say what stops a job, what cannot be told and what to watch."""
    worked = _worked(path)
    counts = f"{len(worked.stops)} stop, {len(worked.unknowns)} cannot tell, {len(worked.watches)} to watch"
    said = (
        f"{path}: {worked.job.spec.ref} {worked.job.spec.title}",
        *(f"  {line}" for line in verdict_lines(worked)),
        f"  {len(worked)} numbers: {counts}",
    )
    bad = worked.open_stops or any(n.key.startswith(STRICT_GROUPS) for n in worked.unknowns)
    done = "with a stop" if worked.open_stops else "checked"
    return Outcome(done, said, code=STOPPED if strict and bad else FINE)


@_faults_told
def numbers(path: Path, as_json: bool = False, earlier: Path | None = None) -> Outcome:
    """Say every number of a job, or what moved since an earlier time."""
    worked = _worked(path)
    if earlier is not None:
        from builder.checks import against, moves
        from builder.checks.earlier import read

        difference = against.compare(read(earlier), worked)
        said = (_json(difference.as_json()),) if as_json else tuple(moves.lines(difference))
        return Outcome("compared", said)
    if as_json:
        return Outcome("worked", (_json(worked.as_json()),), ref=worked.job.spec.ref)
    return Outcome("worked", tuple(number_line(number) for number in worked.values()))


@_faults_told
def guide(path: Path, out: Path, force: bool = False) -> Outcome:
    """Build a job's guide under `out`, unless it stands there, built from the same inputs."""
    from builder import making, website

    if not force and (index := website.standing(path, out)) is not None:
        return Outcome(
            "unchanged", (f"{os.path.relpath(index)}: unchanged; open it in a browser",), counted=True
        )
    worked = _worked(path)
    index = making.guide(worked, out / worked.job.spec.ref)
    website.remember(path, out, index)
    return Outcome("built", (f"{index}: open it in a browser",), counted=True)


@_faults_told
def pack(path: Path, out: Path, issued: Path, base: str | None) -> Outcome:
    """Make what is sent of a job; refused where a stop has nobody who answers for it."""
    from builder import making
    from builder import pack as room

    worked = _worked(path)
    order = room.Order(worked, out, issued, base, warn)
    if stops := tuple(str(stop) for stop in room.stop_lines(order)):
        return Outcome("stopped", wrong=stops, code=STOPPED)
    packed = making.pack(order)
    size = f"zip {packed.zip_size / 1e6:.1f} MB"
    said = f"{packed.folder}: {order.name} {packed.done}, {packed.files} files, {size}"
    told = tuple(f"  {line}" for line in verdict_lines(worked) if line.startswith("stop: "))
    return Outcome(packed.done, (said, *told), counted=True)


@_faults_told
def json_schema() -> Outcome:
    """Say the JSON Schema of a spec."""
    from builder.job import json_schema as schema

    return Outcome("written", (schema.text(catalogue()).rstrip("\n"),))


@_faults_told
def new(path: Path, given: Mapping[str, str]) -> Outcome:
    """Write a fresh spec at `path`; given: what is filled in, by dotted path."""
    from builder import job, yamlfile
    from builder.job import fresh

    other = batch.references(path.parent).get(given.get("ref", "").casefold(), path)
    if other != path:
        told = f"--ref: {given['ref']} is the reference of {other} already. Give each job one of its own."
        return Outcome("wrong", wrong=(told,), code=WRONG_INPUT)
    text = fresh.text(given, catalogue(), path)
    left: list[str] = []
    try:
        job.of(yamlfile.parse(text.encode(), str(path)), str(path), catalogue())
    except InputFaults as faults:
        options = tuple(
            f"--{fault.path.rpartition('.')[2]}: {str(fault).partition(f'{fault.path}: ')[2]}"
            for fault in faults.faults
            if fault.path in given
        )
        if options:
            return Outcome("wrong", wrong=options, code=WRONG_INPUT)
        if others := [fault for fault in faults.faults if fault.file != str(path)]:
            raise InputFaults(others) from None
        left = list(dict.fromkeys(fault.path for fault in faults.faults))
    fresh.put(path, text)
    todo = f"fill in {', '.join(left)}" if left else "every required key is filled in"
    return Outcome("written", (f"{path}: {todo}",))


@_faults_told
def new_from(table: Path, out: Path) -> Outcome:
    """Write a fresh spec into `out` for every sound row of a table."""
    from builder.job import fresh, orders

    taken = {ref: str(path) for ref, path in batch.references(out).items()}
    found = orders.read(table, out, taken, catalogue())
    wrong = [str(fault) for fault in found.faults]
    said: list[str] = []
    code = WRONG_INPUT if wrong else FINE
    for order in found.sound:
        try:
            fresh.put(order.path, order.text)
        except CannotWrite as failure:
            wrong.append(str(failure))
            code = NOT_WRITTEN
        else:
            said.append(f"{order.path}: row {order.row}, {order.ref}")
    said.append(f"{len(said)} of {found.rows} rows written")
    return Outcome("written", tuple(said), tuple(wrong), code)


def desk(folder: Path, issued: Path, send: Path, out: Path, workers: int | None) -> int:
    """Build the support desk's site over a folder of jobs and what was sent of them; return the exit code."""
    from functools import partial

    from builder import desk as room

    try:
        room.refuse(out, {"what is sent": send, "the records": issued, "the jobs": folder})
        paths = sorted(folder.glob(batch.SPECS))
        gone = room.jobs_of(issued, [batch.ref_of(path) for path in paths])
        if not paths and not gone:
            warn(f"{folder}: no job is here, and none was sent. Name a folder of specs with --jobs.")
            return WRONG_INPUT
        with room.beside(out, issued, send) as made:
            code = batch.run([*paths, *gone], partial(_on_desk, made=made), workers)
            if code == NOT_WRITTEN:
                return code
            batch.print_line(f"{made.finish()}: open it in a browser")
            return code
    except CannotWrite as failure:
        warn(str(failure))
        return NOT_WRITTEN


@_faults_told
def _on_desk(path: Path, made: Desk) -> Outcome:
    """Write one job's pages for the desk."""
    told = made.job(path, batch.ref_of(path), catalogue())
    wrong = tuple(str(fault) for fault in told.faults)
    return Outcome(told.done, wrong=wrong, code=WRONG_INPUT if wrong else FINE)


def warn(text: str) -> None:
    """Print a line to stderr at once."""
    sys.stderr.write(f"{text}\n")
    sys.stderr.flush()


def number_line(number: Number) -> str:
    """Return one number as a line: key, value, verdict, reason."""
    value = number.value
    if value is None:
        said = "none"
    elif isinstance(value, int | float):
        said = f"{number.printed(value):.6g} {number.unit}"
        if number.low is not None:
            said += f" ({number.printed(number.low):.3g} to {number.printed(number.high):.3g})"
    else:
        said = f"a table of {len(value.rows)} rows"
    reason = f": {number.reason}" if number.reason else ""
    return f"{number.key}  {said}  {number.verdict}{reason}"


def verdict_lines(worked: Results) -> Iterator[str]:
    """Yield one line for each reason, worst verdict first, with how many numbers share it."""
    shared: dict[tuple[str, str], list[str]] = {}
    for number in (*worked.stops, *worked.unknowns, *worked.watches):
        accepted = worked.accepted(number.key) if number.verdict == "stop" else None
        said = number.reason or number.words
        if accepted is not None:
            said += f" (answered for by {accepted.by}: {accepted.reason})"
        shared.setdefault((number.verdict, said), []).append(number.key)
    for (verdict, said), keys in shared.items():
        others = f" and {len(keys) - 1} more" if len(keys) > 1 else ""
        yield f"{verdict}: {said} [{min(keys, key=len)}{others}]"


def _json(found: object) -> str:
    return json.dumps(found, indent=1, ensure_ascii=False, allow_nan=False)
