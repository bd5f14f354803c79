"""A fresh spec: every key with its default, whole once its required values are filled in."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given as drawn
from hypothesis import strategies as st

from builder import yamlfile
from builder.catalogue import Catalogue
from builder.errors import CannotWrite, Fault
from builder.job import TABLE, Job, fresh, fresh_lines
from builder.job.keys import every_key

Reads = Callable[[str], Job]
Find = Callable[[str], tuple[Fault, ...]]
WHOLE = {
    "ref": "AB-1",
    "title": "A yard",
    "region": "au-nsw",
    "shell": "tern-74",
    "ground.soil": "stiff-clay",
    "ground.groundwater": "1.9 m",
}
PLACE = Path("jobs/ab-1.yml")


@pytest.fixture(scope="module")
def whole(catalogue: Catalogue) -> str:
    return fresh.text(WHOLE, catalogue, PLACE)


@pytest.fixture(scope="module")
def bare(catalogue: Catalogue) -> str:
    return fresh.text({}, catalogue, PLACE)


def test_a_spec_with_the_required_values_is_whole(whole: str, reads: Reads) -> None:
    spec = reads(whole).spec
    assert (spec.ref, spec.title, spec.shell.id) == ("AB-1", "A yard", "tern-74")
    assert re.fullmatch("[a-z2-7]{26}", spec.link or "")


def test_a_bare_spec_lacks_the_required_values_and_nothing_else(bare: str, faults_of: Find) -> None:
    assert {fault.path for fault in faults_of(bare)} == set(WHOLE)
    lines = bare.splitlines()
    for fault in faults_of(bare):
        assert lines[fault.line - 1].split("#")[1].strip().startswith("required")
    required = [line for line in lines if "# required" in line and not line.lstrip().startswith("#")]
    assert len(required) == len(WHOLE)


def test_every_key_stands_there(bare: str) -> None:
    standing = Counter(re.findall(r"^[ #-]*([a-z_]+):", bare, re.M))
    assert Counter(key.path.rpartition(".")[2] for key in every_key()) <= standing


def test_every_default_stands_there_with_why(bare: str) -> None:
    for path, row in TABLE.items():
        if row.value:
            key = path.rpartition(".")[2]
            assert re.search(rf"^[ #-]*{key}: {re.escape(row.value)} .*{re.escape(row.why)}", bare, re.M), (
                path
            )


def test_who_has_to_agree_stands_in_brackets(bare: str) -> None:
    (line,) = re.findall(r"^#   lift: .*$", bare, re.M)
    assert line.endswith("(engineer or certifier)")
    (line,) = re.findall(r"^## +mass: .*|^##   wall_batter: .*$", bare, re.M)[:1]
    assert line.endswith("(shell's maker)")


def uncommented(text: str, at: int) -> str:
    """The text with one commented line in use, and the lines of its groups."""
    lines = text.splitlines()

    def inner(line: str) -> int:
        return len(line) - len(line.replace("# ", "", 1).lstrip())

    depth = inner(lines[at]) + 1
    for number in range(at, -1, -1):
        line = lines[number]
        if not re.match(r" *# [ a-z-]", line) or not re.match(r" *# +(- )?[a-z_]+:", line):
            if number != at and not line.strip():
                break
            continue
        if inner(line) < depth:
            depth = inner(line)
            lines[number] = line.replace("# ", "", 1)
    return "\n".join(lines) + "\n"


def commented_lines(text: str) -> Iterator[int]:
    for number, line in enumerate(text.splitlines()):
        if re.match(r" *# +[a-z_]+: \S", line) and number > 5:
            yield number


def test_any_default_taken_out_of_its_comment_changes_nothing(whole: str, reads: Reads) -> None:
    plain = reads(whole).spec
    tried = 0
    for at in commented_lines(whole):
        line = whole.splitlines()[at]
        if "left out:" in line or "required" in line:
            continue
        tried += 1
        spec = reads(uncommented(whole, at)).spec
        assert replace(spec, as_built=None, shell=plain.shell) == plain, line
        assert (spec.shell.id, spec.shell.mass) == (plain.shell.id, plain.shell.mass)
    assert tried > 40


def test_an_example_of_a_key_without_a_default_can_be_used(whole: str, reads: Reads) -> None:
    for key in ("issued", "highest_known", "aquifer_base", "site_class", "batter", "tube_length"):
        (at,) = [n for n in commented_lines(whole) if re.match(rf" *# +{key}: ", whole.splitlines()[n])]
        text = uncommented(whole, at)
        if key == "highest_known":
            text = text.replace("groundwater: 1.9 m", "groundwater: 2.4 m")
        reads(text)


def test_the_shell_in_line_can_be_used_as_it_stands(whole: str, reads: Reads) -> None:
    lines = whole.splitlines()
    taken = [line.replace("## ", "", 1) if line.startswith("## ") else line for line in lines]
    start = taken.index(next(line for line in taken if line.startswith("shell: ")))
    end = taken.index("", start)
    text = "\n".join([*lines[:start], *taken[start + 1 : end], *lines[end:]]) + "\n"
    shell = reads(text).spec.shell
    assert (shell.id, shell.mass) == (None, 780.0)


def test_the_first_line_leads_editors_to_the_schema_from_where_the_file_stands(catalogue: Catalogue) -> None:
    project = Path(__file__).resolve().parents[2]
    for folder in (project / "jobs", project, project / "jobs" / "2026" / "spring"):
        first = fresh.text({}, catalogue, folder / "x.yml").splitlines()[0]
        way = first.removeprefix("# yaml-language-server: $schema=")
        assert (folder / way).resolve() == project / "shared" / "job.schema.json"


def test_links_are_drawn_and_never_repeat_for_the_same_job(catalogue: Catalogue) -> None:
    links = {fresh.link() for _ in range(200)}
    assert len(links) == 200
    assert all(re.fullmatch("[a-z2-7]{26}", link) for link in links)
    assert set("".join(links)) == set(fresh.LETTERS)
    texts = [fresh.text(WHOLE, catalogue, PLACE) for _ in range(2)]
    assert texts[0] != texts[1]


def test_what_is_given_below_a_group_stands_in_it(catalogue: Catalogue, reads: Reads) -> None:
    more = {
        "backfill.working_gap": "400 mm",
        "standpipe.pit.depth": "350 mm",
        "standpipe.pit.width": "450 mm",
        "sump": {"depth": "150 mm", "width": "300 mm"},
        "notes": "Two lines.\n: and # signs, {{ braces }}",
    }
    spec = reads(fresh.text({**WHOLE, **more}, catalogue, PLACE)).spec
    assert spec.backfill.working_gap == pytest.approx(0.4)
    assert spec.standpipe.pit is not None
    assert spec.standpipe.pit.depth == pytest.approx(0.35)
    assert spec.sump is not None
    assert spec.notes == more["notes"]


def test_a_shell_is_given_in_line_by_its_parts(catalogue: Catalogue, reads: Reads) -> None:
    parts = {
        "shell.outline.length": "6 m",
        "shell.outline.width": "3 m",
        "shell.floor": [["0 m", "1.3 m"], ["6 m", "1.6 m"]],
        "shell.wall": "7 mm",
        "shell.mass": "600 kg",
        "shell.relief.seal.bead": "8 mm",
    }
    given = {key: value for key, value in WHOLE.items() if key != "shell"} | parts
    shell = reads(fresh.text(given, catalogue, PLACE)).spec.shell
    assert shell.outline.bounds == pytest.approx((0, 0, 6, 3))
    assert shell.mass == 600.0


@drawn(st.text(st.characters(exclude_categories=["Cc", "Cs", "Cf", "Zl", "Zp", "Cn", "Co"]), min_size=1))
def test_any_text_is_written_so_that_it_reads_back_as_typed(text: str) -> None:
    line = f"value: {fresh_lines.flow(text)}\nlist: {fresh_lines.flow([text, {'key': text}])}\n"
    tree = yamlfile.plain(yamlfile.parse(line.encode(), "x"))
    assert tree == {"value": text, "list": [text, {"key": text}]}


def test_a_file_that_stands_is_never_written_over(tmp_path: Path) -> None:
    path = tmp_path / "deep" / "er" / "x.yml"
    fresh.put(path, "one\n")
    with pytest.raises(CannotWrite, match="a file stands there already"):
        fresh.put(path, "two\n")
    assert path.read_text() == "one\n"
    assert [file.name for file in path.parent.iterdir()] == ["x.yml"]


def test_a_disk_without_links_is_written_to_and_never_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_args: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr("os.link", refuse)
    path = tmp_path / "x.yml"
    fresh.put(path, "one\n")
    with pytest.raises(CannotWrite, match="stands there already"):
        fresh.put(path, "two\n")
    assert [file.read_text() for file in tmp_path.iterdir()] == ["one\n"]


def test_a_write_that_fails_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_fd: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(CannotWrite, match="No space left on device"):
        fresh.put(tmp_path / "x.yml", "one\n")
    assert list(tmp_path.iterdir()) == []
