"""Packing one issue: everything is made beside, written through to the disk, then given its name.

The order is: record, issue, index. A run that breaks off between two of them leaves each whole, and the
next run of the same job makes the same bytes and puts what is missing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import ExitStack
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from builder.checks.earlier import read as read_numbers
from builder.errors import CannotWrite, InputFaults
from builder.pack import firm, made, manifest, record
from builder.pack.order import INDEX, MANIFEST, NUMBERS, SITE, Order, Packed, place_of
from builder.pack.ready import after, faults_of
from builder.pack.zipped import zipped
from builder.pages import Earlier
from builder.website.place import folder_beside

if TYPE_CHECKING:
    from builder.checks import Results
    from builder.figures import Drawn
    from builder.pages import Guide

Documents = Callable[
    ["Results", "Guide", "Mapping[str, Drawn]", Mapping[str, bytes], Path, str | None], Mapping[str, bytes]
]
"""(numbers, guide, figures, sheets true to size, the built site, its address) -> files by name."""

HOME = """<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; base-uri 'none'; form-action 'none'">
<meta name="generator" content="Shellbed">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="robots" content="noindex">
<meta name="referrer" content="no-referrer">
<meta http-equiv="refresh" content="0; url={where}">
<title>{ref}</title>
</head>
<body>
<p><a href="{where}">{ref}, issue {issue}: open the guide</a></p>
</body>
</html>
"""


def standing(order: Order) -> Packed | None:
    """Return the issue where it stands whole, made from the very same inputs; None where it must be made."""
    try:
        if not made.known(order) or damaged(order.folder) or not _leads_to_newest(order):
            return None
        kept = (order.record_folder / MANIFEST).read_bytes()
        same = kept == (order.folder / MANIFEST).read_bytes()
        return _packed(order, "unchanged") if same else None
    except OSError:
        return None


def send(
    order: Order, drawn: Mapping[str, Drawn], papers: Callable[[], Mapping[str, bytes]], documents: Documents
) -> Packed:
    """Make the issue of a job and put it where it goes, with its record; return what stands then.

    Raises InputFaults where the spec must say more, where the issue went out with other content, or
    where a page is wrong; CannotWrite where the disk is. What stood before stays as it was.
    """
    name = f"Another pack of {order.ref} is running: waiting for it to end"
    try:
        with ExitStack() as stack:
            for folder in (order.record_folder.parent, order.link_folder):
                if stack.enter_context(firm.held(folder, partial(order.waiting, name))):
                    firm.clear_leftovers(folder)
            if faults := faults_of(order):
                raise InputFaults(faults)
            packed = _made_and_put(order, drawn, papers, documents)
            made.remember(order)
    except OSError as error:
        raise CannotWrite(error.filename or order.folder, error.strerror or str(error)) from error
    return packed


def damaged(folder: Path) -> str:
    """Say what is wrong with an issue's folder by its own manifest; nothing where it is whole."""
    return next(manifest.damage(folder), "")


def _made_and_put(
    order: Order, drawn: Mapping[str, Drawn], papers: Callable[[], Mapping[str, bytes]], documents: Documents
) -> Packed:
    from builder import pages, website

    worked = order.worked
    with folder_beside(order.link_folder / firm.WORK) as work:
        whole = work / order.issue
        whole.mkdir()
        guide = pages.render(worked, earlier=_earlier(order))
        website.build(guide, drawn, whole / SITE, papers)
        site = {f"{SITE}/{name}": content for name, content in manifest.contents(whole / SITE).items()}
        numbers = manifest.as_json(worked.as_json())
        beside = {NUMBERS: numbers, **documents(worked, guide, drawn, papers(), whole / SITE, order.address)}
        beside |= _manifest_and_zip(order, site | beside)
        _refuse_other(order, beside[MANIFEST])
        firm.write_all(whole, beside)
        with folder_beside(order.record_folder.parent / firm.WORK) as work_of_record:
            kept = work_of_record / order.issue
            kept.mkdir()
            firm.write_all(kept, record.contents(worked, guide, numbers, beside[MANIFEST], order.address))
            return _packed(order, _put(order, kept, whole))


def _manifest_and_zip(order: Order, files: Mapping[str, bytes]) -> dict[str, bytes]:
    """Return the zip of all files with their manifest in it, and the manifest of the zip and them."""
    spec = order.worked.job.spec
    if spec.issued is None:
        raise ValueError("an issue without a day")  # refused before
    name = f"{order.name}.zip"
    inside = {**files, MANIFEST: manifest.manifest(spec, files)}
    packed = {name: zipped(inside, order.name, spec.issued)}
    return {**packed, MANIFEST: manifest.manifest(spec, {**files, **packed})}


def _refuse_other(order: Order, new: bytes) -> None:
    """Refuse to go on where the issue stands, or went out, with other bytes."""
    for folder in (order.folder, order.record_folder):
        if not folder.exists():
            continue
        wrong = damaged(folder) if folder == order.folder else ""
        old = manifest.read(folder)
        if wrong or old is None:
            why = f"what stands there is damaged ({wrong or MANIFEST}): move it away, and pack again"
            raise CannotWrite(folder, why)
        if names := manifest.differing(old, new):
            names = [name for name in names if not name.endswith(".zip")] or names
            more = f" and {len(names) - 1} more" if len(names) > 1 else ""
            said = f"issue {order.issue} went out with other content ({names[0]}{more}), and is never changed"
            instead = (
                f"Write `issue: {after(order.issue)}`, its day, and under changed: what moved; then pack"
            )
            raise InputFaults([order.worked.job.fault(("issue",), said, instead)])


def _put(order: Order, kept: Path, whole: Path) -> str:
    """Put record, issue and index, as far as they do not stand; return what that was."""
    had_record, had_issue = order.record_folder.exists(), order.folder.exists()
    if not had_record:
        firm.settle(kept, order.record_folder)
    if not had_issue:
        firm.settle(whole, order.folder)
    led = _leads_to_newest(order)
    if not led:
        firm.replace_file(order.link_folder / INDEX, _home(order))
    if had_record and had_issue and led:
        return "unchanged"
    return "mended" if had_record or had_issue else "packed"


def _earlier(order: Order) -> Earlier | None:
    """Return the issue before this one with its numbers, from its record."""
    last = record.before(order.issued, order.ref, order.issue)
    return None if last is None else Earlier(last.issue, read_numbers(last.folder / NUMBERS))


def _leads_to_newest(order: Order) -> bool:
    home = order.link_folder / INDEX
    return home.is_file() and home.read_bytes() == _home(order)


def _home(order: Order) -> bytes:
    """Return the page under the job's link, which leads to the newest issue there."""
    newest = max((path.name for path in order.link_folder.iterdir() if _is_issue(path)), key=place_of)
    return HOME.format(where=f"{newest}/{SITE}/index.html", ref=order.ref, issue=newest).encode()


def _is_issue(path: Path) -> bool:
    return record.ISSUE.fullmatch(path.name) is not None and (path / MANIFEST).is_file()


def _packed(order: Order, done: str) -> Packed:
    sizes = {path.name: path.stat().st_size for path in order.folder.rglob("*") if path.is_file()}
    count = sum(path.is_file() for path in order.folder.rglob("*"))
    return Packed(order.folder, done, count, sizes[f"{order.name}.zip"])
