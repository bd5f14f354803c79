"""Which jobs that went out a row, a source or a question touched, and what of them would be other today."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from builder import checks, job, levels
from builder.catalogue import Catalogue, nearest
from builder.checks import against, moves
from builder.checks.earlier import read as read_numbers
from builder.errors import Fault, InputFaults
from builder.pack.order import NUMBERS, place_of
from builder.pack.record import SPEC, Record, records

SHELVES = ("shells", "pipes", "materials", "fabrics", "grounds", "threads", "regions")


@dataclass(frozen=True)
class Touched:
    """One issue that went out and was touched. named: as what, such as pipes/pvc-dn65-pn9.

    newest: the job's newest issue, which alone counts. moved: (key, before, now) of each stop line that
    would be other if its spec were worked today; empty for an issue that is not the newest. faults: why
    the kept spec can't be worked any more.
    """

    record: Record
    named: tuple[str, ...]
    newest: str
    moved: tuple[tuple[str, Mapping[str, Any], Mapping[str, Any]], ...] = ()
    faults: tuple[Fault, ...] = ()

    def lines(self) -> Iterator[str]:
        """Yield what there is to say, a line each."""
        one = self.record
        said = f"{one.ref} issue {one.issue}, {one.issued}: {', '.join(self.named)}"
        if self.newest != one.issue:
            yield f"{said}; issue {self.newest} took its place"
        elif self.faults:
            yield f"{said}; its spec can't be worked any more"
            yield from (f"  {fault}" for fault in self.faults)
        elif not self.moved:
            yield f"{said}; no stop line would move"
        else:
            yield f"{said}; {len(self.moved)} stop lines would move"
            for key, before, now in self.moved:
                verdict = (
                    ""
                    if before["verdict"] == now["verdict"]
                    else f"{before['verdict']} -> {now['verdict']}  "
                )
                yield f"  {key}  {verdict}{moves.change(before, now)}"

    def as_json(self) -> dict[str, Any]:
        """Return it as JSON."""
        one = self.record
        return {
            "ref": one.ref,
            "issue": one.issue,
            "issued": one.issued,
            "link": one.link,
            "named": list(self.named),
            "newest": self.newest,
            "moved": {key: {"before": before, "now": now} for key, before, now in self.moved},
            "faults": [str(fault) for fault in self.faults],
        }


def where_used(name: str, issued: Path, catalogue: Catalogue, questions: tuple[str, ...]) -> list[Touched]:
    """Return every issue a row, source or question touched, by job, oldest issue first.

    name: an id, or shelf/id where two shelves have it. questions: the ids of the questions there are.
    Raises InputFaults where nothing in the catalogue, the questions or the records has that id.
    """
    jobs: dict[str, list[Record]] = {}
    for record in records(issued):
        jobs.setdefault(record.ref, []).append(record)
    known = {*_catalogued(catalogue), *(f"questions/{one}" for one in questions)}
    found = []
    for own in jobs.values():
        newest = max((one.issue for one in own), key=place_of)
        for record in own:
            used = tuple(_names(record.rows()))
            known.update(used)
            if named := tuple(one for one in used if name in (one, one.partition("/")[2])):
                found.append(_touched(record, named, newest, catalogue))
    if not any(name in (one, one.partition("/")[2]) for one in known):
        ids = sorted({one.partition("/")[2] for one in known} | known)
        near = (
            nearest(name[:80], ids)
            or f"an id of shared/{', shared/'.join(SHELVES)}, of a source or a question"
        )
        wrong = f"no row, source or question is called {name[:80]!r}"
        raise InputFaults([Fault(catalogue.name, 1, 1, "", wrong, f"Write {near}")])
    return found


def _catalogued(catalogue: Catalogue) -> Iterator[str]:
    for shelf in (*SHELVES, "sources"):
        yield from (f"{shelf}/{name}" for name in getattr(catalogue, shelf))


def _names(rows: Mapping[str, Any]) -> Iterator[str]:
    yield from rows["rows"]
    yield from (f"sources/{name}" for name in rows["sources"])
    yield from (f"questions/{name}" for name in rows["questions"])


def _touched(record: Record, named: tuple[str, ...], newest: str, catalogue: Catalogue) -> Touched:
    if record.issue != newest:
        return Touched(record, named, newest)
    try:
        worked = checks.work(levels.place(job.read(record.folder / SPEC, catalogue)))
        before = read_numbers(record.folder / NUMBERS)
    except InputFaults as faults:
        return Touched(record, named, newest, faults=faults.faults)
    now = {key: number.as_json() for key, number in worked.items()}
    keys = [key for key in against.apart(before, now) if against.is_stop_line(key, before[key], now[key])]
    return Touched(record, named, newest, tuple((key, before[key], now[key]) for key in keys))
