"""The desk on disk: what was sent, what is today, kept apart, the same bytes, whole after a failure."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest

from builder import tasks
from builder.desk import refuse, site
from builder.errors import CannotWrite
from builder.website.finish import REFUSED
from tests.desk.jobs import RandomDesk, boxes_of, build, job_and_pack, rows_of, text_of
from tests.pack.jobs import LINK, files_of, write

HOSTILE = "<b>x</b> {{ 7*7 }} & \\\"' </script><script>alert(1)</script> {% raw %} [a](b)"


@pytest.fixture
def sent(tmp_path: Path, quick: None) -> Path:
    """Return a root with a job that went out in two issues, one in one issue, and one that never did."""
    job_and_pack(tmp_path)
    job_and_pack(
        tmp_path,
        issue="B",
        day="25",
        soil="silty-sand",
        water="1.5 m",
        more="changed: The soil was looked at again.\n",
    )
    job_and_pack(tmp_path, ref="PK-2", link="c" * 26, title="Second")
    write(tmp_path / "jobs", "PK-3.yml", ref="PK-3", title="Third", link="d" * 26)
    return tmp_path


def page(root: Path, ref: str, name: str = "index.html") -> str:
    return (root / "desk" / "job" / ref / name).read_text(encoding="utf-8")


# what was sent, and what is today


def test_a_page_shows_what_was_sent_and_not_what_the_spec_says_now(sent: Path) -> None:
    spec = sent / "jobs" / "PK-2.yml"
    before = json.loads((sent / "issued" / "PK-2" / "A" / "numbers.json").read_text())
    spec.write_text(spec.read_text().replace("groundwater: 4 m", "groundwater: 1 m"), encoding="utf-8")
    assert build(sent) == 0
    shown = page(sent, "PK-2")
    assert boxes_of(shown)["lifts"][0]["stops"]["mark"]["mm"] / 1000 == pytest.approx(
        before["fill.stages"]["value"]["rows"][0][11], abs=0.006
    )
    assert "issue A, sent 20 November 2026" in shown
    assert "Today's numbers would differ" in text_of(shown)
    assert "The spec was changed since it was sent." in shown
    assert next(row for row in rows_of(sent / "desk") if row[0] == "PK-2")[7] is True


def test_an_unchanged_job_says_that_nothing_moved(sent: Path) -> None:
    assert build(sent) == 0
    assert "No number moved that a reader sees." in page(sent, "PK-2")
    assert "would differ" not in page(sent, "PK-2")


def test_a_job_that_was_never_issued_says_so_and_gives_no_link(sent: Path) -> None:
    assert build(sent) == 0
    shown = page(sent, "PK-3")
    assert "Never issued" in shown
    assert "not what was sent" in shown
    assert "data-copy" not in shown
    assert "All numbers of today" in shown


def test_an_old_issue_is_reached_and_says_what_took_its_place(sent: Path) -> None:
    assert build(sent) == 0
    newest, old = page(sent, "PK-1"), page(sent, "PK-1", "A.html")
    assert '<a href="A.html">issue A, 20 November 2026</a>' in newest
    assert "Issue B took its place" in old
    assert 'href="index.html">issue B</a>' in old


def test_what_changed_from_issue_to_issue_comes_with_the_stop_lines_first(sent: Path) -> None:
    assert build(sent) == 0
    shown = page(sent, "PK-1")
    since = shown[shown.index('<h2 id="since">') :]
    assert "From issue A to issue B" in since
    assert "The soil was looked at again." in since
    assert since.index("Lines to stop at") < since.index("other number")


def test_a_job_whose_spec_is_gone_is_shown_as_it_was_sent(sent: Path) -> None:
    (sent / "jobs" / "PK-2.yml").unlink()
    assert build(sent) == 0
    shown = page(sent, "PK-2")
    assert "no longer in the folder of jobs" in shown
    assert "issue A, sent" in shown


def test_a_broken_spec_is_told_and_its_job_is_shown_as_it_was_sent(
    sent: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spec = sent / "jobs" / "PK-2.yml"
    spec.write_text(spec.read_text().replace("shell: tern-74", "shell: nothing"), encoding="utf-8")
    assert build(sent) == 2
    assert "PK-2.yml:7:8: shell" in capsys.readouterr().err
    shown = page(sent, "PK-2")
    assert "Today's numbers can't be worked" in text_of(shown)
    assert "issue A, sent" in shown
    assert len(rows_of(sent / "desk")) == 3


def test_one_bad_spec_stops_no_other(sent: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (sent / "jobs" / "PK-9.yml").write_text("ref: PK-9\ntitle: [", encoding="utf-8")
    assert build(sent) == 2
    assert "PK-9.yml" in capsys.readouterr().err
    assert [row[0] for row in rows_of(sent / "desk")] == ["PK-1", "PK-2", "PK-3"]


def test_a_damaged_record_is_one_line_with_what_to_do(sent: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (sent / "issued" / "PK-2" / "A" / "rows.json").write_text("[", encoding="utf-8")
    assert build(sent) == 2
    assert "Put it back from your backup of the records." in capsys.readouterr().err


def test_today_is_held_against_what_was_sent_when_only_the_catalogue_moved(
    sent: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from dataclasses import replace

    from builder.catalogue import load
    from builder.yamlfile import Text

    catalogue = load()
    row = catalogue.shells["tern-74"]
    entries = {**row.spec.entries, "mass": Text("500 kg", 1, 1)}
    lighter = {**catalogue.shells, "tern-74": replace(row, spec=replace(row.spec, entries=entries))}
    monkeypatch.setitem(catalogue.__dict__, "shells", lighter)
    monkeypatch.setattr(tasks, "catalogue", lambda: catalogue)
    assert build(sent) == 0
    shown = page(sent, "PK-2")
    assert "to stop at" in shown
    assert "The spec was changed since" not in shown


# links


def test_questions_copy_the_guides_own_address_where_it_was_packed_with_one(
    tmp_path: Path, quick: None
) -> None:
    from builder import making
    from tests.pack.jobs import order
    from tests.pack.stand_in import documents

    (tmp_path / "jobs").mkdir()
    spec = write(tmp_path / "jobs", "PK-1.yml")
    making.pack(order(tmp_path, spec, base_url="https://guides.example/send"), documents)
    assert build(tmp_path) == 0
    shown = page(tmp_path, "PK-1")
    address = f"https://guides.example/send/{LINK}/A/guide/questions.html#q-how-heavy"
    assert f'data-copy="{address}"' in shown


def test_without_an_address_the_place_in_what_is_sent_is_named(sent: Path) -> None:
    assert build(sent) == 0
    assert f'data-copy="{LINK}/B/guide/questions.html#q-how-heavy"' in page(sent, "PK-1")
    assert f'data-copy="{LINK}/A/guide/questions.html#q-how-heavy"' in page(sent, "PK-1", "A.html")


def test_every_question_of_the_guide_stands_on_the_page_once_with_its_own_number(sent: Path) -> None:
    assert build(sent) == 0
    shown = page(sent, "PK-2")
    kept = json.loads((sent / "issued" / "PK-2" / "A" / "rows.json").read_text())["questions"]
    assert re.findall(r'<details class="question" id="([^"]+)"', shown) == kept
    assert len(kept) >= 60
    heavy = text_of(shown[shown.index('id="q-how-heavy"') : shown.index('id="q-what-to-order"')])
    assert re.search(r"tell the crane firm [\d,]+.kg", heavy)


def test_what_to_read_out_is_left_out_where_numbers_moved_and_the_guide_is_not_here(sent: Path) -> None:
    spec = sent / "jobs" / "PK-2.yml"
    spec.write_text(spec.read_text().replace("groundwater: 4 m", "groundwater: 1 m"), encoding="utf-8")
    assert build(sent) == 0
    assert "stands in the guide that was sent" in text_of(page(sent, "PK-2"))
    assert "tell the crane firm" not in page(sent, "PK-2")


def test_a_sent_guide_counts_only_where_its_sum_is_the_recorded_one(packed: Path, tmp_path: Path) -> None:
    from builder.desk.questions import sent_points
    from builder.pack.record import records

    root = tmp_path / "root"
    shutil.copytree(packed, root)
    record = next(records(root / "issued", "PK-1"))
    points = sent_points(record, root / "send")
    assert points is not None
    assert [label for label, _ in points["q-how-heavy"][1]] == ["Read out", "Ask back", "Stop the call"]
    questions = root / "send" / LINK / "A" / "guide" / "questions.html"
    questions.write_text(questions.read_text().replace("crane firm", "crane firms"), encoding="utf-8")
    assert sent_points(record, root / "send") is None


def test_a_sent_guide_and_todays_say_the_same_where_nothing_moved(packed: Path) -> None:
    from builder import making
    from builder.desk.questions import sent_points, todays_points
    from builder.pack.record import records

    record = next(records(packed / "issued", "PK-1"))
    assert sent_points(record, packed / "send") == todays_points(making.results(packed / "job.yml"))


# kept apart


@pytest.mark.parametrize(
    ("out", "where"),
    [
        ("send/desk", "inside"),
        ("send", "on"),
        (".", "around"),
        ("issued/PK-1", "inside"),
        ("jobs/desk", "inside"),
        ("jobs/../send/x/y", "inside"),
    ],
)
def test_a_desk_in_around_or_on_what_is_not_its_own_is_refused_in_one_line(
    sent: Path, out: str, where: str, capsys: pytest.CaptureFixture[str]
) -> None:
    before = files_of(sent)
    code = tasks.desk(sent / "jobs", sent / "issued", sent / "send", sent / out, 1)
    assert code == 3
    told = capsys.readouterr().err
    assert told.count("\n") == 1
    assert f"it would stand {where}" in told
    assert files_of(sent) == before


def test_what_is_sent_is_known_by_its_links_wherever_it_stands(tmp_path: Path) -> None:
    (tmp_path / "elsewhere" / LINK / "A").mkdir(parents=True)
    for out in (tmp_path / "elsewhere" / "desk", tmp_path / "elsewhere" / LINK / "A" / "desk"):
        with pytest.raises(CannotWrite, match="holds what is sent"):
            refuse(out, {})


def test_a_link_on_disk_does_not_hide_where_a_desk_would_stand(sent: Path) -> None:
    (sent / "other").symlink_to(sent / "send")
    assert tasks.desk(sent / "jobs", sent / "issued", sent / "send", sent / "other" / "desk", 1) == 3


def test_a_guide_is_never_replaced_by_a_desk(sent: Path) -> None:
    (sent / "guide").mkdir()
    text = '<html><meta name="generator" content="Shellbed">'
    (sent / "guide" / "index.html").write_text(text)
    assert tasks.desk(sent / "jobs", sent / "issued", sent / "send", sent / "guide", 1) == 3
    assert (sent / "guide" / "index.html").read_text() == text


def test_no_page_leads_to_another_job_and_none_is_indexed(sent: Path) -> None:
    assert build(sent) == 0
    for path in (sent / "desk").rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        assert '<meta name="robots" content="noindex">' in text
        own = path.parent.name
        for target in re.findall(r'href="([^"]*)"', text):
            assert "job/" not in target
            assert not target.startswith("..") or target in ("../../index.html", "../../assets/desk.css"), (
                own,
                target,
            )


# the whole


def test_the_desk_has_the_same_bytes_by_any_number_of_processes_and_from_memory(sent: Path) -> None:
    assert build(sent, workers=1) == 0
    first = files_of(sent / "desk")
    assert build(sent, workers=1) == 0
    assert files_of(sent / "desk") == first
    shutil.rmtree(sent / "desk")
    assert build(sent, workers=3) == 0
    assert files_of(sent / "desk") == first


def test_an_unchanged_job_is_not_worked_again_and_a_changed_one_is(
    sent: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    build(sent)
    capsys.readouterr()
    build(sent)
    assert "3 unchanged" in capsys.readouterr().out
    spec = sent / "jobs" / "PK-3.yml"
    spec.write_text(spec.read_text().replace("Third", "Other"), encoding="utf-8")
    build(sent)
    assert "2 unchanged, 1 worked" in capsys.readouterr().out
    assert "Other" in page(sent, "PK-3")


def test_a_page_somebody_touched_is_made_again(sent: Path) -> None:
    build(sent)
    place = sent / "desk" / "job" / "PK-3" / "index.html"
    whole = place.read_bytes()
    place.write_bytes(whole + b"x")
    build(sent)
    assert place.read_bytes() == whole


def test_a_failure_on_disk_leaves_the_old_desk_whole(sent: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    build(sent)
    before = files_of(sent / "desk")
    spec = sent / "jobs" / "PK-3.yml"
    spec.write_text(spec.read_text().replace("Third", "Other"), encoding="utf-8")

    def full(*given: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(site, "put", full)
    assert build(sent) == 3
    assert files_of(sent / "desk") == before
    assert [path.name for path in sent.iterdir() if path.name.startswith(".")] == []


def test_text_from_a_spec_stands_as_typed_everywhere(tmp_path: Path) -> None:
    from tests.pack.jobs import GIVEN, SOUND

    jobs = tmp_path / "jobs"
    jobs.mkdir()
    typed = json.dumps(HOSTILE)
    spec = SOUND.format(**GIVEN).replace("title: Sound", f"title: {typed}") + f"notes: {typed}\n"
    (jobs / "x.yml").write_text(spec, encoding="utf-8")
    assert build(tmp_path) == 0
    shown = page(tmp_path, "PK-1")
    assert text_of(shown).count(HOSTILE.replace("<b>x</b>", "<b>x</b>")) >= 2
    assert "<script>alert" not in shown
    script = (tmp_path / "desk" / "assets" / "jobs.js").read_text()
    assert "<" not in script
    assert rows_of(tmp_path / "desk")[0][1] == HOSTILE


def test_every_page_keeps_to_its_own_policy(thirty: RandomDesk) -> None:
    for path in thirty.desk.rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        assert "default-src 'none'" in text
        for pattern, what, _ in REFUSED:
            allowed = re.sub(r"<script src=\"[^\"]*\" defer>", "", text)
            assert not pattern.search(allowed), (path, what)
        assert "http" not in re.sub(r"http-equiv|http://www.w3.org/2000/svg", "", text)


def test_every_random_job_has_a_page_with_boxes_and_questions_to_read_out(thirty: RandomDesk) -> None:
    for ref in thirty.refs:
        shown = thirty.page(ref)
        assert boxes_of(shown)["marks"]
        assert shown.count('class="question"') >= 60
        assert shown.count("Read out:") == shown.count('class="question"')
        assert "nan" not in text_of(shown).lower().split()


def test_the_first_load_of_a_thousand_jobs_stays_under_four_megabytes(thirty: RandomDesk) -> None:
    """A thousand rows as long as the longest of thirty, the index, and what it loads."""
    text = (thirty.desk / "assets" / "jobs.js").read_text().splitlines()
    rows = 1000 * max(len(line) for line in text)
    others = sum(
        (thirty.desk / name).stat().st_size for name in ("index.html", "assets/desk.css", "assets/desk.js")
    )
    assert rows + others < 1_000_000


def test_a_folder_without_jobs_is_told_in_one_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "jobs").mkdir()
    assert build(tmp_path) == 2
    assert capsys.readouterr().err.count("\n") == 1
    assert not (tmp_path / "desk").exists()


def test_the_command_builds_the_desk_and_refuses_a_place_in_what_is_sent(sent: Path) -> None:
    from click.testing import CliRunner

    from builder.cli import main

    given = [
        "desk",
        "--jobs",
        str(sent / "jobs"),
        "--issued",
        str(sent / "issued"),
        "--send",
        str(sent / "send"),
    ]
    built = CliRunner().invoke(main, [*given, "--out", str(sent / "desk"), "--workers", "1"])
    assert built.exit_code == 0
    refused = CliRunner().invoke(main, [*given, "--out", str(sent / "send" / "desk")])
    assert refused.exit_code == 3


def test_a_record_of_before_addresses_were_kept_names_the_place(sent: Path) -> None:
    kept = sent / "issued" / "PK-2" / "A" / "record.json"
    record = json.loads(kept.read_text())
    del record["address"]
    kept.write_text(json.dumps(record), encoding="utf-8")
    assert build(sent) == 0
    assert f'data-copy="{"c" * 26}/A/guide/questions.html#q-how-heavy"' in page(sent, "PK-2")
