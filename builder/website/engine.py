"""The thin layer that knows mkdocs: a folder of Markdown in, a folder of bare pages out.

`run` is one mkdocs build in this process. Three things make a second build in the same process, and
the first on a machine that has built before, quicker; none changes a byte, and a test holds that
against the plain way (`quick=False`):

* one Jinja environment for all builds, its compiled template kept on disk;
* what pages have in common is converted once (`remembered.py`), and kept on disk too;
* nothing is looked for beside the template: a guide has no theme whose files it would copy.
"""

from __future__ import annotations

import logging
import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from jinja2 import FileSystemBytecodeCache
from mkdocs.commands.build import build as mkdocs_build
from mkdocs.config import load_config
from mkdocs.exceptions import Abort, MkDocsException

from builder.website.remembered import Memory
from builder.website.unchanged import project_digest

if TYPE_CHECKING:
    from jinja2 import Environment
    from mkdocs.config.defaults import MkDocsConfig
    from mkdocs.theme import Theme

PROJECT = Path(__file__).resolve().parents[2]
CACHE = PROJECT / ".cache" / "templates"
PARTS = PROJECT / ".cache" / "parts"
UNUSED = ("404.html", "sitemap.xml", "sitemap.xml.gz")
FIXED_DATE = "1577836800"  # mkdocs stamps what it writes with this instead of today
Nav = list[dict[str, Any]]
_environments: dict[tuple[str, ...], Environment] = {}
_memories: dict[Path, Memory] = {}


def run(
    docs: Path,
    site: Path,
    *,
    name: str,
    nav: Nav,
    job: dict[str, str],
    own: Sequence[str] = (),
    quick: bool = True,
) -> list[str]:
    """Build the Markdown folder `docs` into `site`; return what mkdocs warned of, one line each.

    name, the titles in nav and the values of job stand in the pages as they are: HTML, escaped.
    own: words of this job alone (its reference, its title), as they stand in its Markdown.
    Raises OSError where something could not be written.
    """
    with _warnings() as said, _fixed_date():
        config = load_config(
            str(PROJECT / "mkdocs.yml"),
            docs_dir=str(docs.absolute()),  # mkdocs would read a relative one from the project's folder
            site_dir=str(site.absolute()),
            site_name=name,
            nav=nav,
        )
        config.extra["job"] = job
        try:
            if quick:
                kept = PARTS / f"{project_digest().hex()[:32]}.json"
                memory = _memory(kept)
                _quicken(config)
                with memory.at_work(own, said):
                    mkdocs_build(config)
                memory.save(kept)
            else:
                mkdocs_build(config)
        except (Abort, MkDocsException) as stop:
            if not said:
                said.append(str(stop))
        if not quick:
            _leave_out(site)
    return said


def _memory(kept: Path) -> Memory:
    """What builds of this project remember, read from disk by the first."""
    if kept not in _memories:
        _memories[kept] = Memory()
        _memories[kept].load(kept)
    return _memories[kept]


def _quicken(config: MkDocsConfig) -> None:
    theme = config.theme
    key = tuple(theme.dirs)
    if key not in _environments:
        _environments[key] = _environment(theme)
    env = _environments[key]
    theme.static_templates.clear()
    theme.get_env = lambda: env  # type: ignore[method-assign]


def forget_templates() -> None:
    """Forget the compiled page template, so that the next build reads it anew."""
    _environments.clear()


def _environment(theme: Theme) -> Environment:
    env = theme.get_env()
    try:
        CACHE.mkdir(parents=True, exist_ok=True)
        env.bytecode_cache = FileSystemBytecodeCache(str(CACHE))
    except OSError:  # a folder that can't be written: templates are compiled again each time
        env.bytecode_cache = None
    env.list_templates = lambda *_args, **_options: []  # type: ignore[method-assign]
    return env


def _leave_out(site: Path) -> None:
    for pattern in UNUSED:
        for path in list(site.rglob(pattern)):
            path.unlink()


class _Collect(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.said: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.said.append(record.getMessage())


@contextmanager
def _warnings() -> Iterator[list[str]]:
    logger = logging.getLogger("mkdocs")
    handler = _Collect()
    before = logger.propagate
    logger.addHandler(handler)
    logger.propagate = False  # they are raised as faults, not printed a second time
    try:
        yield handler.said
    finally:
        logger.removeHandler(handler)
        logger.propagate = before


@contextmanager
def _fixed_date() -> Iterator[None]:
    before = os.environ.get("SOURCE_DATE_EPOCH")
    os.environ["SOURCE_DATE_EPOCH"] = before or FIXED_DATE
    try:
        yield
    finally:
        if before is None:
            del os.environ["SOURCE_DATE_EPOCH"]
