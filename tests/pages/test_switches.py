"""Every switch of a job changes what a reader reads, on the pages it belongs to."""

import re
from pathlib import Path

import pytest

from builder.catalogue import load
from builder.figures import draw
from builder.pages.manifest import CONTENT, entries
from tests.pages.reading import JOBS, changed, guide_of, page, results_of, seen

ALL = ("index", "steps/look", "steps/dig", "steps/pocket", "steps/receive", "steps/standpipe", "steps/lifts")
SUMP = "sump: {depth: 200 mm, width: 400 mm, fill: drainage-gravel-20}"
PIT = "pit: {depth: 300 mm, width: 400 mm}"
LAST = "ring_beam: {width: 300 mm, depth: 200 mm, tied: no}"
IN_LINE = """shell:
  name: A box
  outline: {length: 7.4 m, width: 3.4 m, corner_radius: 300 mm}
  floor: [[0 m, 1.15 m], [4.8 m, 1.70 m], [7.4 m, 1.70 m]]
  wall: 7 mm
  mass: 780 kg
  relief: {throat: 50 mm, thread: G2, flange: 90 mm, opening_head: 60 mm, seal: %s, fitted_by: %s}
"""


def shell(seal: str, fitted_by: str) -> tuple[str, str]:
    return ("shell: tern-74\n", IN_LINE % (seal, fitted_by))


@pytest.mark.parametrize(
    ("one", "other", "path", "only_one", "only_other"),
    [
        (
            ("soil: stiff-clay", "soil: stiff-clay"),
            ("soil: stiff-clay", "soil: sand"),
            "steps/pocket",
            "",
            "plastic sheet",
        ),
        (
            ("soil: stiff-clay", "soil: stiff-clay"),
            ("soil: stiff-clay", "soil: sand"),
            "water/rain",
            "like water in a bowl",
            "by itself",
        ),
        (
            ("mesh: geotextile-fine", "mesh: geotextile-fine"),
            ("mesh: geotextile-fine", "mesh: none"),
            "steps/pocket",
            "Lay the mesh",
            "this job has no mesh",
        ),
        (("sump: none", "sump: none"), ("sump: none", SUMP), "steps/pocket", "", "Dig the sump"),
        (("pit: none", "pit: none"), ("pit: none", PIT), "steps/pocket", "", "Dig the tube pit"),
        (
            shell("ring", "factory"),
            shell("{bead: 8 mm}", "factory"),
            "steps/receive",
            "Lay the ring",
            "Lay one bead of sealant",
        ),
        (
            shell("ring", "factory"),
            shell("ring", "site"),
            "steps/receive",
            "factory moulded",
            "Find the hole",
        ),
        (
            ("groundwater: 1.9 m ", "groundwater: 1.9 m "),
            ("groundwater: 1.9 m ", "groundwater: 1.3 m "),
            "steps/dig",
            "for rain",
            "Stop at the water",
        ),
        (
            ("groundwater: 1.9 m ", "groundwater: 1.9 m "),
            ("groundwater: 1.9 m ", "groundwater: {not_seen_to: 1 m} #"),
            "steps/look",
            "the water stays under the base",
            "nobody knows yet",
        ),
        (("tidal: no", "tidal: no"), ("tidal: no", "tidal: yes"), "water/read", "", "at high water"),
        (
            (LAST, LAST),
            (LAST, LAST.replace("tied: no", "tied: yes")),
            "steps/beam",
            "is not tied",
            "Tie the shell",
        ),
        (
            ("region: au-nsw", "region: au-nsw"),
            ("region: au-nsw", "region: uk"),
            "steps/set",
            "licensed dogger",
            "slinger",
        ),
        (
            ("audience: owner-builder", "audience: owner-builder"),
            ("audience: owner-builder", "audience: crew"),
            "steps/lifts",
            "You can do this yourself",
            "The crew leader passes it",
        ),
    ],
)
def test_a_switch_changes_its_page(
    tmp_path: Path,
    one: tuple[str, str],
    other: tuple[str, str],
    path: str,
    only_one: str,
    only_other: str,
) -> None:
    here, there = (
        seen(page(guide_of(changed(tmp_path, name, pair)), f"{path}.md"))
        for name, pair in (("one", one), ("other", other))
    )
    assert only_one in here
    assert only_other in there
    assert not only_one or only_one not in there
    assert not only_other or only_other not in here


def test_two_different_jobs_differ_on_every_page_for_acting(tmp_path: Path) -> None:
    one = guide_of(changed(tmp_path, "here", ("issue: A\n", "issue: A\n")))
    other = guide_of(changed(tmp_path, "there", ("region: nz", "region: nz"), source="harakeke-flat.yml"))
    for path in ALL:
        lines, others = (set(seen(page(guide, f"{path}.md")).split("\n")) for guide in (one, other))
        assert len(lines - others) > len(lines) / 5, path


def test_the_pressure_of_the_pipe_test_is_told_as_the_gauge_of_the_place_shows_it(tmp_path: Path) -> None:
    # by hand: 200 kPa / 6.894757 kPa a psi = 29.0
    feet = guide_of(changed(tmp_path, "feet", ("region: au-nsw", "region: us")))
    assert "29 psi (200 kPa)" in seen(page(feet, "steps/pipes.md"))
    metric = guide_of(changed(tmp_path, "metric", ("issue: A\n", "issue: A\n")))
    assert "200 kPa" in seen(page(metric, "steps/pipes.md"))
    assert "psi" not in seen(page(metric, "steps/pipes.md"))


def test_where_regions_differ_stands_in_a_table_with_the_job_s_own_place_first(tmp_path: Path) -> None:
    nz = seen(page(guide_of(changed(tmp_path, "nz", ("region: au-nsw", "region: nz"))), "limits.md"))
    table = nz.split("Where regions differ")[1]
    assert table.index("New Zealand") < table.index("New South Wales") < table.index("United States")
    assert table.count("New Zealand\n") == 1
    assert "400 mm\n300 mm\n2 ft (610 mm)" in table  # the rows of shared/regions.yml: 24 in is 609.6 mm


@pytest.mark.parametrize("source", ["harakeke-flat", "sagebrush-court", "mallee-lane"])
def test_the_short_form_has_the_same_numbers_cautions_and_steps(tmp_path: Path, source: str) -> None:
    forms = ("audience: owner-builder", "audience: crew")
    text = (JOBS / f"{source}.yml").read_text("utf-8")
    now = next(form for form in forms if form in text)
    owner, crew = (
        guide_of(changed(tmp_path, form[-4:], (now, form), source=f"{source}.yml")) for form in forms
    )
    for entry in entries():
        if entry.group not in ("Steps", "Water"):
            continue
        read = [page(guide, entry.path).markdown for guide in (owner, crew)]
        digits = [set(re.findall(r'<b(?: class="n")?>([^<]*\d[^<]*)</b>', one)) for one in read]
        boxes = [re.findall(r"^!!! (?!who|hold|call).*$", one, re.MULTILINE) for one in read]
        assert digits[0] == digits[1], entry.path
        assert boxes[0] == boxes[1], entry.path
        assert read[0].count("\n1. ") == read[1].count("\n1. "), entry.path
        assert len(read[1]) <= len(read[0]), entry.path


def test_every_region_names_who_does_each_licensed_act_a_page_asks_for() -> None:
    asked = {
        act
        for path in CONTENT.rglob("*.md")
        for act in re.findall(r'who\("([^"]+)"\)', path.read_text("utf-8"))
    }
    assert {"electrical", "crane", "mains water", "sewer", "gas", "barrier"} <= asked
    for region in load().regions.values():
        for act in asked:
            assert region.who(act).who, (region.id, act)


def test_a_tube_that_hardly_any_water_gets_into_is_never_pumped(tmp_path: Path) -> None:
    backfill = ("backfill: {material: drainage-gravel-7", "backfill: {material: cement-bound-sand")
    guide = guide_of(changed(tmp_path, "bound", backfill, ("groundwater: 1.9 m ", "groundwater: 1.25 m ")))
    rises = seen(page(guide, "water/rises.md"))
    assert "Leave the pump out of the tube" in rises
    assert "Less than a litre in ten minutes" in rises
    for shown in guide.pages:
        assert not re.search(r"(?<![\d.,])0 (L/min|litres a minute)", seen(shown)), shown.path
    results = results_of(tmp_path / "bound.yml")
    drawn = draw("water-rises", results.levels, results)
    assert "Do not count on pumping" in " ".join(drawn.long_description)
