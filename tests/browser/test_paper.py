"""The pages a browser prints: cautions and numbers are on the sheet, what works only on a screen is not."""

from __future__ import annotations

import io
from collections.abc import Callable

import pytest
from pypdf import PdfReader

from builder import making
from tests.browser.sites import JOBS, SENT, Built
from tests.browser.watched import Watched


@pytest.mark.parametrize("name", ["steps/standpipe.html", "water/rises.html"])
def test_a_printed_page_holds_its_cautions_numbers_and_job(
    name: str, built: Built, opened: Callable[..., Watched]
) -> None:
    page = opened().goto(built.guides[SENT] / name)
    if page.locator(".tick").count():
        page.locator(".tick").first.click()  # a tick on this device is no mark on the sheet
    cautions = page.locator(".admonition:is(.danger, .warning, .caution) .admonition-title").all_inner_texts()
    numbers = page.locator("dl.numbers b").all_inner_texts()
    actions = page.locator(".actions > ol > li").all_inner_texts()
    sheets = PdfReader(io.BytesIO(page.pdf(format="A4"))).pages
    text = "".join("".join(sheet.extract_text() for sheet in sheets).split())
    for words in [*cautions, *numbers, *actions]:
        assert "".join(words.split()) in text, words
    assert cautions
    assert actions
    assert making.results(JOBS[SENT]).job.spec.ref in text
    for chrome in ("Search", "Contents", "Darkpage", "Waterisrising"):
        assert chrome not in text.replace("".join(page.locator("main").inner_text().split()), "")
