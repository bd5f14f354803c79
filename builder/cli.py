"""The command line: parse, call one function, print, exit code.

Exit 0 fine · 1 a stop (or, with --strict, a cannot tell on uplift, wall or filter) where the
command is `check --strict` · 2 the input is wrong · 3 something could not be written. Faults go
to stderr, one a line. One bad job does not stop the others. Ctrl-C leaves what stood before (130).
"""

from __future__ import annotations

import gc
import json
import os
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from builder import __version__
from builder.errors import CannotWrite, InputFaults

if TYPE_CHECKING:
    from builder.catalogue import Catalogue
    from builder.checks import Results
    from builder.quantity import Number

FINE, STOPPED, WRONG_INPUT, NOT_WRITTEN, INTERRUPTED = 0, 1, 2, 3, 130
STRICT_GROUPS = ("uplift.", "wall.", "filter.")
PROJECT_JOBS = Path(__file__).resolve().parent.parent / "jobs"

_jobs = click.argument("jobs", metavar="JOB...", nargs=-1, required=True)
_folder = click.option(
    "--jobs",
    "folder",
    type=click.Path(path_type=Path),
    help="Folder a JOB is looked up in by its file's name  [default: $SHELLBED_JOBS, else jobs/ here]",
)


class _Commands(click.Group):
    """The commands; Ctrl-C ends any of them with one line."""

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command."""
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt:
            click.echo("Interrupted: what is not finished is left as it was", err=True)
            ctx.exit(INTERRUPTED)


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
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
@click.option(
    "--against",
    "earlier",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Print what moved since FILE, which `numbers JOB --json` wrote, and by what.",
)
def numbers(job: str, folder: Path | None, as_json: bool, earlier: Path | None) -> None:
    """Print every number of JOB, or what moved since an earlier time."""
    run = _Run()
    for _, worked in run.worked((job,), folder):
        if earlier is not None:
            _compare(run, worked, earlier, as_json)
        elif as_json:
            _say_json(worked.as_json())
        else:
            for number in worked.values():
                _say(_line(number))
    run.end()


def _compare(run: _Run, worked: Results, earlier: Path, as_json: bool) -> None:
    from builder.checks import against, moves
    from builder.checks.earlier import read

    try:
        difference = against.compare(read(earlier), worked)
    except InputFaults as faults:
        run.report(faults)
        return
    if as_json:
        _say_json(difference.as_json())
        return
    for line in moves.lines(difference):
        _say(line)


@main.command()
@_jobs
@_folder
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("out/guide"),
    show_default=True,
    help="Folder the guides are built in, each under its reference.",
)
def guide(jobs: tuple[str, ...], folder: Path | None, out: Path) -> None:
    """Build the guide of each JOB as a folder that opens without a network."""
    from builder import making, website

    run = _Run()

    def standing(path: Path) -> bool:
        index = website.standing(path, out)
        if index is not None:
            run.bears(index.parent.name, path)
            _say(f"{os.path.relpath(index)}: unchanged; open it in a browser{run.progress}")
        return index is not None

    for path, worked in run.worked(jobs, folder, skip=standing):
        try:
            index = making.guide(worked, out / worked.job.spec.ref)
        except InputFaults as faults:
            run.report(faults)
        except CannotWrite as failure:
            run.fail(failure)
        else:
            website.remember(path, out, index)
            _say(f"{index}: open it in a browser{run.progress}")
    run.end()


@main.command()
def schema() -> None:
    """Print every key of a job spec: what to write, what is allowed, its default and who may change it."""
    from builder.job.keys import every_key

    for key in every_key():
        _say(key.said)


class _Run:
    """One command over its jobs: what was read, what went wrong, the worst exit code."""

    def __init__(self) -> None:
        self.code = FINE
        self.progress = ""  # " (2 of 5)" where there are several jobs
        self.refs: dict[str, Path] = {}

    def worked(
        self, jobs: tuple[str, ...], folder: Path | None, skip: Callable[[Path], bool] = lambda path: False
    ) -> Iterator[tuple[Path, Results]]:
        """Yield each readable job with its numbers; report the faults of the others.

        skip    says of a spec's path that nothing need be done for it
        """
        catalogue: Catalogue | None = None
        for place, name in enumerate(jobs, 1):
            path = _find(name, folder)
            self.progress = f" ({place} of {len(jobs)})" if len(jobs) > 1 else ""
            if skip(path):
                continue
            gc.disable()  # what is loaded here stays: to look through it again and again is a waste
            from builder import making
            from builder.catalogue import load

            gc.enable()
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
        other = self.bears(ref, path)
        if other.resolve() != path.resolve():
            wrong = f"{ref} is the reference of {other} too"
            raise InputFaults([worked.job.fault(("ref",), wrong, "Give each job a reference of its own")])

    def bears(self, ref: str, path: Path) -> Path:
        """Note that the spec at `path` bears a reference; return the first of this run that does."""
        return self.refs.setdefault(ref.casefold(), path)  # some disks take QR-1 and qr-1 for one folder

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
    if os.path.isfile(path) or path.parent != Path():
        return path
    given = folder or (Path(os.environ["SHELLBED_JOBS"]) if os.environ.get("SHELLBED_JOBS") else PROJECT_JOBS)
    for candidate in (given / name, given / f"{name}.yml"):
        if os.path.isfile(candidate):
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


def _say_json(found: object) -> None:
    _say(json.dumps(found, indent=1, ensure_ascii=False, allow_nan=False))


def _say(text: str) -> None:
    click.echo(text)
