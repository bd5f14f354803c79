"""A job's number as a page shows it."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from builder.pages.typed import markup, typed
from builder.pages.words import Words, upper_first
from builder.quantity import Number, Verdict
from builder.say import FINE, SPACE, two_digits
from builder.units import UNITS, SafeSide

MARKS: dict[Verdict, str] = {"ok": "ok", "watch": "watch", "stop": "stop", "cannot tell": "cannot-tell"}


class PageError(Exception):
    """A template asks for something it cannot have: what is wrong, and what to write instead."""

    def __init__(self, wrong: str, instead: str) -> None:
        """Keep both halves of the fault; the place is added where the page is rendered."""
        self.wrong = wrong
        self.instead = instead
        super().__init__(f"{wrong}. {instead}.")


@dataclass(frozen=True)
class Shown:
    """A number with a value, in words; printed by itself it is bold and rounded on its safe side."""

    number: Number
    words: Words
    peg: float  # level of the peg's mark, metres below the rim (negative: above)

    def __html__(self) -> str:
        """Return the number in a sentence."""
        return bold(str(self))

    def __str__(self) -> str:
        """Return the number as plain text."""
        return self.words.number(self.number, self.number.si)

    @property
    def fine(self) -> Markup:
        """A length to the millimetre where 5 mm would be too coarse."""
        step = 0.001 if abs(self.number.si) >= 0.01 else FINE
        return markup(bold(self.words.length(self.number.si, self.number.safe_side, step)))

    @property
    def below_rim(self) -> Markup:
        """A level in words: so much below the rim."""
        return bold_depth(self.words.depth(self.number.si, "the rim", self.number.safe_side))

    @property
    def below_peg(self) -> Markup:
        """A level in words: so much below the peg's mark, for the days before the rim is there."""
        return bold_depth(self.words.depth(self.number.si - self.peg, "the peg", self.number.safe_side))

    @property
    def cubic(self) -> Markup:
        """A volume of soil, fill or concrete in cubic metres, two digits."""
        value, side = self.number.si, self.number.safe_side
        metric = f"{two_digits(value, side)}{SPACE}m³"
        if not self.words.feet:
            return markup(bold(metric))
        return markup(bold(f"{two_digits(value / UNITS['yd3'].si, side)}{SPACE}cu{SPACE}yd ({metric})"))

    @property
    def ends(self) -> Markup:
        """A range by its ends, two digits each: `between 5 minutes and 3 hours`."""
        low, high = self._end(self.number.low, "down"), self._end(self.number.high, "up")
        if low == high:
            return markup(bold(low))
        return markup(f"between {bold(low)} and {bold(high)}")

    @property
    def most(self) -> Markup:
        """The high end of a range."""
        return markup(bold(self._end(self.number.high, "up")))

    @property
    def least(self) -> Markup:
        """The low end of a range."""
        return markup(bold(self._end(self.number.low, "down")))

    def _end(self, value: float | None, side: SafeSide) -> str:
        if value is None:
            raise PageError(
                f"{self.number.key} is no range", "Write the number without .ends, .most or .least"
            )
        return self.words.number(self.number, value, side)


def bold(text: str) -> str:
    """Return a number as it stands in a sentence: bold, kept on one line.

    What is said in brackets after it, `5 ft 10 in (1,785 mm)`, may stand on the next line.
    """
    size, found, other = text.partition(" (")
    beside = f' <span class="n">({other}</span>' if found else ""
    return f'<b class="n">{size}</b>{beside}'


def bold_depth(text: str) -> Markup:
    """Return `1,785 mm below the rim` with the number bold."""
    for word in (" above ", " below "):
        size, found, place = text.partition(word)
        if found:
            return markup(f"{bold(size)}{word}{place}")
    return markup(bold(text))


def mark(verdict: Verdict) -> Markup:
    """Return a verdict by word; the style sheet adds the shape."""
    return markup(f'<span class="verdict {MARKS[verdict]}">{verdict}</span>')


def sentence(text: str) -> Markup:
    """Return a reason as typed, a sentence for each of its parts between semicolons."""
    text = ". ".join(upper_first(part) for part in text.strip().split("; "))
    return typed(text if text.endswith((".", "!", "?")) else f"{text}.")
