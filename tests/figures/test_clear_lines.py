"""Numbers and names that upright lines or marks must not run through, for every demo job."""

from __future__ import annotations

import re

import pytest

from builder.figures.index import SCENES
from builder.figures.paper import POINT, text_width
from builder.figures.papers import PAPERS
from builder.figures.pole_strips import strips
from builder.figures.reader import Reader
from builder.figures.template import template

JOIN_MARK = re.compile(r"[A-Z]\d+")


def reader(made):
    return Reader(made.levels, made.results, made.results.groundwater)


@pytest.mark.parametrize(
    ("name", "roles", "texts"),
    [
        ("wall-pressure", ("act",), re.compile(r"\d+\.\d")),
        ("uplift", ("act", "watch", "groundwater"), re.compile(r"too low.*|.*(lift|floor|shell).*")),
    ],
)
def test_no_upright_line_runs_through_a_number_or_the_zones_name(made, name, roles, texts):
    sheet = SCENES[name](reader(made)).sheet
    upright = [
        line[0][0]
        for pen, lines in sheet.batches.items()
        if pen.role in roles and pen.dash
        for line, _ in lines
        if line[0][0] == line[-1][0] and abs(line[0][1] - line[-1][1]) > 50
    ]
    boxes = [letter.box() for letter in sheet.letters if texts.fullmatch(letter.box().text)]
    assert boxes
    for box in boxes:
        assert not any(box.x0 < x < box.x1 for x in upright), box.text


@pytest.mark.parametrize("paper", ["a4", "a3", "letter"])
def test_what_to_do_at_an_edge_stands_clear_of_the_names_of_its_join_marks(made, paper):
    for sheet in (*strips(reader(made), PAPERS[paper]), *template(reader(made), PAPERS[paper])):
        flat = [letter for letter in sheet.letters if not letter.turn]
        names = [letter for letter in flat if JOIN_MARK.fullmatch(letter.text)]
        words = [letter for letter in flat if "cut here, lay on line" in letter.text]
        for word in words:
            half = text_width(word.text, word.size, bold=word.bold) / 2
            for name in names:
                wide = text_width(name.text, name.size, bold=name.bold)
                x0 = name.x - (wide if name.anchor == "right" else 0.0)
                beside = x0 > word.x + half or x0 + wide < word.x - half
                # capitals are 0.72 of their size high, tails 0.22 below the line; points to mm
                above = word.y + 0.22 * word.size / POINT <= name.y - 0.72 * name.size / POINT
                below = word.y - 0.72 * word.size / POINT >= name.y
                assert beside or above or below, (word.text, name.text)
