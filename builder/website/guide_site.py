"""One guide in, one site on disk."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from markupsafe import escape

from builder.errors import CannotWrite, Fault, InputFaults
from builder.pages.typed import as_typed
from builder.website import engine, words
from builder.website.finish import finish, prepared
from builder.website.look import script, stylesheet
from builder.website.place import folder_beside, put
from builder.website.sound import faults_in

if TYPE_CHECKING:
    from builder.figures import Drawn
    from builder.pages import Guide


def write_site(
    guide: Guide, drawn: Mapping[str, Drawn], out: Path, papers: Callable[[], Mapping[str, bytes]] = dict
) -> Path:
    """Do what `builder.website.build` says."""
    try:
        with folder_beside(out) as work:
            docs, site = work / "docs", work / "site"
            lifted = _write_pages(guide, docs)
            said = engine.run(docs, site, **given(guide))
            if said:
                raise InputFaults(_said(line) for line in said)
            _write_words(guide, site)
            finish(site, drawn, lifted)
            for name, content in papers().items():
                path = site / name
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(content)
            if faults := faults_in(site):
                raise InputFaults(_of_source(fault, guide) for fault in faults)
            put(site, out)
    except OSError as error:
        raise CannotWrite(error.filename or out, error.strerror or str(error)) from error
    return out / "index.html"


def given(guide: Guide) -> dict[str, Any]:
    """Return what `engine.run` asks besides the folders."""
    return {
        "name": escape(guide.title),
        "nav": _nav(guide.nav),
        "job": _job(guide),
        "own": [as_typed(guide.ref), as_typed(guide.title)],
    }


def _write_pages(guide: Guide, docs: Path) -> dict[str, list[str]]:
    """Write the pages for mkdocs; return what was lifted out of them, by address in the site."""
    lifted: dict[str, list[str]] = {}
    for page in guide.pages:
        path = docs / page.path
        path.parent.mkdir(parents=True, exist_ok=True)
        title = json.dumps(str(escape(page.title)), ensure_ascii=False)
        body, lifted[page.path.removesuffix(".md") + ".html"] = prepared(page.markdown)
        path.write_text(f"---\ntitle: {title}\n---\n\n{body}", encoding="utf-8", newline="\n")
    assets = docs / "assets"
    assets.mkdir(exist_ok=True)
    for name, text in (("guide.css", stylesheet()), ("guide.js", script())):
        (assets / name).write_bytes(text.encode())
    return lifted


def _write_words(guide: Guide, site: Path) -> None:
    """Write what the guide is searched by, from the pages before drawings and whole blocks are in them."""
    addresses = ((page.path.removesuffix(".md") + ".html", page.title) for page in guide.pages)
    pages = ((name, title, (site / name).read_text(encoding="utf-8")) for name, title in addresses)
    (site / "assets" / "words.js").write_bytes(words.index(pages).encode())


def _nav(entries: Any) -> engine.Nav:
    return [{escape(title): below if isinstance(below, str) else _nav(below)} for title, below in entries]


def _job(guide: Guide) -> dict[str, str]:
    parts = (guide.ref, f"issue {guide.issue}" if guide.issue else "", guide.issued)
    return {
        "ref": escape(guide.ref),
        "issue": escape(guide.issue or ""),
        "line": escape(" · ".join(part for part in parts if part)),
        "region": escape(guide.region),
    }


def _of_source(fault: Fault, guide: Guide) -> Fault:
    """A fault of a built page is told of the page's source, which an author can mend."""
    source = fault.file.removesuffix(".html") + ".md"
    return replace(fault, file=source, line=1, column=1) if source in {p.path for p in guide.pages} else fault


def _said(line: str) -> Fault:
    page = line.split("'")[1] if line.count("'") > 1 else "mkdocs.yml"
    return Fault(page, 1, 1, "", line, "Mend the page's source in content/, then build again")
