"""What stands in the way: the verdicts of a job as boxes, worst first, nothing told twice in a box.

A reason is a row of parts between semicolons; a part that a box has told already is left out of the
lines after it, and a number with nothing new to say has no line.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from fnmatch import fnmatchcase
from functools import lru_cache
from itertools import pairwise

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
ANSWERED = "Stop, with someone who answers for it: go on only as they say"
PLACES: Mapping[str, str] = {  # where a number of a group is acted on when no page of the guide concerns it
    "dig": "Before you dig",
    "drawdown": "Keeping the dig dry",
    "pump": "Keeping the dig dry",
    "wall": "The walls, while you fill and backfill",
    "fill": "Filling and backfilling",
    "beam": "The ring beam",
    "rain": "When it rains",
    "gap": "When it rains",
    "care": "In later years",
}
ELSEWHERE = "What else was worked out"
_ORDER: tuple[tuple[Verdict, str, bool], ...] = (  # verdict, head of its box, whether someone answers for it
    ("stop", HEADS["stop"], False),
    ("stop", ANSWERED, True),
    ("cannot tell", HEADS["cannot tell"], False),
)
_ON_A_PAGE = (*_ORDER, ("watch", HEADS["watch"], False))
Link = Callable[[Number], Markup]
Say = Callable[[str], str]  # a reason in the region's own units


def concerned(entry: Entry, results: Mapping[str, Number]) -> list[Number]:
    """Return the numbers of a job that concern a page."""
    return [number for key, number in results.items() if _concerns(entry, key)]


def home(key: str, entries: Iterable[Entry]) -> Entry | None:
    """Return the first page that a number concerns: the place to act on it."""
    for entry in entries:
        if _concerns(entry, key):
            return entry
    return None


def boxes(numbers: Iterable[Number], link: Link, say: Say, answer: Callable[[Number], str]) -> Markup:
    """Return a box for each verdict that occurs, a line for every number with something to say.

    Stops that someone answers for have a box of their own.
    """
    found = list(numbers)
    out = Markup("")
    for verdict, head, answered in _ON_A_PAGE:
        told: set[str] = set()
        lines = [
            _line(number, parts, link, say)
            for number in found
            if number.verdict == verdict
            and bool(answer(number)) == answered
            and (parts := _new(number, told))
        ]
        if lines:
            out += _box(verdict, head, Markup("").join(lines))
    return out


def in_the_way(
    results: Mapping[str, Number],
    entries: tuple[Entry, ...],
    page: Callable[[Entry], Markup],
    link: Link,
    say: Say,
    answer: Callable[[Number], str],
) -> Markup:
    """Return every stop and cannot tell of a job, by the place where to act: pages first, in their order.

    `page` links a place, `link` ends a line, `answer` says who answers for a stop. Stops that someone
    answers for have a box of their own. Left out are what no line could help with: a grain size or half
    a rule of the filter, for the face it belongs to speaks for it, and a number for checking that has
    no value, for the numbers for acting say why.
    """
    out = Markup("")
    bad = [number for number in results.values() if _tells(number)]
    for verdict, head, answered in _ORDER:
        told: set[str] = set()
        found = [n for n in bad if n.verdict == verdict and bool(answer(n)) == answered]
        lines = Markup("")
        for place, numbers in _by_place(found, entries).items():
            below = [
                _line(number, parts, link, say, under_place=True)
                for number, parts in _shared(numbers, told, answer)
            ]
            if below:
                named = page(place) if isinstance(place, Entry) else typed(place)
                lines += Markup("    - **{}**\n{}").format(named, Markup("").join(below))
        if lines:
            out += _box(verdict, head, lines)
    return out


def glance(
    results: Mapping[str, Number],
    entries: tuple[Entry, ...],
    page: Callable[[Entry], Markup],
    answer: Callable[[Number], str],
) -> Markup:
    """Return what `in_the_way` tells by name alone: a line for each page where the reasons stand."""
    out = Markup("")
    bad = [number for number in results.values() if _tells(number)]
    for verdict, head, answered in _ORDER:
        found = [n for n in bad if n.verdict == verdict and bool(answer(n)) == answered]
        lines = Markup("")
        for place, numbers in _by_place(found, entries).items():
            named = page(place) if isinstance(place, Entry) else typed(place)
            names = "; ".join(dict.fromkeys(number.words for number in numbers))
            lines += Markup("    - **{}**: {}\n").format(named, typed(names))
        if lines:
            out += _box(verdict, head, lines)
    return out


def _by_place(found: list[Number], entries: tuple[Entry, ...]) -> dict[Entry | str, list[Number]]:
    """Return numbers by the page or the part of the work where to act, in the order of the work."""
    places: dict[Entry | str, list[Number]] = {}
    order: tuple[Entry | str, ...] = (*entries, *dict.fromkeys(PLACES.values()), ELSEWHERE)
    for place in order:
        here = [number for number in found if _place(number, entries) == place]
        if here:
            places[place] = here
    return places


def _place(number: Number, entries: tuple[Entry, ...]) -> Entry | str:
    return home(number.key, entries) or PLACES.get(number.key.partition(".")[0], ELSEWHERE)


def _shared(
    numbers: list[Number], told: set[str], answer: Callable[[Number], str]
) -> list[tuple[Number, list[str]]]:
    """Return the numbers that say something new, with what they say.

    Checks that no step acts on, one after another in one group and with a part in common, are told by
    that part alone: the walls of a shell whose maker gives no limit, say.
    """
    common: set[str] = set()
    for before, after in pairwise(numbers):
        if before.audience == after.audience == "working" and _group(before) == _group(after):
            common |= set(_parts(before)) & set(_parts(after))
    found = []
    for number in numbers:
        mine = _parts(number)
        if number.audience == "working" and common & set(mine):
            told.update(part for part in mine if part not in common)
        new = _new(number, told)
        if new or (answer(number) and answer(number) not in told):
            found.append((number, new))
        told.add(answer(number))
    return found


def _new(number: Number, told: set[str]) -> list[str]:
    """Return the parts of a reason that were not told before, and note them as told."""
    new = [part for part in _parts(number) if part not in told]
    told.update(new)
    return new


def _parts(number: Number) -> list[str]:
    return list(dict.fromkeys(part for part in number.reason.strip().split("; ") if part))


def _group(number: Number) -> str:
    return number.key.partition(".")[0]


def _line(number: Number, parts: list[str], link: Link, say: Say, *, under_place: bool = False) -> Markup:
    said = Markup("{} ").format(sentence(say("; ".join(parts)))) if parts else Markup("")
    name = typed(upper_first(number.words))
    if not under_place:
        return Markup("    - **{}**: {}{}\n").format(name, said, link(number))
    return Markup("        - {}. {}{}\n").format(name, said, link(number))


def _box(verdict: Verdict, head: str, lines: Markup) -> Markup:
    return Markup('\n!!! verdict-{} "{}"\n{}').format(MARKS[verdict], head, lines)


def _tells(number: Number) -> bool:
    """Whether a stop or cannot tell helps the reader of the start page."""
    if number.key.startswith("filter.") and number.key.count(".") > 1:
        return False
    return number.verdict == "stop" or number.audience == "step" or number.value is not None


@lru_cache(maxsize=32768)
def _concerns(entry: Entry, key: str) -> bool:
    """Whether a key matches one of a page's patterns; a star stays between two points."""
    parts = key.split(".")
    return any(
        len(like) == len(parts) and all(map(fnmatchcase, parts, like))
        for like in (pattern.split(".") for pattern in entry.concerns)
    )
