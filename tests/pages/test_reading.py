"""How hard the pages read: the grade of Kincaid et al., Research Branch Report 8-75, 1975."""

import re

import pytest

from builder.pages import Guide
from tests.pages.reading import ACTING, page, rendered, text_of

GRADE = 8.0  # years 7 to 8
WORDS = 15.0  # a sentence, on average
LONGEST = 32  # words
VOWELS = re.compile(r"[aeiouy]+")


def syllables(word: str) -> int:
    """Return the syllables of a word by counting vowel groups; a silent e at the end is none."""
    word = word.lower()
    count = len(VOWELS.findall(word))
    if word.endswith("e") and not word.endswith(("le", "ee", "ye", "ue")) and count > 1:
        count -= 1
    if word.endswith("ed") and not word.endswith(("ted", "ded")) and count > 1:
        count -= 1
    return max(count, 1)


def prose(guide: Guide, path: str) -> list[str]:
    """Return the sentences of a page: no headings, tables, large numbers, nothing of the last section."""
    source = rendered(page(guide, path))
    source = source.split('id="from"')[0]
    source = re.sub(r"<h\d.*?</h\d>|<table.*?</table>|<dl.*?</dl>", "\n", source, flags=re.DOTALL)
    sentences = re.split(r"(?<=[.!?])\s+|\n", text_of(source))
    return [sentence for sentence in sentences if len(sentence.split()) > 1]


def grade(sentences: list[str]) -> float:
    """Return 0.39 words/sentences + 11.8 syllables/words - 15.59."""
    words = [word for sentence in sentences for word in re.findall(r"[A-Za-z']+", sentence)]
    return 0.39 * len(words) / len(sentences) + 11.8 * sum(map(syllables, words)) / len(words) - 15.59


@pytest.mark.parametrize(
    ("word", "count"),
    [
        ("water", 2),
        ("tube", 1),
        ("table", 2),
        ("packed", 1),
        ("wanted", 2),
        ("groundwater", 3),
        ("the", 1),
    ],
)
def test_syllables_are_counted(word: str, count: int) -> None:
    assert syllables(word) == count


def test_the_grade_is_the_published_formula() -> None:
    # by hand: 2 sentences, 8 words, 9 syllables: 0.39 x 4 + 11.8 x 9/8 - 15.59 = -0.755
    assert grade(["The cat sat.", "The dog saw the water."]) == pytest.approx(0.39 * 4 + 11.8 * 9 / 8 - 15.59)


@pytest.mark.parametrize("path", ACTING)
def test_a_page_for_acting_reads_at_year_eight_or_below(guide: Guide, path: str) -> None:
    sentences = prose(guide, path)
    assert len(sentences) > 20
    assert grade(sentences) <= GRADE


@pytest.mark.parametrize("path", ACTING)
def test_sentences_are_short(guide: Guide, path: str) -> None:
    lengths = [len(sentence.split()) for sentence in prose(guide, path)]
    assert sum(lengths) / len(lengths) <= WORDS
    assert max(lengths) <= LONGEST
