"""What may stand in content/ and in the worded data, whatever the job."""

import re
from pathlib import Path

import pytest

from builder.catalogue import load
from builder.catalogue.practice import practices
from builder.checks.readings import CHANNEL
from builder.figures import NAMES
from builder.pages.manifest import CONTENT, entries
from builder.pages.wording import SIGNAL_WORDS, cautions, glossary
from builder.units import UNITS

TEMPLATES = sorted(path for path in CONTENT.rglob("*.md"))
UNIT = "|".join(
    sorted(
        map(re.escape, [*UNITS, "metres?", "millimetres", "litres?", "minutes?", "hours?", "days?"]),
        key=len,
        reverse=True,
    )
)
ACT = r"^1\. \*\*\[?(\w+)"
HOLE = re.compile(r"\{\{.*?\}\}|\{%.*?%\}|<#.*?#>", re.DOTALL)


def ids(path: Path) -> str:
    return path.relative_to(CONTENT).as_posix()


@pytest.mark.parametrize("path", TEMPLATES, ids=ids)
def test_no_template_holds_a_literal_dimension(path: Path) -> None:
    words = HOLE.sub("", path.read_text("utf-8"))
    assert not re.findall(rf"\d[\d.,]*[\s\u00a0]?(?:{UNIT})\b", words)
    inside = " ".join(HOLE.findall(path.read_text("utf-8")))
    assert not re.findall(rf"\d[\d.,]*[\s\u00a0]?(?:{UNIT})\b", inside)


@pytest.mark.parametrize("path", TEMPLATES, ids=ids)
def test_no_template_does_arithmetic(path: Path) -> None:
    for hole in re.findall(r"\{[{%](.*?)[}%]\}", path.read_text("utf-8"), re.DOTALL):
        bare = re.sub(r"\"[^\"]*\"|'[^']*'", "", hole)
        assert not re.search(r"[+*/]|\s-\s|\|\s*(round|abs|sum|int|float)\b", bare), hole


@pytest.mark.parametrize("path", TEMPLATES, ids=ids)
def test_rules_are_rules_and_nothing_is_called_easy(path: Path) -> None:
    words = HOLE.sub("", path.read_text("utf-8"))
    assert not re.findall(
        r"\b(should|obviously|simply|just|please|easy|easily|ensure|utilise)\b", words, re.IGNORECASE
    )


@pytest.mark.parametrize("path", sorted((CONTENT / "steps").glob("*.md")), ids=ids)
def test_a_numbered_line_holds_one_act(path: Path) -> None:
    # a second or third sentence may say how, what not to do or what it looks like: not the next two acts
    verbs = {
        verb.lower() for one in TEMPLATES for verb in re.findall(ACT, one.read_text("utf-8"), re.MULTILINE)
    }
    for line in re.findall(r"^1\. \*\*(.*)$", path.read_text("utf-8"), re.MULTILINE):
        then = re.findall(r"(?:, and|\.|, then) ([A-Za-z]+)\b", HOLE.sub("", line).split("**", 1)[1])
        assert len([word for word in then if word.lower() in verbs]) <= 1, line


def test_every_caution_says_what_happens_and_how_to_avoid_it() -> None:
    known = load().sources
    for row in cautions().values():
        assert row.word in SIGNAL_WORDS
        assert row.source in known, row.id
        assert not row.hazard.endswith("."), row.id
        assert row.consequence.endswith((".", "}}")), row.id
        assert row.avoid.endswith((".", "}}")), row.id


def test_danger_is_kept_for_what_kills() -> None:
    assert [row.id for row in cautions().values() if row.word == "DANGER"] == [
        "dig-collapse",
        "pump-power",
        "load",
        "services-hit",
        "suction",
    ]


def test_every_habit_and_caution_has_its_source_and_is_used() -> None:
    known = load().sources
    used = "".join(path.read_text("utf-8") for path in TEMPLATES)
    for row in practices().values():
        assert row.source in known, row.id
        assert f'practice("{row.id}")' in used, row.id
    for name in cautions():
        assert f'caution("{name}")' in used, name


def test_the_strip_of_the_link_test_is_the_one_the_sum_was_done_for() -> None:
    assert practices()["link-strip"].value == CHANNEL


def test_no_form_of_a_term_belongs_to_two_terms() -> None:
    forms = [form.lower() for term in glossary().values() for form in term.forms]
    assert len(forms) == len(set(forms))


def test_the_trade_words_of_the_design_have_an_entry() -> None:
    forms = {form for term in glossary().values() for form in term.forms}
    words = (
        "shell, rim, coping, floor, bedding, screed, backfill, lift, lead, "
        "ring beam, relief valve, throat, seat, mesh, sump, standpipe, slot, dip, groundwater, "
        "head difference, freeboard, working gap, batter, spoil, bulking, peg, hold point, build mark"
    )
    assert set(words.split(", ")) <= forms


def test_every_figure_named_on_a_page_exists() -> None:
    for path in TEMPLATES:
        for name in re.findall(r'figure\("([^"]+)"\)', path.read_text("utf-8")):
            assert name in NAMES


def test_every_page_of_the_list_has_its_template_and_every_template_is_listed() -> None:
    listed = {entry.path for entry in entries()}
    assert listed == {ids(path) for path in TEMPLATES if not path.parent.name.startswith("_")}
