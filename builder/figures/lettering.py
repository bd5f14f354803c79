"""How wide text is: the metrics of a broad open font, an upper bound for what a page may use.

A part of a text between BOLD and PLAIN is set bold. Both are private-use characters, so that no
text of a job can hold them by right; `spoken` takes them out.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import matplotlib
from matplotlib.ft2font import FT2Font

from builder.figures.style import TEXT

BOLD, PLAIN = "\ue000", "\ue001"
ASCENT, DESCENT = 0.76, 0.24  # of the size: capitals and brackets above, tails below the base line
_MEASURE = re.compile(r"(\d) (mm|m|in|ft)\b")
_UNITS = 1000  # the size the advances are read at


def bold(text: str) -> str:
    """Return the text marked to be set bold."""
    return f"{BOLD}{text}{PLAIN}"


def spoken(text: str) -> str:
    """Return the text without marks."""
    return text.replace(BOLD, "").replace(PLAIN, "")


def safe(text: str) -> str:
    """Return text that came from a job, without characters that mark lettering."""
    return spoken(text)


def inline(name: str) -> str:
    """Return a name from a job or the catalogue as it stands within a sentence: small first letter.

    A name that starts with capitals, such as an abbreviation, stays as it is. A number and its unit
    never part at a line's end.
    """
    text = _MEASURE.sub("\\1\u00a0\\2", safe(name))
    return text if text[1:2].isupper() else text[:1].lower() + text[1:]


@cache
def width(text: str, size: float) -> float:
    """Return an upper bound for the width in points of text at a size in points."""
    total, heavy = 0.0, False
    for letter in text:
        if letter in (BOLD, PLAIN):
            heavy = letter == BOLD
        else:
            total += _advance(letter, heavy)
    return total * size


def wrapped(text: str, room: float, size: float = TEXT) -> tuple[str, ...]:
    """Return text in lines no wider than `room` points; a word wider than that is cut.

    Bold parts stay bold over a line's end.
    """
    lines, line, heavy = [], "", False
    for word in _words(text, room, size):
        joined = f"{line} {word}" if spoken(line) else line + word
        if spoken(line) and width(joined + PLAIN, size) > room:
            lines.append(line + PLAIN if heavy else line)
            joined = BOLD + word if heavy else word
        line = joined
        heavy = line.rfind(BOLD) > line.rfind(PLAIN)
    return (*lines, line) if line else tuple(lines)


def _words(text: str, room: float, size: float) -> list[str]:
    """The words of a text, a word too wide for the room in pieces."""
    found = []
    for word in text.split(" "):
        piece = ""
        for letter in word:
            if spoken(piece) and width(BOLD + spoken(piece) + letter, size) > room:
                found.append(piece)
                piece = ""
            piece += letter
        found.append(piece)
    return found


@cache
def _advance(letter: str, heavy: bool) -> float:
    font = _font(heavy)
    if not font.get_char_index(ord(letter)):
        return 1.0  # a letter this font lacks: an em, the width of the broadest scripts
    return float(font.load_char(ord(letter)).linearHoriAdvance) / 65536 / _UNITS


@cache
def _font(heavy: bool) -> FT2Font:
    name = "DejaVuSans-Bold.ttf" if heavy else "DejaVuSans.ttf"
    font = FT2Font(str(Path(matplotlib.get_data_path()) / "fonts" / "ttf" / name))
    font.set_size(_UNITS, 72)
    return font
