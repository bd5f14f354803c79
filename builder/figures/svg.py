"""From a sheet to SVG that may stand in a page: live text, roles as variables, no style of its own.

The drawing library writes the paths; what it adds for a file of its own (head, metadata, style
sheet, groups) is taken off again, inline style becomes attributes, and our hatch tiles go in.
"""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from functools import cache
from html import escape

import matplotlib
from matplotlib.artist import Artist
from matplotlib.backend_bases import RendererBase
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.path import Path
from matplotlib.text import Text
from matplotlib.transforms import Affine2D

from builder.figures import hatch
from builder.figures.canvas import Letter, Pen, Point, Sheet
from builder.figures.lettering import BOLD, PLAIN
from builder.figures.style import ROLES, colour, sentinel, sentinels

FONTS = "system-ui, Roboto, Helvetica, Arial, 'DejaVu Sans', sans-serif"
PX = 96 / 72  # CSS pixels a point
_NO_METADATA = dict.fromkeys(("Creator", "Date", "Format", "Type"))


class _Ink(Artist):
    """Paints a sheet: one path a pen, then the text."""

    def __init__(self, sheet: Sheet) -> None:
        super().__init__()
        self.sheet = sheet

    def draw(self, renderer: RendererBase) -> None:
        scale = _pixels(renderer, 1.0)
        page = (
            Affine2D()
            .translate(0, self.sheet.offset)
            .scale(scale, -scale)
            .translate(0, self.sheet.height * scale)
        )
        for pen, lines in sorted(self.sheet.batches.items(), key=lambda item: item[0].layer):
            self._paint(renderer, page, pen, lines)
        text = Text(transform=page)
        for letter in self.sheet.letters:
            self._set(renderer, page, letter, text)

    def _paint(
        self, renderer: RendererBase, page: Affine2D, pen: Pen, lines: list[tuple[list[Point], bool]]
    ) -> None:
        if not lines:
            return
        gc = renderer.new_gc()
        tone = sentinel(pen.role)
        gc.set_linewidth(_pixels(renderer, pen.weight))
        if pen.weight:
            gc.set_foreground(tone)
            gc.set_joinstyle("round")
            gc.set_capstyle("round" if pen.round_ends else "butt")
            if pen.dash:
                gc.set_dashes(0, [_pixels(renderer, step) for step in pen.dash])
        rgb = None if pen.weight else matplotlib.colors.to_rgb(tone)
        renderer.draw_path(gc, _compound(lines), page, rgb)
        gc.restore()

    def _set(self, renderer: RendererBase, page: Affine2D, letter: Letter, text: Text) -> None:
        gc = renderer.new_gc()
        gc.set_foreground(sentinel(letter.role))
        text.set_position((letter.x, letter.y))
        text.set_horizontalalignment(letter.anchor)
        x, y = page.transform((letter.x, letter.y))
        y = renderer.get_canvas_width_height()[1] - y if renderer.flipy() else y
        renderer.draw_text(gc, x, y, letter.text, _font(letter.size), 0, mtext=text)
        gc.restore()


def _pixels(renderer: RendererBase, points: float) -> float:
    return float(renderer.points_to_pixels(points))  # type: ignore[arg-type]  # typed for arrays too


@cache
def _font(size: float) -> FontProperties:
    return FontProperties(family=["DejaVu Sans"], size=size)


def _compound(lines: list[tuple[list[Point], bool]]) -> Path:
    points: list[Point] = []
    codes: list[int] = []
    for line, closed in lines:
        points += line
        codes += [int(Path.MOVETO), *[int(Path.LINETO)] * (len(line) - 1)]
        if closed:
            points.append(line[0])
            codes.append(int(Path.CLOSEPOLY))
    path = Path(points, codes)
    path.should_simplify = False
    return path


def figure(sheet: Sheet) -> Figure:
    """Return the drawing library's figure of a closed sheet, in sentinel colours."""
    drawn = Figure(figsize=(sheet.width / 72, sheet.height / 72), frameon=False)
    drawn.add_artist(_Ink(sheet))
    return drawn


def render(sheet: Sheet, name: str, title: str, description: str, *, plain: bool) -> str:
    """Return the SVG of a closed sheet; `plain` puts print colours in place of CSS variables."""
    out = io.StringIO()
    with matplotlib.rc_context({"svg.fonttype": "none", "svg.hashsalt": "figures"}):
        FigureCanvasSVG(figure(sheet)).print_svg(out, metadata=dict(_NO_METADATA))
    prefix = f"fig-{name}"

    def paint(role: str) -> str:
        return colour(role, "print") if plain else f"var(--fig-{role},{colour(role, 'light')})"

    body = _body(out.getvalue(), prefix, paint)
    tiles = "".join(
        hatch.pattern(tile, f"{prefix}-{tile}", paint)
        for tile in hatch.tiles()
        if f"#{prefix}-{tile})" in body
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="fig" viewBox="0 0 {sheet.width:g} {sheet.height:g}" '
        f'width="{sheet.width * PX:g}" height="{sheet.height * PX:g}" role="img" '
        f'aria-labelledby="{prefix}-title" aria-describedby="{prefix}-desc" '
        f'font-family="{FONTS}" stroke-linejoin="round">'
        f'<title id="{prefix}-title">{escape(title, quote=False)}</title>'
        f'<desc id="{prefix}-desc">{escape(description, quote=False)}</desc>'
        f"<defs>{tiles}</defs>{body}</svg>"
    )


_DRAWN = re.compile(
    r'<path d="([^"]*)"(?: style="([^"]*)")?/>'
    r'|<text style="([^"]*)" x="([^"]*)" y="([^"]*)"[^>]*>([^<]*)</text>'
)
_NUMBER = re.compile(r"-?\d+\.\d+(?:e-?\d+)?")
_HEX = re.compile(r"#[0-9a-f]{6}")


def _body(raw: str, prefix: str, paint: Callable[[str], str]) -> str:
    names = sentinels()

    def put(match: re.Match[str]) -> str:
        name = names[match.group()]
        return paint(name) if name in ROLES else f"url(#{prefix}-{name.removeprefix('hatch:')})"

    def attributes(style: str) -> str:
        return _HEX.sub(put, _attributes(style))

    found = []
    for path, style, lettered, x, y, text in _DRAWN.findall(raw):
        if path:
            found.append(f'<path d="{_path(path)}"{attributes(style)}/>')
        else:
            found.append(f'<text x="{_short(x)}" y="{_short(y)}"{attributes(lettered)}>{_spans(text)}</text>')
    return "".join(found)


def _path(data: str) -> str:
    """The path without the line commands that SVG takes as read; points are on the sheet's hundredths."""
    return " ".join(part for part in data.split() if part != "L")


def _attributes(style: str) -> str:
    kept = []
    for rule in style.split(";"):
        key, _, value = (piece.strip() for piece in rule.partition(":"))
        if key in ("", "font-family", "stroke-linejoin", "stroke-dashoffset") or (key, value) == (
            "text-anchor",
            "start",
        ):
            continue
        value = (
            _NUMBER.sub(lambda match: _short(match.group()), value) if not value.startswith("#") else value
        )
        kept.append(f' {key}="{value.removesuffix("px")}"')
    return "".join(kept)


def _spans(text: str) -> str:
    return text.replace(BOLD, '<tspan font-weight="700">').replace(PLAIN, "</tspan>")


def _short(number: str) -> str:
    text = f"{float(number):.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
