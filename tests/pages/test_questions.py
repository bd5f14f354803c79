"""The questions people ask: each with what to read out, what to ask back and when to stop the call."""

import re
import shutil
from pathlib import Path

import pytest

from builder import pages
from builder.errors import InputFaults
from builder.pages import Guide
from builder.pages.manifest import CONTENT, addresses, retired
from tests.pages.reading import JOBS, guide_of, page, results_of, seen
from tests.pages.test_reading import GRADE, LONGEST, WORDS, grade, prose

PARTS = ("Read out", "Ask back", "Stop the call")
QUESTION = re.compile(r"^### ([^\n]+) \{#(q-[a-z-]+)\}\n\n(.*?)(?=^##|\Z)", re.MULTILINE | re.DOTALL)
SOURCE = (CONTENT / "questions.md").read_text("utf-8")


def questions(guide: Guide) -> dict[str, tuple[str, str]]:
    """Return (question, answer) by id."""
    return {
        name: (asked, told) for asked, name, told in QUESTION.findall(page(guide, "questions.md").markdown)
    }


def test_there_are_at_least_seventy_questions_and_each_has_a_permanent_address(guide: Guide) -> None:
    found = questions(guide)
    assert len(found) >= 70
    assert len({asked for asked, _ in found.values()}) == len(found)
    assert {f"questions.html#{name}" for name in found} <= set(addresses())


def test_each_says_what_to_read_out_what_to_ask_and_when_to_stop_in_few_lines(guide: Guide) -> None:
    for name, (_, told) in questions(guide).items():
        lines = [line for line in told.strip().split("\n") if line]
        parts = [line.removeprefix("- **").partition("**: ") for line in lines[:3]]
        assert tuple(part[0] for part in parts) == PARTS, name
        assert all(part[2].strip() for part in parts), name
        assert re.fullmatch(r'<p class="words" hidden>[^<]+</p>', lines[3]), name
        assert len(lines) == 4 or lines[4].startswith('<p class="words"'), name  # the page's own words end it
        assert len(told.split()) < 150, name


def test_no_number_is_typed_into_an_answer() -> None:
    words = re.sub(r"\{\{.*?\}\}|\{%.*?%\}|\{#.*?\}", "", SOURCE, flags=re.DOTALL)
    assert not re.findall(r"\d", words)


def test_most_questions_quote_this_job(tmp_path: Path) -> None:
    one, other = (questions(guide_of(JOBS / f"{name}.yml")) for name in ("quandong-rise", "harakeke-flat"))
    same = [name for name in one if one[name] == other[name]]
    assert len(same) < len(one) / 2, same


def test_by_hand_what_is_read_out_is_the_number_of_the_step_page(quandong: Guide) -> None:
    # cut length 1.732 m + 0.150 m = 1.882 m, up to the next 10 mm; base 1.782 m, peg 0.5 m over the rim
    text = seen(page(quandong, "questions.md"))
    assert "cut it 1,890 mm long" in text
    assert "2,280 mm below the peg at the deepest place" in text


def test_the_page_reads_at_year_eight_or_below_in_short_sentences(guide: Guide) -> None:
    sentences = [line for line in prose(guide, "questions.md") if not re.match(r"[a-z]|About: ", line)]
    lengths = [len(part.split()) for sentence in sentences for part in re.split("[:;] ", sentence)]
    assert len(sentences) > 300
    assert grade(sentences) <= GRADE
    assert sum(lengths) / len(lengths) <= WORDS
    assert max(lengths) <= LONGEST


@pytest.mark.parametrize("asked", ["plug", "pop-up", "pipe beside the pool", "well", "drain", "floated"])
def test_an_asker_s_own_words_stand_on_a_page_where_search_reads_them(quandong: Guide, asked: str) -> None:
    hidden = re.findall(r'<p class="words" hidden>(.*?)</p>', "".join(one.markdown for one in quandong.pages))
    assert any(asked in words.replace("&#45;", "-") for words in hidden)


def with_line(tmp_path: Path, line: str) -> Path:
    """Return a copy of content/ with one more line of addresses."""
    folder = tmp_path / "content"
    shutil.copytree(CONTENT, folder)
    with (folder / "addresses.txt").open("a", encoding="utf-8") as file:
        file.write(f"{line}\n")
    return folder


def test_a_retired_place_leads_to_what_took_its_place(tmp_path: Path) -> None:
    folder = with_line(
        tmp_path, "questions.html#q-old -> questions.html#q-mesh\nsteps/old.html#x -> care.html#do"
    )
    guide = pages.render(results_of(JOBS / "quandong-rise.yml"), folder)
    asked = page(guide, "questions.md").markdown
    assert re.search(r'<span id="q-old"></span>\n\n### [^\n]*\{#q-mesh\}', asked)
    assert page(guide, "steps/old.md").markdown.endswith("[This has moved](../care.md#do){#x}\n")
    assert guide.nav[-1] == ("Moved", (("This has moved", "steps/old.md"),))
    assert set(retired(folder)) == {"questions.html#q-old", "steps/old.html#x"}
    assert "questions.html#q-old" in addresses(folder)


def test_a_retired_place_that_leads_nowhere_is_a_fault(tmp_path: Path) -> None:
    folder = with_line(tmp_path, "questions.html#q-old -> questions.html#q-none")
    with pytest.raises(InputFaults, match=r"addresses\.txt.*q-none, which is not there"):
        pages.render(results_of(JOBS / "quandong-rise.yml"), folder)
