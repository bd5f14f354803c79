"""Style by meaning: what each role looks like on a light page, on a dark page and in print.

A figure is drawn in roles; `svg` puts in CSS variables for the site, or the print colours for paper.
Shape and hatch tell materials apart; colour only helps.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Mode = Literal["light", "dark", "print"]
MODES: tuple[Mode, ...] = ("light", "dark", "print")

WIDTH = 288.0  # points: 4 in, so that a 358 px column shows 9 pt as 11 px
MARGIN = 7.0
TEXT = 9.0  # points, the size of nearly all text
SMALL = 8.5  # points, the smallest text of any figure

OUTLINE = 1.5  # points: cut edges of what the figure is about
EDGE = 0.8  # edges between materials
THIN = 0.55  # dimensions, leaders, extension lines
LEVEL = 1.1  # water lines


@dataclass(frozen=True)
class Role:
    """A meaning and its colour by mode."""

    light: str
    dark: str
    print: str


ROLES: Mapping[str, Role] = {
    # name            light      dark       print
    "paper": Role("#ffffff", "#1e2129", "#ffffff"),
    "ink": Role("#15191e", "#eceff3", "#000000"),
    "dimension": Role("#414b55", "#b4bec9", "#262626"),
    "laminate": Role("#0e2233", "#f4f7fa", "#000000"),
    "edge": Role("#4a4038", "#b9ab9b", "#333333"),
    "ground": Role("#f3ebde", "#2c2822", "#f4f1ec"),
    "ground-mark": Role("#8a6f4a", "#a48c6a", "#6b6358"),
    "gravel": Role("#edf0f2", "#2b3038", "#f3f4f5"),
    "gravel-mark": Role("#66727d", "#97a3af", "#5c636a"),
    "sand": Role("#f8efd0", "#37321f", "#f8f4e6"),
    "sand-mark": Role("#7d6a22", "#c6b069", "#6a6140"),
    "makeup": Role("#e8dfd2", "#38322a", "#ebe7e0"),
    "makeup-mark": Role("#75603f", "#b39d7c", "#655b4c"),
    "concrete": Role("#dfe3e7", "#3a4047", "#e6e8ea"),
    "concrete-mark": Role("#535e69", "#aab4bf", "#4d555c"),
    "paving": Role("#c9cfd6", "#4b525b", "#d4d8dc"),
    "water": Role("#d3e8f6", "#15364b", "#e2eef6"),
    "water-line": Role("#0a5c92", "#6fbff2", "#00466f"),
    "groundwater": Role("#4a1570", "#e6ccfa", "#2e0845"),
    "tube": Role("#fce4d3", "#52301a", "#fbe9dd"),
    "tube-line": Role("#a43f08", "#ff9d57", "#7a2d00"),
    "fabric": Role("#7c2d4f", "#f29ac0", "#5c1c38"),
    "valve": Role("#c3d0da", "#53616d", "#ccd5dc"),
    "watch": Role("#8f6200", "#ffcb52", "#7a5600"),
    "watch-fill": Role("#ffecbd", "#4a3a10", "#fdf0cd"),
    "act": Role("#8c100b", "#ff7d74", "#6a0805"),
    "act-fill": Role("#fbd3d0", "#541c19", "#f9dedc"),
}

# Lines and marks, and the fills each may lie on or border: at least 3:1 (WCAG 2.2, 1.4.11).
LINES_ON: Mapping[str, tuple[str, ...]] = {
    "ink": ("paper", "ground", "gravel", "sand", "concrete", "paving", "water", "tube", "valve"),
    "dimension": ("paper", "ground", "gravel", "sand", "makeup", "water", "concrete", "paving", "tube"),
    "laminate": ("paper", "water", "gravel", "sand", "concrete", "paving", "valve"),
    "edge": ("paper", "ground", "gravel", "sand", "makeup", "concrete", "paving"),
    "ground-mark": ("ground",),
    "gravel-mark": ("gravel",),
    "sand-mark": ("sand",),
    "makeup-mark": ("makeup",),
    "concrete-mark": ("concrete", "paving"),
    "water-line": ("paper", "water", "gravel", "sand", "tube"),
    "groundwater": ("paper", "water", "sand", "gravel"),  # on ground it has a casing of paper
    "tube-line": ("paper", "tube", "gravel", "sand", "ground", "concrete"),
    "fabric": ("paper", "sand", "gravel", "ground"),
    "watch": ("paper", "watch-fill", "tube"),
    "act": ("paper", "act-fill", "tube"),
}

# Text, and the fills it stands on: at least 4.5:1 (WCAG 2.2, 1.4.3).
TEXT_ON: Mapping[str, tuple[str, ...]] = {
    "ink": ("paper", "water", "tube", "watch-fill", "act-fill"),
    "dimension": ("paper", "water"),
    "water-line": ("paper", "water"),
    "groundwater": ("paper",),
    "watch": ("paper",),
    "act": ("paper",),
}

# Lines that a reader must tell apart however he sees colours; their shapes tell them apart as well.
APART: tuple[tuple[str, str], ...] = (
    ("water-line", "groundwater"),
    ("watch", "act"),
    ("water-line", "act"),
    ("water-line", "watch"),
    ("groundwater", "act"),
    ("groundwater", "watch"),
    ("groundwater", "fabric"),
    ("groundwater", "ink"),
    ("tube-line", "water-line"),
    ("tube-line", "groundwater"),
)

# The hatch of a material by its `hatch` in the catalogue -> (fill, marks)
HATCH_ROLES: Mapping[str, tuple[str, str]] = {
    "ground": ("ground", "ground-mark"),
    "sand": ("sand", "sand-mark"),
    "fine": ("sand", "sand-mark"),
    "gravel": ("gravel", "gravel-mark"),
    "coarse": ("gravel", "gravel-mark"),
    "makeup": ("makeup", "makeup-mark"),
    "concrete": ("concrete", "concrete-mark"),
}


def colour(name: str, mode: Mode) -> str:
    """Return the colour of a role in a mode."""
    return str(getattr(ROLES[name], mode))


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, from 1 to 21 (WCAG 2.2, relative luminance)."""
    bright, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def palette_css() -> str:
    """Return the style rules a page with figures needs: the role variables and the drawing's size."""
    light, dark, paper = ("".join(f"--fig-{name}:{colour(name, mode)};" for name in ROLES) for mode in MODES)
    return (
        f":root{{{light}}}\n"
        f':root[data-look="dark"]{{{dark}}}\n'
        f"@media print{{:root,:root[data-look]{{{paper}}}}}\n"
        ".fig{display:block;width:100%;max-width:36rem;height:auto;margin:0 auto}\n"
        "@media print{.fig.to-scale{box-sizing:content-box;width:100mm;max-width:none}"
        ".fig.to-scale.inches{width:4in}}\n"
    )


def _luminance(code: str) -> float:
    channels = (int(code[at : at + 2], 16) / 255 for at in (1, 3, 5))
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
