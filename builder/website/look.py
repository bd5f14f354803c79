"""The one stylesheet and the one script of a guide, put together from shared/theme.

Both are the same for every job. The typeface stands in the stylesheet as data, because a browser that
opens a page from a folder may refuse to fetch a font beside it.
"""

from __future__ import annotations

import base64
import re
from functools import cache
from pathlib import Path

THEME = Path(__file__).resolve().parents[2] / "shared" / "theme"
SCRIPTS = ("look", "ticks", "dip", "search")
DARK = re.compile(r':root\[data-look="dark"\](\s*\{[^}]*\})')
COMMENT = re.compile(r"/\*.*?\*/\s*", re.S)
LICENCE = (
    "/* Typeface: Overpass, copyright 2021 The Overpass Project Authors, SIL Open Font License 1.1. */\n"
)
FACE = (
    "@font-face{{font-family:Overpass;font-weight:400 700;font-display:swap;"
    'src:url("data:font/woff2;base64,{}") format("woff2")}}\n'
)


@cache
def stylesheet() -> str:
    """Return the guide's stylesheet: typeface, the drawings' colours by role, then the look.

    What stands for a page that was set dark holds for a dark device too, unless it was set light.
    """
    from builder.figures.style import palette_css  # late: figures may be drawn by another process

    font = base64.b64encode((THEME / "font" / "overpass.woff2").read_bytes()).decode()
    rules = palette_css() + (THEME / "guide.css").read_text(encoding="utf-8")
    followed = DARK.sub(
        r'\g<0>\n@media screen and (prefers-color-scheme:dark){:root:not([data-look="light"])\1}', rules
    )
    return LICENCE + FACE.format(font) + _plain(COMMENT.sub("", followed))


@cache
def script(names: tuple[str, ...] = SCRIPTS) -> str:
    """Return the guide's script, or some parts of it, one after another."""
    parts = ((THEME / "scripts" / f"{name}.js").read_text(encoding="utf-8") for name in names)
    return "".join(_plain(COMMENT.sub("", part)) for part in parts)


def _plain(text: str) -> str:
    """Return the text without the blanks at the beginning of lines and without empty lines."""
    return re.sub(r"^\s+", "", text, flags=re.M)
