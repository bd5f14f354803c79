"""Every page of every demo job, from a folder and from a server, on a phone and on a desk."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import pytest

from tests.browser import looks
from tests.browser.conftest import DESK
from tests.browser.sites import JOBS, SENT, Built, pages
from tests.browser.watched import Watched

FEET = "sagebrush-court"


def look_at(watched: Watched, places: Iterable[Path | str], look: Callable[[Any], list[str]]) -> None:
    """Fail with all that a look finds on all pages, each with its page's name."""
    found = [
        f"{str(place).rpartition('/')[2]}: {fault}" for place in places for fault in look(watched.goto(place))
    ]
    assert not found, "\n".join(found)


@pytest.mark.parametrize("job", JOBS)
def test_from_a_folder_every_page_fits_a_phone_with_large_text_too(
    job: str, built: Built, opened: Callable[..., Watched]
) -> None:
    places = pages(built.guides[job])
    assert len(places) >= 30
    look_at(opened(), places, lambda page: looks.too_wide(page, *looks.WIDTHS) + looks.small_letters(page))


@pytest.mark.parametrize("job", [SENT, FEET])
def test_from_a_server_every_page_fits_a_desk_in_the_dark_and_prints_what_is_needed(
    job: str, built: Built, address: str, opened: Callable[..., Watched]
) -> None:
    places = [f"{address}/{place.relative_to(built.root).as_posix()}" for place in pages(built.guides[job])]
    watched = opened(viewport=DESK, color_scheme="dark")
    look_at(watched, places, lambda page: looks.too_wide(page) + looks.wrong_on_paper(page))


@pytest.mark.parametrize("part", [0, 1])
def test_every_page_keeps_the_rules_of_accessibility_in_light_and_dark(
    part: int, built: Built, opened: Callable[..., Watched]
) -> None:
    look_at(opened(bypass_csp=True), pages(built.guides[SENT])[part::2], looks.rules_broken)


def test_so_does_every_page_of_a_guide_in_feet(built: Built, opened: Callable[..., Watched]) -> None:
    # the same stylesheet: its colours are held above
    places = pages(built.guides[FEET])
    look_at(opened(bypass_csp=True), places, lambda page: looks.rules_broken(page, colours=False))


def test_without_scripts_every_page_shows_all_that_stands_in_it(
    built: Built, opened: Callable[..., Watched]
) -> None:
    watched = opened(viewport=DESK, java_script_enabled=False)
    look_at(watched, pages(built.guides[SENT]), looks.not_shown)
    page = watched.goto(built.guides[SENT] / "water" / "read.html")
    assert page.locator("#dip-form").is_hidden()
    rows = page.locator("#table ~ .wide").first.locator("tbody tr").all_inner_texts()
    assert len(rows) > 10
    assert all(re.search(r"\d+\smm.*(may fall|raise it|fill) to", row, re.S) for row in rows), rows
    assert page.get_by_role("button").count() == 0
