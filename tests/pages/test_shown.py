"""A number on a page: its forms, and what stands there when there is none. Expected values by hand."""

from pathlib import Path

import pytest

from builder.pages.shown import PageError, Shown, mark, sentence
from builder.pages.typed import unfenced
from builder.pages.words import Words
from builder.quantity import Number
from tests.pages.reading import changed, guide_of, page, seen

METRIC = Words(feet=False)


def shown(value: float, unit: str = "m", side: str = "nearest", **more: float) -> Shown:
    number = Number("a.b", "a number", value, unit, "x", "x", "s", safe_side=side, **more)  # type: ignore[arg-type]
    return Shown(number, METRIC, peg=-0.5)


def plain(text: object) -> str:
    return str(text).replace('<b class="n">', "").replace("</b>", "").replace("\u00a0", " ")


def test_a_level_is_told_below_the_rim_or_below_the_peg() -> None:
    level = shown(1.782, side="up")
    assert plain(level.below_rim) == "1,785 mm below the rim"
    assert plain(level.below_peg) == "2,285 mm below the peg"  # the peg stands 500 mm above the rim
    assert plain(shown(-0.5).below_peg) == "level with the peg"


def test_a_range_is_told_by_its_ends_each_on_the_side_that_is_safe() -> None:
    lag = shown(1200, "s", low=312.0, high=10_500.0)
    assert plain(lag.ends) == "between 5 minutes and 3 hours"
    assert plain(lag.most) == "3 hours"
    assert plain(lag.least) == "5 minutes"
    with pytest.raises(PageError, match=r"a\.b is no range"):
        _ = shown(1.0).ends


def test_a_small_length_is_told_to_the_millimetre_where_a_page_asks_for_it() -> None:
    assert plain(shown(0.0187, side="down").fine) == "18 mm"
    assert plain(shown(0.00058).fine) == "0.6 mm"


def test_a_verdict_is_a_word() -> None:
    assert mark("cannot tell") == '<span class="verdict cannot-tell">cannot tell</span>'


def test_a_reason_becomes_sentences() -> None:
    text = unfenced(sentence("no water was seen; this guide plans for the worst"))
    assert text == "No water was seen&#46; This guide plans for the worst&#46;"


def test_where_there_is_no_number_its_reason_stands_in_words(tmp_path: Path) -> None:
    # no grading and no pores are known for the cement-bound bedding: neither litres nor rise can be told
    spec = changed(tmp_path, "cement", ("bedding-gravel-7, thickness", "cement-bound-sand, thickness"))
    text = seen(page(guide_of(spec), "steps/pocket.md"))
    assert text.count("The pores of a material between pocket and tube are not known.") >= 3
    assert "Stop here, and ask the engineer how this link is to be tested. cannot tell The pores" in text
    assert "of water slowly" not in text
