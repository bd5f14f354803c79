"""The whole example is accepted and typed; files as other systems write them; YAML's traps."""

from __future__ import annotations

import datetime
import math
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from builder import yamlfile
from builder.catalogue import Catalogue
from builder.errors import Fault
from builder.job import At, Bead, Job, NotSeen, Seen, Sump, WallLimit, read
from builder.job.schema import SPEC
from builder.job.shapes import Fields, ListOf

Reads = Callable[[str], Job]
Find = Callable[[str], tuple[Fault, ...]]


def test_every_key_of_the_full_spec_is_accepted_and_typed(full: str, reads: Reads) -> None:
    job = reads(full)
    spec = job.spec
    assert (spec.ref, spec.title, spec.issue, spec.audience) == (
        "QR-0412",
        "Quandong Rise",
        "B",
        "owner-builder",
    )
    assert spec.issued == datetime.date(2026, 11, 25)
    assert spec.changed == ("the tube is 50 mm longer",)
    assert spec.link == "6k3vq2m7xw4ra5hteoy3ndz6bp"
    assert job.region.id == "au-nsw"
    shell = spec.shell
    assert shell.name == "Tern to measure"
    assert shell.outline.bounds == pytest.approx((0, 0, 7.4, 3.4))
    assert shell.floor == ((0.0, 1.15), (4.8, 1.7), (7.4, 1.7))
    (ledge,) = shell.ledges
    assert (ledge.x, ledge.y, ledge.length, ledge.width, ledge.depth) == pytest.approx((0, 0, 0.9, 3.4, 0.4))
    assert shell.wall_batter == pytest.approx(math.radians(4))
    assert (shell.wall, shell.floor_thickness) == pytest.approx((0.007, 0.008))
    assert (shell.laminate_density, shell.mass, shell.weight_centre) == pytest.approx((1600, 780, 3.9))
    relief = shell.relief
    assert (relief.at, relief.thread, relief.seal, relief.fitted_by) == ("lowest", "G2", "ring", "factory")
    assert (relief.throat, relief.flange, relief.opening_head) == pytest.approx((0.05, 0.09, 0.06))
    assert relief.discharge_coefficient == 0.6
    assert shell.skimmer == (6.9, 0.0)
    assert shell.wall_limit == WallLimit(6000.0, 3000.0)
    levels = spec.levels
    assert (levels.rim_above_ground, levels.paving_above_rim) == pytest.approx((0.05, 0.04))
    assert (levels.water_below_rim, levels.overflow_below_rim) == pytest.approx((0.12, 0.06))
    assert (levels.peg.above_rim, levels.peg.where) == (0.5, "gate post")
    ground = spec.ground
    assert (ground.soil, ground.layers, ground.groundwater) == ("stiff-clay", None, Seen(1.9))
    assert (ground.highest_known, ground.aquifer_base, ground.catchment, ground.runoff) == (
        1.2,
        6.0,
        60.0,
        1.0,
    )
    assert ground.rain_overnight == pytest.approx(0.05)
    assert (ground.site_class, ground.tidal) == ("M", False)
    assert ground.neighbours[0].what == "house footing"
    assert (job.bedding.id, job.backfill.id) == ("bedding-gravel-7", "drainage-gravel-7")
    assert (spec.backfill.working_gap, spec.backfill.lift) == pytest.approx((0.3, 0.15))
    tube = spec.standpipe
    assert (tube.beside, tube.pit, tube.rows) == ("deep end", None, 3)
    assert (tube.foot_below_underside, tube.slotted, tube.below_lid) == pytest.approx((0.015, 0.6, 0.03))
    assert (tube.lid.width, tube.lid.thickness) == pytest.approx((0.25, 0.02))
    assert (tube.slot_width, tube.slot_length, tube.pitch) == pytest.approx((0.0015, 0.03, 0.025))
    assert job.pipe.id == "pvc-dn65-pn9"
    assert spec.sump == Sump(pytest.approx(0.2), pytest.approx(0.4), "drainage-gravel-20")  # type: ignore[arg-type]
    assert job.sump_fill is not None
    assert job.thread is not None
    assert job.mesh is not None
    assert (spec.ring_beam.width, spec.ring_beam.depth, spec.ring_beam.tied) == (0.3, 0.2, False)
    assert spec.pump.curve[1] == pytest.approx((1e-3, 5.0))
    assert (spec.pump.hose.bore, spec.pump.hose.length, spec.pump.hose.rise) == (0.025, 15.0, 0.5)
    assert (spec.water.flow, spec.water.density) == pytest.approx((3e-4, 1000.0))
    dig = spec.excavation
    assert dig.batter == pytest.approx(math.radians(45))
    assert (dig.shoring, dig.truck, dig.overdug, dig.makeup) == ("engineer", 8.0, 0.0, "none")
    built = spec.as_built
    assert built is not None
    assert built.rim is not None
    assert [corner.below_peg for corner in built.rim] == pytest.approx([0.498, 0.502, 0.501, 0.499])
    assert (built.measured, built.by) == (datetime.date(2026, 12, 1), "crew lead")
    assert (built.tube_length, built.tube_top_above_rim) == pytest.approx((1.73, 0.01))
    assert (built.water_below_rim, built.paving_above_rim) == pytest.approx((0.118, 0.042))
    assert (built.dips[0].dip, built.dips[0].mark, built.dips[0].pool_below_rim) == pytest.approx(
        (1.62, "top", 0.13)
    )
    assert spec.accepted[0].check == "uplift.safety_flooded"
    assert spec.notes == "Side gate is 1.1 m wide.\nBeware of {{ the }} <b>dog</b>."


def test_the_full_spec_has_every_key_there_is(full: str) -> None:
    tree = yamlfile.parse(full.encode(), "full.yml")
    missing = []

    def look(kind: object, node: yamlfile.Node, path: str) -> None:
        if isinstance(kind, Fields) and isinstance(node, yamlfile.Mapping):
            for key, below in kind.kinds.items():
                if key in node.entries:
                    look(below, node.entries[key], f"{path}.{key}")
                else:
                    missing.append(f"{path}.{key}")
        elif isinstance(kind, ListOf) and isinstance(node, yamlfile.Sequence):
            look(kind.kind, node.items[0], f"{path}[]")

    look(SPEC, tree, "")
    assert missing == [".ground.layers"]  # soil stands there


def _forms() -> Iterator[tuple[str, str, Callable[[Job], object], object]]:
    yield "at: lowest", "at: [6.1 m, 1.7 m]", lambda job: job.spec.shell.relief.at, (6.1, 1.7)
    yield "seal: ring", "seal: {bead: 8 mm}", lambda job: job.spec.shell.relief.seal, Bead(0.008)
    yield "thread: G2", "thread: none", lambda job: job.thread, None
    yield "skimmer: {at: [6.9 m, 0 m]}", "skimmer: none", lambda job: job.spec.shell.skimmer, None
    yield "beside: deep end", "beside: skimmer", lambda job: job.spec.standpipe.beside, "skimmer"
    yield (
        "beside: deep end",
        "beside: {at: [6 m, -0.15 m]}",
        lambda job: job.spec.standpipe.beside,
        At(6.0, -0.15),
    )
    yield "pit: none", "pit: {depth: 0.3 m, width: 0.4 m}", lambda job: job.spec.standpipe.pit is None, False
    yield "mesh: geotextile-fine", "mesh: none", lambda job: job.mesh, None
    yield "batter: 45 deg,", "batter: none,", lambda job: job.spec.excavation.batter, None
    yield "changed: [the tube is 50 mm longer]", "changed: moved", lambda job: job.spec.changed, ("moved",)
    yield "issue: B", "issue: AA", lambda job: job.spec.issue, "AA"
    yield "tied: no", "tied: yes", lambda job: job.spec.ring_beam.tied, True
    yield "runoff: 1.0", "runoff: 60 %", lambda job: job.spec.ground.runoff, 0.6
    yield "flow: 18 L/min", "flow: 6 gal/min", lambda job: round(job.spec.water.flow * 1e7), 3785
    yield (
        "  groundwater: 1.9 m\n",
        "  groundwater: {not_seen_to: 2.4 m, watched_for: 3 d}\n",
        lambda job: job.spec.ground.groundwater,
        NotSeen(2.4, 259200.0),
    )


@pytest.mark.parametrize(("old", "new", "get", "want"), list(_forms()))
def test_every_other_form_of_a_key_is_accepted(
    old: str, new: str, get: Callable[[Job], object], want: object, full: str, reads: Reads
) -> None:
    assert full.count(old) == 1
    assert get(reads(full.replace(old, new))) == want


def test_layers_run_on_below_the_last(full: str, reads: Reads) -> None:
    layers = "layers: [{to: 0.6 m, soil: sand}, {to: 3 m, soil: stiff-clay}]"
    job = reads(full.replace("soil: stiff-clay", layers))
    assert [(layer.top, layer.bottom, layer.soil.id) for layer in job.layers] == [
        (0.0, 0.6, "sand"),
        (0.6, math.inf, "stiff-clay"),
    ]
    assert [(layer.top, layer.bottom) for layer in reads(full).layers] == [(0.0, math.inf)]


def test_a_byte_order_mark_and_windows_line_ends_change_nothing(
    full: str, reads: Reads, tmp_path: Path, catalogue: Catalogue
) -> None:
    file = tmp_path / "job.yml"
    file.write_bytes(b"\xef\xbb\xbf" + full.replace("\n", "\r\n").encode())
    assert read(file, catalogue).spec.notes == reads(full).spec.notes
    file.write_bytes(b"\xef\xbb\xbf" + full.replace("wall: 7 mm", "wall: 7").replace("\n", "\r\n").encode())
    with pytest.raises(Exception, match=r"job\.yml:15:9: shell\.wall: '7' has no unit\. Write 7 mm\."):
        read(file, catalogue)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("groundwater: 1.9 m", "groundwater: 1:2", "'1:2' is not a length"),  # not 62
        ("title: Quandong Rise", "title: no", ""),  # not False
        ("title: Quandong Rise", "title: 2026-11-25", ""),  # not a date
        ("title: Quandong Rise", "title: 0777", ""),  # not 511
        ("ref: QR-0412", "ref: 1e-3", ""),  # not 0.001
        ("tidal: no", "tidal: False", "'False' is neither yes nor no"),
        ("tidal: no", "tidal: 'no'", ""),
        ("density: 1000 kg/m3", "density: 1_000 kg/m3", "'1_000 kg/m3' is not a density"),
        ("rows: 3", "rows: 0x3", "'0x3' is not a count"),
        ("slot_width: 1.5 mm", "slot_width: 1.5e0 mm", ""),
        ("slot_width: 1.5 mm", "slot_width: .0015 m", ""),
        ("wall: 7 mm", "wall: 7mm", ""),
        ("mass: 780 kg", "mass: null", "'null' is not a mass"),
        ("mass: 780 kg", "mass: ~", "'~' is not a mass"),
    ],
)
def test_scalars_are_read_as_the_text_they_are(
    old: str, new: str, says: str, full: str, faults_of: Find
) -> None:
    found = faults_of(full.replace(old, new))
    assert [fault.wrong for fault in found] == ([says] if says else [])


def test_a_fault_can_be_placed_at_any_key_of_a_job(full: str, reads: Reads) -> None:
    job = reads(full)
    fault = job.fault(("standpipe", "slot_width"), "too wide", "Write less")
    assert str(fault) == "job.yml:48:15: standpipe.slot_width: too wide. Write less."
    absent = job.fault(("standpipe", "colour"), "odd", "Leave it out")
    assert (absent.line, absent.path) == (42, "standpipe.colour")
