"""What holds on the pages of every demo job."""

import re
from fnmatch import fnmatchcase

import pytest

from builder.checks import Results
from builder.figures.papers import PAPERS, path_of
from builder.pages import Guide, Page
from builder.pages.manifest import addresses, anchor, entries
from builder.pages.words import Words
from builder.quantity import Number
from tests.pages.reading import ACTING, STEPS, page, rendered, section, seen

ORDER = ["who", "before", "stops", "need", "do", "check", "call", "hold", "from"]
PAPER_FILES = {path_of(name) for name in PAPERS}
WORD = re.compile(r"\b(None|nan|NaN|inf|undefined|null|True|False)\b")


def told(number: Number, results: Results) -> list[str]:
    """Return a reason as a page tells it: a sentence for each part between semicolons, in local units."""
    words = Words(feet=results.job.region.units == "us")
    parts = " ".join(number.reason.split()).split("; ")
    return [" ".join(words.sentence(part[:1].upper() + part[1:]).split()) for part in parts]


def headings(page: Page) -> list[str]:
    return re.findall(r"^## .*\{#([\w-]+)\}$", page.markdown, re.MULTILINE)


def test_the_guide_carries_the_job(guide: Guide, results: Results) -> None:
    assert (guide.ref, guide.title, guide.audience) == (
        results.job.spec.ref,
        results.job.spec.title,
        results.job.spec.audience,
    )
    assert re.fullmatch(r"(\d{1,2} [A-Z][a-z]+ 20\d\d)?", guide.issued)
    in_nav = [
        path
        for _, entry in guide.nav
        for path in ([entry] if isinstance(entry, str) else [p for _, p in entry])
    ]
    assert in_nav == [page.path for page in guide.pages]


@pytest.mark.parametrize("path", STEPS)
def test_a_step_page_keeps_the_order_of_its_sections(guide: Guide, path: str) -> None:
    found = headings(page(guide, path))
    assert [name for name in ORDER if name in found] == found
    assert set(ORDER) - {"stops"} <= set(found)


@pytest.mark.parametrize("path", STEPS)
def test_what_and_why_take_two_sentences(guide: Guide, path: str) -> None:
    lead = page(guide, path).markdown.split("\n\n")[1]
    assert lead.endswith("\n{.lead}")
    assert len(re.findall(r"[.!?](?=\s)", lead.removesuffix("{.lead}"))) in (2, 3)


@pytest.mark.parametrize("path", STEPS)
def test_cautions_stand_before_the_first_action_and_the_worst_word_comes_first(
    guide: Guide, path: str
) -> None:
    text = page(guide, path).markdown
    boxes = [
        match.start() for match in re.finditer(r"^!!! (danger|warning|caution|notice) ", text, re.MULTILINE)
    ]
    first = text.index("\n1. ")
    assert boxes
    assert all(box < first for box in boxes)


@pytest.mark.parametrize("path", STEPS)
def test_every_action_is_numbered_and_starts_with_one_verb(guide: Guide, path: str) -> None:
    actions = re.findall(r"^1\. (.*)$", section(page(guide, path), "do"), re.MULTILINE)
    assert len(actions) > 8
    for action in actions:
        assert re.match(r"\*\*(\[)?[A-Z][a-z]+", action), action


def test_no_page_for_acting_shows_more_than_two_figures(guide: Guide) -> None:
    for one in guide.pages:
        assert len(one.figures) <= 2 or one.path == "working.md"
        assert [f'data-figure="{name}"' in one.markdown for name in one.figures] == [True] * len(one.figures)


def test_no_hole_is_left_in_any_sentence(guide: Guide) -> None:
    for one in guide.pages:
        text = seen(one)
        assert not WORD.search(text), (one.path, WORD.findall(text))
        assert not re.search(r"\b(mm|kg|L|m|min|minutes?) (mm|kg|L|min|minutes?)\b", text), one.path
        assert not re.search(r"[a-z] [.,;:](\s|$)|\.\.|\(\s*\)|: *$", re.sub(r":\n", "\n", text).strip()), (
            one.path
        )
        assert not re.search(r"\{\{|\}\}|\{%|!!!", text), one.path
        assert not re.search(r"\s(and|or|of|the|a|within)\.", text), one.path


def test_the_working_page_shows_every_key(guide: Guide, results: Results) -> None:
    text = rendered(page(guide, "working.md"))
    for key in results:
        assert f'id="{anchor(key)}"' in text, key
        assert f"<code>{key}</code>" in text, key


def test_the_working_page_shows_formula_and_inputs_of_a_number(quandong: Guide) -> None:
    text = seen(page(quandong, "working.md"))
    assert "L_t = tube_foot - tube_top" in text
    assert "tube_foot: 1.722 m" in text  # by hand: 1.700 + 0.007 + 0.015
    assert "tube_top: −0.010 m" in text  # by hand: 0.030 - 0.040


def test_every_stop_and_unknown_is_told_on_the_start_page_and_where_to_act(
    guide: Guide, results: Results
) -> None:
    start = " ".join(seen(page(guide, "index.md")).split())
    for number in [*results.stops, *results.unknowns]:
        half_a_rule = number.key.startswith("filter.") and number.key.count(".") > 1
        if number.verdict == "stop" or (not half_a_rule and (number.audience == "step" or number.value)):
            assert any(part in start for part in told(number, results)), number.key
    assert ("Nothing in this job's numbers stops you" in start) == (
        not results.stops and not results.unknowns
    )


def test_every_stop_and_unknown_of_a_page_is_told_before_the_act(guide: Guide, results: Results) -> None:
    for entry in entries():
        found = [
            number
            for key, number in results.items()
            if any(fnmatchcase(key, like) and key.count(".") == like.count(".") for like in entry.concerns)
            and number.verdict in ("stop", "cannot tell", "watch")
        ]
        text = " ".join(seen(page(guide, entry.path)).split())
        for number in found:
            for part in told(number, results):
                assert part in text, (entry.path, number.key)
                first_act = text.index("Find the row" if entry.path == "water/read.md" else "What you need")
                assert text.index(part) < first_act, (entry.path, number.key)


def test_a_number_that_is_for_working_only_is_linked_from_no_acting_page_as_shown(
    guide: Guide, results: Results
) -> None:
    for path in ACTING[1:]:
        shown = re.findall(
            r"working\.md#([\w-]+)\)", section(page(guide, path), "from").split("common practice")[0]
        )
        keys = {anchor(key): number for key, number in results.items()}
        assert shown
        assert all(keys[name].audience == "step" for name in shown)


def test_every_permanent_address_leads_somewhere(guide: Guide) -> None:
    found = set()
    for one in guide.pages:
        html = one.path.replace(".md", ".html")
        found |= {html, *(f"{html}#fig-{name}" for name in one.figures)}
        found |= {f"{html}#{name}" for name in re.findall(r'\bid="([^"]+)"', rendered(one))}
    assert not [address for address in addresses() if address not in found and not address.endswith("#stops")]


def test_every_page_and_section_has_a_permanent_address(guide: Guide) -> None:
    kept = set(addresses())
    assert len(kept) == len(addresses())
    for one in guide.pages:
        html = one.path.replace(".md", ".html")
        assert html in kept
        for name in headings(one):
            assert f"{html}#{name}" in kept or name.startswith("group-") or name in ("stops", "changed")


def test_links_lead_to_pages_and_places_that_exist(guide: Guide) -> None:
    places = {}
    for one in guide.pages:
        places[one.path] = set(re.findall(r'\bid="([^"]+)"', rendered(one))) | {
            f"fig-{name}" for name in one.figures
        }
    for one in guide.pages:
        for target in re.findall(r'href="([^"]+)"', rendered(one)):
            if target.removeprefix("../") in PAPER_FILES:
                continue  # the site puts them there, and follows every link
            path, _, place = target.partition("#")
            path = path.replace(".html", ".md")  # a whole block of HTML names the built page
            full = path.removeprefix("../") if one.path.count("/") or not path.startswith("../") else path
            if one.path.count("/") and not path.startswith("../"):
                full = f"{one.path.rsplit('/', 1)[0]}/{path}"
            full = full if path else one.path
            assert full in places, (one.path, target)
            assert not place or place in places[full], (one.path, target)


def test_ids_are_unique_on_a_page(guide: Guide) -> None:
    for one in guide.pages:
        found = re.findall(r'\bid="([^"]+)"', rendered(one))
        assert len(found) == len(set(found)), one.path


def test_each_term_is_linked_once_a_page_at_its_first_use(quandong: Guide) -> None:
    text = page(quandong, "steps/standpipe.md").markdown
    assert text.count("glossary.md#build-mark") == 1
    prose = re.sub(r"^(#|!!!|\|)[^\n]*|<dl.*?</dl>", "", text, flags=re.MULTILINE | re.DOTALL)
    assert "[build mark](../glossary.md#build-mark)" in prose
    assert prose.index("build mark") == prose.index("[build mark]") + 1


def test_the_glossary_defines_every_term_it_is_linked_for(guide: Guide) -> None:
    ids = set(re.findall(r'id="([^"]+)"', rendered(page(guide, "glossary.md"))))
    for one in guide.pages:
        assert set(re.findall(r"glossary\.md#([\w-]+)", one.markdown)) <= ids
