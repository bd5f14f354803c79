"""What is remembered from one job's pages gives another job's pages as the plain way gives them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from markupsafe import escape

from builder import making, pages
from builder.website import engine, guide_site
from builder.website.remembered import SIGN, Memory
from tests.website.invented import files_of

JOBS = Path(__file__).parents[2] / "jobs"
PAGE = """# The tube

Cut the tube of QR-0412 to **1,250 mm**, 15 mm over its foot.

## Do this {#do}

1. **Cut** at 1250 mm, see [the list](#check) and <span title="12 mm">this</span>.
1. **File** 2 &#60; 3 edges.

!!! call "Call at 12 mm"
    Give the reference QR-0412.

| Depth | mm |
|---|---|
| 3 | 0.5 |

## Check {#check}

<div markdown>

## Inside 4 {#inside}

Text 77.

</div>
<p>raw 5</p>
"""


@pytest.fixture(autouse=True)
def _nothing_remembered(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(engine, "_memories", {})
    monkeypatch.setattr(engine, "PARTS", tmp_path / "parts")


def built(tmp_path: Path, markdown: str, folder: str, **more: Any) -> tuple[dict[str, bytes], list[str]]:
    docs = tmp_path / "docs"
    docs.mkdir(exist_ok=True)
    (docs / "index.md").write_text(markdown, encoding="utf-8")
    given: dict[str, Any] = {"name": "T", "nav": [{"Start": "index.md"}], "job": {"line": "x"}}
    said = engine.run(docs, tmp_path / folder, **given | more)
    return files_of(tmp_path / folder), said


def parts() -> int:
    (memory,) = engine._memories.values()
    return len(memory.parts)


def test_other_numbers_and_names_fill_the_same_parts(tmp_path: Path) -> None:
    other = PAGE.replace("QR-0412", "AB-77 1").replace("1,250", "980").replace("77", "8").replace("0.5", "12")
    built(tmp_path, PAGE, "first", own=["QR-0412"], name="Quandong", job={"line": "QR-0412"})
    before = parts()
    given = {"own": ["AB-8 1"], "name": escape("Other & <more>"), "job": {"line": "AB"}}
    quick, _ = built(tmp_path, other, "quick", **given)
    plain, _ = built(tmp_path, other, "plain", quick=False, **given)
    assert quick == plain
    assert parts() == before == 8  # heading, line, heading, list, call, table, heading, the block of HTML


def test_another_word_makes_another_part(tmp_path: Path) -> None:
    built(tmp_path, PAGE, "first")
    built(tmp_path, PAGE.replace("File", "Sand"), "second")
    assert parts() == 9


@pytest.mark.parametrize(
    "markdown",
    [
        f"# A\n\nTyped {chr(0xE100)} and 12.\n",  # a sign of ours, typed by someone
        "# A\n\n## Same\n\n1\n\n## Same\n\n2\n",  # Markdown numbers the second
        "# A\n\n<div>\n## not a heading\n</div>\n\n## B\n\n12\n",
        "No heading 3\n",
        "## No first heading 4\n\ntext\n",
        "# A\n\n## Say 3 *times* {#say}\n\n~~5~~ __6__ _7_ `8` \\9 10\\. &#49; http://x.y/1 <b>2</b>\n",
    ],
)
def test_an_odd_page_is_as_the_plain_way_makes_it(tmp_path: Path, markdown: str) -> None:
    plain, _ = built(tmp_path, markdown, "plain", quick=False)
    for name in ("quick", "again"):
        quick, _ = built(tmp_path, markdown, name)
        assert quick == plain


def test_a_job_named_as_a_word_of_the_markup_changes_nothing(tmp_path: Path) -> None:
    plain, _ = built(tmp_path, PAGE, "plain", quick=False)
    quick, _ = built(tmp_path, PAGE, "quick", own=["call", "span", "markdown", "check", "title"])
    assert quick == plain


def test_a_broken_link_is_told_every_time(tmp_path: Path) -> None:
    page = "# A\n\n[there](nowhere.md) 12\n"
    for _ in range(2):
        _, said = built(tmp_path, page, "site")
        assert len(said) == 1
        assert "nowhere.md" in said[0]


def test_what_stands_on_disk_serves_the_next_process(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first, _ = built(tmp_path, PAGE, "first")
    monkeypatch.setattr(engine, "_memories", {})
    converted: list[str] = []
    monkeypatch.setattr("builder.website.remembered._converted", lambda *_: converted.append("x"))
    again, _ = built(tmp_path, PAGE, "again")
    assert again == first
    assert converted == []


def test_a_record_on_disk_that_cannot_be_read_is_made_anew(tmp_path: Path) -> None:
    kept = tmp_path / "kept.json"
    kept.write_text("{", encoding="utf-8")
    memory = Memory()
    memory.load(kept)
    assert memory.parts == {}


def test_two_demo_jobs_share_parts_and_keep_every_byte(tmp_path: Path) -> None:
    for name in ("mallee-lane", "quandong-rise"):
        guide = pages.render(making.results(JOBS / f"{name}.yml"))
        docs = tmp_path / name / "docs"
        docs.mkdir(parents=True)
        guide_site._write_pages(guide, docs)
        given = guide_site.given(guide)
        assert engine.run(docs, tmp_path / name / "quick", **given) == []
    shared = parts()
    assert engine.run(docs, tmp_path / name / "plain", quick=False, **given) == []
    assert files_of(tmp_path / name / "quick") == files_of(tmp_path / name / "plain")
    assert engine.run(docs, tmp_path / name / "third", **given) == []
    assert parts() == shared
    assert not any(SIGN.search(text.decode()) for text in files_of(tmp_path / name / "third").values())
