"""What stands in the way: the verdicts of a job as boxes, worst first, a line for every reason."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from fnmatch import fnmatchcase
from functools import lru_cache

from markupsafe import Markup

from builder.pages.manifest import Entry
from builder.pages.shown import MARKS, sentence
from builder.pages.typed import typed
from builder.pages.words import upper_first
from builder.quantity import Number, Verdict

HEADS: Mapping[Verdict, str] = {  # in the order shown
    "stop": "Stop: do not go on until this is put right",
    "cannot tell": "Cannot tell: find out first, or plan for the worst",
    "watch": "Watch: you may go on, with care",
}


def concerned(entry: Entry, results: Mapping[str, Number]) -> list[Number]:
    """Return the numbers of a job that concern a page."""
    return [number for key, number in results.items() if _concerns(entry, key)]


def home(key: str, entries: Iterable[Entry]) -> Entry | None:
    """Return the first page that a number concerns: the place to act on it."""
    for entry in entries:
        if _concerns(entry, key):
            return entry
    return None


def boxes(
    numbers: Iterable[Number], link: Callable[[Number], Markup], verdicts: Iterable[Verdict] = tuple(HEADS)
) -> Markup:
    """Return a box for each verdict that occurs, a line for every reason; `link` ends the line.

    Numbers with the same reason share a line, and the link is that of the first of them.
    """
    found = list(numbers)
    out = Markup("")
    for verdict in verdicts:
        together: dict[str, list[Number]] = {}
        for number in found:
            if number.verdict == verdict:
                together.setdefault(number.reason, []).append(number)
        if together:
            out += Markup('\n!!! verdict-{} "{}"\n').format(MARKS[verdict], HEADS[verdict])
            for reason, same in together.items():
                more = f" and {len(same) - 1} more" if len(same) > 1 else ""
                names = typed(upper_first(same[0].words) + more)
                out += Markup("    - **{}**: {} {}\n").format(names, sentence(reason), link(same[0]))
    return out


def in_the_way(
    results: Mapping[str, Number],
    link: Callable[[Number, Entry | None], Markup],
    entries: tuple[Entry, ...],
) -> Markup:
    """Return every stop and cannot tell of a job; `link` gets the number and the page where to act.

    A number that no page is concerned with (a grain size, one half of a rule) is told by the one
    that shares its reason, where there is one; else it comes last.
    """
    bad = [number for number in results.values() if number.verdict in ("stop", "cannot tell")]
    homes = {number.key: home(number.key, entries) for number in bad}
    acting = [number for number in bad if homes[number.key] is not None]
    told = {(number.verdict, number.reason) for number in acting}
    rest = [n for n in bad if homes[n.key] is None and (n.verdict, n.reason) not in told]
    return boxes([*acting, *rest], lambda number: link(number, homes[number.key]))


@lru_cache(maxsize=4096)
def _concerns(entry: Entry, key: str) -> bool:
    """Whether a key matches one of a page's patterns; a star stays between two points."""
    parts = key.split(".")
    return any(
        len(like) == len(parts) and all(map(fnmatchcase, parts, like))
        for like in (pattern.split(".") for pattern in entry.concerns)
    )
