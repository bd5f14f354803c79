"""Colours by role: contrast computed, every role in every mode, one hatch a material."""

from __future__ import annotations

import re

import pytest

from builder.catalogue import load
from builder.figures import palette_css
from builder.figures.hatch import pattern, tiles
from builder.figures.style import (
    HATCH_ROLES,
    LINES_ON,
    MODES,
    ROLES,
    TEXT_ON,
    colour,
    contrast,
)


@pytest.mark.parametrize("mode", MODES)
def test_text_has_a_contrast_of_four_and_a_half(mode):
    # WCAG 2.2, success criterion 1.4.3
    for text, grounds in TEXT_ON.items():
        for ground in grounds:
            assert contrast(colour(text, mode), colour(ground, mode)) >= 4.5, (text, ground)


@pytest.mark.parametrize("mode", MODES)
def test_lines_and_marks_have_a_contrast_of_three(mode):
    # WCAG 2.2, success criterion 1.4.11
    for line, grounds in LINES_ON.items():
        for ground in grounds:
            assert contrast(colour(line, mode), colour(ground, mode)) >= 3.0, (line, ground)


def test_contrast_is_the_published_ratio():
    # WCAG 2.2: black on white is 21:1; #777777 on white is the well-known near miss, 4.48:1
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)


def test_every_line_role_is_measured_against_something():
    fills = {fill for fill, _ in HATCH_ROLES.values()} | {"paper", "water", "tube", "paving", "valve"}
    fills |= {name for name in ROLES if name.endswith("-fill")}
    assert set(ROLES) - fills == set(LINES_ON)


def test_the_palette_names_every_role_for_light_dark_and_print():
    css = palette_css()
    for name in ROLES:
        assert len(re.findall(rf"--fig-{name}:#[0-9a-f]{{6}};", css)) == len(MODES)
    assert ':root[data-look="dark"]' in css
    assert "@media print" in css


def test_every_material_of_the_catalogue_has_a_hatch():
    assert {material.hatch for material in load().materials.values()} <= set(HATCH_ROLES)


def test_hatches_differ_by_their_shape_alone():
    drawn = {name: pattern(name, "x", lambda role: "#000") for name in tiles()}
    assert len(set(drawn.values())) == len(tiles()) == len(HATCH_ROLES)
