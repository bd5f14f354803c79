"""Faults of the worded data are all told at once, by file and line."""

from pathlib import Path

import pytest

from builder.catalogue.practice import practices
from builder.errors import InputFaults
from builder.pages.wording import cautions, glossary


def test_a_caution_with_a_wrong_word_and_a_missing_half_is_told(tmp_path: Path) -> None:
    text = (
        "saw:\n  word: ALARM\n  hazard: It slips\n  avoid: Clamp it.\n"
        "  source: common-practice\n  memory: yes\n"
    )
    (tmp_path / "cautions.yml").write_text(text, "utf-8")
    with pytest.raises(InputFaults) as caught:
        cautions(tmp_path)
    told = str(caught.value)
    assert "cautions.yml:2:9: saw.word: 'ALARM' is not known here." in told
    assert "saw.consequence: this key is missing." in told


def test_a_habit_without_a_unit_it_can_be_read_in_is_told(tmp_path: Path) -> None:
    text = "edge:\n  words: distance\n  value: 1 yd\n  source: common-practice\n  memory: yes\n"
    (tmp_path / "practice.yml").write_text(text, "utf-8")
    with pytest.raises(InputFaults, match=r"practice\.yml:3:10: edge\.value: '1 yd' carries a unit"):
        practices(tmp_path)


def test_terms_come_in_the_order_of_the_alphabet() -> None:
    names = [term.term.lower() for term in glossary().values()]
    assert names == sorted(names)
