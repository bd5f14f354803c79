"""Writes out/gallery: every figure of every demo job on one page; and the pictures README.md opens with.

`make gallery`. The pictures in docs/ are taken with chromium; where there is none they stay as they are.
"""

from __future__ import annotations

import html
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from builder import figures, making
from builder.checks import Results
from builder.figures.papers import PAPERS

PROJECT = Path(__file__).resolve().parents[1]
OUT = PROJECT / "out" / "gallery"
DOCS = PROJECT / "docs"
BROWSERS = ("chromium", "chromium-browser", "google-chrome")
SHOWN = PROJECT / "jobs" / "quandong-rise.yml"
PICTURES = ("long-section", "lift-strip")
PAGE, PLACE = "steps/standpipe.html", "do"
PHONE = (390, 844)  # CSS pixels
QUIET = (
    "--headless --no-sandbox --disable-gpu --no-first-run --disable-background-networking --hide-scrollbars"
)
LOOK = """
body{font:16px/1.45 system-ui,sans-serif;margin:1.5rem auto;max-width:80rem;padding:0 1rem;
 background:var(--fig-paper);color:var(--fig-ink)}
main{display:grid;grid-template-columns:repeat(auto-fill,minmax(20rem,1fr));gap:1.5rem}
figure{margin:0}figure svg{border:1px solid var(--fig-dimension)}figcaption{font-size:.85rem}a{color:inherit}
@media print{main{display:block}figure{break-inside:avoid}}
"""


def main() -> int:
    """Write the gallery, then the pictures."""
    jobs = [making.results(path) for path in sorted((PROJECT / "jobs").glob("*.yml"))]
    shutil.rmtree(OUT, ignore_errors=True)
    OUT.mkdir(parents=True)
    sections = "".join(_section(worked) for worked in jobs)
    for name, scheme, other in (("index", "default", "dark"), ("dark", "slate", "index")):
        (OUT / f"{name}.html").write_text(_page(sections, scheme, other), encoding="utf-8")
    print(f"{OUT / 'index.html'}: open it in a browser")  # noqa: T201 - what a command says
    browser = next((found for name in BROWSERS if (found := shutil.which(name))), None)
    if browser is None:
        print("no chromium here: the pictures of README.md stay as they are")  # noqa: T201
        return 0
    with tempfile.TemporaryDirectory() as work:
        _pictures(browser, Path(work))
    return 0


def _section(worked: Results) -> str:
    ref = worked.job.spec.ref
    papers = []
    for paper in figures.papers_of(worked.job.region.units):
        name = f"{ref}-{paper}.pdf"
        (OUT / name).write_bytes(figures.true_size(worked.levels, worked, paper))
        papers.append(f'<a href="{name}">{PAPERS[paper].name}</a>')
    drawn = "".join(_figure(ref, figures.draw(name, worked.levels, worked)) for name in figures.NAMES)
    title = html.escape(f"{ref}: {worked.job.spec.title}")
    return f"<h2>{title}</h2><p>True to size: {', '.join(papers)}</p><main>{drawn}</main>"


def _figure(ref: str, drawing: figures.Drawn) -> str:
    svg = re.sub(r'(id="|url\(#|labelledby="|describedby=")fig-', rf"\g<1>{ref}-", drawing.svg)
    said = f"<b>{html.escape(drawing.title)}</b> {html.escape(drawing.caption)}"
    return f"<figure>{svg}<figcaption>{said}</figcaption></figure>"


def _page(sections: str, scheme: str, other: str) -> str:
    return (
        f'<!doctype html><html lang="en" data-md-color-scheme="{scheme}"><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width"><title>Every figure of every demo job</title>'
        f"<style>{figures.palette_css()}{LOOK}</style><h1>Every figure of every demo job</h1>"
        f'<p><a href="{other}.html">The other way round, light or dark</a></p>{sections}</html>\n'
    )


def _pictures(browser: str, work: Path) -> None:
    DOCS.mkdir(exist_ok=True)
    worked = making.results(SHOWN)
    for name in PICTURES:
        drawn = figures.draw(name, worked.levels, worked, plain=True)
        svg = re.sub(r'width="[^"]*" height="[^"]*"', 'width="100%"', drawn.svg, count=1)
        wide, high = round(drawn.width_in * 96), round(drawn.height_in * 96)
        _shoot(browser, work, svg, (wide, high), DOCS / f"{name}.png", scale=2)
    index = making.guide(worked, work / "guide")
    wide, high = PHONE
    address = f"{(index.parent / PAGE).as_uri()}#{PLACE}"
    frame = f'<iframe src="{address}" width="{wide}" height="{high}" style="border:0"></iframe>'
    _shoot(browser, work, frame, PHONE, DOCS / "guide-page.png", scale=1.25)


def _shoot(browser: str, work: Path, body: str, size: tuple[int, int], out: Path, *, scale: float) -> None:
    """Take a picture of a piece of HTML, of a size in CSS pixels."""
    page = work / "page.html"
    page.write_text(f'<!doctype html><meta charset="utf-8"><body style="margin:0">{body}', encoding="utf-8")
    command = [
        *(
            browser,
            *QUIET.split(),
            "--virtual-time-budget=3000",
            f"--user-data-dir={work / 'profile'}",
            f"--screenshot={out}",
        ),
        *(f"--window-size={size[0]},{size[1]}", f"--force-device-scale-factor={scale}", page.as_uri()),
    ]
    subprocess.run(command, check=True, capture_output=True, timeout=120)
    print(f"{out}: {out.stat().st_size // 1000} KB")  # noqa: T201


if __name__ == "__main__":
    sys.exit(main())
