"""Jobs that differ read differently, where they differ and only there."""

from pathlib import Path

import pytest

from builder.pages import Guide
from tests.pages.reading import ACTING, JOBS, STEPS, changed, guide_of, lines_of, page, section, seen

ISSUE = ("issue: A\n", "issue: A\n")


def moved(tmp_path: Path, *pairs: tuple[str, str]) -> tuple[set[tuple[str, str]], set[tuple[str, str]]]:
    """Return the lines that went and the lines that came when the demo job is changed."""
    before = lines_of(guide_of(JOBS / "quandong-rise.yml"))
    after = lines_of(guide_of(changed(tmp_path, "changed", *pairs)))
    return before - after, after - before


def pages_of(*lines: set[tuple[str, str]]) -> set[str]:
    return {path for some in lines for path, _ in some}


def text_of(lines: set[tuple[str, str]]) -> str:
    return "\n".join(line for _, line in lines)


def test_nothing_moves_when_nothing_changes(tmp_path: Path) -> None:
    assert moved(tmp_path, ISSUE) == (set(), set())


def test_the_issue_letter_moves_only_the_line_about_issues(tmp_path: Path) -> None:
    went, came = moved(tmp_path, ("issue: A\n", "issue: C\n"))
    assert pages_of(went, came) == {"index.md"}
    assert text_of(went) == "This is issue A, the first. Nothing has changed yet."
    assert text_of(came).startswith("This is issue C. Nobody wrote down what changed.")


def test_what_changed_is_told_after_the_ways_in_and_before_all_else_as_it_was_written() -> None:
    start = page(guide_of(JOBS / "mallee-lane.yml"), "index.md").markdown
    assert start.index('id="ways"') < start.index("{#changed}") < start.index("{#stops}")
    assert "the valve is sealed with sealant, not with a ring" in seen(
        page(guide_of(JOBS / "mallee-lane.yml"), "index.md")
    )


def test_a_deeper_peg_moves_only_what_is_measured_from_it(tmp_path: Path) -> None:
    went, came = moved(tmp_path, ("above_rim: 500 mm", "above_rim: 700 mm"))
    assert went
    assert all("below the peg" in line or line.endswith(" mm below the peg") for _, line in went | came)
    assert ("steps/pocket.md", "1,920 mm below the peg") not in went
    # by hand: foot 1.722 m below the rim, so 2.222 m below the peg becomes 2.422 m, nearest 5 mm
    assert "2,420 mm below the peg" in text_of(came)


def test_a_new_slot_width_moves_only_the_lines_that_name_it_or_follow_from_it(tmp_path: Path) -> None:
    went, came = moved(tmp_path, ("slot_width: 1.5 mm", "slot_width: 1.4 mm"))
    assert pages_of(went, came) == {"steps/standpipe.md", "water/read.md"}
    assert "1.4 mm wide" in text_of(came)
    # the rest is the gentle flow, in proportion to the slots' area: 2.9 L/min x 1.4/1.5 = 2.7 L/min
    others = {line for _, line in came if "1.4 mm" not in line}
    assert all("2.7 L/min" in line for line in others)


def test_seal_and_sealant_change_the_valve_page_only(tmp_path: Path) -> None:
    ring = guide_of(JOBS / "quandong-rise.yml")
    sealant = guide_of(JOBS / "mallee-lane.yml")
    read, other = seen(page(ring, "steps/receive.md")), seen(page(sealant, "steps/receive.md"))
    assert "Lay the ring in its groove" in read
    assert "sealant in one bead" not in read
    assert "one bead of sealant" in other
    assert "Sealant harms skin" in other
    assert "ring in its groove" not in other


@pytest.mark.parametrize(
    ("demo", "path", "there", "gone"),
    [
        (
            "quandong-rise",
            "steps/pocket.md",
            ["Lay the mesh"],
            ["sump under the valve", "tube pit", "plastic sheet", "Stand a pump"],
        ),
        (
            "harakeke-flat",
            "steps/pocket.md",
            [
                "Dig the sump",
                "Raise the sump's fill",
                "Dig the tube pit",
                "Water was seen",
                "plastic sheet",
                "Lay the mesh",
            ],
            [],
        ),
        ("bracken-hill", "steps/pocket.md", [], ["Lay the mesh"]),
        ("mallee-lane", "steps/receive.md", ["Find the hole", "Fit the threaded body"], ["factory moulded"]),
        ("quandong-rise", "steps/receive.md", ["factory moulded"], ["Find the hole"]),
        ("quandong-rise", "steps/standpipe.md", [], ["Move the pump"]),
        ("harakeke-flat", "steps/standpipe.md", ["Move the pump"], []),
        ("bracken-hill", "steps/standpipe.md", ["Stop here until"], ["Pour cement-bound"]),
        ("harakeke-flat", "water/read.md", ["at high water and at low water"], []),
        ("quandong-rise", "water/read.md", ["holds water like a bowl"], ["at high water"]),
    ],
)
def test_steps_appear_and_vanish_with_the_job(
    demo: str, path: str, there: list[str], gone: list[str]
) -> None:
    text = seen(page(guide_of(JOBS / f"{demo}.yml"), path))
    assert [words for words in there if words not in text] == []
    assert [words for words in gone if words in text] == []


def test_an_unknown_groundwater_is_told_on_every_page_it_concerns(tmp_path: Path) -> None:
    spec = changed(tmp_path, "unknown", ("groundwater: 1.9 m ", "groundwater: {not_seen_to: 1 m} #"))
    guide = guide_of(spec)
    for path in ("index.md", "steps/pocket.md", "steps/standpipe.md", "water/read.md", "assumptions.md"):
        assert "This guide plans for water at ground level" in seen(page(guide, path)), path
    assert "Stand a pump ready" in seen(page(guide, "steps/pocket.md"))


def test_a_region_brings_its_own_trades_and_rules() -> None:
    there, here = guide_of(JOBS / "harakeke-flat.yml"), guide_of(JOBS / "quandong-rise.yml")
    assert "call 111" in seen(page(there, "steps/pocket.md"))
    assert "call 000" in seen(page(here, "steps/pocket.md"))
    assert "NZS 1839" in seen(page(there, "steps/receive.md"))
    assert "AS 1839" in seen(page(here, "steps/receive.md"))


def test_a_region_of_feet_prints_both_and_a_metric_one_does_not(tmp_path: Path) -> None:
    guide = guide_of(changed(tmp_path, "feet", ("region: au-nsw", "region: us")))
    # 1890/25.4 = 74.41 in, up to 74.5
    assert "6 ft 2 1/2 in (1,890 mm)" in seen(page(guide, "steps/standpipe.md"))
    metric = "".join(seen(page(guide_of(JOBS / "quandong-rise.yml"), path)) for path in ACTING)
    assert " in)" not in metric


def numbers(guide: Guide, path: str) -> set[str]:
    import re

    return set(re.findall(r'<b(?: class="n")?>([^<]*\d[^<]*)</b>', page(guide, path).markdown))


@pytest.mark.parametrize("path", ACTING)
def test_the_crew_reads_less_with_the_same_numbers_and_cautions(tmp_path: Path, path: str) -> None:
    owner = guide_of(JOBS / "quandong-rise.yml")
    crew = guide_of(changed(tmp_path, "crew", ("audience: owner-builder", "audience: crew")))
    assert numbers(crew, path) == numbers(owner, path)
    boxes = [line for line in page(owner, path).markdown.split("\n") if line.startswith("!!! ")]
    assert boxes == [line for line in page(crew, path).markdown.split("\n") if line.startswith("!!! ")]
    if path in STEPS:
        assert len(seen(page(crew, path))) < len(seen(page(owner, path)))
        assert section(page(owner, path), "do").count("\n1. ") == section(page(crew, path), "do").count(
            "\n1. "
        )
