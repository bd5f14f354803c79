"""Search by an asker's own words, from a folder and from a server."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from tests.browser.conftest import DESK
from tests.browser.sites import SENT, Built
from tests.browser.watched import Watched

ASKED = (  # what is typed, and words of which one must stand among the first three found
    ("plug", "valve"),
    ("drain", "drain valve pocket standpipe tube"),
    ("pop-up", "valve lift float rising"),
    ("pipe beside the pool", "standpipe tube"),
    ("well", "standpipe tube"),
)
"""Invented: none of these words is the name of a page."""


def search(page: Any, words: str) -> list[str]:
    """Type into the search of an open page and return the first three places found."""
    page.get_by_role("searchbox").fill(words)
    page.locator(".find li").first.wait_for()
    return list(page.locator(".find li").all_inner_texts())[:3]


@pytest.mark.parametrize("way", ["folder", "server"])
def test_an_asker_s_own_words_find_the_place_and_lead_there(
    way: str, built: Built, address: str, opened: Callable[..., Watched]
) -> None:
    home = built.guides[SENT] / "steps" / "set.html"  # a page below the first
    where = home if way == "folder" else f"{address}/{home.relative_to(built.root).as_posix()}"
    page = opened(**({} if way == "folder" else {"viewport": DESK, "color_scheme": "dark"})).goto(where)
    page.get_by_role("button", name="Search").click()
    for words, wanted in ASKED:
        found = search(page, words)
        assert any(word in one.lower() for one in found for word in wanted.split()), (words, found)
    page.get_by_role("searchbox").fill("my plug is weeping")
    page.locator(".find li").first.wait_for()
    page.keyboard.press("Enter")
    page.wait_for_url("**/questions.html#q-*")
    assert page.locator("h3:target").is_visible()
    assert not page.get_by_role("dialog").is_visible()


def test_search_opens_with_a_slash_says_when_nothing_is_found_and_closes(
    built: Built, opened: Callable[..., Watched]
) -> None:
    page = opened().goto(built.guides[SENT] / "index.html")
    page.keyboard.press("/")
    dialog = page.get_by_role("dialog", name="Search this guide")
    assert dialog.is_visible()
    page.keyboard.type("xylophone")
    page.get_by_text("Nothing found").wait_for()
    page.keyboard.press("Escape")  # empties the field
    page.keyboard.press("Escape")
    assert not dialog.is_visible()
    assert page.evaluate("document.activeElement.id") in {"_find", ""}
