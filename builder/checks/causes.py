"""What each printed input of a job rests on, and whether the spec or the catalogue moved it.

An earlier result keeps numbers, not the spec and rows they came from, so this is found out from the
job as it stands. Every figure of its spec, and of one catalogue row after the other, is nudged by a
little: what stirs rests on it, and what nothing stirs is a constant of the method. An input that
rests on one of them alone and has the very value of one of its figures speaks for it: where none of
these moved, the spec or the row is as it was. Where a row's did, and another row of that shelf has
all the earlier values, the spec named that one before; where none has, the row was corrected.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cached_property
from typing import Any

from builder import job as jobs
from builder import levels
from builder.checks.results import Results, work
from builder.checks.stirring import Used, figures_in, row_stirred, spec_stirred, used_rows
from builder.units import UNITS

SPEC, CATALOGUE, METHOD = "spec", "catalogue", "method"
SAME = 1e-9  # relative: less is rounding of another machine
LEAST = 1e-15  # in the unit at hand: less is what rounding leaves of nothing
ROUNDING = 1e-12  # relative, far below what a nudge stirs
Entries = Mapping[str, Mapping[str, Any]]  # the JSON shape of DESIGN section 6
Place = tuple[str, str]  # key and input; the input is empty for the number itself
_On = Used | None  # what an input rests on: a row, or the spec


class Causes:
    """Why inputs of a job moved since an earlier result of it."""

    def __init__(self, old: Entries, worked: Results) -> None:
        """Compare with the entries of an earlier result."""
        self._old = old
        self._job = worked.job
        self._new: Entries = {key: number.as_json() for key, number in worked.items()}

    def of(self, key: str, name: str) -> tuple[frozenset[str], bool]:
        """Return which of spec, catalogue and method moved the input `name` of `key`, and if that is sure."""
        if self._new[key]["inputs"][name]["value"] is None:  # gone: nothing stirs it any more
            return self.anywhere | {METHOD}, not self.anywhere
        rests = self._rests.get((key, name), frozenset())
        if not rests:  # a constant of the method, or what stands for a figure in another case of it
            return self.anywhere | {METHOD}, not self.anywhere
        found = self._of_all(rests)
        if found:
            return found, True
        mute = {SPEC if on is None else CATALOGUE for on in rests if on is None or not self._speaks[on]}
        return self.anywhere | mute | {METHOD}, False

    def behind(self, key: str) -> frozenset[str]:
        """Return which of spec and catalogue moved among what the number itself rests on."""
        return self._of_all(self._rests.get((key, ""), ()))

    def goes_with(self, key: str, name: str, other: str) -> bool:
        """Return whether the input `name` of `key` is the number `other`, whatever figures are nudged."""
        return all(
            carries(entries[other], entries[key]["inputs"].get(name) or {}, ROUNDING)
            for each in self._nudged.values()
            for entries in each
        )

    @cached_property
    def anywhere(self) -> frozenset[str]:
        """What of spec and catalogue moved anywhere in the job."""
        return self._of_all(self._found)

    @property
    def corrected(self) -> tuple[str, ...]:
        """The catalogue's rows that were corrected, as shelf/id."""
        rows = (on for on in self._rows if CATALOGUE in self._found[on])
        return tuple(dict.fromkeys(f"{on.shelf}/{on.id}" for on in rows))

    def _of_all(self, rests: Iterable[_On]) -> frozenset[str]:
        return frozenset(cause for on in rests for cause in self._found[on])

    @cached_property
    def _rests(self) -> Mapping[Place, frozenset[_On]]:
        """What each input and number rests on."""
        rests: dict[Place, set[_On]] = {}
        for on, nudged in self._nudged.items():
            for place in (place for entries in nudged for place in self._stirs(entries)):
                rests.setdefault(place, set()).add(on)
        return {place: frozenset(on) for place, on in rests.items()}

    @cached_property
    def _nudged(self) -> Mapping[_On, tuple[Entries, ...]]:
        """The job's numbers with the figures of the spec, or of one row, nudged."""
        found: dict[_On, tuple[Entries, ...]] = {}
        for on in self._all:
            jobs_stirred = spec_stirred(self._job) if on is None else (row_stirred(self._job, on),)
            found[on] = tuple(
                {key: number.as_json() for key, number in work(levels.place(job)).items()}
                for job in jobs_stirred
            )
        return found

    def _stirs(self, entries: Entries) -> Iterator[Place]:
        for key, entry in self._new.items():
            other = entries.get(key)
            if other is None or not same(other["value"], entry["value"], ROUNDING, 0.0):
                yield key, ""
            for name, given in entry["inputs"].items():
                if other is not None and not same(other["inputs"].get(name), given, ROUNDING, 0.0):
                    yield key, name

    @cached_property
    def _all(self) -> tuple[_On, ...]:
        return (None, *self._rows)

    @cached_property
    def _rows(self) -> tuple[Used, ...]:
        return used_rows(self._job)

    @cached_property
    def _speaks(self) -> Mapping[_On, list[Place]]:
        """The inputs that speak for each: they rest on it alone and have the value of one of its figures."""
        speaks: dict[_On, list[Place]] = {on: [] for on in self._all}
        figures = {on: figures_in(self._row(on)) for on in self._all}
        for place, rests in self._rests.items():
            if place[1] and len(rests) == 1:
                (on,) = rests
                if _among(self._new[place[0]]["inputs"][place[1]]["value"], figures[on]):
                    speaks[on].append(place)
        return speaks

    @cached_property
    def _found(self) -> Mapping[_On, frozenset[str]]:
        """How the spec and each row in use come to be other than they were."""
        spec = any(self._moved(place) for place in self._speaks[None])
        found: dict[_On, frozenset[str]] = {None: frozenset((SPEC,) if spec else ())}
        for used in self._rows:
            found[used] = frozenset(self._how(used))
        return found

    def _how(self, used: Used) -> Iterator[str]:
        """Say whether a row was chosen otherwise before, or is corrected; nothing where it is as it was."""
        before = {place: self._before(place) for place in self._speaks[used] if self._before(place)}
        beside = [
            figures_in(self._row(on)) for on in used_rows(self._job) if on.shelf == used.shelf and on != used
        ]
        moved = [
            place
            for place in before
            if self._moved(place) and not any(_among(before[place]["value"], figures) for figures in beside)
        ]
        if not moved:  # or another row of the same job was the one that counted
            return
        named = self._named(used)
        others = [name for name in named or self._shelf(used) if name != used.id]
        values: dict[float, set[float]] = {}  # by the figure now: what stood in its places before
        for (key, name), given in before.items():
            if given["value"] is not None:
                values.setdefault(self._new[key]["inputs"][name]["value"], set()).add(given["value"])
        for name in others:
            figures = figures_in(self._row(used, name))
            # Any of a figure's places will do: another, worked from the row, may have its value by chance.
            if all(any(_among(value, figures) for value in was) for was in values.values()):
                yield SPEC
                return
        if named.difference(row.id for row in self._rows):
            yield SPEC
        yield CATALOGUE

    def _named(self, used: Used) -> set[str]:
        """Return the rows of a shelf that the earlier result names in its keys; none where it can't."""
        if used.shelf not in ("grounds", "materials"):
            return set()
        named = (key.split(".")[1] for key in self._old if key.startswith("filter.") and key.count(".") == 2)
        return {name for name in named if name in self._shelf(used)}

    def _shelf(self, used: Used) -> Mapping[str, Any]:
        rows: Mapping[str, Any] = getattr(self._job.catalogue, used.shelf)
        return rows

    def _row(self, on: _On, name: str = "") -> Any:
        """Return the spec, a row in use, or another row of its shelf; a shell as its spec is read."""
        if on is None:
            spec = self._job.spec
            return spec if spec.shell.id is None else replace(spec, shell=None)  # type: ignore[arg-type]
        if on.shelf == "shells":
            return self._job.spec.shell if not name else jobs.shell_named(name, self._job.catalogue)
        return self._shelf(on)[name or on.id]

    def _before(self, place: Place) -> Mapping[str, Any]:
        entry = self._old.get(place[0])
        given: Mapping[str, Any] = entry["inputs"].get(place[1], {}) if entry else {}
        return given

    def _moved(self, place: Place) -> bool:
        before = self._before(place)
        return bool(before) and not same(before, self._new[place[0]]["inputs"][place[1]])


def same(one: Any, other: Any, rel: float = SAME, least: float = LEAST) -> bool:
    """Whether two pieces of JSON say the same, numbers to a billionth of themselves."""
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(same(one[key], other[key], rel, least) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(
            same(*pair, rel, least) for pair in zip(one, other, strict=True)
        )
    if isinstance(one, int | float) and isinstance(other, int | float):
        return math.isclose(one, other, rel_tol=rel, abs_tol=least)
    return type(one) is type(other) and bool(one == other)


def carries(entry: Mapping[str, Any], given: Mapping[str, Any], rel: float = SAME) -> bool:
    """Whether an input has a number's value, and its dimension."""
    value, si = entry["value"], given.get("value")
    unit = UNITS.get(entry["unit"])
    if not isinstance(value, int | float) or not isinstance(si, int | float) or unit is None:
        return False
    return unit.dimension == given.get("unit") and same(value * unit.si, si, rel)


def _among(value: Any, figures: Iterable[float]) -> bool:
    return any(same(value, figure) for figure in figures)
