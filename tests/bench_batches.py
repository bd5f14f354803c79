"""Many different jobs at once, beside other ways to build such sites: `make bench`, second table.

Whole commands, start-up included, on random valid jobs (tests/random_specs.py): 1, 10, 100 and 500 of
them with one process and with two, then with nothing changed and with one job changed; the most memory
any process took; the exponent by which time grows with the number of jobs. Beside it, on the very
Markdown and drawings of a few of these jobs, a plain `mkdocs build` and two general site generators,
each in a process of its own a job, as they are used. Where a generator cannot be had it says so.

    python tests/bench_batches.py [-n 1,10,100,500] [--others 5]
"""

from __future__ import annotations

import argparse
import json
import math
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

PROJECT = Path(__file__).resolve().parents[1]
if __name__ == "__main__":
    sys.path.insert(0, str(PROJECT))

SEED = 77
TOOLS = PROJECT / ".cache" / "bench-tools"
PELICAN, ELEVENTY = "pelican[markdown]", "@11ty/eleventy@3"
MOST_MB = 400
BUDGETS = {(100, 2): 15.0, (500, 2): 75.0, "nothing": 2.0, "one": 3.0}  # seconds (DESIGN section 11)
DRAW = """
import sys
from pathlib import Path
from builder import figures, making, pages
from builder.website.guide_site import _write_pages
worked = making.results(Path(sys.argv[1]))
out = Path(sys.argv[2])
_write_pages(pages.render(worked), out)
for name in figures.NAMES:
    drawing = figures.draw(name, worked.levels, worked)
    (out / "assets" / f"{name}.svg").write_text(drawing.svg, encoding="utf-8")
"""


class Took(NamedTuple):
    """One command: wall seconds, and the most memory any of its processes held, MB."""

    seconds: float
    memory: float


def main(given: Sequence[str] | None = None) -> int:
    """Time everything, print both tables, return 1 where a budget is broken."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("-n", default="1,10,100,500", help="how many jobs, smallest first")
    options.add_argument("--others", type=int, default=5, help="jobs the other generators build; 0 for none")
    asked = options.parse_args(given)
    counts = [int(count) for count in asked.n.split(",")]
    broken = False
    with tempfile.TemporaryDirectory() as folder:
        jobs = specs(Path(folder) / "jobs", max(counts))
        say("guides of different jobs", "budget", "took", "a job", "memory")
        times: dict[tuple[int, int], Took] = {}
        for workers in (1, 2):
            for count in counts:
                took = guide(jobs[:count], Path(folder) / f"out-{workers}-{count}", workers)
                times[count, workers] = took
                broken |= row(f"{count} jobs, {plural(workers)}", BUDGETS.get((count, workers)), took, count)
        most = max(counts)
        again = guide(jobs, Path(folder) / f"out-2-{most}", 2)
        broken |= row(f"nothing changed in {most}", BUDGETS["nothing"] if most == 500 else None, again, most)
        jobs[0].write_text(jobs[0].read_text("utf-8").replace('"Random', '"Changed', 1), encoding="utf-8")
        one = guide(jobs, Path(folder) / f"out-2-{most}", 2)
        broken |= row(f"one changed of {most}", BUDGETS["one"] if most == 500 else None, one, most)
        for workers in (1, 2):
            say(
                f"time grows with jobs to the power of, {plural(workers)}",
                "",
                f"{growth(times, counts, workers):.2f}",
            )
        if asked.others:
            ours = times[max(counts), 1]
            others(jobs[: asked.others], Path(folder) / "others", (ours.seconds / max(counts)))
    return int(broken)


def specs(folder: Path, count: int) -> list[Path]:
    """Write `count` random valid specs, each with a reference of its own."""
    from builder.catalogue import load
    from tests import random_jobs

    folder.mkdir()
    catalogue, paths = load(), []
    for number in range(count):
        spec, _, _ = random_jobs.valid(SEED, number, catalogue)
        path = folder / f"{number:04}.yml"
        path.write_text(
            json.dumps({**spec, "ref": f"B-{number:04}", "title": f"Random {number}"}), encoding="utf-8"
        )
        paths.append(path)
    return paths


def guide(jobs: Sequence[Path], out: Path, workers: int) -> Took:
    """Build the guides of jobs with one command."""
    words = [sys.executable, "-m", "builder", "guide", *map(str, jobs), "--out", str(out)]
    return run([*words, "--workers", str(workers)])


def run(words: Sequence[str], cwd: Path = PROJECT) -> Took:
    """Run a command to its end; stops the benchmark where it failed."""
    with tempfile.TemporaryFile() as said:
        start = time.perf_counter()
        process = subprocess.Popen(words, cwd=cwd, stdout=said, stderr=subprocess.STDOUT, env=environment())
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        took = time.perf_counter() - start
        if process.returncode:
            said.seek(0)
            sys.exit(
                f"{' '.join(words)[:200]} ended with {process.returncode}:\n{said.read().decode()[-2000:]}"
            )
    return Took(took, usage.ru_maxrss / 1024)


def environment() -> dict[str, str]:
    """Return the environment of every command: the project's own modules are found."""
    return {**os.environ, "PYTHONPATH": str(PROJECT)}


def growth(times: dict[tuple[int, int], Took], counts: Sequence[int], workers: int) -> float:
    """Return the exponent of time over jobs, without the time of the first, by least squares."""
    first = times[counts[0], workers].seconds
    points = [
        (math.log(count - counts[0]), math.log(times[count, workers].seconds - first))
        for count in counts
        if count > counts[0] and times[count, workers].seconds > first
    ]
    if len(points) < 2:
        return float("nan")
    across, up = (sum(each) / len(points) for each in zip(*points, strict=True))
    run_ = sum((x - across) ** 2 for x, _ in points)
    return sum((x - across) * (y - up) for x, y in points) / run_


def others(jobs: Sequence[Path], folder: Path, ours: float) -> None:
    """Time the other ways on a few jobs: a process that draws and writes Markdown, then one that builds."""
    drawn, built = 0.0, {"plain mkdocs build": 0.0}
    tools = installed()
    built |= dict.fromkeys(tools, 0.0)
    for job in jobs:
        docs = folder / job.stem / "docs"
        docs.mkdir(parents=True)
        drawn += run([sys.executable, "-c", DRAW, str(job), str(docs)]).seconds
        (docs.parent / "mkdocs.yml").write_text(MKDOCS, encoding="utf-8")
        built["plain mkdocs build"] += run(
            [sys.executable, "-m", "mkdocs", "-q", "build"], docs.parent
        ).seconds
        for name, words in tools.items():
            made = docs.parent / "site-other"
            shutil.rmtree(made, ignore_errors=True)
            built[name] += run([word.format(docs=docs, site=made) for word in words], docs.parent).seconds
    say("the same Markdown and drawings, one job", "", "took", "of ours")
    say("ours, in a batch, one process", "", f"{ours:.2f} s", "1")
    for name, took in built.items():
        each = (drawn + took) / len(jobs)
        say(f"{name}, drawn a process a job", "", f"{each:.2f} s", f"{each / ours:.1f}")


MKDOCS = """site_name: Job
use_directory_urls: false
markdown_extensions: [admonition, attr_list, def_list, footnotes, md_in_html, tables, toc]
"""
PELICANCONF = """
PATH = "."
SITENAME = "Job"
TIMEZONE = "UTC"
PAGE_PATHS = ["."]
ARTICLE_PATHS = []
DEFAULT_DATE = "fs"
STATIC_PATHS = ["assets"]
RELATIVE_URLS = True
EXTENSIONS = ["admonition", "attr_list", "def_list", "footnotes", "md_in_html", "tables", "toc"]
MARKDOWN = {"extension_configs": {f"markdown.extensions.{name}": {} for name in EXTENSIONS}}
"""


def installed() -> dict[str, list[str]]:
    """Install two general site generators beside the project, and return the words that run each."""
    found: dict[str, list[str]] = {}
    TOOLS.mkdir(parents=True, exist_ok=True)
    python = TOOLS / "venv" / "bin" / "python"
    conf = TOOLS / "pelicanconf.py"
    conf.write_text(PELICANCONF, encoding="utf-8")
    try:
        if not python.exists():
            subprocess.run(
                [sys.executable, "-m", "venv", str(TOOLS / "venv")], check=True, capture_output=True
            )
            pip = [str(python), "-m", "pip", "install", "-q", PELICAN]
            subprocess.run(pip, check=True, capture_output=True)
        found["pelican"] = [str(python), "-m", "pelican", "{docs}", "-o", "{site}", "-s", str(conf), "-q"]
    except (OSError, subprocess.CalledProcessError) as error:
        say(f"pelican: not to be had here ({error.__class__.__name__})")
    try:
        program = TOOLS / "node_modules" / "@11ty" / "eleventy" / "cmd.cjs"
        if not program.exists():
            npm = ["npm", "install", "--silent", "--prefix", str(TOOLS), ELEVENTY]
            subprocess.run(npm, check=True, capture_output=True)
        found["eleventy"] = ["node", str(program), "--quiet", "--input={docs}", "--output={site}"]
    except (OSError, subprocess.CalledProcessError) as error:
        say(f"eleventy: not to be had here ({error.__class__.__name__})")
    return found


def plural(workers: int) -> str:
    """Return how many processes in words."""
    return "one process" if workers == 1 else f"{workers} processes"


def row(name: str, budget: float | None, took: Took, jobs: int) -> bool:
    """Print one row; return whether it breaks its budget."""
    over = (budget is not None and took.seconds > budget) or took.memory > MOST_MB
    said = f"{took.seconds:.2f} s{' OVER' if over else ''}"
    say(
        name,
        f"{budget:.0f} s" if budget else "",
        said,
        f"{took.seconds / jobs * 1000:.0f} ms",
        f"{took.memory:.0f} MB",
    )
    return over


def say(name: str, budget: str = "", took: str = "", each: str = "", memory: str = "") -> None:
    """Print one row."""
    sys.stdout.write(f"{name:44}{budget:>10}{took:>16}{each:>10}{memory:>10}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main())
