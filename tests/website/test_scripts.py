"""The guide's scripts, run without a browser, beside what Python says."""

import json
from pathlib import Path
from typing import Any

import pytest
import quickjs

from builder import making
from builder.pages.lookup import answer, look_up_table
from builder.pages.words import Words
from builder.website.look import SCRIPTS, THEME, script, stylesheet
from builder.website.words import index
from tests.pages.reading import JOBS
from tests.website.readings import NOT_READINGS, READINGS


def engine(*names: str) -> quickjs.Context:
    context = quickjs.Context()
    for name in names:
        context.eval((THEME / "scripts" / f"{name}.js").read_text(encoding="utf-8"))
    return context


def called(context: quickjs.Context, function: str, *given: Any) -> Any:
    words = ", ".join(json.dumps(one) for one in given)
    return json.loads(context.eval(f"JSON.stringify({function}({words}))"))


@pytest.fixture(scope="module")
def table() -> dict[str, Any]:
    made = look_up_table(making.results(JOBS / "quandong-rise.yml"), Words(feet=False), one_mark=False)
    assert made is not None
    return made | {"units": ["mm", "m", "in"]}


@pytest.fixture(scope="module")
def dips() -> quickjs.Context:
    return engine("dip")


def told(context: quickjs.Context, table: dict[str, Any], reading: tuple[str, ...]) -> dict[str, Any]:
    return called(context, "shellbedDip.answer", table, *reading)


@pytest.mark.parametrize("reading", READINGS, ids=" ".join)
def test_page_and_python_say_the_same_of_a_reading(
    dips: quickjs.Context, table: dict[str, Any], reading: tuple[str, str, str, str]
) -> None:
    expected = answer(table, *reading)
    assert expected.kind != "refused"
    assert told(dips, table, reading) == vars(expected)


@pytest.mark.parametrize("reading", NOT_READINGS, ids=repr)
def test_page_and_python_refuse_the_same_in_the_same_words(
    dips: quickjs.Context, table: dict[str, Any], reading: tuple[str, str, str, str]
) -> None:
    expected = answer(table, *reading)
    assert (expected.kind, expected.row) == ("refused", None)
    assert expected.say.endswith((".", "”."))
    assert told(dips, table, reading) == vars(expected)


def test_there_are_as_many_readings_as_are_asked_for() -> None:
    assert len(set(READINGS)) >= 50
    assert len(set(NOT_READINGS)) >= 20


@pytest.mark.parametrize("spec", sorted(JOBS.glob("*.yml")), ids=lambda path: path.stem)
def test_page_and_python_agree_on_every_demo_job(dips: quickjs.Context, spec: Path) -> None:
    results = making.results(spec)
    made = look_up_table(results, Words(feet=results.job.region.units == "us"), one_mark=False)
    assert made is not None
    for dip in range(0, 2400, 53):
        for pool in range(0, 1800, 211):
            reading = ("mark", "mm", str(dip), str(pool))
            assert told(dips, made, reading) == vars(answer(made, *reading))


def test_every_kind_of_answer_comes_up_among_the_readings(table: dict[str, Any]) -> None:
    kinds = {answer(table, *reading).kind for reading in READINGS}
    assert kinds == {"holds", "watch", "raise", "stop", "above"}  # this job's table stops before its act line
    higher = table | {"rows": [row | {"lowest": 120} for row in table["rows"]]}
    assert answer(higher, "mark", "mm", "220", "120").kind == "act"


# ticks


def test_a_tick_belongs_to_its_page_and_to_its_words() -> None:
    context = engine("ticks")
    one = called(context, "shellbedTicks.name", "steps/dig.md", "Dig to 1,730 mm.")
    assert one == called(context, "shellbedTicks.name", "steps/dig.md", " Dig  to 1,730 mm. ")
    assert one != called(context, "shellbedTicks.name", "steps/dig.md", "Dig to 1,735 mm.")
    assert one != called(context, "shellbedTicks.name", "steps/set.md", "Dig to 1,730 mm.")


def test_ticks_are_kept_cleared_and_kept_apart_by_job_and_issue() -> None:
    context = engine("ticks")
    context.eval(
        """
        const box = { kept: {}, getItem(k) { return this.kept[k] ?? null },
          setItem(k, v) { this.kept[k] = v }, removeItem(k) { delete this.kept[k] } }
        const a = shellbedTicks.store("shellbed:QR-0412:A", box)
        a.set("x", { kind: "hold", when: "2026-11-25 07:00", page: "Dig", words: "base firm" })
        """
    )
    assert context.eval('shellbedTicks.store("shellbed:QR-0412:A", box).has("x")') is True
    assert context.eval('shellbedTicks.store("shellbed:QR-0412:B", box).has("x")') is False
    context.eval("a.clear()")
    assert context.eval("Object.keys(box.kept).length") == 0


@pytest.mark.parametrize(
    "storage",
    [
        "null",
        "{ getItem() { throw Error('denied') }, setItem() { throw Error('denied') }, removeItem() {} }",
        "{ getItem() { return '[1' }, setItem() { throw Error('full') }, removeItem() {} }",
        "{ getItem() { return '[]' }, setItem() {}, removeItem() {} }",
    ],
)
def test_where_storage_is_denied_full_or_not_ours_ticks_work_on_the_page(storage: str) -> None:
    context = engine("ticks")
    context.eval(f'const s = shellbedTicks.store("p", {storage}); s.set("x", {{}})')
    assert context.eval('s.has("x")') is True


def test_the_summary_names_hold_points_first_in_the_order_they_were_passed() -> None:
    def tick(kind: str, when: str, words: str) -> dict[str, str]:
        return {"kind": kind, "when": when, "page": "Dig", "words": words}

    ticks = {
        "a": tick("do", "2026-11-25 07:05", "Set out."),
        "b": tick("hold", "2026-11-25 16:00", "base firm"),
        "c": tick("hold", "2026-11-25 08:00", "square"),
    }
    assert called(engine("ticks"), "shellbedTicks.summary", "QR-0412 issue A", ticks).split("\n") == [
        "QR-0412 issue A: ticked on this device. Not a signed record.",
        "",
        "Hold points:",
        "- 2026-11-25 08:00 Dig: square",
        "- 2026-11-25 16:00 Dig: base firm",
        "",
        "Work:",
        "- 2026-11-25 07:05 Dig: Set out.",
    ]


# search

PAGES = (
    ("water/rises.html", "When the water rises", """<main id="_main"><p class="where">Water</p>
        <h1 id="t">When the water rises<a class="headerlink" href="#t">#</a></h1>
        <p class="words" hidden>pool popping up after rain</p><p>Keep the water in.</p>
        <h2 id="do">Do this</h2><p>Pump the <b>tube</b>,<br>gently &amp; slowly.</p>
        <div data-search-exclude><div>secret</div> words</div><p>After.</p>
        <h2 id="from">Where the numbers come from</h2><p>everywhere</p>
        <nav class="onward no-print">"""),
    ("steps/dig.html", "Dig", """<main id="_main"><h1>Dig</h1><p>Dig in the rain or not.</p>
        <h2 id="call">Stop and call</h2><svg><text>drawn</text></svg><p>Water stands in the base.</p>
        <nav class="onward no-print">"""),
)  # fmt: skip


def words_of(text: str) -> Any:
    return json.loads(text.removeprefix("var shellbedWords=").rstrip())


def test_the_index_holds_what_pages_say_heading_by_heading_and_nothing_else() -> None:
    assert words_of(index(PAGES)) == [
        [
            ["water/rises.html", "When the water rises", "pool popping up after rain"],
            ["steps/dig.html", "Dig"],
        ],
        [
            [0, "", "When the water rises", "Keep the water in."],
            [0, "do", "Do this", "Pump the tube, gently & slowly. After."],
            [1, "", "Dig", "Dig in the rain or not."],
            [1, "call", "Stop and call", "Water stands in the base."],
        ],
    ]


@pytest.mark.parametrize(
    ("asked", "first"),
    [
        ("my pool popped up!", "water/rises.html"),
        ("is it rising", "water/rises.html"),
        ("pumps", "water/rises.html#do"),
        ("digging", "steps/dig.html"),
        ("in the base", "steps/dig.html#call"),
    ],
)
def test_the_words_of_an_asker_find_the_place(asked: str, first: str) -> None:
    context = engine("search")
    context.eval(index(PAGES))
    found = called(
        context,
        "((words, q) => shellbedSearch.look(shellbedSearch.prepare(words), q))",
        words_of(index(PAGES)),
        asked,
    )
    assert found[0]["address"] == first


@pytest.mark.parametrize("asked", ["", "   ", "?!", "zebrawood", "secret", "drawn", "everywhere"])
def test_nothing_is_found_where_nothing_is_said(asked: str) -> None:
    found = called(
        engine("search"),
        "((words, q) => shellbedSearch.look(shellbedSearch.prepare(words), q))",
        words_of(index(PAGES)),
        asked,
    )
    assert found == []


# what is put together


def test_the_whole_script_runs_without_a_page_and_asks_for_nothing_outside() -> None:
    quickjs.Context().eval(script())
    for word in (
        "fetch(",
        "XMLHttpRequest",
        "http://",
        "https://",
        "WebSocket",
        "sendBeacon",
        "innerHTML",
        "eval(",
    ):
        assert word not in script()
    assert len(SCRIPTS) == len(list((THEME / "scripts").glob("*.js")))


def test_what_holds_for_a_page_set_dark_holds_for_a_dark_device() -> None:
    css = stylesheet()
    dark = css.split(':root[data-look="dark"]')
    assert len(dark) == 3, "the drawings' roles, and the page's own"
    for block in dark[1:]:
        rules, _, after = block.partition("}")
        assert after.lstrip().startswith("@media screen and (prefers-color-scheme:dark)")
        assert after.count(rules) == 1
