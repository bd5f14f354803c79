"""What a template may call: look-ups of one page, which also keep what the page has shown.

A page never sees a bare float of the results: it asks for a number by its key and gets it in words,
rounded on its safe side, or the reason why there is none. Numbers for the working audience are
refused on every page but the working ones.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from markupsafe import Markup

from builder.catalogue.practice import Practice, practices
from builder.catalogue.rows import Region, Row, Standard
from builder.checks import Results, most_pumped
from builder.figures.papers import PAPERS, papers_of, path_of
from builder.pages import standing
from builder.pages.manifest import Entry, anchor
from builder.pages.shown import PageError, Shown, bold, mark, sentence
from builder.pages.typed import markup, typed
from builder.pages.wording import cautions
from builder.pages.words import Words, listed, lower_first, upper_first
from builder.quantity import Number, Verdict
from builder.say import SPACE, plain
from builder.units import UNITS

FIGURES_A_PAGE = 2
PSI = UNITS["lb"].si * 9.80665 / UNITS["in"].si ** 2  # Pa: a pound's weight on a square inch
FROM_MEMORY = {"k": "how fast water passes", "look": "how it looks", "trades": "who may do licensed work"}
TAGS = re.compile(r"<[^>]+>")
FORMS = ("below_rim", "below_peg", "ends", "most", "least", "fine", "cubic")  # of Shown, in the braces of say
Sentence = Callable[[str, tuple[str, int]], Markup]  # a data file's sentence and its place -> put out


class Tools:
    """The look-ups of one page, and the record of the numbers, habits and figures it has shown."""

    def __init__(
        self,
        entry: Entry,
        results: Results,
        words: Words,
        peg: float,
        region: Region,
        entries: tuple[Entry, ...],
        rows: list[tuple[str, Row]],
        put_out: Sentence,
    ) -> None:
        """Start the record of one page; put_out renders a caution's sentence in the page's context."""
        self.entry = entry
        self.results = results
        self.words = words
        self.peg = peg
        self.region = region
        self.entries = entries
        self.rows = rows
        self.put_out = put_out
        self.numbers: dict[str, Number] = {}
        self.habits: dict[str, Practice] = {}
        self.figures: list[str] = []
        self.trades_from_memory = False

    def names(self) -> dict[str, object]:
        """Return what a template may call, by name."""
        numbers = (
            self.n,
            self.has,
            self.say,
            self.throttle,
            self.reason,
            self.verdict,
            self.longest,
            self.card,
            self.cards,
        )
        others = (
            self.practice,
            self.caution,
            self.figure,
            self.papers,
            self.who,
            self.standards,
            self.sentence,
        )
        around = (self.standing, self.in_the_way, self.glance, self.link_page, self.pages_of, self.asked)
        return {call.__name__: call for call in (*numbers, *others, *around)}

    # numbers

    def n(self, key: str) -> Shown:
        """Return the number in words; refused where it has no value in this job."""
        number = self._number(key)
        if number.value is None:
            instead = f"Write say({key!r}, ...), or ask has({key!r}) first"
            raise PageError(f"{key} has no value in this job ({number.reason})", instead)
        return Shown(number, self.words, self.peg)

    def has(self, key: str) -> bool:
        """Whether the number has a value in this job."""
        return self._number(key).value is not None

    def say(self, key: str, words: str) -> Markup:
        """Return the sentence with the number at {}, or the reason why there is no number.

        Inside the braces one of FORMS may stand: {below_rim}, {ends}.
        """
        if not self.has(key):
            return self.reason(key)
        shown = self.n(key)
        for form in FORMS:
            if "{" + form + "}" in words:
                return markup(words.replace("{" + form + "}", getattr(shown, form)))
        return markup(words.replace("{}", shown.__html__()))

    def throttle(self, words: str) -> Markup:
        """Return the sentence with the most the tube may be pumped at, at {}.

        That is what it gives while it holds the water down, where this job has that number, else what
        draws no fines. A tube that lets in too little to pump has its reason told instead.
        """
        return self.say(self.throttle_key, words)

    @property
    def throttle_key(self) -> str:
        """The key of the flow `throttle` tells."""
        return most_pumped(self.results.__getitem__).key

    def reason(self, key: str) -> Markup:
        """Return a number's reason as a sentence, after its verdict where that is not ok."""
        number = self._known(key)
        if not number.reason:
            instead = f"Ask verdict({key!r}) first, or write say({key!r}, ...)"
            raise PageError(f"{key} has no reason in this job", instead)
        if number.audience == "step" or self.entry.working:
            self.numbers[key] = number
        said = self.sentence(number.reason)
        return said if number.verdict == "ok" else markup(f"{mark(number.verdict)} {said}")

    def verdict(self, key: str) -> Verdict:
        """Return the verdict of a number, as a word to compare."""
        return self._known(key).verdict

    def longest(self, *keys: str) -> str:
        """Return the key, of those that have a value, whose high end is the greatest."""
        found = [number for number in map(self._known, keys) if isinstance(number.value, int | float)]
        if not found:
            raise PageError(f"none of {', '.join(keys)} has a value", "Ask has() of one of them first")
        return max(found, key=lambda number: number.si if number.high is None else number.high).key

    def card(self, key: str, title: str, form: str = "", words: str = "", kind: str = "") -> Markup:
        """Return one large number; where there is none, the verdict and its reason stand there.

        form: below_rim or below_peg. words: what follows, small. kind: act, watch or stop.
        """
        number = self._number(key)
        if number.value is None:
            kind = {"stop": "stop", "cannot tell": "watch"}.get(number.verdict, kind)
            large = "none" if number.verdict == "ok" else number.verdict
            return _card(title, typed(large), self.sentence(number.reason), kind)
        shown = self.n(key)
        text = TAGS.sub("", str(getattr(shown, form) if form else shown))
        size, _, place = text.partition(" ")
        return _card(title, markup(size), markup(", ".join(part for part in (place, words) if part)), kind)

    def cards(self, *cards: Markup) -> Markup:
        """Return a row of large numbers."""
        return Markup('\n<dl class="numbers">\n{}\n</dl>\n').format(Markup("\n").join(cards))

    def sentence(self, text: str) -> Markup:
        """Return a reason as sentences, in the region's own units."""
        return sentence(self.words.sentence(text))

    # habits, cautions, figures

    def practice(self, name: str) -> Markup:
        """Return a common-practice value in words, and note it for the page's last section."""
        row = practices().get(name)
        if row is None:
            raise PageError(f"there is no common-practice value {name!r}", "Add it to shared/practice.yml")
        self.habits[name] = row
        return markup(bold(self.habit(row)))

    def habit(self, row: Practice) -> str:
        """Return a common-practice value in words: lengths as typed, all else by its kind."""
        if row.dimension == "m":
            return self.words.habit(row.value, row.side)
        if row.dimension == "1":
            return plain(row.value)
        if row.dimension == "Pa":
            return self.pressure(row.value)
        return self.words.quantity(row.value, row.dimension, "nearest")

    def pressure(self, value: float) -> str:
        """Return Pa as a gauge shows it: kPa, and psi first where the region counts in feet."""
        metric = f"{plain(value / 1000)}{SPACE}kPa"
        return f"{plain(round(value / PSI))}{SPACE}psi ({metric})" if self.words.feet else metric

    def caution(self, name: str) -> Markup:
        """Return a caution as a box: signal word and hazard, what happens, how to avoid it."""
        row = cautions().get(name)
        if row is None:
            raise PageError(f"there is no caution {name!r}", "Add it to shared/cautions.yml")
        hazard, then, avoid = (
            self.put_out(text, row.place) for text in (row.hazard, row.consequence, row.avoid)
        )
        return Markup('\n!!! {} "**{}** {}"\n    {} {}\n').format(
            row.word.lower(), row.word, hazard, then, avoid
        )

    def figure(self, name: str) -> Markup:
        """Return the place of a figure."""
        if name in self.figures:
            raise PageError(f"the figure {name!r} stands twice on this page", "Link to it instead")
        self.figures.append(name)
        if len(self.figures) > FIGURES_A_PAGE and not self.entry.working:
            wrong = f"this page has more than {FIGURES_A_PAGE} figures"
            raise PageError(wrong, "Take one away, or split the page")
        return Markup('\n<div data-figure="{}"></div>\n').format(name)

    def papers(self) -> Markup:
        """Return links to the sheets that are true to size, one a paper: `A4 or A3`."""
        up = "../" * self.entry.path.count("/")
        links = [
            Markup('<a href="{}">{}</a>').format(up + path_of(name), PAPERS[name].name)
            for name in papers_of(self.region.units)
        ]
        return Markup(" or ").join(links)

    # who, standards, what stands in the way

    def who(self, act: str) -> Markup:
        """Return who may do a licensed act in this region."""
        try:
            trade = self.region.who(act)
        except KeyError as exc:
            raise PageError(str(exc.args[0]), "Add the trade to the region's row") from None
        self.trades_from_memory |= trade.memory
        return typed(trade.who)

    def standards(self, subjects: list[str]) -> list[Markup]:
        """Return the region's standards on the subjects, one line each."""
        return [standard_line(standard) for standard in self.region.standards if standard.about in subjects]

    def memory_lines(self) -> list[Markup]:
        """Return what on this page rests on memory: catalogue rows it leans on, and trades."""
        lines = []
        for use, row in self.rows:
            if row.memory and use in self.entry.rows:
                what = f" ({memory_words(row)})" if row.memory_of else ""
                lines.append(typed(f"{use}: {lower_first(row.name)}{what}"))
        return [*lines, typed("who may do the licensed work")] if self.trades_from_memory else lines

    def standing(self) -> Markup:
        """Return what stands in the way on this page, each line with a link to its working."""
        found = standing.concerned(self.entry, self.results)

        def working(number: Number) -> Markup:
            return Markup("{}({})").format(self.answered(number), self.link(number, "working"))

        return standing.boxes(found, working, self.words.sentence, lambda number: str(self.answered(number)))

    def in_the_way(self) -> Markup:
        """Return every stop and cannot tell of the job, by the page where to act."""

        def working(number: Number) -> Markup:
            return Markup("{}({})").format(self.answered(number), self.link(number, "working"))

        def page(place: Entry) -> Markup:
            return self.link_page(f"{place.path}#stops", place.title)

        return standing.in_the_way(
            self.results,
            self.entries,
            page,
            working,
            self.words.sentence,
            lambda number: str(self.answered(number)),
        )

    def glance(self) -> Markup:
        """Return every stop and cannot tell of the job by name alone, each under the page that says more."""
        return standing.glance(
            self.results,
            self.entries,
            lambda place: self.link_page(f"{place.path}#stops", place.title),
            lambda number: str(self.answered(number)),
        )

    def answered(self, number: Number) -> Markup:
        """Return who answers for a stop and why, where the job says so; empty where it does not."""
        accepted = self.results.accepted(number.key)
        if number.verdict != "stop" or accepted is None:
            return Markup("")
        said = upper_first(accepted.reason.strip().rstrip("."))
        return Markup("Who answers for it: {}. {}. ").format(typed(accepted.by), typed(said))

    # links

    def link(self, number: Number, words: str) -> Markup:
        """Return a link to a number's working, in the words given."""
        return self.link_page(f"working.md#{anchor(number.key)}", words)

    def link_page(self, path: str, words: str) -> Markup:
        """Return a link to another page of the guide, such as water/read.md#dry."""
        return Markup("[{}]({})").format(typed(words), "../" * self.entry.path.count("/") + path)

    def pages_of(self, group: str) -> list[Markup]:
        """Return links to the pages of a group of the navigation, in reading order."""
        return [self.link_page(entry.path, entry.title) for entry in self.entries if entry.group == group]

    def asked(self, words: str) -> Markup:
        """Return the words an asker uses, for search to find: nobody sees them on the page."""
        return asked(words)

    def _known(self, key: str) -> Number:
        try:
            return self.results[key]
        except KeyError:
            instead = "Write one of the keys that `numbers` prints"
            raise PageError(f"there is no number {key!r}", instead) from None

    def _number(self, key: str) -> Number:
        number = self._known(key)
        if number.audience == "working" and not self.entry.working:
            instead = "Take a number for the step audience, or link to the working page"
            raise PageError(f"{key} is a working number, and this page is for acting", instead)
        self.numbers[key] = number
        return number


def asked(words: str) -> Markup:
    """Return a paragraph that search reads and a reader does not see."""
    return Markup('\n<p class="words" hidden>{}</p>\n').format(typed(words))


def standard_line(standard: Standard) -> Markup:
    """Return a standard as a reader looks it up; its clauses are never quoted."""
    edition = Markup(" ({})").format(typed(standard.year)) if standard.year else Markup("")
    sure = "" if standard.sure == "found" else " Its number or title is from memory."
    text = Markup("**{}**{}, {}. Check the edition in force.{}")
    return text.format(typed(standard.number), edition, typed(standard.title), sure)


def memory_words(row: Row) -> str:
    """Return what of a row is from memory, in words."""
    return listed([FROM_MEMORY.get(of, of.replace("_", " ")) for of in row.memory_of]) or "all of it"


def plainly(value: object) -> str:
    """Return a default as the schema prints it, without the signs of the spec's notation."""
    return re.sub(r"[{}\[\]]", "", str(value)).replace(" deg", "°").replace(": ", " ")


def _card(title: str, large: Markup, small: Markup, kind: str) -> Markup:
    named = Markup(' class="{}"').format(kind) if kind else Markup("")
    below = Markup(" <small>{}</small>").format(small) if small else Markup("")
    return Markup("<div{}><dt>{}</dt><dd><b>{}</b>{}</dd></div>").format(named, typed(title), large, below)
