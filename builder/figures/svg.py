"""From a sheet to SVG that may stand in a page: live text, roles as variables, no style of its own."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from html import escape

from builder.figures import hatch
from builder.figures.canvas import Letter, Pen, Point, Sheet
from builder.figures.lettering import BOLD, PLAIN
from builder.figures.style import ROLES, colour

FONTS = "system-ui, Roboto, Helvetica, Arial, 'DejaVu Sans', sans-serif"
PX = 96 / 72  # CSS pixels a point
HATCH = "hatch:"
ANCHORS = {"left": "", "center": ' text-anchor="middle"', "right": ' text-anchor="end"'}
Paint = Callable[[str], str]  # role -> what stands in the attribute


def render(
    sheet: Sheet, name: str, title: str, description: str, *, plain: bool, printed: float | None = None
) -> str:
    """Return the SVG of a closed sheet; `plain` puts print colours in place of CSS variables.

    printed: how wide the figure is by itself and where its page is printed, in metres.
    """
    prefix = f"fig-{name}"
    colours = {
        role: colour(role, "print") if plain else f"var(--fig-{role},{colour(role, 'light')})"
        for role in ROLES
    }

    def paint(role: str) -> str:
        found = colours.get(role)
        return f"url(#{prefix}-{role.removeprefix(HATCH)})" if found is None else found

    pens = sorted(sheet.batches.items(), key=lambda item: item[0].layer)
    used = {pen.role for pen, lines in pens if lines}
    tiles = "".join(
        hatch.pattern(tile, f"{prefix}-{tile}", paint) for tile in hatch.tiles() if HATCH + tile in used
    )
    body = "".join(
        f'<path d="{_path(lines, sheet.offset)}"{_look(pen, paint)}/>' for pen, lines in pens if lines
    )
    letters = "".join(_letter(letter, sheet.offset, paint) for letter in sheet.letters)
    px, unit, look = PX, "", "fig"
    if printed is not None:
        inches = abs(printed / 0.0254 - 4) < 1e-9
        px, unit, look = printed * 1000 / sheet.width, "mm", f"fig to-scale{' inches' if inches else ''}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="{look}" '
        f'viewBox="0 0 {sheet.width:g} {sheet.height:g}" '
        f'width="{_short(sheet.width * px)}{unit}" height="{_short(sheet.height * px)}{unit}" role="img" '
        f'aria-labelledby="{prefix}-title" aria-describedby="{prefix}-desc" '
        f'font-family="{FONTS}" stroke-linejoin="round">'
        f'<title id="{prefix}-title">{escape(title, quote=False)}</title>'
        f'<desc id="{prefix}-desc">{escape(description, quote=False)}</desc>'
        f"<defs>{tiles}</defs>{body}{letters}</svg>"
    )


def _path(lines: Iterable[tuple[list[Point], bool]], down: float) -> str:
    """The data of one path; points after the first of a line are line commands by themselves."""
    parts = []
    for line, closed in lines:
        points = [f"{x:g} {round(y + down, 1):g}" for x, y in line]
        parts.append(f"M{' '.join(points)}{'z' if closed else ''}")
    return "".join(parts)


def _look(pen: Pen, paint: Paint) -> str:
    """A path's attributes: a line where the pen has a weight, else a fill."""
    if not pen.weight:
        return f' fill="{paint(pen.role)}"'
    dash = f' stroke-dasharray="{",".join(f"{step:g}" for step in pen.dash)}"' if pen.dash else ""
    ends = ' stroke-linecap="round"' if pen.round_ends else ""
    return f' fill="none" stroke="{paint(pen.role)}" stroke-width="{_short(pen.weight)}"{dash}{ends}'


def _letter(letter: Letter, down: float, paint: Paint) -> str:
    words = escape(letter.text, quote=False)
    words = words.replace(BOLD, '<tspan font-weight="700">').replace(PLAIN, "</tspan>")
    return (
        f'<text x="{_short(letter.x)}" y="{_short(letter.y + down)}" font-size="{letter.size:g}"'
        f'{ANCHORS[letter.anchor]} fill="{paint(letter.role)}">{words}</text>'
    )


def _short(number: float) -> str:
    """A number to two decimals, without noughts that say nothing."""
    return f"{round(number, 2) + 0.0:g}"
