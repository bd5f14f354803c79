"""The command line: parse, call one function, print, exit code.

Exit 0 fine · 1 a stop (or, with --strict, a cannot tell on uplift, wall or filter) where the
command is `check --strict` or `pack` · 2 the input is wrong · 3 something could not be written. Faults go
to stderr, one a line. One bad job does not stop the others. Ctrl-C leaves what stood before (130).
"""

from __future__ import annotations

import json
import os
import re
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any, NoReturn

import click

from builder import __version__, batch, tasks
from builder.batch import Outcome
from builder.errors import InputFaults
from builder.tasks import FINE, INTERRUPTED, WRONG_INPUT

PROJECT_JOBS = Path(__file__).resolve().parent.parent / "jobs"

_jobs = click.argument("jobs", metavar="JOB...", nargs=-1, required=True)
_folder = click.option(
    "--jobs",
    "folder",
    type=click.Path(path_type=Path),
    help="Folder a JOB is looked up in by its file's name  [default: $SHELLBED_JOBS, else jobs/ here]",
)
_workers = click.option(
    "--workers",
    type=click.IntRange(min=1),
    help="Processes side by side  [default: one for a few jobs, one a core for many]",
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
    """Turn job specs of one-piece pool shells into illustrated install guides.

    A JOB is a spec file, a name in the jobs folder, or a folder of specs.
    """


@main.command()
@_jobs
@_folder
@_workers
@click.option("--strict", is_flag=True, help="Exit 1 on a stop, or a cannot tell on uplift, wall or filter.")
def check(jobs: tuple[str, ...], folder: Path | None, workers: int | None, strict: bool) -> None:
    """Read each JOB and say what stops it, what cannot be told and what to watch."""
    _all(jobs, folder, workers, partial(tasks.check, strict=strict))


@main.command()
@_jobs
@_folder
@_workers
@click.option(
    "--json",
    "as_json",
    is_flag=True,
    help="Print JSON: value, unit, formula, inputs, source, verdict; several jobs by reference.",
)
@click.option(
    "--against",
    "earlier",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Print what moved since FILE, which `numbers JOB --json` wrote, and by what.",
)
def numbers(
    jobs: tuple[str, ...], folder: Path | None, workers: int | None, as_json: bool, earlier: Path | None
) -> None:
    """Print every number of each JOB, or what moved in one since an earlier time."""
    named = batch.expanded(jobs, folder_of(folder))
    if earlier is not None and len(named) != 1:
        raise click.UsageError("--against compares one JOB with one FILE.")
    one = partial(tasks.numbers, as_json=as_json, earlier=earlier)
    _all(jobs, folder, workers, one, as_json=as_json and len(named) > 1)


@main.command()
@_jobs
@_folder
@_workers
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("out/guide"),
    show_default=True,
    help="Folder the guides are built in, each under its reference.",
)
@click.option("--force", is_flag=True, help="Build even what stands, made from the very same inputs.")
def guide(jobs: tuple[str, ...], folder: Path | None, workers: int | None, out: Path, force: bool) -> None:
    """Build the guide of each JOB as a folder that opens without a network."""
    _all(jobs, folder, workers, partial(tasks.guide, out=out, force=force))


_issued = click.option(
    "--issued",
    type=click.Path(path_type=Path),
    default=Path("issued"),
    show_default=True,
    help="Folder of the records of what went out.",
)


@main.command()
@_jobs
@_folder
@_workers
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("out/send"),
    show_default=True,
    help="Folder the issues are put in, each under its job's link.",
)
@_issued
@click.option(
    "--base-url",
    envvar="SHELLBED_BASE_URL",
    help="Where OUT is published, an https address, for what is printed  [default: $SHELLBED_BASE_URL]",
)
def pack(
    jobs: tuple[str, ...],
    folder: Path | None,
    workers: int | None,
    out: Path,
    issued: Path,
    base_url: str | None,
) -> None:
    """Make what is sent of each JOB: guide, one-file guide, PDFs, numbers and a zip of them all."""
    from builder import pack as room

    if base_url and (wrong := room.base_url_fault(base_url)):
        raise click.BadParameter(wrong, param_hint="--base-url")
    base = base_url.rstrip("/") if base_url else None
    _all(jobs, folder, workers, partial(tasks.pack, out=out, issued=issued, base=base))


@main.command()
@_folder
@_issued
@_workers
@click.option(
    "--send",
    type=click.Path(path_type=Path),
    default=Path("out/send"),
    show_default=True,
    help="Folder pack put the issues in, for what their guides say.",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("out/desk"),
    show_default=True,
    help="Folder the desk is built in; never in, or around, what is sent.",
)
def desk(folder: Path | None, issued: Path, workers: int | None, send: Path, out: Path) -> None:
    """Build the support desk's site: one search over all jobs, and what was sent of each."""
    sys.exit(tasks.desk(folder_of(folder), issued, send, out, workers))


@main.command("where-used")
@click.argument("name", metavar="ID")
@_issued
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def where_used(name: str, issued: Path, as_json: bool) -> None:
    """List every job that went out with a row, source or question, and which stop lines would move today."""
    from builder import pack as room
    from builder import pages

    try:
        touched = room.where_used(name, issued, tasks.catalogue(), pages.questions())
    except InputFaults as faults:
        for fault in faults.faults:
            tasks.warn(str(fault))
        sys.exit(WRONG_INPUT)
    if as_json:
        batch.print_line(json.dumps([one.as_json() for one in touched], indent=1, ensure_ascii=False))
    else:
        for one in touched:
            for line in one.lines():
                batch.print_line(line)
        if not touched:
            batch.print_line(f"{name}: no job that went out was touched")
    sys.exit(WRONG_INPUT if any(one.faults for one in touched) else FINE)


@main.command()
@click.argument("jobs", metavar="[JOB...]", nargs=-1)
@_folder
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=8000,
    show_default=True,
    help="Where; 0 takes any that is free.",
)
def serve(jobs: tuple[str, ...], folder: Path | None, port: int) -> None:
    """Show guides in a browser of this machine while you write, built anew at each save.

    Without a JOB, every job of the jobs folder.
    """
    from builder import serving

    place = folder_of(folder)
    sys.exit(serving.serve(jobs or (str(place),), place, port, batch.print_line))


_REQUIRED = {"shell": "shell", "soil": "ground.soil", "groundwater": "ground.groundwater"}


@main.command()
@click.argument("place", metavar="[PATH|REF]", required=False)
@_folder
@click.option("--ref", help="The job's reference  [default: REF]")
@click.option("--title", help="What the reader sees.")
@click.option("--region", help="An id in shared/regions.")
@click.option("--shell", help="An id in shared/shells.")
@click.option("--soil", help="An id in shared/grounds.")
@click.option("--groundwater", help='Its depth below ground, such as "1.9 m".')
@click.option(
    "--from",
    "table",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Write a spec for each row of a table (CSV) whose first row names keys.",
)
@click.option("--out", type=click.Path(path_type=Path), help="Folder to write in  [default: as --jobs]")
def new(
    place: str | None, folder: Path | None, table: Path | None, out: Path | None, **given: str | None
) -> None:
    """Write a spec with every key, its default and what it means: at PATH, or as REF in the jobs folder."""
    filled = {_REQUIRED.get(name, name): value for name, value in given.items() if value is not None}
    if table is not None:
        if place or filled:
            raise click.UsageError("--from takes every value from its FILE.")
        _done(tasks.new_from(table, out or folder_of(folder)))
    if place and (os.path.basename(place) != place or place.endswith((".yml", ".yaml"))):
        path = Path(place)
    elif ref := filled.setdefault("ref", place or ""):
        if place and ref != place:
            raise click.UsageError("REF and --ref differ.")
        path = Path(f"{re.sub('[^A-Za-z0-9-]', '-', ref).lower()}.yml")
    else:
        raise click.UsageError("Name a PATH or a REF, or a table with --from.")
    _done(tasks.new((out or folder_of(folder)) / path if path.parent == Path() else path, filled))


@main.command()
@click.option("--json", "as_json", is_flag=True, help="Print the JSON Schema that editors go by.")
def schema(as_json: bool) -> None:
    """Print every key of a job spec: what to write, what is allowed, its default and who may change it."""
    from builder.job.keys import every_key

    if as_json:
        _done(tasks.json_schema())
    for key in every_key():
        batch.print_line(key.said)


def _all(
    jobs: tuple[str, ...],
    folder: Path | None,
    workers: int | None,
    one: Callable[[Path], Outcome],
    as_json: bool = False,
) -> None:
    """Do one thing with every job, print what each says, and leave with the worst code.

    as_json: what jobs say are values of one JSON object, each under its reference.
    """
    paths = [Path(name) for name in batch.expanded(jobs, folder_of(folder))]
    sys.exit(batch.run(paths, one, workers, as_json=as_json))


def _done(outcome: Outcome) -> NoReturn:
    """Print what a command without jobs says, and leave with its code."""
    for line in outcome.wrong:
        tasks.warn(line)
    for line in outcome.said:
        batch.print_line(line)
    sys.exit(outcome.code)


def folder_of(given: Path | None) -> Path:
    """Return the folder that a bare name is looked up in."""
    return given or Path(os.environ.get("SHELLBED_JOBS") or PROJECT_JOBS)
