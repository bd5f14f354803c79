"""Ticks that stay on the device: kept after a reload, by job, issue and item; cleared, copied as text."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.browser.sites import SENT, Built
from tests.browser.watched import Watched

STEP = "steps/pocket.html"


def ticked(page: Any) -> list[str]:
    """Return which numbered actions of an open page are ticked."""
    return list(page.locator(".tick[aria-pressed=true]").evaluate_all("all => all.map(one => one.ariaLabel)"))


def test_ticks_stay_after_a_reload_and_are_cleared_and_copied_as_text(
    built: Built, opened: Callable[..., Watched]
) -> None:
    guide = built.guides[SENT]
    watched = opened()
    page = watched.goto(guide / STEP)
    page.get_by_role("button", name="Step 2 is done", exact=True).first.click()
    page.locator(".passed input").first.check()
    page.reload()
    assert ticked(page) == ["Step 2 is done"]
    assert page.locator(".passed input").first.is_checked()
    assert "ticked on this device" in page.locator(".passed").first.inner_text()

    page = watched.goto(guide / "lists" / "record.html")
    row = page.locator("ul.ticks input").first
    row.check()
    page.reload()
    assert row.is_checked()
    text = page.get_by_label("What is ticked on this device, as text")
    lines = text.input_value().splitlines()
    assert lines[0] == "QR-0412 issue A: ticked on this device. Not a signed record."
    assert [line for line in lines if line.endswith(":")] == ["Hold points:", "Work:", "Record:"]
    assert sum(line.startswith("- ") for line in lines) == 3

    page.evaluate(
        """Object.defineProperty(navigator, "clipboard",
            {value: {writeText: async text => { window.copied = text }}})"""
    )
    page.get_by_role("button", name="Copy as text").click()
    page.get_by_role("button", name="Copied").wait_for()
    assert page.evaluate("window.copied") == text.input_value()

    clear = page.get_by_role("button", name="Clear all ticks")
    clear.click()
    assert row.is_checked(), "one tap must not clear"
    page.get_by_role("button", name="Tap again").click()
    assert text.input_value() == "Nothing is ticked."
    assert not row.is_checked()
    page = watched.goto(guide / STEP)
    assert ticked(page) == []
    assert page.evaluate("localStorage.length") == 0


def test_ticks_are_kept_apart_by_job_issue_and_item(
    built: Built, opened: Callable[..., Watched], tmp_path: Path
) -> None:
    watched = opened()  # from a folder, all guides of a device share one store
    page = watched.goto(built.guides[SENT] / STEP)
    assert page.evaluate("document.documentElement.dataset.issue") == "A"
    page.locator(".tick").first.click()
    assert len(ticked(page)) == 1
    for other in ("mallee-lane", "harakeke-flat"):
        assert ticked(watched.goto(built.guides[other] / STEP)) == []
    next_issue = tmp_path / "B" / "steps" / "pocket.html"
    real = (built.guides[SENT] / STEP).read_text(encoding="utf-8")
    next_issue.parent.mkdir(parents=True)
    (tmp_path / "B" / "assets").symlink_to(built.guides[SENT] / "assets", target_is_directory=True)
    next_issue.write_text(real.replace('data-issue="A"', 'data-issue="B"'), encoding="utf-8")
    assert ticked(watched.goto(next_issue)) == []
    assert len(ticked(watched.goto(built.guides[SENT] / STEP))) == 1
