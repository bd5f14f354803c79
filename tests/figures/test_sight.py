"""The palette as others see it: with fewer colours, in the dark, in grey print."""

from __future__ import annotations

import itertools

import pytest

from builder.figures.canvas import Sheet
from builder.figures.hatch import pattern, tiles
from builder.figures.marks import level_line
from builder.figures.style import APART, HATCH_ROLES, LINES_ON, MODES, TEXT_ON, colour
from tests.figures.sight import MATRICES, apart, contrast, grey, linear, seen

SURE = 10.0  # CIE 1976 units: four times what is just noticeable, for thin lines in the sun; our choice
SIGHTS = [*MATRICES, "grey print"]


def look(role: str, mode: str, by: str):
    light = linear(colour(role, mode))
    return grey(light) if by == "grey print" else seen(light, by)


@pytest.mark.parametrize("by", SIGHTS)
@pytest.mark.parametrize("mode", MODES)
def test_text_and_lines_keep_their_contrast_for_whoever_looks(mode, by):
    # WCAG 2.2: 1.4.3, 4.5 for text; 1.4.11, 3.0 for lines and marks
    for table, least in ((TEXT_ON, 4.5), (LINES_ON, 3.0)):
        for front, grounds in table.items():
            for ground in grounds:
                assert contrast(look(front, mode, by), look(ground, mode, by)) >= least, (front, ground)


@pytest.mark.parametrize("by", list(MATRICES))
@pytest.mark.parametrize("mode", MODES)
def test_lines_that_must_be_told_apart_are_apart_for_whoever_looks(mode, by):
    for one, other in APART:
        assert apart(look(one, mode, by), look(other, mode, by)) >= SURE, (one, other)


def test_pool_water_and_groundwater_differ_by_their_dashes_alone():
    sheet = Sheet()
    for role in ("water-line", "groundwater"):
        level_line(sheet, [[(0.0, 0.0), (9.0, 0.0)]], role)
    dashes = {pen.role: pen.dash for pen in sheet.batches if pen.role != "paper"}
    assert dashes["water-line"] == ()
    assert dashes["groundwater"] != ()


def test_in_grey_every_material_is_told_by_the_shape_of_its_marks():
    drawn = {name: pattern(name, "x", lambda role: "#000") for name in tiles()}
    for one, other in itertools.combinations(HATCH_ROLES, 2):
        assert drawn[one] != drawn[other]


def test_hatches_are_small_patterns_of_lines_and_dots():
    for name in tiles():
        drawn = pattern(name, "x", lambda role: "#000")
        assert drawn.startswith("<pattern ")
        assert len(drawn.encode()) < 500
        assert "<image" not in drawn
        assert "<rect" not in drawn  # no ground of its own, so no seams in print


def test_the_eye_we_reckon_with_is_the_published_one():
    # each row of a matrix sums to 1: greys stay grey (Machado et al. 2009)
    for rows in MATRICES.values():
        assert all(sum(row) == pytest.approx(1.0, abs=1e-5) for row in rows)
    # black to white is 100 in lightness (CIE 1976); red to green of the screen is 170.6, worked from
    # L*a*b* (53.24, 80.09, 67.20) and (87.73, -86.18, 83.18): sqrt(34.49² + 166.27² + 15.98²) = 170.56
    assert apart(linear("#000000"), linear("#ffffff")) == pytest.approx(100.0, abs=0.01)
    assert apart(linear("#ff0000"), linear("#00ff00")) == pytest.approx(170.56, abs=0.1)
    # WCAG 2.2: black on white is 21:1
    assert contrast(linear("#000000"), linear("#ffffff")) == pytest.approx(21.0, abs=0.01)
    # whoever sees no red or green takes this red and this green for nearly one colour
    red, green = linear("#b06060"), linear("#7b7360")
    assert apart(red, green) > 2 * apart(seen(red, "no green"), seen(green, "no green"))
