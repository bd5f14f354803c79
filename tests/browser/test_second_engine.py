"""The second engine, WebKit: search, ticks and the calculator work there too."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.browser import webkit
from tests.browser.calculator import TOLD, Reading, expected, table_of
from tests.browser.sites import JOBS, SENT, Built
from tests.browser.webkit import WebKit
from tests.website.readings import READINGS

TYPED: list[Reading] = [*READINGS[:34:3], ("mark", "m", "0,5", "0,12"), ("mark", "mm", "0,5", "120"),
    ("mark", "mm", "1e3", "120"), ("mark", "mm", "-5", "120"), ("mark", "mm", "١٢", "120"),
    ("mark", "mm", "1723", "120")]  # fmt: skip


@pytest.fixture(scope="module")
def window(tmp_path_factory: pytest.TempPathFactory) -> Iterator[WebKit]:
    """One window for all tests here."""
    with webkit.opened(tmp_path_factory.mktemp("webkit")) as one:
        yield one


@pytest.mark.parametrize("which", ["guide", "one file"])
def test_the_calculator_says_what_python_says(which: str, window: WebKit, built: Built) -> None:
    table = table_of(JOBS[SENT])
    window.goto(built.one_file if which == "one file" else built.guides[SENT] / "water" / "read.html")
    wrong = []
    for reading in TYPED:
        mark, unit, dip, pool = reading
        window.click(f"#dip-form [name=mark][value={mark}]")
        window.click(f"#dip-form [name=unit][value={unit}]")
        window.type("#dip-form [name=dip]", dip)
        window.type("#dip-form [name=pool]", pool + webkit.ENTER)
        if (said := window.run(f"return {TOLD}")) != expected(table, reading):
            wrong.append(f"{reading}: {said!r}")
    assert not wrong, "\n".join(wrong)


def test_ticks_stay_after_a_reload(window: WebKit, built: Built, address: str) -> None:
    page = built.guides[SENT] / "steps" / "pocket.html"
    for where in (page, f"{address}/{page.relative_to(built.root).as_posix()}"):
        window.goto(where)
        window.click(".tick")
        window.goto(built.one_file)
        window.goto(where)
        assert window.run("return document.querySelector('.tick').getAttribute('aria-pressed')") == "true", (
            where
        )


@pytest.mark.parametrize("way", ["folder", "server"])
def test_search_finds_by_an_asker_s_own_words(way: str, window: WebKit, built: Built, address: str) -> None:
    page = built.guides[SENT] / "steps" / "set.html"
    window.goto(page if way == "folder" else f"{address}/{page.relative_to(built.root).as_posix()}")
    window.click("#_find")
    for words, wanted in (("plug", "valve"), ("pipe beside the pool", "standpipe"), ("well", "standpipe")):
        window.type(".find input", words)
        found = window.wait(
            "return [...document.querySelectorAll('.find li')].slice(0, 3).map(one => one.textContent)"
        )
        assert any(wanted in one.lower() for one in found), (words, found)


def test_the_page_fits_a_narrow_window_and_its_policy_lets_style_and_script_through(
    window: WebKit, built: Built
) -> None:
    window.goto(built.guides[SENT] / "water" / "read.html")
    assert window.run("return getComputedStyle(document.body).fontFamily").startswith("Overpass")
    assert window.run("return document.getElementById('dip-form').hidden") is False
    assert window.run("return document.documentElement.scrollWidth <= document.documentElement.clientWidth")
