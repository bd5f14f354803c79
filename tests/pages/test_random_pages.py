"""A hundred random valid jobs: every page can be read, every warning stands before the act.

The Markdown is looked at as it leaves the pages room, without building a site.
"""

import html
import re
from functools import lru_cache

import pytest

from builder.catalogue import load
from builder.checks import Results
from builder.pages import Guide, Page, render
from builder.pages.manifest import anchor, entries
from builder.pages.standing import concerned, home
from builder.quantity import Number
from tests import random_jobs
from tests.pages.test_pages import WORD, told

SEED, BATCHES, BATCH = 31, 10, 10
TAGS = re.compile(r'<script type="application/json".*?</script>|<[^>]+>', re.DOTALL)
LINK = re.compile(r"\[[^\]]*\]\(([^)]*)\)")
UNIT = r"(?:mm|kg|L|min|minutes?|hours?|days?|m²|m³|kPa|litres?|ft|gal|lb|psi|cu yd|tons?)"
BAD = ("stop", "cannot tell")
NOT_ACTED_ON = (  # the start page tells all of them; questions are read out; a crew's sheets name them
    "index.md", "questions.md", "limits.md", "lists/crew.md", "lists/record.md",
)  # fmt: skip
ACTIONS = re.compile(r'^<div class="actions" markdown>\n(.*?)^</div>', re.MULTILINE | re.DOTALL)


@lru_cache(maxsize=BATCHES * BATCH)
def worked(number: int) -> Results:
    """Return the results of one random job; every second one is for a crew."""
    spec, results, _ = random_jobs.valid(SEED, number, load())
    if number % 2 == 0:
        return results
    return random_jobs.results_of({**spec, "audience": "crew"}, load())


@lru_cache(maxsize=BATCH + 2)
def drawn(number: int) -> tuple[Results, Guide]:
    """Return the results and the guide of one random job."""
    results = worked(number)
    return results, render(results)


def plain(markdown: str) -> str:
    """Return Markdown as its reader's words: no tags, no targets of links, no signs of emphasis."""
    text = html.unescape(TAGS.sub("", LINK.sub(lambda link: link[0].partition("](")[0][1:], markdown)))
    return text.replace("**", "").replace("\u00a0", " ").replace("\ue000", "").replace("\ue001", "")


def holes(page: Page) -> list[str]:
    """Return what would read as a hole: an empty value, a doubled unit, an empty sentence, a loose sign."""
    text = re.sub(r"\{[#.:][^}]*\}", "", plain(page.markdown))
    found = [match.group() for match in WORD.finditer(text)]
    found += re.findall(rf"\b{UNIT} {UNIT}\b", text)
    found += re.findall(r"[a-z] [.,;:](?:\s|$)|(?<!\.)\.\.(?!\.)|\. \.|\(\s*\)|\{\{|\}\}|\{%", text)
    return found + re.findall(r"\b(?:and|or|of|the|a|within)\.(?:\s|$)", text)


def broken_counts(page: Page) -> list[str]:
    """Return what stands between two steps of a numbered list and would start its count again."""
    found = []
    for block in ACTIONS.findall(page.markdown):
        lines = [line for line in block.split("\n") if line.strip()]
        steps = [at for at, line in enumerate(lines) if line.startswith("1. ")]
        if steps:
            between = lines[steps[0] : steps[-1]]
            found += [line for line in between if not line.startswith(("1. ", "    "))]
            found += [line for line in lines if re.match(r"1\. *$|1\. \*\*\w+\*\* *$", line)]
    return found


def places_of(page: Page) -> set[str]:
    """Return every place of a page that a link may lead to."""
    ids = set(re.findall(r'\bid="([^"]+)"', page.markdown))
    return ids | set(re.findall(r"\{#([\w-]+)\}", page.markdown)) | {f"fig-{name}" for name in page.figures}


def dead_links(guide: Guide) -> list[tuple[str, str]]:
    """Return every link that leads to no page or no place."""
    places = {page.path: places_of(page) for page in guide.pages}
    dead = []
    for page in guide.pages:
        for target in LINK.findall(page.markdown):
            path, _, place = target.partition("#")
            folder = page.path.rpartition("/")[0]
            parts = f"{folder}/{path}".strip("/").split("/") if path else page.path.split("/")
            while ".." in parts:
                at = parts.index("..")
                del parts[at - 1 : at + 1]
            full = "/".join(parts)
            if full not in places or (place and place not in places[full]):
                dead.append((page.path, target))
    return dead


def shown(page: Page, results: Results) -> set[str]:
    """Return the keys a page shows, by the list at its end."""
    last = page.markdown.partition("{#from}")[2]
    keys = {anchor(key): key for key in results}
    return {keys[name] for name in re.findall(r"working\.md#([\w-]+)\)", last) if name in keys}


def half_a_rule(key: str) -> bool:
    """Whether a key is a grain size or half a rule of the filter: the face it belongs to speaks for it."""
    return key.startswith("filter.") and key.count(".") > 1


@pytest.mark.parametrize("batch", range(BATCHES))
def test_random_jobs_read_well_and_warn_before_the_act(batch: int) -> None:
    for number in range(batch * BATCH, (batch + 1) * BATCH):
        results, guide = drawn(number)
        for page in guide.pages:
            assert holes(page) == [], (number, page.path)
            assert broken_counts(page) == [], (number, page.path)
        assert dead_links(guide) == [], number
        for key, one in results.items():
            if one.verdict in ("stop", "cannot tell") and not half_a_rule(key):
                assert home(key, entries()) is not None, (number, key)
        by_path = {page.path: page for page in guide.pages}
        for entry in entries():
            mine = concerned(entry, results)
            _told_first(entry.path, mine, results, by_path, number)
            if entry.path not in NOT_ACTED_ON and not entry.working:
                here = shown(by_path[entry.path], results) - {one.key for one in mine}
                assert not [key for key in here if results[key].verdict in BAD], (number, entry.path)
        _named_first(by_path["lists/crew.md"], results, number)
        _on_the_record(by_path["lists/record.md"], results, number)


def _named_first(crew: Page, results: Results, number: int) -> None:
    """Check that the crew sheet names each stop and cannot tell it shows, before the shift."""
    first = " ".join(plain(crew.markdown.split("{#shift}")[0]).split())
    for key in shown(crew, results):
        if results[key].verdict in BAD:
            assert results[key].words in first, (number, key)


def _on_the_record(record: Page, results: Results, number: int) -> None:
    """Check that the record says what is wrong with its lifts before it lists them."""
    stages = results["fill.stages"]
    if stages.verdict in BAD:
        section = " ".join(plain(record.markdown.split("{#lifts}")[1]).split())
        said = section.partition("| Lift")[0]
        assert all(part in said for part in told(stages, results)), number


def _told_first(
    path: str, found: list[Number], results: Results, pages: dict[str, Page], number: int
) -> None:
    """Check that a page says each stop and cannot tell that concerns it, before what to do."""
    bad = [one for one in found if one.verdict in ("stop", "cannot tell")]
    if not bad:
        return
    text = " ".join(plain(pages[path].markdown.split("{#stops}", 1)[-1]).split())
    first_act = text.index("Find the row" if path == "water/read.md" else "What you need")
    for one in bad:
        for part in told(one, results):
            assert part in text[:first_act], (number, path, one.key)


MEASURES = {"level.ground", "level.floor_deep", "level.underside_deep", "standpipe.ties"}
"""Sizes nobody judges: these alone need no page that acts on them."""


def test_every_number_that_may_be_judged_has_a_page_that_acts_on_it() -> None:
    for number in range(0, BATCHES * BATCH, BATCH):
        results = worked(number)
        for key, one in results.items():
            if half_a_rule(key):
                continue
            assert home(key, entries()) is not None or key in MEASURES, key
            assert key not in MEASURES or one.verdict == "ok", key


def test_a_face_is_judged_no_better_than_the_worst_half_of_its_rule() -> None:
    order = ("ok", "watch", "cannot tell", "stop")
    for number in range(0, BATCHES * BATCH, BATCH):
        results = worked(number)
        for key, one in results.items():
            face, _, half = key.rpartition(".")
            if key.startswith("filter.") and half in ("retention", "flow", "clogging"):
                assert order.index(results[face].verdict) >= order.index(one.verdict), key


def test_the_draws_reach_stops_and_unknowns() -> None:
    seen = [worked(number) for number in range(BATCHES * BATCH)]
    assert any(results.stops for results in seen)
    assert any(results.unknowns for results in seen)
    assert {results.job.spec.audience for results in seen} == {"owner-builder", "crew"}
    assert {results.job.region.id for results in seen} == set(load().regions)
