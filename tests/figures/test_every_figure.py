"""What every figure of every demo job must be: readable, in its frame, in words too, and the same twice."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from builder.figures import NAMES, draw
from builder.figures.style import WIDTH

PHONE = 390 - 32  # CSS pixels: a narrow phone less the page's margins
SVG = "{http://www.w3.org/2000/svg}"
NUMBER = re.compile(r"\d+(?:,\d{3})*(?:\.\d+)?")


@pytest.fixture(params=NAMES)
def figure(request, made):
    return made.drawn[request.param]


def test_no_two_texts_overlap(figure):
    boxes = figure.texts
    for at, one in enumerate(boxes):
        for other in boxes[at + 1 :]:
            wide = min(one.x1, other.x1) - max(one.x0, other.x0)
            high = min(one.y1, other.y1) - max(one.y0, other.y0)
            assert wide <= 0 or high <= 0, f"{one.text!r} and {other.text!r}"


def test_no_text_leaves_the_frame(figure):
    for box in figure.texts:
        assert box.x0 >= 0, box
        assert box.y0 >= 0, box
        assert box.x1 <= figure.width_in * 72, box
        assert box.y1 <= figure.height_in * 72, box


def test_no_line_or_fill_leaves_the_frame(figure):
    root = ET.fromstring(figure.svg)  # noqa: S314 - our own figure
    for path in root.findall(f"./{SVG}path"):
        numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", path.get("d", ""))]
        assert min(numbers) >= 0
        assert max(numbers[0::2]) <= figure.width_in * 72
        assert max(numbers[1::2]) <= figure.height_in * 72


def test_the_smallest_text_is_ten_pixels_on_a_phone(figure):
    assert WIDTH / 72 == pytest.approx(figure.width_in)
    assert min(box.size_pt for box in figure.texts) * PHONE / WIDTH >= 10


def test_a_figure_is_under_forty_kilobytes(figure):
    assert len(figure.svg.encode()) < 40_000


def test_every_number_in_the_figure_is_in_its_long_description(figure):
    told = set(NUMBER.findall(" ".join(figure.long_description)))
    for box in figure.texts:
        for number in NUMBER.findall(box.text):
            assert number in told, f"{number} of {box.text!r}"


def test_a_figure_is_named_and_described_for_those_who_cannot_see_it(figure):
    root = ET.fromstring(figure.svg)  # noqa: S314 - our own figure
    title, desc = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert root.get("role") == "img"
    assert (title.text, desc.text) == (figure.title, figure.description)
    assert root.get("aria-labelledby") == title.get("id")
    assert root.get("aria-describedby") == desc.get("id")
    assert all(sentence.endswith(".") for sentence in (*figure.long_description, figure.caption))


def test_the_words_of_a_figure_hold_no_sign_that_is_only_for_drawing(figure):
    said = (figure.title, figure.caption, figure.description, *figure.long_description)
    assert [sign for sentence in said for sign in sentence if "\ue000" <= sign <= "\uf8ff"] == []


def test_every_id_carries_the_figures_name_and_every_reference_is_met(figure):
    root = ET.fromstring(figure.svg)  # noqa: S314 - our own figure
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(ids) == len(set(ids))
    assert all(name.startswith(f"fig-{figure.name}-") for name in ids)
    assert set(re.findall(r"url\(#([^)]*)\)", figure.svg)) <= set(ids)


def test_a_figure_brings_no_style_script_or_outside_address(figure):
    for banned in (
        "style=",
        "<style",
        "<script",
        "xlink",
        "<!DOCTYPE",
        "<?xml",
        "<metadata",
        "http://",
        "https://",
    ):
        assert banned not in figure.svg.replace('xmlns="http://www.w3.org/2000/svg"', ""), banned


def test_numbers_have_two_decimals_at_most(figure):
    assert not re.search(r"\d\.\d{3}", figure.svg)


def test_the_plain_figure_has_raw_colours_and_the_sites_has_variables(figure, made):
    plain = draw(figure.name, made.levels, made.results, plain=True)
    assert "var(" not in plain.svg
    assert not re.search(r'"#[0-9a-f]{6}"', figure.svg)
    assert plain.texts == figure.texts


def test_the_same_job_gives_the_same_bytes(figure, made):
    assert draw(figure.name, made.levels, made.results).svg == figure.svg


def test_a_figure_not_known_is_refused(made):
    with pytest.raises(KeyError):
        draw("elevation", made.levels, made.results)
