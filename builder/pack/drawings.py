"""Drawings for paper: a figure of the site with its print colours put in, and the typeface of the page."""

from __future__ import annotations

import re

from builder.figures import Drawn
from builder.figures.style import colour

ROLE = re.compile(r"var\(--fig-([a-z-]+),#[0-9a-f]{6}\)")
FAMILY = re.compile(r'font-family="[^"]*"')
TYPEFACE = "Overpass"


def on_paper(drawing: Drawn) -> str:
    """Return a figure's SVG in plain print colours, for programs that know no variables."""
    plain = ROLE.sub(lambda found: colour(found.group(1), "print"), drawing.svg)
    return FAMILY.sub(f'font-family="{TYPEFACE}"', plain, count=1)


def in_words(drawing: Drawn) -> str:
    """Return what stands for a figure where it can't be seen."""
    return f"{drawing.title}. {drawing.description}"
