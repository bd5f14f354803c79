"""Typing readings into a page's calculator, and what Python says of the same readings."""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from lxml import html

from builder import making
from builder.pages.lookup import answer, look_up_table
from builder.pages.words import Words

Reading = tuple[str, str, str, str]
"""A mark, a unit, a dip and a pool level as typed."""
TOLD = """(() => {
  const out = document.getElementById("dip-answer")
  const parts = [...out.children].map(one => one.textContent)
  return [out.className.replace("said", "").trim(), ...parts].join(" | ")
})()"""


def table_of(job: Path) -> dict[str, Any]:
    """Return the table that the page of a job must hold, worked anew."""
    results = making.results(job)
    found = look_up_table(results, Words(feet=results.job.region.units == "us"), one_mark=False)
    assert found is not None
    return found


def table_in(page: Path) -> dict[str, Any]:
    """Return the table that stands in a built page."""
    (data,) = html.parse(str(page)).xpath("//script[@id='dip-data']")
    return dict(json.loads(data.text))


def expected(table: dict[str, Any], reading: Reading) -> str:
    """Return what the page must say of a reading, from builder/pages/lookup.py."""
    found = answer(table, *reading)
    said = [found.kind, table["words"][found.kind], found.say]
    if found.row is not None:
        said.append(table["say"]["used"].format(dip=table["rows"][found.row][f"{reading[0]}_words"]))
    return " | ".join(said)


def typed(page: Any, reading: Reading) -> str:
    """Type a reading into an open page as a person does, ask, and return what the page says."""
    mark, unit, dip, pool = reading
    for name, value in (("mark", mark), ("unit", unit)):
        choice = page.locator(f"#dip-form [name={name}][value={value}]")
        if choice.get_attribute("type") == "radio" and not choice.is_checked():
            choice.check()
    for name, text in (("dip", dip), ("pool", pool)):
        page.locator(f"#dip-form [name={name}]").fill("")
        page.keyboard.type(text)
    page.keyboard.press("Enter")
    return str(page.evaluate(TOLD))


def differences(page: Any, table: dict[str, Any], readings: Iterable[Reading]) -> list[str]:
    """Return each reading of which the page says something else than Python does."""
    out = []
    for reading in readings:
        said, must = typed(page, reading), expected(table, reading)
        if said != must:
            out.append(f"{reading}: the page says {said!r}, and must say {must!r}")
    return out
