"""Many jobs in one command: processes side by side, one line a job, and a count at the end.

One bad job stops no other. What a job says is kept together and printed in the order the jobs were
given, whichever process was done first.
"""

from __future__ import annotations

import json
import os
import re
import signal
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from builder.errors import Fault

if TYPE_CHECKING:
    from concurrent.futures import Future

ALONE = 4  # so few jobs are worked one after the other, unless --workers asks for more
AHEAD = 4  # jobs handed to each process before the first of them is printed
SPECS = "*.yml"
REF = re.compile(r"""^\s*\{?\s*["']?ref["']?[ \t]*:[ \t]*["']?([^\s"'#,}]+)""", re.M)


@dataclass(frozen=True)
class Outcome:
    """What became of one job: a word for the count, what to print, and the exit code it asks for."""

    done: str
    said: tuple[str, ...] = ()
    wrong: tuple[str, ...] = ()
    code: int = 0
    counted: bool = False  # whether its place among the jobs is said
    ref: str = ""  # where what is printed is put under it


def expanded(names: Iterable[str], folder: Path) -> list[str]:
    """Return the spec files that are meant.

    A name is a file, a job in `folder` with or without .yml, or a folder: all specs in it, by name.
    What is none of these stays as it is, for the reader to refuse.
    """
    found: list[str] = []
    for name in names:
        path = Path(name)
        known = [given for given in (folder / name, folder / f"{name}.yml") if path.parent == Path()]
        if os.path.isfile(path):
            found.append(name)
        elif there := next((str(given) for given in known if os.path.isfile(given)), None):
            found.append(there)
        elif os.path.isdir(path):
            found += [str(spec) for spec in sorted(path.glob(SPECS))] or [name]
        else:
            found.append(name)
    return found


def run(
    paths: Sequence[Path], one: Callable[[Path], Outcome], asked: int | None, *, as_json: bool = False
) -> int:
    """Do one thing with every job, print what each says, and return the worst exit code.

    asked     how many processes, None to choose
    as_json   what jobs say are values of one JSON object, each under its reference
    """
    refused = _of_one_reference(paths)
    todo = [path for at, path in enumerate(paths) if at not in refused]
    worked = each(todo, one, workers_for(len(todo), asked))
    tally = Tally(len(paths))
    code, mark = 0, "{"
    with progress(len(paths)) as (say, count):
        for at, path in enumerate(paths):
            outcome = refused[at] if at in refused else next(worked)
            for line in outcome.wrong:
                _to_stderr(line)
            if as_json and outcome.said:
                say(f"{mark}{json.dumps(outcome.ref)}: {outcome.said[0]}")
                mark = ","
            elif not as_json:
                for line in _counted(outcome, at, len(paths)):
                    say(line)
            tally.take(path, outcome)
            code = max(code, outcome.code)
            count()
    if as_json:
        print_line("{}" if mark == "{" else "}")
    for line in tally.lines():
        (_to_stderr if as_json else print_line)(line)
    return code


def _counted(outcome: Outcome, at: int, jobs: int) -> Iterator[str]:
    for number, line in enumerate(outcome.said):
        place = f" ({at + 1} of {jobs})" if outcome.counted and jobs > 1 and not number else ""
        yield line + place


def _of_one_reference(paths: Sequence[Path]) -> dict[int, Outcome]:
    """Refuse a reference that another job of this run bears; some disks take QR-1 and qr-1 for one folder."""
    first: dict[str, Path] = {}
    refused: dict[int, Outcome] = {}
    for at, path in enumerate(paths):
        text = ""
        with suppress(OSError, ValueError):  # its own reader says what is wrong
            text = path.read_text(encoding="utf-8")
        if (found := REF.search(text)) is None:
            continue
        ref = found.group(1)
        other = first.setdefault(ref.casefold(), path)
        if other.resolve() != path.resolve():
            line = text.count("\n", 0, found.start(1)) + 1
            column = found.start(1) - text.rfind("\n", 0, found.start(1))
            wrong, instead = f"{ref} is the reference of {other} too", "Give each job a reference of its own"
            refused[at] = Outcome(
                "wrong", wrong=(str(Fault(str(path), line, column, "ref", wrong, instead)),), code=2
            )
    return refused


def ref_of(path: Path) -> str | None:
    """Return the reference in a spec file as far as it can be told without reading the spec as one."""
    with suppress(OSError, ValueError):
        if found := REF.search(path.read_text(encoding="utf-8")):
            return found.group(1)
    return None


def references(folder: Path) -> dict[str, Path]:
    """Return the references of the specs in a folder, in small letters, each with its file."""
    found: dict[str, Path] = {}
    for path in sorted(folder.glob(SPECS)):
        if (ref := ref_of(path)) is not None:
            found.setdefault(ref.casefold(), path)
    return found


def workers_for(jobs: int, asked: int | None) -> int:
    """Return how many processes to use: what was asked for, else one for few jobs and all cores for many."""
    if asked is None:
        asked = 1 if jobs <= ALONE else len(os.sched_getaffinity(0)) if _AFFINITY else os.cpu_count() or 1
    return max(1, min(asked, jobs))


_AFFINITY = hasattr(os, "sched_getaffinity")


def each(paths: Sequence[Path], one: Callable[[Path], Outcome], workers: int) -> Iterator[Outcome]:
    """Work every job and yield what became of it, in the order given.

    one      a function of a module (it is sent to other processes), from a spec's path to its outcome
    """
    if workers == 1:
        for path in paths:
            yield one(path)
        return
    from collections import deque
    from concurrent.futures import ProcessPoolExecutor

    waiting: deque[Future[Outcome]] = deque()
    pool = ProcessPoolExecutor(workers, initializer=_leave_interrupts_to_the_first)
    try:
        for path in paths:
            waiting.append(pool.submit(one, path))
            if len(waiting) >= AHEAD * workers:
                yield waiting.popleft().result()
        while waiting:
            yield waiting.popleft().result()
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _leave_interrupts_to_the_first() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # a job that is being written is finished


class Tally:
    """Counts outcomes and says, where there are several jobs, what became of them all."""

    def __init__(self, jobs: int) -> None:
        """Start the clock."""
        self.jobs = jobs
        self.counts: Counter[str] = Counter()
        self.failed: list[tuple[str, str]] = []
        self.begun = time.monotonic()

    def take(self, path: Path, outcome: Outcome) -> None:
        """Count one."""
        self.counts[outcome.done] += 1
        if outcome.code:
            self.failed.append((str(path), outcome.done))

    def lines(self) -> Iterator[str]:
        """Yield the summary: how many of each, how long, and which were not done."""
        if self.jobs < 2:
            return
        took = time.monotonic() - self.begun
        counted = ", ".join(f"{count} {done}" for done, count in self.counts.most_common())
        yield f"{self.jobs} jobs in {took:.1f} s: {counted}"
        wide = max((len(done) for _, done in self.failed), default=0)
        for path, done in self.failed:
            yield f"  {done:{wide}}  {path}"


@contextmanager
def progress(jobs: int) -> Iterator[tuple[Callable[[str], None], Callable[[], None]]]:
    """Give what prints a line and what counts a job: beside a bar with rate and time left on a terminal.

    Where the output is not a terminal, or there is one job, lines are printed and nothing else.
    """
    if jobs < 2 or not sys.stdout.isatty() or not sys.stderr.isatty():
        yield print_line, lambda: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    rate = TextColumn("{task.fields[rate]}")
    console = Console(stderr=True)
    columns = (BarColumn(), MofNCompleteColumn(), rate, TimeRemainingColumn())
    begun = time.monotonic()
    with Progress(*columns, console=console, transient=True, redirect_stdout=False) as bar:
        task = bar.add_task("jobs", total=jobs, rate="")

        def say(line: str) -> None:
            bar.console.print(line, markup=False, highlight=False, soft_wrap=True)

        def count() -> None:
            done = bar.tasks[0].completed + 1
            bar.update(task, advance=1, rate=f"{done / (time.monotonic() - begun):.1f} a second")

        yield say, count


def _to_stderr(line: str) -> None:
    sys.stderr.write(line + "\n")
    sys.stderr.flush()


def print_line(line: str) -> None:
    """Print a line at once."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()
