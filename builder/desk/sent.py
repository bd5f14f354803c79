"""What the desk shows of one job: an issue as its record kept it; today's numbers where none went out."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from builder import yamlfile
from builder.checks import Results
from builder.checks.causes import Entries
from builder.checks.earlier import read as read_numbers
from builder.errors import Fault, InputFaults
from builder.pack.order import NUMBERS
from builder.pack.record import ROWS, SPEC, Record
from builder.pages.words import Words
from builder.quantity import VERDICTS, Column, Number, Table, Verdict
from builder.units import UNITS

OWN_SHELL = "a shell of its own"
MONTHS = "January February March April May June July August September October November December".split()


@dataclass(frozen=True)
class Shown:
    """One job as it stands on its page; texts as typed, numbers by key.

    sent: whether this issue went out. address: of its guide, where it was packed with one. accepted: who
    answers for a stop and why, by the number's key. questions: ids in its guide; None: all there are.
    """

    ref: str
    title: str
    issue: str
    issued: str  # 2026-11-25, or empty
    shell: str
    region: str
    feet: bool
    audience: str
    notes: tuple[str, ...]
    changed: tuple[str, ...]
    version: str
    link: str
    address: str
    accepted: Mapping[str, tuple[str, str]]
    numbers: Mapping[str, Number]
    sent: bool
    questions: tuple[str, ...] | None = None

    @property
    def words(self) -> Words:
        """How its quantities are said."""
        return Words(feet=self.feet)

    @property
    def day(self) -> str:
        """The day it went out, as a reader writes it."""
        return day(self.issued)

    @property
    def place(self) -> str:
        """Where its guide stands in what is sent."""
        return f"{self.link}/{self.issue}/guide/"

    @property
    def verdicts(self) -> dict[str, int]:
        """How many numbers there are of each verdict but ok, worst first."""
        counted = {verdict: 0 for verdict in reversed(VERDICTS[1:])}
        for number in self.numbers.values():
            if number.verdict in counted:
                counted[number.verdict] += 1
        return {verdict: count for verdict, count in counted.items() if count}

    def reasons(self, verdict: Verdict) -> dict[str, list[str]]:
        """Return each reason of one verdict with the keys that share it, in order."""
        shared: dict[str, list[str]] = {}
        for key, number in self.numbers.items():
            if number.verdict == verdict:
                said = number.reason or number.words
                if verdict == "stop" and key in self.accepted:
                    by, why = self.accepted[key]
                    said += f"; {by} answers for it: {why}"
                shared.setdefault(self.words.sentence(said), []).append(key)
        return shared


def today(results: Results) -> Shown:
    """Return a job as it would be worked today."""
    spec, region = results.job.spec, results.job.region
    shell = results.job.spec.shell.name
    return Shown(
        ref=spec.ref,
        title=spec.title,
        issue=spec.issue,
        issued=spec.issued.isoformat() if spec.issued else "",
        shell=shell or OWN_SHELL,
        region=region.name,
        feet=region.units == "us",
        audience=spec.audience,
        notes=_lines(spec.notes or ""),
        changed=tuple(spec.changed),
        version="",
        link=str(spec.link or ""),
        address="",
        accepted={entry.check: (entry.by, entry.reason) for entry in spec.accepted},
        numbers=results,
        sent=False,
    )


def kept(record: Record, names: Mapping[str, str]) -> Shown:
    """Return an issue as its record kept it; raises InputFaults where the record can't be read.

    names: what each number is, in words, which the record does not keep.
    """
    spec = yamlfile.plain(yamlfile.read(record.folder / SPEC))
    entries = read_numbers(record.folder / NUMBERS)
    try:
        found = record.rows()
        rows = found["rows"]
        region = rows.get(f"regions/{spec['region']}", {})
        shell = spec["shell"]
        named = rows.get(f"shells/{shell}", {}).get("name", shell) if isinstance(shell, str) else OWN_SHELL
        return Shown(
            ref=record.ref,
            title=str(spec["title"]),
            issue=record.issue,
            issued=record.issued,
            shell=named,
            region=str(region.get("name", spec["region"])),
            feet=region.get("units") == "us",
            audience=str(spec.get("audience", "owner-builder")),
            notes=_lines(str(spec.get("notes", ""))),
            changed=tuple(str(line) for line in _listed(spec.get("changed"))),
            version=record.version,
            link=record.link,
            address=record.address,
            accepted={
                str(one["check"]): (str(one["by"]), str(one["reason"]))
                for one in _listed(spec.get("accepted"))
            },
            numbers=numbers(entries, names),
            sent=True,
            questions=tuple(str(one) for one in found["questions"]),
        )
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        wrong = f"the record of {record.ref} issue {record.issue} can't be read ({error})"
        instead = "Put it back from your backup of the records"
        raise InputFaults([Fault(str(record.folder / ROWS), 1, 1, "", wrong, instead)]) from error


def numbers(entries: Entries, names: Mapping[str, str]) -> dict[str, Number]:
    """Return the numbers of a `numbers.json` as they were, without their inputs."""
    return {key: _number(key, entry, names.get(key, key)) for key, entry in entries.items()}


def day(iso: str) -> str:
    """Return 2026-11-25 as `25 November 2026`; what is no day as it is."""
    try:
        found = datetime.date.fromisoformat(iso)
    except ValueError:
        return iso
    return f"{found.day} {MONTHS[found.month - 1]} {found.year}"


def _number(key: str, entry: Mapping[str, Any], words: str) -> Number:
    value, size = entry["value"], UNITS[entry["unit"]].si

    def si(part: str) -> float | None:
        return None if entry.get(part) is None else entry[part] * size

    if isinstance(value, dict):
        columns = tuple(Column(column["key"], column["unit"]) for column in value["columns"])
        found: float | Table | None = Table(columns, tuple(tuple(row) for row in value["rows"]))
    else:
        found = si("value")
    return Number(
        key=key,
        words=words,
        value=found,
        unit=entry["unit"],
        symbol=str(entry.get("symbol", "")),
        formula=entry["formula"],
        source=str(entry.get("source", "")),
        verdict=entry["verdict"],
        reason=str(entry.get("reason", "")),
        safe_side=entry.get("safe_side", "nearest"),
        audience=entry.get("audience", "working"),
        low=si("low"),
        high=si("high"),
    )


def _lines(text: str) -> tuple[str, ...]:
    return tuple(line.strip() for line in text.splitlines() if line.strip())


def _listed(given: Any) -> Sequence[Any]:
    return given if isinstance(given, list) else [] if given is None else [given]
