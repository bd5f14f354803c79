"""What a pack writes, where, and what it refuses."""

from __future__ import annotations

import hashlib
import io
import json
import re
import shutil
import zipfile
from pathlib import Path

import pytest

from builder.errors import CannotWrite, InputFaults
from builder.pack import faults_of, stop_lines
from builder.pack import manifest as manifests
from tests.pack.jobs import LINK, files_of, order, pack, write

OTHER_LINK = "z" * 26


def issue_of(root: Path, name: str = "A") -> Path:
    return root / "send" / LINK / name


def test_an_issue_holds_site_documents_numbers_manifest_and_zip(packed: Path) -> None:
    names = set(files_of(issue_of(packed)))
    assert {"numbers.json", "manifest.json", "guide.pdf", "PK-1-A.zip", "guide/index.html"} <= names
    assert {path.name for path in (packed / "send").iterdir()} == {LINK}
    assert {path.name for path in (packed / "send" / LINK).iterdir()} == {"A", "index.html"}


def test_the_manifest_has_sum_and_size_of_every_other_file(packed: Path) -> None:
    files = files_of(issue_of(packed))
    listed = json.loads(files.pop("manifest.json"))
    assert (listed["ref"], listed["issue"], listed["issued"]) == ("PK-1", "A", "2026-11-20")
    assert listed["version"]
    assert listed["files"] == {
        name: {"sha256": hashlib.sha256(content).hexdigest(), "size": len(content)}
        for name, content in files.items()
    }


def test_the_zip_holds_the_same_files_under_one_folder_with_the_issues_day(packed: Path) -> None:
    files = files_of(issue_of(packed))
    with zipfile.ZipFile(io.BytesIO(files.pop("PK-1-A.zip"))) as held:
        assert held.testzip() is None
        names = held.namelist()
        assert names == sorted(names)
        inside = {name.removeprefix("PK-1-A/"): held.read(name) for name in names}
        for entry in held.infolist():
            assert entry.filename.startswith("PK-1-A/")
            assert entry.date_time == (2026, 11, 20, 0, 0, 0)
            assert entry.external_attr >> 16 == 0o100644
    own, outer = json.loads(inside.pop("manifest.json")), json.loads(files.pop("manifest.json"))
    assert inside == files
    assert outer["files"].keys() - own["files"].keys() == {"PK-1-A.zip"}
    assert {name: outer["files"][name] for name in own["files"]} == own["files"]


def test_numbers_json_is_what_the_numbers_command_prints(packed: Path) -> None:
    worked = order(packed, packed / "job.yml").worked
    assert json.loads((issue_of(packed) / "numbers.json").read_text()) == json.loads(
        json.dumps(worked.as_json())
    )


def test_the_page_under_the_link_leads_to_the_issue_without_a_script(packed: Path) -> None:
    page = (packed / "send" / LINK / "index.html").read_text()
    assert '<meta http-equiv="refresh" content="0; url=A/guide/index.html">' in page
    assert '<a href="A/guide/index.html">' in page
    assert "<script" not in page


def test_every_page_tells_searchers_and_referrers_nothing_and_has_a_policy(packed: Path) -> None:
    found = list((packed / "send").rglob("*.html"))
    assert len(found) > 20
    for path in found:
        head = path.read_text(encoding="utf-8").split("<body")[0]
        assert '<meta name="robots" content="noindex">' in head
        assert '<meta name="referrer" content="no-referrer">' in head
        assert "Content-Security-Policy\" content=\"default-src 'none'" in head
        assert "unsafe" not in head


def test_everything_sent_may_be_read_by_a_web_server(packed: Path) -> None:
    for path in (packed / "send" / LINK).rglob("*"):
        assert path.stat().st_mode & 0o777 == (0o755 if path.is_dir() else 0o644)


def test_the_record_keeps_spec_rows_sources_numbers_version_and_manifest(packed: Path) -> None:
    kept = packed / "issued" / "PK-1" / "A"
    assert {path.name for path in kept.iterdir()} == {
        *("spec.yml", "rows.json", "numbers.json", "manifest.json", "record.json")
    }
    assert (kept / "spec.yml").read_bytes() == (packed / "job.yml").read_bytes()
    for name in ("numbers.json", "manifest.json"):
        assert (kept / name).read_bytes() == (issue_of(packed) / name).read_bytes()
    rows = json.loads((kept / "rows.json").read_text())
    assert {"shells/tern-74", "grounds/sandy-gravel", "regions/au-nsw"} <= rows["rows"].keys()
    assert rows["rows"]["shells/tern-74"]["source"] in rows["sources"]
    assert "q-how-heavy" in rows["questions"]
    record = json.loads((kept / "record.json").read_text())
    assert record["link"] == LINK
    assert record["version"]


def test_packing_an_issue_that_stands_says_unchanged_and_touches_nothing(tmp_path: Path, quick: None) -> None:
    assert pack(tmp_path).done == "packed"
    stats = {path: path.stat().st_mtime_ns for path in tmp_path.rglob("*") if path.name != "job.yml"}
    assert pack(tmp_path).done == "unchanged"
    assert {path: path.stat().st_mtime_ns for path in stats} == stats


def test_an_issue_that_stands_is_refused_with_other_content_and_stays(tmp_path: Path, quick: None) -> None:
    pack(tmp_path)
    before = files_of(tmp_path / "send"), files_of(tmp_path / "issued")
    with pytest.raises(InputFaults) as refused:
        pack(tmp_path, water="3 m")
    (fault,) = refused.value.faults
    assert (fault.line, fault.path) == (3, "issue")
    assert "issue A went out with other content" in fault.wrong
    assert fault.instead.startswith("Write `issue: B`")
    assert (files_of(tmp_path / "send"), files_of(tmp_path / "issued")) == before


def test_an_issue_whose_folder_is_gone_may_not_come_back_with_other_content(
    tmp_path: Path, quick: None
) -> None:
    pack(tmp_path)
    shutil.rmtree(tmp_path / "send")
    with pytest.raises(InputFaults, match="went out with other content"):
        pack(tmp_path, water="3 m")
    assert not (tmp_path / "send").exists() or not any((tmp_path / "send").rglob("*"))
    assert pack(tmp_path).done == "mended"


def test_the_next_issue_stands_beside_and_the_link_leads_to_it(tmp_path: Path, quick: None) -> None:
    pack(tmp_path)
    before = files_of(issue_of(tmp_path))
    assert pack(tmp_path, issue="B", day="25", water="3 m").done == "packed"
    assert files_of(issue_of(tmp_path)) == before
    home = tmp_path / "send" / LINK / "index.html"
    assert "url=B/guide/index.html" in home.read_text()
    assert pack(tmp_path).done == "unchanged"
    assert "url=B/guide/index.html" in home.read_text()


def test_an_issue_older_than_one_that_went_out_is_refused(tmp_path: Path, quick: None) -> None:
    pack(tmp_path, issue="Z")
    with pytest.raises(InputFaults, match=r"issue Z went out already\. Write `issue: AA`"):
        pack(tmp_path, issue="C")


def test_a_job_without_link_and_day_is_told_a_fresh_link_to_paste(tmp_path: Path) -> None:
    job = write(tmp_path)
    text = re.sub(r"^(link|issued):.*\n", "", job.read_text(), flags=re.MULTILINE)
    job.write_text(text)
    drawn = set()
    for _ in range(2):
        day, link = sorted(faults_of(order(tmp_path, job)), key=lambda fault: fault.path)
        assert (day.path, link.path) == ("issued", "link")
        found = re.match(r"Write `link: ([a-z2-7]{26})`", link.instead)
        assert found
        drawn.add(found.group(1))
    assert len(drawn) == 2


def test_a_link_another_job_went_out_under_is_refused(tmp_path: Path, quick: None) -> None:
    pack(tmp_path)
    with pytest.raises(InputFaults, match="link: PK-1 has this link already"):
        pack(tmp_path, ref="PK-2")


def test_a_job_keeps_the_link_it_went_out_under(tmp_path: Path, quick: None) -> None:
    pack(tmp_path)
    with pytest.raises(InputFaults, match=f"Write `link: {LINK}`"):
        pack(tmp_path, issue="B", link=OTHER_LINK)


def test_each_open_stop_is_a_line_that_says_what_to_write(tmp_path: Path) -> None:
    asked = order(tmp_path, write(tmp_path, soil="sand"))
    lines = [str(fault) for fault in stop_lines(asked)]
    assert len(lines) == len(asked.worked.open_stops) == 4
    for line, number in zip(lines, asked.worked.open_stops, strict=True):
        assert f"{number.key} is a stop: " in line
        assert f"write `- {{check: {number.key}, by: a role, reason: " in line


def test_what_was_written_for_each_stop_lets_the_job_out(tmp_path: Path) -> None:
    asked = order(tmp_path, write(tmp_path, soil="sand"))
    entries = [re.findall(r"`(- \{.*\})`", fault.instead)[0] for fault in stop_lines(asked)]
    answered = write(tmp_path, soil="sand", more="accepted:\n" + "".join(f"  {line}\n" for line in entries))
    assert not list(stop_lines(order(tmp_path, answered)))


def test_an_issue_somebody_changed_is_told_as_damaged_and_left(tmp_path: Path, quick: None) -> None:
    pack(tmp_path)
    (issue_of(tmp_path) / "numbers.json").write_text("{}")
    with pytest.raises(CannotWrite, match=r"damaged \(numbers\.json is not as it was packed\): move it away"):
        pack(tmp_path)
    assert (issue_of(tmp_path) / "numbers.json").read_text() == "{}"
    shutil.rmtree(issue_of(tmp_path))
    assert pack(tmp_path).done == "mended"
    assert not list(manifests.damage(issue_of(tmp_path)))


def test_a_spec_that_changes_while_it_is_packed_is_refused(tmp_path: Path, quick: None) -> None:
    from builder import making
    from tests.pack.stand_in import documents

    asked = order(tmp_path, write(tmp_path))
    write(tmp_path, water="3 m")
    with pytest.raises(InputFaults, match="the file was changed while it was packed"):
        making.pack(asked, documents)
    assert not list((tmp_path / "send").rglob("*"))


def test_documents_are_told_the_address_of_their_own_issue(tmp_path: Path, quick: None) -> None:
    from builder import making
    from tests.pack.stand_in import documents

    asked = order(tmp_path, write(tmp_path), base_url="https://guides.example/send")
    made = making.pack(asked, documents)
    assert f"https://guides.example/send/{LINK}/A/guide/".encode() in (made.folder / "guide.pdf").read_bytes()
