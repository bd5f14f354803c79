"""Jobs from a spreadsheet: one sound spec a row, every fault told by row and cell."""

from __future__ import annotations

import csv
import io
import random
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builder import yamlfile
from builder.catalogue import Catalogue, load
from builder.errors import InputFaults
from builder.job import Job, of, orders
from builder.job.fresh_lines import flow
from tests.random_specs import draw

HEAD = "ref,title,region,shell,ground.soil,ground.groundwater"
ROW = "AB-1,A yard,au-nsw,tern-74,stiff-clay,1.9 m"
Make = Callable[..., orders.Orders]


@pytest.fixture
def make(tmp_path: Path, catalogue: Catalogue) -> Make:
    def read(text: str | bytes, taken: dict[str, str] | None = None) -> orders.Orders:
        table = tmp_path / "orders.csv"
        table.write_bytes(text.encode() if isinstance(text, str) else text)
        return orders.read(table, tmp_path / "out", taken or {}, catalogue)

    return read


def job(order: orders.Order) -> Job:
    return of(yamlfile.parse(order.text.encode(), "x.yml"), "x.yml", load())


def lines(found: orders.Orders | InputFaults) -> list[str]:
    """The faults without the table's folder."""
    return [str(replace(fault, file=Path(fault.file).name)) for fault in found.faults]


def test_a_row_becomes_a_spec(make: Make) -> None:
    found = make(f"{HEAD}\n{ROW}\n")
    (order,) = found.sound
    assert (order.row, order.ref, order.path.name, found.faults) == (2, "AB-1", "ab-1.yml", ())
    spec = job(order).spec
    assert (spec.title, spec.shell.id, spec.ground.soil) == ("A yard", "tern-74", "stiff-clay")
    assert spec.link is not None


@pytest.mark.parametrize("mark", [",", ";", "\t"], ids=["comma", "semicolon", "tab"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"], ids=["LF", "CRLF", "CR"])
@pytest.mark.parametrize("bom", [b"", b"\xef\xbb\xbf"], ids=["plain", "with BOM"])
def test_a_table_is_read_as_other_programs_write_it(make: Make, mark: str, end: str, bom: bytes) -> None:
    rows = [HEAD.split(","), ROW.split(","), [], ["AB-2", '"Élan; ""north"", \tside"', *ROW.split(",")[2:]]]
    if mark == "\t":
        rows[3][1] = '"Élan; ""north"", side"'
    text = end.join(mark.join(row) for row in rows)
    if mark != "\t":
        text = text.replace("\t", "")
    found = make(bom + text.encode())
    assert lines(found) == []
    assert [order.row for order in found.sound] == [2, 4]
    assert job(found.sound[1]).spec.title == 'Élan; "north", side'


def test_any_key_may_have_a_column_and_an_empty_cell_is_the_default(make: Make) -> None:
    head = (
        "ref,title,region,shell.outline,shell.floor,shell.wall,shell.mass,ground.layers,"
        "ground.groundwater.not_seen_to,ground.groundwater.watched_for,backfill.material,backfill.lift,sump,notes"
    )
    row = (
        'AB-1,"[yard] {{ x }}: # no",nz,"{length: 6 m, width: 3 m}",'
        '"[[0 m, 1.3 m], [6 m, 1.6 m]]",7 mm,600 kg,'
        '"[{to: 0.6 m, soil: sand}, {soil: stiff-clay}]",3 m,8 d,,120 mm,none,"two\nlines"'
    )
    found = make(f"{head}\n{row}\n")
    assert lines(found) == []
    made = job(found.sound[0])
    assert made.spec.title == "[yard] {{ x }}: # no"
    assert made.spec.notes == "two\nlines"
    assert made.spec.backfill.material == "drainage-gravel-7"
    assert made.spec.backfill.lift == pytest.approx(0.12)
    assert [layer.soil.id for layer in made.layers] == ["sand", "stiff-clay"]


def test_every_fault_is_told_at_once_by_row_and_cell_and_good_rows_stay(make: Make) -> None:
    found = make(
        f"{HEAD},backfill.lift,excavation.batter\n"
        f"{ROW},,\n"
        "AB-2,Two,au-nsww,tern-74,clay,1.9,150,\n"  # region, soil, groundwater, lift
        "ab-1,Three,nz,tern-74,sand,1 m,,\n"  # the reference of row 2, in small letters
        ",Four,nz,tern-74,sand,1 m,,none\n"  # no reference; no batter and no shoring
        "AB-5,Five,nz,tern-74,sand,1 m,,,stray\n"
        'AB-6,Six,nz,tern-74,sand,"1,9 m",,\n'
        "AB-7,Seven,nz,quail-60,sand,1 m,150 mm,45 deg\n"
    )
    assert [order.ref for order in found.sound] == ["AB-1", "AB-7"]
    assert found.rows == 7
    assert lines(found) == [
        "orders.csv:3:3: region: 'au-nsww' is not in shared/regions. Write au-nsw.",
        "orders.csv:3:5: ground.soil: 'clay' is not in shared/grounds. Write soft-clay.",
        "orders.csv:3:6: ground.groundwater: '1.9' has no unit. Write 1.9 m.",
        "orders.csv:3:7: backfill.lift: '150' has no unit. Write 150 mm.",
        "orders.csv:4:1: ref: ab-1 is the reference of row 2 too. Give it one of its own.",
        "orders.csv:5:1: ref: nothing stands here. Write it like QR-0412.",
        "orders.csv:5:8: excavation.batter: upright sides without shoring bury people. "
        "Write an angle such as 45 deg, or add `shoring: engineer`.",
        "orders.csv:6:9: this cell has no key above it. Write the key in row 1, or clear the cell.",
        "orders.csv:7:6: ground.groundwater: '1,9 m' has a comma. Write a point, such as 1.9 m.",
    ]


def test_a_fault_inside_a_cell_is_told_at_that_cell(make: Make) -> None:
    found = make(
        f"{HEAD},backfill,ground.neighbours,sump\n"
        f'{ROW},{{lift: 150}},"[{{what: shed, away: 2 m, depth: 400}}]","{{depth: 200 mm"\n'
    )
    told = lines(found)
    assert told[0] == "orders.csv:2:7: backfill.lift: '150' has no unit. Write 150 mm."
    assert told[1] == "orders.csv:2:8: ground.neighbours[0].depth: '400' has no unit. Write 400 mm."
    assert told[2].startswith("orders.csv:2:9: sump: this is not YAML")
    assert len(told) == 3


@pytest.mark.parametrize(
    ("head", "fault"),
    [
        (f"{HEAD},ref", "orders.csv:1:7: ref: this key stands over column 1 too. Keep one of them."),
        (f"{HEAD},lift", "orders.csv:1:7: 'lift' is no key of a job. Write backfill.lift."),
        (f"{HEAD},ground.tidle", "orders.csv:1:7: 'ground.tidle' is no key of a job. Write ground.tidal."),
        (f"{HEAD},Customer", "orders.csv:1:7: 'Customer' is no key of a job. "),
        (f"{HEAD},as_built.dips[].on", "orders.csv:1:7: 'as_built.dips[].on' is no key of a job. "),
    ],
)
def test_a_wrong_header_is_told_and_nothing_is_written(make: Make, head: str, fault: str) -> None:
    with pytest.raises(InputFaults) as raised:
        make(f"{head}\n{ROW},x\n")
    assert lines(raised.value)[0].startswith(fault)
    assert len(raised.value.faults) == 1


def test_a_whole_and_its_part_are_not_both_filled_in(make: Make) -> None:
    (told,) = lines(make(f"{HEAD},ground\n{ROW},{{soil: sand}}\n"))[:1]
    assert told.startswith("orders.csv:2:5: ground.soil: ground is filled in too.")


def test_a_reference_in_use_is_refused(make: Make) -> None:
    found = make(f"{HEAD}\n{ROW}\n", {"ab-1": "jobs/old.yml"})
    assert found.sound == ()
    assert lines(found) == [
        "orders.csv:2:1: ref: AB-1 is the reference of jobs/old.yml too. Give it one of its own."
    ]


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        (b"", "the table is empty"),
        (b"PK\x03\x04", "this is a workbook, not a table of text"),
        (HEAD.encode() + b"\nAB-1,caf\xe9", "a byte here is not UTF-8 text"),
        (HEAD.encode() + b'\nAB-1,"open', "this row cannot be taken apart"),
        (HEAD.encode() + b'\nAB-1,"a"b', "this row cannot be taken apart"),
    ],
)
def test_what_is_no_table_is_one_line(make: Make, raw: bytes, words: str) -> None:
    with pytest.raises(InputFaults) as raised:
        make(raw)
    (fault,) = raised.value.faults
    assert words in fault.wrong


def test_hidden_characters_and_tricks_are_told_or_stay_text(make: Make) -> None:
    found = make(
        f"{HEAD}\n"
        "AB-1,right\u202eleft,au-nsw,tern-74,sand,1 m\n"
        'AB-2,"x\nref: EVIL",au-nsw,tern-74,sand,1 m\n'
        "AB-3,*a,au-nsw,tern-74,sand,1 m\n"
        'AB-4,x,au-nsw,"{name: a}\nregion: nz",sand,1 m\n'
        "../AB-5,x,au-nsw,tern-74,sand,1 m\n"
        "=1+1,x,au-nsw,tern-74,sand,1 m\n"
    )
    told = lines(found)
    assert told[0] == "orders.csv:2:2: title: an invisible character U+202E stands here. Delete it."
    assert "orders.csv:3:2: title: " in told[1]
    assert [order.ref for order in found.sound] == ["AB-3"]
    assert job(found.sound[0]).spec.title == "*a"
    assert {fault.line for fault in found.faults} == {2, 3, 5, 6, 7}


def flattened(spec: dict[str, Any], rng: random.Random, path: str = "") -> dict[str, Any]:
    """A spec as cells: a mapping goes in one cell, or in one for each of its keys, as the draw falls."""
    cells: dict[str, Any] = {}
    for key, value in spec.items():
        here = f"{path}.{key}" if path else key
        if isinstance(value, dict) and (here in {"shell", "ground"} or rng.random() < 0.6):
            cells |= flattened(value, rng, here)
        else:
            cells[here] = value
    return cells


def test_random_jobs_come_through_a_table_as_they_are(make: Make, catalogue: Catalogue) -> None:
    rng = random.Random(7)  # noqa: S311 a draw to repeat, no secret
    specs: list[tuple[Job, dict[str, Any]]] = []
    while len(specs) < 40:
        spec = draw(rng, catalogue) | {"ref": f"R-{len(specs)}", "link": "a" * 26}
        try:
            read = of(yamlfile.parse(flow(spec).encode(), "x.yml"), "x.yml", catalogue)
        except InputFaults:
            continue
        specs.append((read, flattened(spec, rng)))
    head = list(dict.fromkeys(key for _, cells in specs for key in cells))
    table = io.StringIO()
    writer = csv.writer(table, delimiter=";", lineterminator="\r\n")
    writer.writerow(head)
    for _, cells in specs:
        values = (cells.get(key, "") for key in head)
        writer.writerow([value if isinstance(value, str) else flow(value) for value in values])
    found = make(table.getvalue())
    assert lines(found) == []
    for (read, _), order in zip(specs, found.sound, strict=True):
        made = job(order)
        assert replace(made.spec, shell=read.spec.shell) == read.spec
        assert made.spec.shell.floor == read.spec.shell.floor
        assert made.spec.shell.outline.polygon.equals(read.spec.shell.outline.polygon)
        assert made.layers == read.layers


TEXT = st.text(max_size=12)
CELL = st.one_of(
    TEXT,
    st.sampled_from(
        ["AB-1", "nz", "tern-74", "sand", "1 m", "none", "[", "{a: b}", "[[1, 2]]", "&x y", "!!int 3"]
    ),
)


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.lists(CELL, max_size=9), max_size=4))
def test_random_cells_bring_sound_specs_or_faults_and_nothing_else(
    make: Make, cells: list[list[str]]
) -> None:
    def quoted(cell: str) -> str:
        return '"' + cell.replace('"', '""') + '"'

    text = f"{HEAD},notes,sump,ground.neighbours\n" + "\n".join(",".join(map(quoted, row)) for row in cells)
    found = make(text.encode("utf-8", "replace"))
    for fault in found.faults:
        assert str(fault).isprintable()
        assert 2 <= fault.line <= len(cells) + 1
        assert 1 <= fault.column <= 9
    for order in found.sound:
        job(order)
