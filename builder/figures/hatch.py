"""Our own small hatch tiles, one a material, as SVG patterns in points of the figure.

A tile has no ground of its own: the solid fill lies beneath it, so that no pale seams show between
tiles in print.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from builder.figures.style import HATCH_ROLES

Paint = Callable[[str], str]  # role -> what stands in the attribute

# hatch -> (tile width, tile height, marks; {c} is the mark's colour)
_TILES: Mapping[str, tuple[float, float, str]] = {
    "ground": (
        15,
        11,
        '<path d="M1 5L4.5 1.5M3.5 5.5L7 2M6 6L9.5 2.5M8.5 10.5L12 7M11 11L14.5 7.5" '
        'fill="none" stroke="{c}" stroke-width=".7"/>',
    ),
    "sand": (
        5,
        5,
        '<path d="M1 .8h.01M3.6 1.7h.01M2 3.6h.01M4.6 4.3h.01" fill="none" stroke="{c}" '
        'stroke-width=".85" stroke-linecap="round"/>',
    ),
    "fine": (
        7,
        6,
        '<path d="M.8 1h1.6M4.6 2.2h.01M2 3.8h.01M4.2 4.8h1.6" fill="none" stroke="{c}" '
        'stroke-width=".8" stroke-linecap="round"/>',
    ),
    "gravel": (
        9,
        8,
        '<g fill="none" stroke="{c}" stroke-width=".6"><ellipse cx="2.3" cy="2" rx="1.6" ry="1.1"/>'
        '<ellipse cx="6.6" cy="3" rx="1.2" ry="1.5"/><ellipse cx="3.4" cy="5.8" rx="1.4" ry="1.1"/>'
        '<ellipse cx="7.2" cy="6.6" rx="1" ry=".7"/></g>',
    ),
    "coarse": (
        15,
        13,
        '<g fill="none" stroke="{c}" stroke-width=".7"><ellipse cx="4" cy="3.2" rx="2.8" ry="2"/>'
        '<ellipse cx="10.8" cy="4.4" rx="2.2" ry="2.7"/><ellipse cx="5.4" cy="9.4" rx="2.6" ry="2.1"/>'
        '<ellipse cx="12" cy="10.6" rx="1.7" ry="1.3"/></g>',
    ),
    "makeup": (9, 9, '<path d="M0 9L9 0M0 0L9 9" fill="none" stroke="{c}" stroke-width=".6"/>'),
    "concrete": (
        11,
        10,
        '<path d="M1.4 3.6L3.2 1L4.6 3.8ZM7 8.6L9.4 7.2L9 9.4Z" fill="none" stroke="{c}" stroke-width=".6"/>'
        '<path d="M7.4 2h.01M9.8 4.4h.01M3 7.6h.01M5.4 5.4h.01" fill="none" stroke="{c}" '
        'stroke-width=".9" stroke-linecap="round"/>',
    ),
}


def pattern(name: str, element_id: str, paint: Paint) -> str:
    """Return the <pattern> element of a hatch."""
    width, height, marks = _TILES[name]
    drawn = marks.replace("{c}", paint(HATCH_ROLES[name][1]))
    return (
        f'<pattern id="{element_id}" patternUnits="userSpaceOnUse" width="{width}" height="{height}">'
        f"{drawn}</pattern>"
    )


def tiles() -> tuple[str, ...]:
    """Return the names of all hatches."""
    return tuple(_TILES)
