"""The search over all jobs and the one over questions, run without a browser."""

from __future__ import annotations

import json
from typing import Any

import pytest
import quickjs

from builder.desk.page import TEMPLATES
from builder.desk.questions import of_content
from builder.website.look import THEME
from tests.desk.jobs import RandomDesk, rows_of

JOBS = [
    ["QR-0412", "Quandong Rise", "Tern 74", "New South Wales", "A", "25 November 2026", [["watch", 3]], False,
     "6k3v" + "a" * 22],
    ["QR-4120", "Sea Vale", "Tern 74", "Victoria", "", "", [["stop", 2], ["cannot tell", 1]], False, ""],
    ["ML-0533", "Côte d’Or", "Heron 82", "South Australia", "C", "1 May 2026", [["ok", 0]], True, "b" * 26],
]  # fmt: skip


@pytest.fixture(scope="module")
def page() -> quickjs.Context:
    context = quickjs.Context()
    context.eval((THEME / "scripts" / "search.js").read_text(encoding="utf-8"))
    for name in ("find", "copy"):
        context.eval((TEMPLATES / f"{name}.js").read_text(encoding="utf-8"))
    return context


def found(page: quickjs.Context, jobs: list[Any], query: str) -> list[str]:
    page.set("jobs", json.dumps(jobs))
    page.set("query", query)
    text = (
        "JSON.stringify(shellbedFind.look(shellbedFind.prepare(JSON.parse(jobs)), query).map(row => row[0]))"
    )
    return list(json.loads(page.eval(text)))


@pytest.mark.parametrize("typed", ["QR-0412", "qr412", "qr 0412", "Qr_0412", " qr-412 ", "QR0412"])
def test_a_reference_is_found_whatever_case_dash_and_noughts(page: quickjs.Context, typed: str) -> None:
    assert found(page, JOBS, typed)[0] == "QR-0412"


@pytest.mark.parametrize(
    ("typed", "refs"),
    [
        ("412", ["QR-0412", "QR-4120"]),
        ("rise", ["QR-0412"]),
        ("quand", ["QR-0412"]),
        ("tern victoria", ["QR-4120"]),
        ("stop", ["QR-4120"]),
        ("cannot tell", ["QR-4120"]),
        ("ok", ["ML-0533"]),
        ("cote dor", ["ML-0533"]),
        ("not sent", ["QR-4120"]),
        ("would differ", ["ML-0533"]),
        ("issue c", ["ML-0533"]),
        ("6k3vaaaaaa", ["QR-0412"]),
        ("tern rise", ["QR-0412"]),
        ("zebra", []),
        ("", []),
        ("?!", []),
    ],
)
def test_a_job_is_found_by_what_it_is_called_or_what_it_says(
    page: quickjs.Context, typed: str, refs: list[str]
) -> None:
    assert found(page, JOBS, typed) == refs


def test_every_random_job_is_found_first_by_its_reference_typed_in_small_letters(
    page: quickjs.Context, thirty: RandomDesk
) -> None:
    rows = rows_of(thirty.desk)
    assert [row[0] for row in rows] == sorted(thirty.refs)
    for ref in thirty.refs:
        assert found(page, rows, ref.lower().replace("-", ""))[0] == ref


def best(page: quickjs.Context, query: str) -> list[str]:
    page.set("all", json.dumps([[one.title, one.asked, ""] for one in of_content()]))
    page.set("query", query)
    places = json.loads(page.eval("JSON.stringify(shellbedAsk.look(JSON.parse(all), query))"))
    return [of_content()[at].id for at in places]


@pytest.mark.parametrize(
    ("words", "question"),
    [
        ("the plug is weeping", "q-valve-weeps"),
        ("drain plug drips", "q-valve-weeps"),
        ("how heavy is it", "q-how-heavy"),
        ("driver dug too deep", "q-too-deep"),
        ("can i stand in the hole", "q-stand-in-hole"),
        ("hit rock", "q-rock"),
        ("crossed the thread", "q-crossed-thread"),
        ("can i empty the pool to paint it", "q-empty"),
        ("where do i cut the pipe", "q-cut-length"),
        ("can i pump the standpipe", "q-how-fast-pump"),
        ("pool popped up after the storm", "q-floated"),
        ("neighbour yard is wet since we pump", "q-neighbours"),
    ],
)
def test_a_callers_words_find_the_question_among_the_first_three(
    page: quickjs.Context, words: str, question: str
) -> None:
    assert question in best(page, words)[:3]


def test_no_script_of_the_desk_asks_for_anything_outside() -> None:
    for path in TEMPLATES.glob("*.js"):
        text = path.read_text(encoding="utf-8")
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
            assert word not in text, path.name
