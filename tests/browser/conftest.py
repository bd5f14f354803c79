"""One set of built guides, one browser and one server for all tests of a worker."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from typing import Any

import pytest

from tests.browser import engines, sites
from tests.browser.sites import Built
from tests.browser.watched import Watched

PHONE = {"width": 390, "height": 844}
DESK = {"width": 1280, "height": 900}


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    """The system's chromium, driven by playwright."""
    program = engines.program("chromium")
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        engines.missing("playwright")
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=program, args=[*engines.QUIET, engines.NOWHERE])
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Built:
    """The guides of all demo jobs and one packed issue; nothing is built where no browser opens it."""
    engines.program("chromium")
    base = tmp_path_factory.getbasetemp()
    return sites.build((base if worker_id == "master" else base.parent) / "guides-in-browsers")


@pytest.fixture(scope="session")
def address(built: Built) -> Iterator[str]:
    """The address of a plain server for all that was built."""
    with sites.served(built.root) as where:
        yield where


@pytest.fixture
def opened(chromium: Any) -> Iterator[Callable[..., Watched]]:
    """Open a page that is watched; whatever it did wrong by the end fails the test.

    Called with what playwright's new_context takes; planted=True where the test looks at the faults itself.
    """
    with ExitStack() as stack:
        made: list[Watched] = []

        def open_one(planted: bool = False, **given: Any) -> Watched:
            context = chromium.new_context(**({"viewport": PHONE} | given))
            stack.callback(context.close)
            one = Watched(context)
            if not planted:
                made.append(one)
            return one

        yield open_one
        faults = [fault for one in made for fault in one.faults]
        assert not faults, "\n".join(faults)
