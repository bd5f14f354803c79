"""The step pages from the test hole to the hand-over: what holds on each, and how they change."""

import re
from pathlib import Path

import pytest

from builder.checks import Results
from builder.pages import Guide, turns
from builder.pages.manifest import anchor, entries
from builder.pages.words import Words
from tests.pages.reading import JOBS, changed, guide_of, page, rendered, results_of, section, seen, text_of
from tests.pages.test_pages import ORDER, headings
from tests.pages.test_reading import GRADE, LONGEST, WORDS, grade

NEW = tuple(
    f"steps/{name}.md"
    for name in (
        "look",
        "setout",
        "dig",
        "bedding",
        "set",
        "first-water",
        "lifts",
        "pipes",
        "beam",
        "barrier",
        "paving",
        "finish",
    )
)
WORK = (
    "look setout dig pocket bedding receive set first-water standpipe lifts pipes beam barrier paving finish"
)


def lift(guide: Guide, number: int) -> str:
    """Return one lift's card as a reader sees it."""
    text = section(page(guide, "steps/lifts.md"), "do")
    found = re.search(rf"\{{#lift-{number}\}}\n(.*?)(?=^### |\Z)", text, re.MULTILINE | re.DOTALL)
    assert found
    return " ".join(re.sub(r"<[^>]+>", " ", found.group(1)).replace("\u00a0", " ").split())


def test_the_steps_stand_in_the_order_of_the_work() -> None:
    found = [entry.path for entry in entries() if entry.path.startswith("steps/")]
    assert found == [f"steps/{name}.md" for name in WORK.split()]


@pytest.mark.parametrize("path", NEW)
def test_a_page_keeps_the_order_of_its_sections(guide: Guide, path: str) -> None:
    found = headings(page(guide, path))
    assert [name for name in ORDER if name in found] == found
    assert set(ORDER) - {"stops"} <= set(found)


@pytest.mark.parametrize("path", NEW)
def test_what_and_why_take_two_or_three_sentences(guide: Guide, path: str) -> None:
    lead = page(guide, path).markdown.split("\n\n")[1]
    assert lead.endswith("\n{.lead}")
    assert len(re.findall(r"[.!?](?=\s)", lead.removesuffix("{.lead}"))) in (2, 3)


@pytest.mark.parametrize("path", NEW)
def test_cautions_stand_before_the_act_the_worst_word_first(guide: Guide, path: str) -> None:
    text = page(guide, path).markdown
    boxes = list(re.finditer(r"^!!! (danger|warning|caution|notice) ", text, re.MULTILINE))
    worst = ["danger", "warning", "caution", "notice"]
    ranks = [worst.index(box.group(1)) for box in boxes]
    assert boxes
    assert ranks == sorted(ranks)
    assert boxes[-1].start() < text.index("\n1. ")


@pytest.mark.parametrize("path", NEW)
def test_every_action_starts_with_one_verb(guide: Guide, path: str) -> None:
    actions = re.findall(r"^1\. (.*)$", section(page(guide, path), "do"), re.MULTILINE)
    assert len(actions) > 8
    for action in actions:
        assert re.match(r"\*\*(\[)?[A-Z][a-z]+", action), action


def prose(guide: Guide, path: str) -> list[str]:
    """Return the page's own sentences: no tables, no last section, no warnings told in the numbers' words."""
    source = rendered(page(guide, path)).split('id="from"')[0]
    source = re.sub(r'id="stops".*?id="need"', "\n", source, flags=re.DOTALL)
    source = re.sub(r"<h\d.*?</h\d>|<table.*?</table>|<dl.*?</dl>", "\n", source, flags=re.DOTALL)
    sentences = re.split(r"(?<=[.!?])\s+|\n", text_of(source))
    return [sentence for sentence in sentences if len(sentence.split()) > 1]


@pytest.mark.parametrize("path", NEW)
def test_a_page_reads_at_year_eight_or_below_in_short_sentences(guide: Guide, path: str) -> None:
    sentences = prose(guide, path)
    lengths = [len(sentence.split()) for sentence in sentences]
    assert len(sentences) > 20
    assert grade(sentences) <= GRADE
    assert sum(lengths) / len(lengths) <= WORDS
    assert max(lengths) <= LONGEST, max(sentences, key=lambda sentence: len(sentence.split()))


@pytest.mark.parametrize("path", NEW)
def test_the_last_section_links_only_numbers_for_acting(guide: Guide, results: Results, path: str) -> None:
    keys = {anchor(key): number for key, number in results.items()}
    text = section(page(guide, path), "from").split("common practice")[0]
    shown = re.findall(r"working\.md#([\w-]+)\)", text)
    assert shown
    assert {keys[name].audience for name in shown} == {"step"}


@pytest.mark.parametrize("path", NEW)
def test_the_crew_reads_less_with_the_same_numbers_cautions_and_actions(tmp_path: Path, path: str) -> None:
    owner = guide_of(JOBS / "quandong-rise.yml")
    crew = guide_of(changed(tmp_path, "crew", ("audience: owner-builder", "audience: crew")))
    read = [page(guide, path).markdown for guide in (owner, crew)]
    digits = [set(re.findall(r'<b(?: class="n")?>([^<]*\d[^<]*)</b>', text)) for text in read]
    boxes = [re.findall(r"^!!! (?!who|hold|call).*$", text, re.MULTILINE) for text in read]
    assert digits[0] == digits[1]
    assert boxes[0] == boxes[1]
    assert read[0].count("\n1. ") == read[1].count("\n1. ")
    assert len(seen(page(crew, path))) < len(seen(page(owner, path)))


@pytest.mark.parametrize(
    ("demo", "path", "there", "gone"),
    [
        ("quandong-rise", "look", ["the water stays under the base"], ["At high water", "Dip at high water"]),
        ("harakeke-flat", "look", ["water stands above the base of the dig", "Dip at high water"], []),
        ("sagebrush-court", "look", ["nobody knows yet where the water stands"], []),
        ("mallee-lane", "look", ["Ground of that class moves"], ["Ask the certifier whether a report"]),
        ("harakeke-flat", "setout", ["stormwater pipe", "stop, ask an engineer"], []),
        ("quandong-rise", "dig", ["Cut the banks back", "for rain"], ["tube pit first", "Make up the"]),
        (
            "harakeke-flat",
            "dig",
            ["Dig the tube pit first", "the way it was settled", "Wells on two"],
            ["Go on when somebody"],
        ),
        ("sagebrush-court", "dig", ["Dig the tube pit first", "Pump until the water in the pit"], []),
        ("bracken-hill", "dig", ["Wait for the shoring", "sheet piles to the engineer"], ["Cut the banks"]),
        (
            "mallee-lane",
            "dig",
            ["Make up the", "compacted", "Do with the sides what was settled"],
            ["Keep people out until"],
        ),
        ("mallee-lane", "bedding", ["the sump", "the mesh and"], []),
        ("bracken-hill", "bedding", [], ["the sump", "the mesh and"]),
        ("quandong-rise", "set", ["worked out for a dry base"], ["Pump the pit down"]),
        ("sagebrush-court", "set", ["Pump the pit down to that"], ["worked out for a dry base"]),
        ("quandong-rise", "first-water", ["in a thin line"], ["not with the cement-bound fill"]),
        ("bracken-hill", "first-water", ["not with the cement-bound fill"], ["in a thin line"]),
        (
            "bracken-hill",
            "lifts",
            ["sets hard and does not drain", "Tamp it damp"],
            ["no water to settle it"],
        ),
        ("quandong-rise", "lifts", ["no water to settle it"], ["sets hard", "Keep pumping", "Throttle"]),
        ("sagebrush-court", "lifts", ["held under the bedding through the last lift", "Throttle"], []),
        ("quandong-rise", "beam", ["Pour the first pass", "not tied to the shell"], ["in one pass"]),
        ("harakeke-flat", "beam", ["Tie the shell", "it is tied to the shell"], []),
        ("mallee-lane", "beam", ["all round in one pass"], ["Pour the first pass"]),
        ("bracken-hill", "beam", ["Ask the shell", "if no answer comes"], ["Pour the first pass"]),
    ],
)
def test_steps_appear_and_vanish_with_the_job(
    demo: str, path: str, there: list[str], gone: list[str]
) -> None:
    text = seen(page(guide_of(JOBS / f"{demo}.yml"), f"steps/{path}.md"))
    assert [words for words in there if words not in text] == []
    assert [words for words in gone if words in text] == []


def test_a_lift_shows_its_own_row(quandong: Guide) -> None:
    # by hand from the shell's levels: underside 1.700 + 0.007 = 1.707, beam's underside 0.200: 1.507 is
    # eleven lifts of 0.137; lift 2 ends at 1.707 - 2 x 0.137 = 1.433, to 5 mm 1.435, its water 140 mm
    # above, 1.295.
    card = lift(quandong, 2)
    assert "Water first, up to 1,295 mm below the rim" in card
    assert "Then fill, up to 1,435 mm below the rim" in card
    assert "Stop at a dip of 1,480 mm or less" in card  # lift 1's water 1.570 - 0.140, + 0.050 = 1.480


def test_the_peg_is_left_where_the_shell_is_set(guide: Guide) -> None:
    for path in ("setout", "dig", "bedding"):
        assert "below the peg" in seen(page(guide, f"steps/{path}.md")), path
    assert "Cross out" in section(page(guide, "steps/set.md"), "hold")
    for path in ("first-water", "lifts", "beam", "paving", "finish"):
        assert "below the peg" not in seen(page(guide, f"steps/{path}.md")), path


def test_the_fence_comes_before_any_water(guide: Guide) -> None:
    actions = re.findall(r"^1\. (.*)$", section(page(guide, "steps/first-water.md"), "do"), re.MULTILINE)
    assert actions[0].startswith("**Stand** the fence")
    water = [at for at, action in enumerate(actions) if action.startswith("**Run**")]
    assert all(at > 0 for at in water)
    assert len(water) <= 1


def test_the_same_lifts_stand_on_the_page_as_in_the_table(guide: Guide, results: Results) -> None:
    table = results["fill.stages"].table
    cards = re.findall(r"\{#lift-(\d+)\}", page(guide, "steps/lifts.md").markdown)
    last_runs = list(table.records())[-1]["litres"] != 0
    assert len(cards) == len(table.rows) - (0 if last_runs else 1)


def test_pumping_goes_on_until_the_first_lift_that_holds_the_water() -> None:
    held = results_of(JOBS / "harakeke-flat.yml")
    words = Words(feet=False)
    rows = turns.lifts(held, words)
    first = next(row.number for row in rows if not row.pumped)
    # published in the numbers: sf is null while the water is held down
    stages = list(held["fill.stages"].table.records())
    assert [row["sf"] is None for row in stages] == [row.pumped for row in rows]
    assert turns.pumped_until(held, words) == str(first)
    assert turns.pumped_until(results_of(JOBS / "quandong-rise.yml"), words) == "never"
    assert turns.pumped_until(results_of(JOBS / "sagebrush-court.yml"), words) == "last"


def test_no_plan_of_lifts_says_which_rule_at_which_lift_and_what_to_change(tmp_path: Path) -> None:
    spec = changed(tmp_path, "broken", ("lift: 150 mm", "lift: 400 mm"))
    results, guide = results_of(spec), guide_of(spec)
    reason = results["fill.stages"].reason
    assert results["fill.stages"].verdict == "stop"
    assert reason.startswith(turns.BROKEN)
    text = seen(page(guide, "steps/lifts.md"))
    assert "there is no plan of lifts" in text
    assert "At lift" in text
    assert "{#lift-" not in page(guide, "steps/lifts.md").markdown
    assert "Stop here: this job has no plan" in seen(page(guide, "steps/first-water.md"))


def test_stations_leave_out_a_whole_metre_beside_a_break() -> None:
    found = turns.stations(results_of(JOBS / "harakeke-flat.yml"), Words(feet=False))
    # by hand: a break at x = 3.994, so x = 4.000 is left out: 4 metres on from the line A D at -0.457
    table = results_of(JOBS / "harakeke-flat.yml")["dig.stations"].table
    assert len(found) == len(table.rows) - 1


def test_by_hand_the_top_edge_of_the_dig_stands_outside_the_pegs_by_depth_over_the_batter() -> None:
    # by hand, where the base is level and straight: 2.089 m deep at 40 degrees, 2.089 / tan 40 = 2.4896 m
    found = turns.stations(results_of(JOBS / "mallee-lane.yml"), Words(feet=False))
    row = next(row for row in found if "6,360" in row.along)
    assert "2,090" in row.below_ground
    assert "2,490" in row.beside_ab
    assert "2,490" in row.beside_dc


def test_an_overdug_base_is_told_as_dug_and_as_made_up() -> None:
    # by hand: the bedding's base 1.970 m, and 0.120 m more, below the rim; the peg stands 0.620 m over it
    guide = guide_of(JOBS / "mallee-lane.yml")
    dig = seen(page(guide, "steps/dig.md"))
    assert "Base as dug, at its deepest\n2,710 mm below the peg" in dig
    assert "Base made up, at its deepest\n2,590 mm below the peg" in dig
    assert "2,710 mm below the peg at the deepest place" in seen(page(guide, "questions.md"))
    assert "Base as dug, deepest\n2,710 mm\n2,090 mm" in seen(page(guide, "lists/crew.md"))


def test_the_region_names_its_trades(quandong: Guide) -> None:
    for path in ("pipes", "beam", "barrier", "set"):
        there = seen(page(quandong, f"steps/{path}.md"))
        assert "licensed" in there, path
    other = seen(page(guide_of(JOBS / "sagebrush-court.yml"), "steps/set.md"))
    assert "certified crane operator" in other


def test_wherever_a_pump_may_run_its_danger_is_told_before(guide: Guide) -> None:
    for one in guide.pages:
        if not one.path.startswith(("steps/", "water/")):
            continue
        act = re.search(
            r"\n1\. \*\*Pump\*\*|stand the pump|[Pp]ump first|: pump, and call|\| Pump", one.markdown
        )
        if act:
            told = one.markdown.find("Mains power and water kill")
            assert 0 <= told < act.start(), one.path
