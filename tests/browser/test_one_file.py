"""The guide in one file, as it is opened on a phone without reception."""

from __future__ import annotations

from collections.abc import Callable

from tests.browser import looks
from tests.browser.calculator import Reading, differences, table_of
from tests.browser.sites import JOBS, SENT, Built, pages
from tests.browser.watched import Watched
from tests.website.readings import READINGS


def test_opened_from_a_folder_its_calculator_and_links_work(
    built: Built, opened: Callable[..., Watched]
) -> None:
    page = opened().goto(built.one_file)
    assert page.locator("section.page").count() == len(pages(built.guides[SENT]))
    some: list[Reading] = [one for one in READINGS if one[1] != "in"][::5]
    some += [("mark", "mm", "0,5", "120"), ("mark", "mm", "1e3", "120"), ("mark", "mm", "", "120")]
    wrong = differences(page, table_of(JOBS[SENT]), some)
    assert not wrong, "\n".join(wrong)
    page.get_by_role("link", name="Water is rising", exact=True).click()
    assert page.locator("#water-rises").evaluate("one => Math.abs(one.getBoundingClientRect().top) < 100")
    page.locator("#_look").click()
    assert page.evaluate("document.documentElement.dataset.look") == "dark"


def test_it_fits_a_phone_prints_what_is_needed_and_its_drawings_can_be_read(
    built: Built, opened: Callable[..., Watched]
) -> None:
    page = opened().goto(built.one_file)
    faults = looks.too_wide(page, *looks.WIDTHS) + looks.small_letters(page) + looks.wrong_on_paper(page)
    assert not faults, "\n".join(faults)


def test_it_keeps_the_rules_of_accessibility(built: Built, opened: Callable[..., Watched]) -> None:
    page = opened(bypass_csp=True).goto(built.one_file)
    faults = looks.rules_broken(page, colours=False)  # its pages and its stylesheet are the guide's
    assert not faults, "\n".join(faults)


def test_without_scripts_the_table_and_every_word_are_there(
    built: Built, opened: Callable[..., Watched]
) -> None:
    page = opened(java_script_enabled=False, viewport={"width": 1280, "height": 900}).goto(built.one_file)
    faults = looks.not_shown(page)
    assert not faults, "\n".join(faults)
    assert page.locator("#dip-form").is_hidden()


def test_the_address_people_are_sent_leads_to_the_guide(
    built: Built, address: str, opened: Callable[..., Watched]
) -> None:
    link = built.issue.parent.relative_to(built.root).as_posix()
    page = opened().goto(f"{address}/{link}/")
    page.wait_for_url(f"{address}/{link}/A/guide/index.html")
    assert page.locator("h1").is_visible()
