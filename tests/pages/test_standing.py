"""What stands in the way: told once, where to act."""

import re
from dataclasses import replace

from markupsafe import Markup

from builder.pages import standing
from builder.pages.manifest import entries
from builder.pages.typed import unfenced
from tests.pages.reading import JOBS, guide_of, page, results_of, seen

STOP = "Stop: do not go on until this is put right"
ANSWERED = "Stop, with someone who answers for it"


def box(text: str, head: str) -> str:
    """Return the Markdown of a box by how its title starts; empty where there is none."""
    found = re.search(rf'^!!! \S+ "{re.escape(head)}[^\n]*\n((?:    .*\n)*)', text, re.MULTILINE)
    return found[1] if found else ""


def test_no_line_of_a_box_says_what_a_line_before_it_said() -> None:
    guide = guide_of(JOBS / "sagebrush-court.yml")
    for one in guide.pages:
        for head in (STOP, "Cannot tell", "Watch"):
            told = box(one.markdown, head)
            assert told.count("No water was seen, but the hole was watched") <= 1, (one.path, head)


def test_a_stop_that_someone_answers_for_has_a_box_of_its_own_with_his_words() -> None:
    guide, results = guide_of(JOBS / "harakeke-flat.yml"), results_of(JOBS / "harakeke-flat.yml")
    start = page(guide, "index.md").markdown
    assert all(results.accepted(number.key) for number in results.stops)
    assert not box(start, STOP)
    answered = seen(page(guide, "index.md")).partition(ANSWERED)[2]
    for accepted in results.job.spec.accepted:
        if results[accepted.check].verdict == "stop":
            assert accepted.by in answered, accepted.check
            assert accepted.reason[1:].rstrip(".") in answered, accepted.check


def test_lines_stand_under_the_page_where_to_act_in_the_order_of_the_work() -> None:
    start = page(guide_of(JOBS / "sagebrush-court.yml"), "index.md").markdown
    places = re.findall(
        r"^    - \*\*\[[^\n]*?\]\(([^)#]+)#stops\)\*\*$", box(start, "Cannot tell"), re.MULTILINE
    )
    order = [entry.path for entry in entries()]
    assert len(places) > 3
    assert places == sorted(places, key=order.index)


def test_a_missing_grain_size_is_told_by_the_face_it_belongs_to() -> None:
    start = box(page(guide_of(JOBS / "quandong-rise.yml"), "index.md").markdown, "Cannot tell")
    assert start.count("No grading is known") == 1
    assert "10&#37; of" not in start


def test_a_number_no_page_concerns_stands_under_the_work_it_belongs_to() -> None:
    number = replace(results_of(JOBS / "quandong-rise.yml")["wall.beam"], verdict="stop", reason="too much")
    text = standing.in_the_way(
        {number.key: number}, (), lambda _: Markup("a page"), lambda _: Markup("working"), str, lambda _: ""
    )
    assert f"**{standing.PLACES['wall']}**" in unfenced(text)
    assert "Too much" in text
