"""The only module that knows the typesetter: a template of shared/print and data in, a PDF out.

The job's words reach the template as data and are set as text; none of them is ever read as markup.
Nothing of the machine gets in: no fonts but ours, no clock, no network.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    import typst

SHARED = Path(__file__).resolve().parents[2] / "shared"
TEMPLATES = SHARED / "print"
FONTS = SHARED / "theme" / "font"
STANDARD: Final = "ua-1"  # tagged: ISO 14289-1
COUNT = re.compile(rb"/Type/Pages/Count (\d+)")


def pdf(template: str, data: Mapping[str, Any]) -> bytes:
    """Return the PDF a template makes of data; the same bytes from the same data."""
    made = _typesetter().compile(
        (TEMPLATES / template).read_bytes(),
        format="pdf",
        pdf_standards=[STANDARD],
        timestamp=0,
        sys_inputs={"data": json.dumps(data, ensure_ascii=False)},
    )
    if not isinstance(made, bytes):
        raise TypeError(f"{template}: one PDF was asked for")
    return made


@cache
def _typesetter() -> typst.Compiler:
    import typst  # late: only what is sent out needs it

    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FONTS)])
    return typst.Compiler(root=str(TEMPLATES), font_paths=fonts, ignore_system_fonts=True)


def pages(made: bytes) -> int:
    """Return how many pages a PDF of the typesetter has."""
    found = COUNT.search(made)
    if found is None:
        raise ValueError("the PDF does not say how many pages it has")
    return int(found.group(1))
