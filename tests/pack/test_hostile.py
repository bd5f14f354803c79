"""A published list of hostile strings, and our own, through every field a desk types text into.

Each is refused with one line, or stands in the guide as the characters typed: it makes no element, no
attribute and no script, and nothing is written outside the folder.
"""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import markdown
import pytest
from lxml import etree

from builder import checks, figures, job, levels, making, pages, website, yamlfile
from builder.catalogue import load
from builder.checks import Results
from builder.errors import InputFaults
from builder.pack import Order
from tests.pack.jobs import LINK, files_of
from tests.pack.stand_in import documents
from tests.website.invented import Drawing, guide_of

HERE = Path(__file__).parent / "hostile"
STRINGS: list[str] = list(
    dict.fromkeys(
        text
        for name in ("published", "own")
        for text in json.loads((HERE / f"{name}.json").read_text("utf-8"))
    )
)
TITLE, NOTES, LEDGE, PLACE, REASON, CHANGE = 80, 4000, 40, 80, 500, 300  # the most characters of each field
CATALOGUE = load()
LEDGES, CHANGES = 10, 50  # as many as this job has room for; as a spec may name
GROUPS = 10


def spec(**given: Any) -> dict[str, Any]:
    """Return a job's spec with the fields given, four stops in it."""
    return {
        "ref": "HS-1", "title": "Plain", "issue": "B", "issued": "2026-11-20", "link": LINK,
        "region": "au-nsw", "ground": {"soil": "sand", "groundwater": "4 m"},
        "shell": {
            "outline": {"length": "7.4 m", "width": "3.4 m", "corner_radius": "300 mm"},
            "floor": [["0 m", "1.15 m"], ["4.8 m", "1.7 m"], ["7.4 m", "1.7 m"]],
            "ledges": given.pop("ledges", []), "wall": "7 mm", "mass": "780 kg",
        },
        "levels": {"peg": {"above_rim": "500 mm", "where": given.pop("where", "gate post")}},
    } | given  # fmt: skip


def ledge(name: str, at: int = 0) -> dict[str, Any]:
    return {
        "name": name,
        "at": [f"{600 + 450 * at} mm", "0 m"],
        "size": ["300 mm", "300 mm"],
        "depth": "400 mm",
    }


def read(given: Mapping[str, Any]) -> job.Job:
    text = json.dumps(given, ensure_ascii=False)
    return job.of(yamlfile.parse(text.encode(), "hostile.yml"), "hostile.yml", CATALOGUE)


def plain(text: str) -> str:
    return " ".join(text.split())


def fields(text: str) -> dict[str, tuple[int, dict[str, Any]]]:
    """Return, for each field that text is typed into: the most it holds, and what to write there."""
    return {
        "title": (TITLE, {"title": text}),
        "notes": (NOTES, {"notes": text}),
        "ledge": (LEDGE, {"ledges": [ledge(text)]}),
        "where": (PLACE, {"where": text}),
        "reason": (REASON, {"accepted": [{"check": "dig.people", "by": "engineer", "reason": text}]}),
    }


def typed_in(read_job: job.Job) -> dict[str, str]:
    given = read_job.spec
    return {
        "title": given.title,
        "notes": given.notes,
        "ledge": next((one.name for one in given.shell.ledges), ""),
        "where": given.levels.peg.where,
        "reason": next((one.reason for one in given.accepted), ""),
    }


def refused(given: Mapping[str, Any]) -> list[str]:
    """Return the lines a spec is refused with; none where it is taken."""
    try:
        read(given)
    except InputFaults as faults:
        return str(faults).splitlines()
    return []


def test_there_are_at_least_five_hundred_strings() -> None:
    assert len(STRINGS) >= 500


def test_each_is_read_as_typed_in_every_field_that_has_room_for_it(chunks: list[list[str]]) -> None:
    for text in (text for texts in chunks for text in texts):
        room = {name: given for name, (most, given) in fields(text).items() if len(text.strip()) <= most}
        found = typed_in(
            read(spec(**{key: value for given in room.values() for key, value in given.items()}))
        )
        assert {found[name] for name in room} == {text.strip()}
        assert not any(unicodedata.bidirectional(sign) in DIRECTION for sign in text)
        assert not any(unicodedata.category(sign) == "Cc" for sign in text)


def test_each_other_is_refused_with_one_clear_line_a_cause(chunks: list[list[str]]) -> None:
    taken = {text for texts in chunks for text in texts}
    count = 0
    for text in STRINGS:
        for name, (most, given) in fields(text).items():
            if (text in taken and len(text.strip()) <= most) or (name == "notes" and sound(text)):
                continue
            if name == "notes" and not text.strip():
                continue
            lines = refused(spec(**given))
            causes = sum(unicodedata.category(sign)[0] in "CZ" for sign in text)
            assert 1 <= len(lines) <= max(1, causes), (name, text)
            for line in lines:
                assert line.startswith("hostile.yml:1:"), (text, line)
                assert line.isprintable(), (text, line)
                assert len(line) < 300, (text, line)
            count += 1
    assert count > 100


DIRECTION = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}


def sound(text: str) -> bool:
    """Whether a text has signs and none that may not stand in a spec."""
    try:
        yamlfile.parse(json.dumps({"notes": text}, ensure_ascii=False).encode(), "hostile.yml")
    except InputFaults:
        return False
    return bool(text.strip()) and len(text) <= NOTES


def one_line(text: str) -> bool:
    return "\n" not in text.strip()


@pytest.fixture(scope="module")
def chunks() -> list[list[str]]:
    """Return the strings the reader takes, in groups that fit into one note."""
    taken = [text for text in STRINGS if sound(text) and one_line(text)]
    return [taken[first::GROUPS] for first in range(GROUPS)]


def hostile_job(texts: list[str]) -> dict[str, Any]:
    """Return a spec that bears all of a group in its notes and changes, and what fits elsewhere."""
    short = [text for text in texts if len(text) <= LEDGE]
    return spec(
        title=short[0],
        where=short[1],
        notes="\n".join(texts),
        changed=[text for text in texts if len(text) <= CHANGE][:CHANGES],
        ledges=[ledge(text, at) for at, text in enumerate(short[2 : 2 + LEDGES])],
        accepted=[
            {"check": key, "by": by, "reason": why}
            for key, by, why in zip(STOPS, short[12:], texts[16:], strict=False)
        ],
    )


STOPS = [number.key for number in checks.work(levels.place(read(spec()))).stops]


def innocent(given: Any) -> Any:
    """Return the same spec with plain words for each text typed."""
    words = "Plain words"
    return given | {
        "title": words,
        "levels": {"peg": {"above_rim": "500 mm", "where": words}},
        "notes": "\n".join(words for line in given["notes"].split("\n")),
        "changed": [words] * len(given["changed"]),
        "shell": given["shell"] | {"ledges": [one | {"name": words} for one in given["shell"]["ledges"]]},
        "accepted": [one | {"by": words, "reason": words} for one in given["accepted"]],
    }


class AnyDrawing(dict[str, Drawing]):
    """A small drawing of any name."""

    def __contains__(self, name: object) -> bool:
        return True

    def __getitem__(self, name: str) -> Drawing:
        return Drawing(name)


def built(given: Mapping[str, Any], out: Path) -> Path:
    """Build a job's site, its drawings left out."""
    worked: Results = checks.work(levels.place(read(given)))
    papers = {"paper/true-size-a4.pdf": b"%PDF", "paper/true-size-a3.pdf": b"%PDF"}
    return website.build(pages.render(worked), AnyDrawing(), out, lambda: papers).parent


def elements(page: bytes) -> list[tuple[str, tuple[tuple[str, str], ...]]]:
    """Return every element with its attributes; a label that repeats the title counts by its name alone."""
    root = etree.fromstring(page, etree.HTMLParser(encoding="utf-8", huge_tree=True))
    return [
        (
            str(one.tag),
            tuple(
                (str(key), "" if key == "aria-label" else str(value)) for key, value in sorted(one.items())
            ),
        )
        for one in root.iter()
    ]


def text_of(page: Path) -> str:
    return text_in(page.read_bytes())


def text_in(page: bytes) -> str:
    root = etree.fromstring(page, etree.HTMLParser(encoding="utf-8", huge_tree=True))
    return plain("".join(str(piece) for piece in root.itertext()))


def test_whatever_is_typed_makes_the_elements_that_plain_words_make(
    tmp_path: Path, chunks: list[list[str]]
) -> None:
    assert sum(map(len, chunks)) > 500
    for at, texts in enumerate(chunks):
        given = hostile_job(texts)
        ours, other = built(given, tmp_path / f"{at}"), built(innocent(given), tmp_path / f"{at}-plain")
        names = files_of(ours).keys()
        assert names == files_of(other).keys()
        for name in names:
            if name.endswith(".html"):
                assert elements((ours / name).read_bytes()) == elements((other / name).read_bytes()), name
        home, peg, parts = (
            text_of(ours / name) for name in ("index.html", "steps/setout.html", "steps/receive.html")
        )
        for text in texts:
            assert plain(text) in home
        assert plain(given["title"]) in home
        assert plain(given["levels"]["peg"]["where"]) in peg
        for one in given["shell"]["ledges"]:
            assert plain(one["name"]) in parts
        words = (ours / "assets" / "words.js").read_text(encoding="utf-8")
        json.loads(words.removeprefix("var shellbedWords="))
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(
        name for at in range(len(chunks)) for name in (f"{at}", f"{at}-plain")
    )


@pytest.mark.parametrize(
    "why",
    ["<script>alert(1)</script>", "{{ 7919 * 13 }} **x** [y](z)", "&lt;b&gt; `code`", "=cmd|' /C calc'!A0"],
)
def test_a_reason_stands_beside_its_stop_as_typed(why: str) -> None:
    entries = [{"check": key, "by": "<i>x</i>", "reason": why} for key in STOPS]
    worked: Results = checks.work(levels.place(read(spec(accepted=entries))))
    home = pages.render(worked).pages[0].markdown
    shown = text_in(markdown.markdown(home, extensions=["extra", "admonition"]).encode())
    assert f"Who answers for it: <i>x</i>. {why[:1].upper()}{why[1:]}" in shown


def test_titles_stand_in_head_header_and_foot_as_typed(tmp_path: Path, chunks: list[list[str]]) -> None:
    drawn = {name: Drawing(name) for name in ("long-section", "plan")}
    plain_site = website.build(guide_of(title="Plain"), drawn, tmp_path / "plain").parent
    wanted = elements((plain_site / "index.html").read_bytes())
    titles = [title for texts in chunks for title in _joined(texts)]
    for title in titles:
        page = website.build(guide_of(title=title), drawn, tmp_path / "site")
        assert elements(page.read_bytes()) == wanted, title
        assert text_of(page).count(plain(title)) >= 3, title


def _joined(texts: list[str]) -> Iterator[str]:
    """Yield titles, each as long as a title may be, that hold all short texts of a group."""
    line = ""
    for text in (text for text in texts if len(text) <= TITLE):
        if line and len(line) + len(text) + 1 > TITLE:
            yield line
            line = ""
        line = f"{line} {text}" if line else text
    if line:
        yield line


def test_a_drawing_bears_the_names_of_ledges_as_text_alone(chunks: list[list[str]]) -> None:
    wanted: set[str] = set()
    for texts in chunks[:1] + chunks:
        given = hostile_job(texts) if wanted else innocent(hostile_job(texts))
        placed = levels.place(read(given))
        drawing = figures.draw("plan", placed, checks.work(placed))
        found = {str(one.tag) for one in etree.fromstring(drawing.svg.encode()).iter()}
        wanted = wanted or found
        assert found <= wanted


def test_a_pack_of_a_hostile_job_writes_under_its_link_and_its_reference_alone(tmp_path: Path) -> None:
    root = tmp_path / "root"
    root.mkdir()
    path = tmp_path / "job.yml"
    given = spec(
        title="../../../etc/passwd", where="C:\\Windows", notes="{{ 7919 * 13 }} </script>",
        accepted=[{"check": key, "by": "../x", "reason": "/etc/passwd"} for key in STOPS],
    )  # fmt: skip
    path.write_text(json.dumps(given), encoding="utf-8")
    made = making.pack(Order(making.results(path), root / "send", root / "issued"), documents)
    assert made.done == "packed"
    assert {path.name for path in tmp_path.iterdir()} == {"root", "job.yml"}
    assert {path.relative_to(root).parts[:2] for path in root.rglob("*") if path.is_file()} == {
        ("send", LINK),
        ("issued", "HS-1"),
    }
    assert b"102947" not in b"".join(
        content for name, content in files_of(made.folder).items() if name.endswith((".html", ".js", ".json"))
    )
