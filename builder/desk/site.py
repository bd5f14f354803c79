"""The desk's site on disk: each job's pages by any process, then the search, then its name."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from builder import checks, job, levels
from builder.catalogue import Catalogue
from builder.checks import Results
from builder.desk import since
from builder.desk.page import TEMPLATES, Around, index_page, job_page, search_script
from builder.desk.questions import Points, questions, sent_page, sent_points, todays_points
from builder.desk.sent import Shown, kept, today
from builder.errors import CannotWrite, Fault, InputFaults
from builder.pack.record import FILES, SPEC, Record, records
from builder.website.look import COMMENT, script, stylesheet
from builder.website.place import folder_beside, put
from builder.website.unchanged import PROJECT, project_digest

KEPT = PROJECT / ".cache" / "desk"
SCRIPTS = ("boxes", "copy", "find")
INDEX = "index.html"


@dataclass(frozen=True)
class Told:
    """What became of a job: a word for the count, and what is wrong with its spec."""

    done: str
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True)
class Desk:
    """A desk in the making. out: where it goes; work: where it is made; issued, send: as pack left them."""

    out: Path
    work: Path
    issued: Path
    send: Path

    @property
    def site(self) -> Path:
        """The folder that becomes the desk."""
        return self.work / "site"

    def job(self, path: Path, ref: str | None, catalogue: Catalogue) -> Told:
        """Write the pages of the job in the spec file `path`, and what the search says of it.

        ref: its reference as far as it can be told without reading the spec. A path in `issued` is the kept
        spec of a job that is no longer in the folder. Raises InputFaults where nothing can be shown of the
        job, CannotWrite where the disk is at fault.
        """
        own = [] if ref is None else [one for one in records(self.issued, ref) if one.ref == ref]
        try:
            digest = self._digest(path, own)
            if (old := self._standing(path, digest)) is not None:
                return old
            made = _Job(self, path, own, catalogue)
            files, row = made.files(), made.row()
            for name, content in files.items():
                place = self.site / name
                place.parent.mkdir(parents=True, exist_ok=True)
                place.write_bytes(content)
            self._note(row)
        except OSError as error:
            raise CannotWrite(error.filename or self.out, error.strerror or str(error)) from error
        told = Told("with what was sent alone" if made.faults else "worked", made.faults)
        if not made.faults:
            sums = {name: hashlib.sha256(content).hexdigest() for name, content in files.items()}
            _remember(self._place(path), {"inputs": digest, "row": row, "files": sums})
        return told

    def finish(self) -> Path:
        """Put the search together from what the jobs left, and the desk in place; return its first page."""
        rows = [json.loads(note.read_text("utf-8")) for note in sorted((self.work / "rows").glob("*.json"))]
        rows.sort(key=lambda row: (row[0].casefold(), row[0]))
        assets = self.site / "assets"
        try:
            assets.mkdir(parents=True, exist_ok=True)
            texts = {
                self.site / INDEX: index_page(len(rows), sum(not row[4] for row in rows)),
                assets / "jobs.js": search_script(rows),
                assets / "desk.css": stylesheet() + _read("desk.css"),
                assets / "desk.js": script(("look", "dip", "search"))
                + "".join(_read(f"{one}.js") for one in SCRIPTS),
            }
            for place, text in texts.items():
                place.write_bytes(text.encode())
            put(self.site, self.out)
        except OSError as error:
            raise CannotWrite(error.filename or self.out, error.strerror or str(error)) from error
        return self.out / INDEX

    def _digest(self, path: Path, own: list[Record]) -> str:
        """Return a digest of all that a job's pages are made from."""
        digest = hashlib.sha256(project_digest())
        digest.update(_bytes(path))
        digest.update(f"\0{path.absolute()}\0{self._is_kept(path)}\0".encode())
        for record in own:
            digest.update(record.issue.encode())
            for name in FILES:
                digest.update(hashlib.sha256(_bytes(record.folder / name)).digest())
            digest.update(b"here" if sent_page(record, self.send) is not None else b"away")
        return digest.hexdigest()

    def _is_kept(self, path: Path) -> bool:
        return self.issued.resolve() in path.resolve().parents

    def _standing(self, path: Path, digest: str) -> Told | None:
        """Take a job's pages from the desk that stands, where all they came from is the same."""
        try:
            note = json.loads(self._place(path).read_text("utf-8"))
            if note["inputs"] != digest:
                return None
            files = {name: (self.out / name).read_bytes() for name in note["files"]}
            sound = all(
                hashlib.sha256(files[name]).hexdigest() == sum_ for name, sum_ in note["files"].items()
            )
        except (OSError, ValueError, KeyError, TypeError):
            return None
        if not sound:
            return None
        for name, content in files.items():
            place = self.site / name
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(content)
        self._note(note["row"])
        return Told("unchanged")

    def _place(self, path: Path) -> Path:
        name = hashlib.sha256(f"{path.absolute()}\n{self.out.absolute()}".encode()).hexdigest()
        return KEPT / f"{name[:32]}.json"

    def _note(self, row: list[Any]) -> None:
        folder = self.work / "rows"
        folder.mkdir(exist_ok=True)
        (folder / f"{row[0]}.json").write_text(json.dumps(row), encoding="utf-8")


@contextmanager
def beside(out: Path, issued: Path, send: Path) -> Iterator[Desk]:
    """Give a desk to make beside `out`; raises CannotWrite where that can't be."""
    try:
        with folder_beside(out) as work:
            yield Desk(out, work, issued, send)
    except OSError as error:
        raise CannotWrite(error.filename or out, error.strerror or str(error)) from error


def jobs_of(issued: Path, refs: Iterable[str | None]) -> list[Path]:
    """Return the kept specs of jobs that went out and whose reference is none of those: their newest."""
    there = {ref.casefold() for ref in refs if ref is not None}
    newest: dict[str, Path] = {}
    for record in records(issued):
        if record.ref == record.folder.parent.name and record.ref.casefold() not in there:
            newest[record.ref] = record.folder / SPEC
    return list(newest.values())


class _Job:
    """One job: what was sent of it, and what today's numbers are."""

    def __init__(self, desk: Desk, path: Path, own: list[Record], catalogue: Catalogue) -> None:
        """Work the spec, and read the records; raises InputFaults where neither gives anything to show."""
        self.desk, self.own = desk, own
        self.in_folder = not desk._is_kept(path)
        self.worked: Results | None = None
        self.why: tuple[Fault, ...] = ()
        try:
            self.worked = checks.work(levels.place(job.read(path, catalogue)))
        except InputFaults as faults:
            if not own:
                raise
            self.why = faults.faults
        self.faults = self.why if self.in_folder else ()  # an old spec's faults are nobody's to mend
        names = {} if self.worked is None else {key: one.words for key, one in self.worked.items()}
        self.issues = [kept(record, names) for record in own]
        self.rewritten = bool(own) and _bytes(path) != _bytes(own[-1].folder / SPEC)

    def files(self) -> dict[str, bytes]:
        """Return the job's pages by their place in the site."""
        if not self.issues:
            if self.worked is None:
                raise ValueError("a job with neither numbers nor records")  # refused before
            shown = today(self.worked)
            page = job_page(shown, questions(shown, todays_points(self.worked)), Around())
            return {f"job/{shown.ref}/{INDEX}": page.encode()}
        found = {}
        for at, shown in enumerate(self.issues):
            name = self._name(at)
            page = job_page(shown, questions(shown, self._points(at)), self._around(at))
            found[f"job/{shown.ref}/{name}"] = page.encode()
        return found

    def row(self) -> list[Any]:
        """Return what the search says of the job: the newest issue, or today's."""
        if self.issues:
            shown = self.issues[-1]
        elif self.worked is not None:
            shown = today(self.worked)
        verdicts = list(shown.verdicts.items()) or [("ok", 0)]
        sent = shown.issue if shown.sent else ""
        moved = bool(self._now and self._now.stop_lines)
        where = [shown.ref, shown.title, shown.shell, shown.region]
        return [*where, sent, shown.day if sent else "", verdicts, moved, shown.link]

    @cached_property
    def _now(self) -> since.Step | None:
        if not self.issues or self.worked is None:
            return None
        return since.to_today(self.issues[-1], self.worked)

    def _name(self, at: int) -> str:
        return INDEX if at == len(self.issues) - 1 else f"{self.issues[at].issue}.html"

    def _around(self, at: int) -> Around:
        last = len(self.issues) - 1
        others = tuple(
            (f"issue {one.issue}, {one.day}", self._name(place))
            for place, one in reversed(list(enumerate(self.issues)))
            if place != at
        )
        return Around(
            others=others,
            newest="" if at == last else self.issues[last].issue,
            since=since.between(self.issues[: at + 1]),
            now=self._now if at == last else None,
            why="; ".join(fault.wrong for fault in self.why) if at == last else "",
            rewritten=self.rewritten and at == last,
            in_folder=self.in_folder,
        )

    def _points(self, at: int) -> dict[str, tuple[str, Points]]:
        """Return what to read out: as sent, or as today's guide says it where no number is another."""
        found = sent_points(self.own[at], self.desk.send)
        if found is not None:
            return found
        last = at == len(self.issues) - 1
        if last and self.worked is not None and not self.rewritten and self._same_numbers():
            return todays_points(self.worked)
        return {}

    def _same_numbers(self) -> bool:
        from builder.checks import against

        worked: Shown = self.issues[-1]
        before = {key: number.as_json() for key, number in worked.numbers.items()}
        now = {} if self.worked is None else {key: number.as_json() for key, number in self.worked.items()}
        return before.keys() == now.keys() and not against.apart(before, now)


def _bytes(path: Path) -> bytes:
    """Return what a file holds; nothing where it can't be read, which its own reader tells of."""
    try:
        return path.read_bytes()
    except OSError:
        return b""


def _read(name: str) -> str:
    return COMMENT.sub("", (TEMPLATES / name).read_text(encoding="utf-8"))


def _remember(place: Path, note: dict[str, Any]) -> None:
    """Keep what a job's pages were made from; where it can't be kept, keep nothing."""
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_text(json.dumps(note), encoding="utf-8")
    except OSError:
        with suppress(OSError):
            place.unlink()
