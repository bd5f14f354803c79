"""Whole commands against the design's budgets, start-up included: `make bench`.

Each command runs in a process of its own. "First ever" has no cache of ours on disk; "again" has
it, and nothing warm in memory. The least of a few runs is printed, because other work on the
machine only ever adds.
"""

import gzip
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[1]
JOB = PROJECT / "jobs" / "quandong-rise.yml"
CACHE = PROJECT / ".cache"
RUNS = 5
MORE = 6  # jobs a batch is lengthened by

ONE_FIGURE = """
import sys, time
from pathlib import Path
from builder import figures, making
worked = making.results(Path(sys.argv[1]))
for name in figures.NAMES:
    figures.draw(name, worked.levels, worked)
took = []
for name in figures.NAMES:
    start = time.perf_counter()
    figures.draw(name, worked.levels, worked)
    took.append((time.perf_counter() - start, name))
print(max(took)[0])
"""


def main() -> int:
    """Time everything, print a table, return 1 where a budget is broken."""
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder)
        guide = ("guide", str(JOB), "--out", str(out))
        old = earlier(out)
        rows = [
            ("check, one job", 0.5, least(lambda: command("check", str(JOB)))),
            ("numbers, one job", 0.4, least(lambda: command("numbers", str(JOB)))),
            ("numbers --json, one job", 0.4, least(lambda: command("numbers", str(JOB), "--json"))),
            ("numbers --against, one job", 2.0, least(lambda: command("numbers", *old))),
            ("guide, one job, first ever", 2.0, least(lambda: command(*guide), before=forget)),
            ("guide, one job, again", 1.0, least(lambda: command(*guide))),
            ("guide, one job, again, a number changed", 1.0, least(lambda: changed(out))),
            ("one more guide in a running batch", 0.25, one_more(out)),
            ("one figure, after the first (the slowest)", 0.015, least(figure)),
        ]
        sizes = weights(out / "QR-0412")
    say("", "budget", "took")
    broken = [row for row in rows if row[2] > row[1]]
    for name, budget, took in rows:
        say(name, f"{budget * 1000:.0f} ms", f"{took * 1000:.0f} ms{' OVER' if took > budget else ''}")
    for name, most, unit, is_ in sizes:
        say(name, f"{most} {unit}", f"{is_} {unit}{' OVER' if is_ > most else ''}")
    return int(bool(broken or any(is_ > most for _, most, _, is_ in sizes)))


def command(*words: str) -> float:
    """Return the seconds one command took, start-up included; stops the benchmark where it failed."""
    start = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-m", "builder", *words], cwd=PROJECT, capture_output=True, text=True, check=False
    )
    took = time.perf_counter() - start
    if done.returncode:
        sys.exit(f"{' '.join(words)} ended with {done.returncode}:\n{done.stderr}")
    return took


def changed(out: Path) -> float:
    """Return the seconds of the guide of a job one of whose numbers no earlier run had."""
    job = out / "changed.yml"
    text = job.read_text(encoding="utf-8") if job.exists() else JOB.read_text(encoding="utf-8")
    before = re.search(r"groundwater: (1\.\d+) m", text)
    assert before, "the job says where its groundwater is"
    text = text.replace(before.group(), f"groundwater: {float(before.group(1)) - 0.013:.3f} m")
    job.write_text(text, encoding="utf-8")
    return command("guide", str(job), "--out", str(out))


def earlier(out: Path) -> tuple[str, ...]:
    """Return the words that compare a job with its earlier numbers, of another groundwater level."""
    job, old = out / "now.yml", out / "old.json"
    words = [sys.executable, "-m", "builder", "numbers", str(JOB), "--json"]
    old.write_bytes(subprocess.run(words, cwd=PROJECT, capture_output=True, check=True).stdout)
    text = JOB.read_text(encoding="utf-8")
    assert "groundwater: 1.9 m" in text
    job.write_text(text.replace("groundwater: 1.9 m", "groundwater: 1.5 m"), encoding="utf-8")
    return (str(job), "--against", str(old))


def one_more(out: Path) -> float:
    """Return the seconds by which each job more lengthens a batch of guides."""
    folder = out / "batch"
    folder.mkdir()
    text = JOB.read_text(encoding="utf-8")
    jobs = [folder / f"{place}.yml" for place in range(1 + MORE)]
    for place, job in enumerate(jobs):
        job.write_text(text.replace("QR-0412", f"QR-{place}"), encoding="utf-8")

    def batch(count: int) -> float:
        shutil.rmtree(folder / "out", ignore_errors=True)
        return command("guide", *map(str, jobs[:count]), "--out", str(folder / "out"))

    one = least(lambda: batch(1))
    return (least(lambda: batch(1 + MORE)) - one) / MORE


def figure() -> float:
    """Return the seconds of the slowest figure once every one has been drawn before."""
    done = subprocess.run(
        [sys.executable, "-c", ONE_FIGURE, str(JOB)], cwd=PROJECT, capture_output=True, text=True, check=True
    )
    return float(done.stdout)


def least(timed, before=lambda: None) -> float:  # type: ignore[no-untyped-def]
    """Return the least of a few runs."""
    took = []
    for _ in range(RUNS):
        before()
        took.append(timed())
    return min(took)


def forget() -> None:
    """Remove what earlier builds left on disk."""
    shutil.rmtree(CACHE, ignore_errors=True)


def weights(site: Path) -> list[tuple[str, int, str, int]]:
    """Return the site's sizes: first load of its heaviest page, whole site, files."""
    files = [path for path in site.rglob("*") if path.is_file()]
    zipped = {path: len(gzip.compress(path.read_bytes())) for path in files}
    first = {site / "assets" / name for name in ("guide.css", "guide.js")}  # words.js: when someone searches
    assets = sum(size for path, size in zipped.items() if path in first)
    page = max(size for path, size in zipped.items() if path.suffix == ".html")
    return [
        ("first load of the heaviest page, gzipped", 120, "KB", (assets + page + 999) // 1000),
        ("site of one job", 1500, "KB", sum(os.path.getsize(path) for path in files) // 1000),
        ("files of one job", 40, "files", len(files)),
    ]


def say(name: str, budget: str, took: str) -> None:
    """Print one row."""
    sys.stdout.write(f"{name:44}{budget:>10}{took:>16}\n")


if __name__ == "__main__":
    sys.exit(main())
