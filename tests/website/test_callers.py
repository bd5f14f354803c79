"""What callers say, in their words, and the place that search must put among its first three.

The phrases are invented. Each stands for a failure that people ring about, and none is worded as the pages
are. The guides are built and searched with the script that stands in every page.
"""

import json
import re
from pathlib import Path
from typing import Any

import pytest
import quickjs

from builder import making
from builder.website.look import THEME
from tests.pages.conftest import DEMO
from tests.pages.reading import text_of

FIRST = 3
CALLS = (
    ("my plug is weeping", "q-valve-weeps"),
    ("it's been raining all night and the pool looks higher", "q-floated"),
    ("can I let the water out to paint it", "q-empty"),
    ("concrete truck is coming and the water isn't up", "q-pour-beam"),
    ("sparky hasn't turned up and the concreter is here", "q-pour-beam"),
    ("the little pipe beside the pool is full of mud", "q-blocked-slots"),
    ("can't find the pipe lid since we did the lawn", "q-lost-lid"),
    ("the pump keeps stopping and starting", "q-pump-cycles"),
    ("side of the pool is bending in", "q-bulge-in"),
    ("can I chuck the dirt back in round the sides", "q-spoil-fill"),
    ("we're knocking off till monday, is it ok to leave it half done", "q-weekend"),
    ("kids live next door, when does the fence go up", "q-fence-when"),
    ("the digger has hit something solid", "q-rock"),
    ("water is up to my ankles in the hole this morning", "q-rain-in-dig"),
    ("the stick comes up dry but the garden is a swamp", "q-dry-tube"),
    ("brown water coming out of the pump", "q-cloudy"),
    ("the pool drops an inch every day", "q-leak-or-sun"),
    ("one end of the pool is lower than the other", "q-not-level"),
    ("floor feels like a trampoline when I walk on it", "q-hollow"),
    ("I sawed the pipe off too low", "q-tube-short"),
    ("the screw thread won't go in straight", "q-crossed-thread"),
    ("left the hose on and fell asleep", "q-tap-ran"),
    ("creek came over and the pool is full of dirty water", "q-flood"),
    ("how far down does the hole go", "q-how-deep"),
    ("crane man wants to know what it weighs", "q-how-heavy"),
    ("pavers have dropped along the edge", "q-paving-sunk"),
    ("dog ran through the sand", "q-footprints"),
    ("driver took out too much", "q-too-deep"),
    ("how do I know it isn't going to pop out", "q-float-signs"),
    ("shell won't go all the way down", "q-stuck"),
    ("smell of gas in the hole", "q-hit-service"),
    ("pump won't fit down the pipe", "q-which-pump"),
    ("I pumped all day and it's still the same", "q-pump-no-drop"),
    ("storm tonight, should I drop the level", "q-before-storm"),
    ("pool keeps filling itself", "q-gains-water"),
    ("it bucketed down before we finished the gravel", "q-rain-in-gap"),
    ("can I use a whacker on the gravel", "q-compact"),
    ("there's a crack along the top of the bank", "q-stand-in-hole"),
    ("green and full of tadpoles", "q-green"),
    ("who signs off the fence", "q-fence-who"),
    ("water is coming up through the plug", "q-valve-weeps"),
    ("the pipe reads 300 is that bad", "q-dip-means"),
    ("neighbour says his wall is cracking", "q-neighbours"),
    ("we just bought the house, what's the pipe for", "q-new-owner"),
    ("can I put a shed next to it", "q-build-near"),
    ("how long before I can tile", "q-when-pave"),
    ("the hose has been going all day and it is not filling", "q-fill-time"),
    ("crane can't get down the driveway", "q-will-it-fit"),
    ("there's a wet patch under the skimmer pipe", "q-pipe-test"),
    ("can I pour it in the gutter", "q-pump-where"),
    ("a pebble is stuck in the plug", "q-valve-weeps"),
    ("it is rocking when I stand in it", "q-hollow"),
)


@pytest.fixture(scope="module", params=DEMO, ids=[path.stem for path in DEMO])
def guide(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A built guide of each demo job."""
    return making.guide(making.results(request.param), tmp_path_factory.mktemp("guide")).parent


@pytest.fixture(scope="module")
def search(guide: Path) -> quickjs.Context:
    """The search of a guide, with the words it was built with."""
    context = quickjs.Context()
    context.eval((THEME / "scripts" / "search.js").read_text(encoding="utf-8"))
    context.eval((guide / "assets" / "words.js").read_text(encoding="utf-8"))
    context.eval("var entries = shellbedSearch.prepare(shellbedWords)")
    return context


def found(search: quickjs.Context, said: str) -> list[dict[str, Any]]:
    """Return the places found, best first."""
    return list(json.loads(search.eval(f"JSON.stringify(shellbedSearch.look(entries, {json.dumps(said)}))")))


@pytest.mark.parametrize(("said", "place"), CALLS)
def test_a_caller_s_own_words_find_the_answer_among_the_first_three(
    search: quickjs.Context, said: str, place: str
) -> None:
    addresses = [one["address"] for one in found(search, said)[:FIRST]]
    assert f"questions.html#{place}" in addresses, addresses


@pytest.mark.parametrize("place", sorted({place for _, place in CALLS}))
def test_the_answer_can_be_read_out_in_less_than_two_minutes(guide: Path, place: str) -> None:
    page = (guide / "questions.html").read_text(encoding="utf-8")
    answer = re.search(rf'<h3 id="{place}">.*?</h3>(.*?)(?=<h[23]|<p class="words")', page, re.DOTALL)
    assert answer
    said = text_of(answer[1])
    assert said.startswith("Read out: ")
    assert len(said.split()) < 200  # a hundred words a minute, read slowly
