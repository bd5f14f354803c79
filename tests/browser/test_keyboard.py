"""A guide used by keyboard alone, and in colours that the reader's system forces."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.browser import looks
from tests.browser.conftest import DESK, PHONE
from tests.browser.sites import SENT, Built
from tests.browser.watched import Watched


@pytest.mark.parametrize(
    ("name", "size"),
    [("water/read.html", PHONE), ("water/read.html", DESK), ("lists/record.html", PHONE)],
    ids=["calculator, phone", "calculator, desk", "record, phone"],
)
def test_every_control_is_reached_by_tab_and_shows_that_it_is(
    name: str, size: dict[str, int], built: Built, opened: Callable[..., Watched]
) -> None:
    page = opened(viewport=size).goto(built.guides[SENT] / name)
    faults = looks.wrong_by_keyboard(page)
    assert not faults, "\n".join(faults)


def test_the_skip_link_comes_first_is_seen_and_leads_past_the_head(
    built: Built, opened: Callable[..., Watched]
) -> None:
    page = opened(viewport=DESK).goto(built.guides[SENT] / "steps" / "dig.html")
    page.keyboard.press("Tab")
    skip = page.locator(":focus")
    assert skip.inner_text() == "To the page"
    box = skip.bounding_box()
    assert box is not None
    assert box["x"] >= 0
    assert box["y"] >= 0
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.closest('main') !== null")


def test_calculator_ticks_search_and_look_are_used_without_a_pointer(
    built: Built, opened: Callable[..., Watched]
) -> None:
    watched = opened()
    page = watched.goto(built.guides[SENT] / "water" / "read.html")
    page.locator("#dip-form [name=mark]").first.focus()
    page.keyboard.press("ArrowDown")
    assert page.locator("[name=mark][value=top]").is_checked()
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.type("900")
    page.keyboard.press("Tab")
    page.keyboard.type("120")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    assert page.locator("#dip-answer").inner_text().startswith("It holds")

    page = watched.goto(built.guides[SENT] / "steps" / "pocket.html")
    page.locator(".tick").first.focus()
    page.keyboard.press("Space")
    assert page.locator(".tick").first.get_attribute("aria-pressed") == "true"
    page.locator(".passed input").first.focus()
    page.keyboard.press("Space")
    assert page.locator(".passed input").first.is_checked()
    page.locator("summary").first.focus()
    page.keyboard.press("Enter")
    assert page.locator("details").first.get_attribute("open") is not None
    page.locator("#_look").focus()
    page.keyboard.press("Enter")
    assert page.evaluate("document.documentElement.dataset.look") == "dark"
    page.locator("#_find").focus()
    page.keyboard.press("Enter")
    page.keyboard.type("well")
    page.locator(".find li").first.wait_for()
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.matches('.find li a')")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_in_forced_colours_shapes_ticks_and_focus_can_be_told(
    scheme: str, built: Built, opened: Callable[..., Watched]
) -> None:
    watched = opened(forced_colors="active", color_scheme=scheme)
    page = watched.goto(built.guides[SENT] / "water" / "read.html")
    assert page.evaluate("matchMedia('(forced-colors: active)').matches")
    faults = looks.flat_in_forced_colours(page)
    page.locator("#dip-form [name=dip]").focus()
    assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") != "none"
    page = watched.goto(built.guides[SENT] / "lists" / "record.html")
    row = page.locator("ul.ticks input").first
    row.check()
    faults += looks.flat_in_forced_colours(page)
    assert not faults, "\n".join(faults)
