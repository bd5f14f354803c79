"""What moved between an earlier `numbers --json` and a job as it stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from builder.checks.causes import CATALOGUE, METHOD, SPEC, Causes, Entries, carries, same
from builder.checks.results import Results

STOP_LINES = "uplift."
STOPS_AT = (STOP_LINES, "fill.start_", "fill.stages")  # what holds a level or a dip to stop at
_LOOKED_AT = ("value", "low", "high", "unit", "verdict")


@dataclass(frozen=True)
class Moved:
    """One number that moved: its entry before and now (DESIGN section 6), and why.

    causes: of spec, catalogue and method; `certain` is False where it is one of them or several.
    inputs: the inputs that moved, name to (before, now), None where there was or is none.
    """

    key: str
    before: Mapping[str, Any]
    now: Mapping[str, Any]
    causes: tuple[str, ...]
    certain: bool
    inputs: Mapping[str, tuple[Mapping[str, Any] | None, Mapping[str, Any] | None]]

    @property
    def verdict_moved(self) -> bool:
        """Whether the verdict is another."""
        return bool(self.before["verdict"] != self.now["verdict"])


@dataclass(frozen=True)
class Difference:
    """Everything that moved, what matters most first; keys that came and keys that went.

    corrected: the catalogue's rows that hold other figures than they did, as shelf/id.
    """

    moved: tuple[Moved, ...]
    new: tuple[str, ...]
    gone: tuple[str, ...]
    corrected: tuple[str, ...]
    before: Entries
    now: Entries

    def as_json(self) -> dict[str, Any]:
        """Return it as JSON."""
        return {
            "moved": {
                one.key: {
                    "before": one.before,
                    "now": one.now,
                    "causes": list(one.causes),
                    "certain": one.certain,
                }
                for one in self.moved
            },
            "new": {key: self.now[key] for key in self.new},
            "gone": {key: self.before[key] for key in self.gone},
            "corrected": list(self.corrected),
        }


def compare(before: Entries, worked: Results) -> Difference:
    """Return what moved between earlier entries and a job's results."""
    now: Entries = {key: number.as_json() for key, number in worked.items()}
    finder = _Finder(before, now, Causes(before, worked))
    moved = [finder.moved(key) for key in now if key in before and finder.differs(key)]
    moved.sort(key=lambda one: (not one.verdict_moved, not one.key.startswith(STOP_LINES)))
    return Difference(
        tuple(moved),
        tuple(key for key in now if key not in before),
        tuple(key for key in before if key not in now),
        finder.causes.corrected if moved else (),
        before,
        now,
    )


def apart(before: Entries, now: Entries) -> tuple[str, ...]:
    """Return the keys of both whose value, range, unit or verdict is another.

    Stop lines come first, then other verdicts. Says nothing of why, so it costs next to nothing.
    """
    moved = [key for key in now if key in before and _looks_other(before[key], now[key])]
    return tuple(
        sorted(
            moved,
            key=lambda key: (
                not is_stop_line(key, before[key], now[key]),
                before[key]["verdict"] == now[key]["verdict"],
            ),
        )
    )


def is_stop_line(key: str, old: Mapping[str, Any], new: Mapping[str, Any]) -> bool:
    """Whether a number says where or at which dip to stop, or is or was itself a stop."""
    return key.startswith(STOPS_AT) or "stop" in (old["verdict"], new["verdict"])


def _looks_other(old: Mapping[str, Any], new: Mapping[str, Any]) -> bool:
    return any(not same(old.get(part), new.get(part)) for part in _LOOKED_AT)


class _Finder:
    """Finds why each number moved; an input that is another number's value moved for its reasons."""

    def __init__(self, before: Entries, now: Entries, causes: Causes) -> None:
        self.before = before
        self.now = now
        self.causes = causes
        self.found: dict[str, tuple[frozenset[str], bool]] = {}

    def differs(self, key: str) -> bool:
        return _looks_other(self.before[key], self.now[key]) or self.reworked(key)

    def reworked(self, key: str) -> bool:
        """Whether the formula is another; where either has no value, another formula may just apply."""
        old, new = self.before[key], self.now[key]
        both = old["value"] is not None and new["value"] is not None
        return both and (old["formula"], old["unit"]) != (new["formula"], new["unit"])

    def moved(self, key: str) -> Moved:
        causes, certain = self.why(key)
        order = [cause for cause in (SPEC, CATALOGUE, METHOD) if cause in causes]
        inputs = self.inputs(key)
        return Moved(key, self.before[key], self.now[key], tuple(order), certain or len(order) == 1, inputs)

    def inputs(self, key: str) -> dict[str, tuple[Mapping[str, Any] | None, Mapping[str, Any] | None]]:
        old, new = self.before[key]["inputs"], self.now[key]["inputs"]
        pairs = {name: (old.get(name), new.get(name)) for name in (*old, *(n for n in new if n not in old))}
        return {name: pair for name, pair in pairs.items() if not same(*pair)}

    def why(self, key: str) -> tuple[frozenset[str], bool]:
        """Return the causes, and whether all of them are certain."""
        if key not in self.found:
            self.found[key] = frozenset(), True  # met again while it is being worked: adds nothing
            self.found[key] = self._why(key)
        return self.found[key]

    def _why(self, key: str) -> tuple[frozenset[str], bool]:
        moved = self.inputs(key)
        reworked = frozenset((METHOD,)) if self.reworked(key) else frozenset()
        if any(old is None or new is None for old, new in moved.values()) and not reworked:
            # Inputs came or went: another case of the same method applies.
            return self.causes.behind(key) or self.causes.anywhere or frozenset((METHOD,)), False
        if not moved and not reworked and self.now[key]["formula"].startswith("method:"):
            found = self.causes.behind(key)
            return found or self.causes.anywhere | {METHOD}, False
        if not moved and same(self.before[key]["value"], self.now[key]["value"]) and not reworked:
            # The verdict alone: it may have been given for what is no input, such as the groundwater.
            causes = self.causes.anywhere
            return causes | {METHOD}, not causes
        if not moved:
            return frozenset((METHOD,)), True
        causes, certain = reworked, True
        for name, (old, new) in moved.items():
            if old is None or new is None:
                continue
            source = self.source(key, name, old, new)
            found, sure = self.causes.of(key, name) if source is None else self.why(source)
            causes, certain = causes | found, certain and sure
        return causes or frozenset((METHOD,)), certain

    def source(self, key: str, name: str, old: Mapping[str, Any], new: Mapping[str, Any]) -> str | None:
        """Return the number whose value the input was and is, and would be whatever were nudged.

        One of the input's own name is looked for first.
        """
        own_name = sorted(self.now, key=lambda other: other.partition(".")[2] != name)
        for other in own_name:
            if other == key or other not in self.before or (other in self.found and not self.found[other][0]):
                continue
            if carries(self.before[other], old) and carries(self.now[other], new):
                if self.causes.goes_with(key, name, other):  # else it has the same value by chance
                    return other
        return None
