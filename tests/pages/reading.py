"""Helpers of the page tests: a guide from a demo job or a changed one, and pages as a reader sees them."""

import html
import re
from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path

import markdown

from builder import checks, job, levels, pages
from builder.checks import Results
from builder.pages import Guide, Page

ROOT = Path(__file__).resolve().parents[2]
JOBS = ROOT / "jobs"
ACTING = ("index.md", "steps/pocket.md", "steps/receive.md", "steps/standpipe.md", "water/read.md")
STEPS = tuple(path for path in ACTING if path.startswith("steps/"))
EXTENSIONS = [
    "admonition",
    "attr_list",
    "def_list",
    "footnotes",
    "md_in_html",
    "tables",
    "toc",
    "fenced_code",
]


@lru_cache(maxsize=32)
def results_of(spec: Path) -> Results:
    """Return the results of one spec file."""
    return checks.work(levels.place(job.read(spec)))


@lru_cache(maxsize=32)
def guide_of(spec: Path) -> Guide:
    """Return the guide of one spec file."""
    return pages.render(results_of(spec))


def changed(folder: Path, name: str, *pairs: tuple[str, str], source: str = "quandong-rise.yml") -> Path:
    """Return a copy of a demo spec in which each old text, which must occur once, is replaced."""
    text = (JOBS / source).read_text("utf-8")
    for old, new in pairs:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    spec = folder / f"{name}.yml"
    spec.write_text(text, "utf-8")
    return spec


def page(guide: Guide, path: str) -> Page:
    """Return one page of a guide."""
    return next(page for page in guide.pages if page.path == path)


def rendered(page: Page) -> str:
    """Return a page as HTML."""
    return markdown.markdown(page.markdown, extensions=EXTENSIONS)


def text_of(source: str) -> str:
    """Return HTML as a reader sees it: one line a block, no tags, single blanks."""
    source = re.sub(r"<script\b.*?</script>", "", source, flags=re.DOTALL)  # data of the page's look-up
    source = re.sub(r"</(p|li|h\d|td|th|dt|dd|summary|div|label|legend|button)>|<br ?/?>", "\n", source)
    lines = html.unescape(re.sub(r"<[^>]+>", "", source)).replace("\u00a0", " ").split("\n")
    return "\n".join(" ".join(line.split()) for line in lines if line.strip())


def seen(page: Page) -> str:
    """Return a page's text as a reader sees it."""
    return text_of(rendered(page))


def lines_of(guide: Guide, paths: Iterable[str] = ACTING) -> set[tuple[str, str]]:
    """Return every (path, line) a reader sees on the pages."""
    return {(path, line) for path in paths for line in seen(page(guide, path)).split("\n")}


def section(page: Page, name: str) -> str:
    """Return the Markdown from the heading with this id to the next heading of the same rank."""
    found = re.search(rf"^## [^\n]*\{{#{name}\}}\n(.*?)(?=^## |\Z)", page.markdown, re.MULTILINE | re.DOTALL)
    assert found, f"{page.path} has no section {name}"
    return found.group(1)
