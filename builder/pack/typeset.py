"""The only module that knows the typesetter: a template of shared/print and data in, a PDF out.

The job's words reach the template as data and are set as text; none of them is ever read as markup.
Nothing of the machine gets in: no fonts but ours, no clock, no network.
"""

from __future__ import annotations

import importlib.util
import json
import re
import unicodedata
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    import typst

SHARED = Path(__file__).resolve().parents[2] / "shared"
TEMPLATES = SHARED / "print"
FONTS = SHARED / "theme" / "font"
OTHERS = (
    "mpl-data/fonts/ttf"  # signs our own typeface lacks: the drawing library's fonts, the last of them any
)
STANDARD: Final = "ua-1"  # tagged: ISO 14289-1
LATIN, BOX = "\u024f", "\u25a1"  # the last letter of Latin script; what stands for marks on one
SELECTORS = re.compile("[\ufe00-\ufe0f]")  # between two looks of the same sign
KEPT = 10  # documents the typesetter keeps a part for after its last use
COUNT = re.compile(rb"/Type/Pages/Count (\d+)")


def pdf(template: str, data: Mapping[str, Any]) -> bytes:
    """Return the PDF a template makes of data; the same bytes from the same data."""
    made = _typesetter().compile(
        (TEMPLATES / template).read_bytes(),
        format="pdf",
        pdf_standards=[STANDARD],
        timestamp=0,
        sys_inputs={"data": _settable(json.dumps(data, ensure_ascii=False))},
    )
    if not isinstance(made, bytes):
        raise TypeError(f"{template}: one PDF was asked for")
    return made


@cache
def _typesetter() -> typst.Compiler:
    import typst  # late: only what is sent out needs it

    paths = [str(FONTS), *(str(Path(place) / OTHERS) for place in _drawing_library())]
    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=paths)
    return typst.Compiler(root=str(TEMPLATES), font_paths=fonts, ignore_system_fonts=True)


def _settable(text: str) -> str:
    """Return text that the typefaces here can set, so that no sign of a spec stops the printing.

    Letters and their marks are joined where that is one sign. A mark left on a letter of ours, which our
    typeface can't set there, is set as a box after it.
    """
    text = SELECTORS.sub("", unicodedata.normalize("NFC", text))
    marks = "".join(sign for sign in sorted(set(text)) if unicodedata.category(sign).startswith("M"))
    return re.sub(f"(?<=[\0-{LATIN}])[{re.escape(marks)}]+", BOX, text) if marks else text


def _drawing_library() -> list[str]:
    """Return where the drawing library stands, without loading it."""
    found = importlib.util.find_spec("matplotlib")
    return list(found.submodule_search_locations or []) if found else []


def forget() -> None:
    """Let go of what the typesetter remembers of earlier documents, a hundred megabytes each.

    It keeps every part of a page for its next ten documents; no part of one job is of use to another.
    """
    if _typesetter.cache_info().currsize:
        for _ in range(KEPT + 1):
            _typesetter().compile(b"", format="svg")


def pages(made: bytes) -> int:
    """Return how many pages a PDF of the typesetter has."""
    found = COUNT.search(made)
    if found is None:
        raise ValueError("the PDF does not say how many pages it has")
    return int(found.group(1))
