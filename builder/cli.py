"""The command line: parse, call one function, print, exit code.

Exit 0 fine · 1 a stop (or, with --strict, a cannot tell on uplift, wall or filter) where the
command is `check --strict` · 2 the input is wrong · 3 something could not be written. Faults go
to stderr, one a line. One bad job does not stop the others.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from builder import __version__
from builder.errors import CannotWrite, InputFaults

if TYPE_CHECKING:
    from builder.catalogue import Catalogue
    from builder.checks import Results
    from builder.quantity import Number

FINE, STOPPED, WRONG_INPUT, NOT_WRITTEN = 0, 1, 2, 3
STRICT_GROUPS = ("uplift.", "wall.", "filter.")
PROJECT_JOBS = Path(__file__).resolve().parent.parent / "jobs"

_jobs = click.argument("jobs", metavar="JOB...", nargs=-1, required=True)
_folder = click.option(
    "--jobs",
    "folder",
    type=click.Path(path_type=Path),
    help="Folder a JOB is looked up in by its file's name.",
)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="shellbed")
def main() -> None:
    """Turn job specs of one-piece pool shells into illustrated install guides."""


@main.command()
@_jobs
@_folder
@click.option("--strict", is_flag=True, help="Exit 1 on a stop, or a cannot tell on uplift, wall or filter.")
def check(jobs: tuple[str, ...], folder: Path | None, strict: bool) -> None:
    """Read each JOB and say what stops it, what cannot be told and what to watch."""
    run = _Run()
    for path, worked in run.worked(jobs, folder):
        _say(f"{path}: {worked.job.spec.ref} {worked.job.spec.title}")
        for line in _verdict_lines(worked):
            _say(f"  {line}")
        counts = (
            f"{len(worked.stops)} stop, {len(worked.unknowns)} cannot tell, {len(worked.watches)} to watch"
        )
        _say(f"  {len(worked)} numbers: {counts}")
        if strict and (worked.open_stops or any(n.key.startswith(STRICT_GROUPS) for n in worked.unknowns)):
            run.exit(STOPPED)
    run.end()


@main.command()
@click.argument("job")
@_folder
@click.option(
    "--json", "as_json", is_flag=True, help="Print JSON: value, unit, formula, inputs, source, verdict."
)
def numbers(job: str, folder: Path | None, as_json: bool) -> None:
    """Print every number of JOB."""
    run = _Run()
    for _, worked in run.worked((job,), folder):
        if as_json:
            _say(json.dumps(worked.as_json(), indent=1, ensure_ascii=False, allow_nan=False))
        else:
            for number in worked.values():
                _say(_line(number))
    run.end()


@main.command()
@_jobs
@_folder
@click.option("--out", type=click.Path(path_type=Path), default=Path("out/guide"), show_default=True)
def guide(jobs: tuple[str, ...], folder: Path | None, out: Path) -> None:
    """Build the guide of each JOB as a folder that opens without a network."""
    from builder import making, website

    run = _Run()
    for path, worked in run.worked(jobs, folder, skip=lambda path: _standing(path, out)):
        try:
            index = making.guide(worked, out / worked.job.spec.ref)
        except InputFaults as faults:
            run.report(faults)
        except CannotWrite as failure:
            run.fail(failure)
        else:
            website.remember(path, out, index)
            _say(f"{index}: open it in a browser")
    run.end()


def _standing(path: Path, out: Path) -> bool:
    """Whether the guide of the spec at `path` stands unchanged; says so."""
    from builder import website

    index = website.standing(path, out)
    if index is not None:
        _say(f"{os.path.relpath(index)}: unchanged; open it in a browser")
    return index is not None


@main.command()
def schema() -> None:
    """Print every key of a job spec that has a default: key, default, why, who may change it."""
    from builder.job import TABLE

    for row in TABLE.values():
        _say(f"{row.path}: {row.text} ({row.why}; {row.who} may change it)")


class _Run:
    """One command over its jobs: what was read, what went wrong, the worst exit code."""

    def __init__(self) -> None:
        self.code = FINE
        self.refs: dict[str, str] = {}

    def worked(
        self, jobs: tuple[str, ...], folder: Path | None, skip: Callable[[Path], bool] = lambda path: False
    ) -> Iterator[tuple[Path, Results]]:
        """Yield each readable job with its numbers; report the faults of the others.

        skip    says of a spec's path that nothing need be done for it
        """
        catalogue: Catalogue | None = None
        for name in jobs:
            path = _find(name, folder)
            if skip(path):
                continue
            from builder import making
            from builder.catalogue import load

            try:
                catalogue = catalogue or load()
                worked = making.results(path, catalogue)
                self.unique(path, worked)
            except InputFaults as faults:
                self.report(faults)
                continue
            yield path, worked

    def unique(self, path: Path, worked: Results) -> None:
        """Refuse a reference that another job of this run bears."""
        ref = worked.job.spec.ref
        other = self.refs.setdefault(ref, str(path))
        if other != str(path):
            wrong = f"{ref} is the reference of {other} too"
            raise InputFaults([worked.job.fault(("ref",), wrong, "Give each job a reference of its own")])

    def report(self, faults: InputFaults) -> None:
        """Print faults, one a line."""
        for fault in faults.faults:
            click.echo(str(fault), err=True)
        self.exit(WRONG_INPUT)

    def fail(self, failure: CannotWrite) -> None:
        """Print what could not be written."""
        click.echo(str(failure), err=True)
        self.exit(NOT_WRITTEN)

    def exit(self, code: int) -> None:
        """Keep the worst code."""
        self.code = max(self.code, code)

    def end(self) -> None:
        """Leave with the worst code."""
        sys.exit(self.code)


def _find(name: str, folder: Path | None) -> Path:
    """The file a JOB argument means: a path, or a name in the jobs folder with or without .yml."""
    path = Path(name)
    if path.exists() or path.parent != Path():
        return path
    given = folder or (Path(os.environ["SHELLBED_JOBS"]) if os.environ.get("SHELLBED_JOBS") else PROJECT_JOBS)
    for candidate in (given / name, given / f"{name}.yml"):
        if candidate.exists():
            return candidate
    return path


def _line(number: Number) -> str:
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


def _verdict_lines(worked: Results) -> Iterator[str]:
    """One line for each reason, worst verdict first, with how many numbers share it."""
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


def _say(text: str) -> None:
    click.echo(text)
