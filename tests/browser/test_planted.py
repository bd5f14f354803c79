"""Faults planted in copies of the built pages: each check of these tests finds its own."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.browser import looks
from tests.browser.calculator import differences, table_of
from tests.browser.sites import JOBS, SENT, Built
from tests.browser.test_html import errors_in
from tests.browser.watched import Watched

Plant = Callable[..., Path]
POLICY = re.compile(r'<meta http-equiv="Content-Security-Policy"[^>]*>')


@pytest.fixture
def plant(built: Built, tmp_path: Path) -> Plant:
    """Copy a page with its script and stylesheet, one text in it replaced by another."""

    def planted(name: str, old: str | re.Pattern[str], new: str, policy: bool = True) -> Path:
        text = (built.guides[SENT] / name).read_text(encoding="utf-8")
        changed = (
            old.sub(lambda _: new, text, count=1)
            if isinstance(old, re.Pattern)
            else text.replace(old, new, 1)
        )
        assert changed != text
        path = tmp_path / "guide" / name
        path.parent.mkdir(parents=True)
        shutil.copytree(built.guides[SENT] / "assets", tmp_path / "guide" / "assets")
        path.write_text(changed if policy else POLICY.sub("", changed), encoding="utf-8")
        return path

    return planted


@pytest.mark.parametrize(
    ("markup", "policy", "told"),
    [
        ('<script src="assets/bad.js"></script>', True, "script: nowhere is not defined"),
        ('<script>document.title = "x"</script>', True, "script-src"),
        ('<p style="color:red">x</p>', True, "style-src"),
        ('<img src="https://pictures.invalid/a.png" alt="">', True, "img-src"),
        (
            '<img src="https://pictures.invalid/a.png" alt="">',
            False,
            "asks outside: https://pictures.invalid/a.png",
        ),
        ('<script src="assets/missing.js"></script>', True, "did not load"),
    ],
    ids=[
        "script error",
        "script in the page",
        "style in the page",
        "outside image, held",
        "outside image",
        "missing",
    ],
)
def test_what_a_page_does_wrong_is_written_down(
    markup: str, policy: bool, told: str, plant: Plant, opened: Callable[..., Watched]
) -> None:
    page = plant("index.html", "</footer>", f"</footer>{markup}", policy)
    (page.parent / "assets" / "bad.js").write_text("nowhere()")
    watched = opened(planted=True)
    watched.goto(page).wait_for_timeout(100)
    assert any(told in fault for fault in watched.faults), watched.faults


def test_a_table_wider_than_the_phone_is_found(plant: Plant, opened: Callable[..., Watched]) -> None:
    row = "<tr>" + "<td>a-long-word-that-cannot-break</td>".replace("-", "") * 9 + "</tr>"
    page = opened().goto(plant("index.html", "</main>", f"<table>{row}</table></main>"))
    assert any("abreak" in one or "on 390" in one for one in looks.too_wide(page, 390))


def test_letters_too_small_for_a_phone_are_found(plant: Plant, opened: Callable[..., Watched]) -> None:
    page = opened().goto(plant("steps/pocket.html", re.compile(r"(?<=<text )"), 'transform="scale(.6)" '))
    assert looks.small_letters(page)


@pytest.mark.parametrize(
    ("markup", "rule"),
    [
        ('<p><input type="text"></p>', "label"),
        ("<button></button>", "button-name"),
        ('<p class="faint">hard to read</p>', "color-contrast"),
    ],
    ids=["no label", "no name", "no contrast"],
)
def test_a_broken_rule_of_accessibility_is_found(
    markup: str, rule: str, plant: Plant, opened: Callable[..., Watched]
) -> None:
    path = plant("lists/tools.html", "</h1>", f"</h1>{markup}")
    with (path.parents[1] / "assets" / "guide.css").open("a") as css:
        css.write("@media (prefers-color-scheme:dark){.faint{color:#444}}")
    faults = looks.rules_broken(opened(bypass_csp=True).goto(path))
    assert [one for one in faults if f"{rule}: " in one], faults
    if rule == "color-contrast":
        assert all(one.startswith("dark: ") for one in faults)


def test_a_calculator_whose_table_is_wrong_is_found(plant: Plant, opened: Callable[..., Watched]) -> None:
    table = table_of(JOBS[SENT])
    row = next(row for row in table["rows"] if row["mark"] == 900)
    page = plant("water/read.html", f'"lowest":{row["lowest"]}', f'"lowest":{row["lowest"] + 50}')
    reading = ("mark", "mm", "900", str(row["lowest"] + 20))  # may not stand so low, and is told it may
    assert differences(opened().goto(page), table, [reading])


def test_a_comma_that_is_dropped_is_found(plant: Plant, opened: Callable[..., Watched]) -> None:
    page = plant("water/read.html", 'type="text" name="dip"', 'type="number" name="dip"')
    assert differences(opened().goto(page), table_of(JOBS[SENT]), [("mark", "mm", "0,5", "120")])


def test_a_control_that_tab_passes_by_and_one_without_focus_are_found(
    plant: Plant, opened: Callable[..., Watched]
) -> None:
    path = plant(
        "lists/tools.html",
        "</h1>",
        '</h1><a href="#_main" tabindex="-1">passed by</a><a class="dull" href="#_main">dull</a>',
    )
    with (path.parents[1] / "assets" / "guide.css").open("a") as css:
        css.write(".dull:focus-visible{outline:none}")
    faults = looks.wrong_by_keyboard(opened().goto(path))
    assert "cannot be reached: a passed by" in faults
    assert "shows no focus: a dull" in faults


@pytest.mark.parametrize(
    ("rule", "told"),
    [
        (".admonition{display:none}", "not on paper"),
        (".bar{display:flex !important}", "no use on paper: nav bar"),
    ],
    ids=["caution", "bar"],
)
def test_what_is_wrong_on_paper_is_found(
    rule: str, told: str, plant: Plant, opened: Callable[..., Watched]
) -> None:
    path = plant("steps/pocket.html", "</h1>", "</h1><p></p>")
    css = path.parents[1] / "assets" / "guide.css"
    css.write_text(css.read_text() + f"@media print{{{rule}}}")
    faults = looks.wrong_on_paper(opened().goto(path))
    assert [one for one in faults if one.startswith(told)], faults


def test_what_only_a_script_shows_is_found(plant: Plant, opened: Callable[..., Watched]) -> None:
    path = plant("steps/pocket.html", "</h1>", "</h1><p hidden>only with a script</p>")
    faults = looks.not_shown(opened(java_script_enabled=False).goto(path))
    assert faults == ["not shown: p only with a script"]


def test_html_that_is_not_sound_is_found(plant: Plant) -> None:
    errors = errors_in(plant("index.html", "</h1>", '</h1><p id="twice"></p><p id="twice"><div></div></p>'))
    assert any("Duplicate ID" in one for one in errors), errors
