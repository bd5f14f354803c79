"""The sheets that are true to size, read back from their PDFs and put together as a reader would."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest

from builder import checks
from builder.catalogue import load
from builder.checks import standpipe
from builder.checks.sheet import Sheet as Numbers
from builder.figures import papers_of, true_size
from builder.figures.paper import pdf
from builder.figures.papers import PAPERS
from builder.figures.reader import Reader
from builder.figures.style import ROLES
from builder.figures.template import template
from tests.figures.conftest import JOBS, Made, make
from tests.figures.read_pdf import Sheet, read

INK, SLOT, JOIN = (ROLES[role].print for role in ("ink", "tube-line", "groundwater"))
NEAR = 0.05  # mm
MARK = re.compile(r"[A-Z]+\d+")
DEMO = [(path.stem, paper) for path in JOBS for paper in ("a4", "a3")] + [("sagebrush-court", "letter")]
# rows, slotted, pitch, slot length, slot width; mm: the default, many fine slots, few long ones
SETTINGS = [(3, 600.0, 25.0, 30.0, 1.5), (4, 700.0, 12.0, 12.5, 0.5), (2, 330.0, 50.0, 55.0, 3.0)]


@pytest.fixture(scope="module")
def jobs() -> dict[str, Made]:
    return {path.stem: make(path) for path in JOBS}


@pytest.fixture(scope="module", params=DEMO, ids=[f"{job}-{paper}" for job, paper in DEMO])
def content(request, jobs) -> tuple[Made, str, bytes]:
    job, paper = request.param
    made = jobs[job]
    return made, paper, true_size(made.levels, made.results, paper)


@pytest.fixture(scope="module")
def printed(content) -> tuple[Made, str, list[Sheet]]:
    made, paper, pages = content
    return made, paper, read(pages)


def test_a_page_is_exactly_its_paper(printed):
    _, paper, sheets = printed
    # ISO 216: A4 is 210 by 297 mm, A3 297 by 420; Letter is 8 1/2 by 11 in of 25.4 mm
    size = {"a4": (210.0, 297.0), "a3": (297.0, 420.0), "letter": (8.5 * 25.4, 11 * 25.4)}[paper]
    for sheet in sheets:
        assert (sheet.width, sheet.height) == pytest.approx(size, abs=1e-4)


def test_every_page_has_bars_of_a_hundred_millimetres_both_ways(printed):
    made, _, sheets = printed
    feet = made.levels.job.region.units == "us"
    for sheet in sheets:
        for way in (0, 1):
            long = [gap for gap in _bars(sheet, way) if abs(gap - 100) < 1]
            assert len(long) == 1
            assert long[0] == pytest.approx(100.0, abs=0.004)  # 100.00
            inches = [gap for gap in _bars(sheet, way) if abs(gap - 101.6) < 0.5]  # 4 in of 25.4 mm
            assert inches == (pytest.approx([101.6], abs=0.004) if feet else [])
        assert sheet.words.count("100 mm") >= 2


def _bars(sheet: Sheet, way: int) -> list[float]:
    """The gaps between pairs of end ticks, 3.6 mm long, that lie across from each other."""
    ticks = [path.points for path in sheet.stroked(INK) if len(path.points) == 2]
    ends = [
        (one[way], one[1 - way])
        for one, other in ticks
        if abs(abs(one[1 - way] - other[1 - way]) - 3.6) < 1e-3
    ]
    return sorted(b - a for a, off in ends for b, beside in ends if abs(off - beside) < 1e-3 and b > a)


def test_every_page_says_whose_it_is_which_one_it_is_and_how_to_print_it(printed):
    made, paper, sheets = printed
    spec = made.levels.job.spec
    for number, sheet in enumerate(sheets, 1):
        assert f"{spec.ref} · {spec.title} · issue {spec.issue}" in sheet.words
        assert f"{PAPERS[paper].name}, page {number} of {len(sheets)}" in sheet.words
        assert "Print at 100 %" in sheet.words
        assert "before you cut" in sheet.words
        assert "don't use this sheet" in sheet.words


def test_everything_stays_clear_of_the_papers_edge(printed):
    _, _, sheets = printed
    for sheet in sheets:
        for path in sheet.paths:
            x0, y0, x1, y1 = path.box
            assert min(x0, y0, sheet.width - x1, sheet.height - y1) >= 7.0
        for text, x, y in sheet.texts:
            assert min(x, y) >= 7.0, text
            assert max(x - sheet.width, y - sheet.height) <= -7.0, text


def test_a_file_is_small_and_the_same_every_time(content):
    made, paper, pages = content
    assert pages == true_size(made.levels, made.results, paper)
    assert len(pages) < 60_000
    assert b"CreationDate" not in pages


def test_put_together_by_their_marks_the_pages_show_every_slot_where_it_belongs(printed):
    made, _, sheets = printed
    spec = made.levels.job.spec.standpipe
    lengths = (spec.slotted, spec.pitch, spec.slot_length, spec.slot_width)
    _check_slots(sheets, made.levels.tube.outside * 1000, spec.rows, *(size * 1000 for size in lengths))


@pytest.mark.parametrize("setting", SETTINGS, ids=["usual", "fine", "few"])
@pytest.mark.parametrize("name", list(load().pipes))
def test_every_pipe_of_the_catalogue_gets_its_slots_within_a_twentieth_of_a_millimetre(name, setting, jobs):
    rows, slotted, pitch, length, width = setting
    pipe = load().pipes[name]
    made = _with_tube(jobs["quandong-rise"], name, setting)
    reader = Reader(made.levels, made.results, made.results.groundwater)
    paper = PAPERS["a4" if setting is SETTINGS[0] else "a3"]
    sheets = read(pdf(template(reader, paper), "a tube"))
    _check_slots(sheets, pipe.outside * 1000, rows, slotted, pitch, length, width)


def _with_tube(made: Made, name: str, setting: tuple[int, float, float, float, float]) -> Made:
    """A job with another tube: the numbers of the standpipe worked again, the others as they were."""
    rows, slotted, pitch, length, width = setting
    levels, pipe = made.levels, load().pipes[name]
    sizes = {"slotted": slotted, "pitch": pitch, "slot_length": length, "slot_width": width}
    tube = replace(
        levels.job.spec.standpipe, pipe=name, rows=rows, **{key: size / 1000 for key, size in sizes.items()}
    )
    job = replace(levels.job, spec=replace(levels.job.spec, standpipe=tube), pipe=pipe)
    placed = replace(levels, job=job, tube=replace(levels.tube, outside=pipe.outside, bore=pipe.bore))
    numbers = Numbers()
    standpipe.work(numbers, placed)
    worked = checks.Results({**made.results.numbers, **numbers.numbers}, placed, made.results.groundwater)
    return Made(name, placed, worked, {})


def _check_slots(sheets, outside, rows, slotted, pitch, length, width) -> None:
    """Hold the slots of the joined pages against a layout by hand, from the foot and the tube's own edge."""
    girth = math.pi * outside
    wanted = [
        (girth * (row + 0.5) / rows, pitch * (ring + 0.5))
        for ring in range(math.floor(slotted / pitch + 1e-9))
        for row in range(rows)
    ]
    pages = [sheet for sheet in sheets if "Slot template" in sheet.words]
    places = _joined(pages)
    left, foot = (
        _edge(pages, places, "this edge meets", upright=True),
        _edge(pages, places, "FOOT", upright=False),
    )
    meet = _edge(pages, places, "the other edge meets", upright=True)
    top = _edge(pages, places, "TOP", upright=False)
    assert meet - left == pytest.approx(girth, abs=NEAR)
    assert foot - top == pytest.approx(slotted, abs=NEAR)
    found: dict[tuple[float, float], list[tuple[float, float, float, float]]] = {spot: [] for spot in wanted}
    for sheet, (dx, dy) in zip(pages, places, strict=True):
        for path in sheet.filled(SLOT):
            x0, y0, x1, y1 = path.box
            box = (x0 + dx - left, foot - y1 - dy, x1 + dx - left, foot - y0 - dy)
            middle = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
            nearest = min(wanted, key=lambda spot, middle=middle: math.dist(spot, middle))
            found[nearest].append(box)
    for (x, y), boxes in found.items():
        whole = (
            min(b[0] for b in boxes),
            min(b[1] for b in boxes),
            max(b[2] for b in boxes),
            max(b[3] for b in boxes),
        )
        right = (x - length / 2, y - width / 2, x + length / 2, y + width / 2)
        assert whole == pytest.approx(right, abs=NEAR)
        assert any(box == pytest.approx(right, abs=NEAR) for box in boxes), "no page shows it whole"


def _joined(sheets: list[Sheet]) -> list[tuple[float, float]]:
    """How far each page is moved when all are laid mark on mark, the first where it is."""
    marks = [_marks(sheet) for sheet in sheets]
    places: dict[int, tuple[float, float]] = {0: (0.0, 0.0)}
    while len(places) < len(sheets):
        before = len(places)
        for at, own in enumerate(marks):
            for other in [number for number in places if number != at]:
                shared = own.keys() & marks[other].keys()
                if not shared:
                    continue
                moves = [
                    tuple(marks[other][name][way] + places[other][way] - own[name][way] for way in (0, 1))
                    for name in shared
                ]
                assert len(moves) == 2
                assert moves[0] == pytest.approx(moves[1], abs=0.005)
                assert places.setdefault(at, moves[0]) == pytest.approx(moves[0], abs=0.01)
        assert len(places) > before, "a page has no mark in common with the others"
    return [places[at] for at in range(len(sheets))]


def _marks(sheet: Sheet, left: float = 0.0, right: float = 999.0) -> dict[str, tuple[float, float]]:
    """The middles of the join marks between two places across the page, by the name beside each."""
    names = [(text, x, y) for text, x, y in sheet.texts if MARK.fullmatch(text) and left < x < right]
    found = {}
    for path in sheet.stroked(JOIN):
        if not path.closed:
            continue
        x0, y0, x1, y1 = path.box
        x, y = (x0 + x1) / 2, (y0 + y1) / 2
        if not left < x < right:
            continue
        beside = [(abs(at - x), name) for name, at, base in names if abs(base - (y - 2.6)) < 0.01]
        found[min(beside)[1]] = (x, y)
    assert len(found) == len(names)
    return found


def _edge(pages, places, words: str, *, upright: bool) -> float:
    """Where the edge lies that words stand on: the long line of ink nearest to them."""
    for sheet, place in zip(pages, places, strict=True):
        for text, *spot in sheet.texts:
            if text.startswith(words):
                across, way = (0, 1) if upright else (1, 0)
                lines = [
                    path.points[0][across]
                    for path in sheet.stroked(INK)
                    if len(path.points) == 2
                    and path.width == pytest.approx(0.5, abs=1e-3)
                    and abs(path.points[0][way] - path.points[1][way]) > 20
                    and min(p[way] for p in path.points) - 60
                    < spot[way]
                    < max(p[way] for p in path.points) + 60
                ]
                return min(lines, key=lambda line: abs(line - spot[across])) + place[across]
    raise AssertionError(f"no page says {words}")


def test_the_strips_put_together_have_every_mark_at_its_level_worded_as_the_story_pole_is(printed):
    made, _, sheets = printed
    drawn = made.drawn["story-pole"]
    levels = {name: at[1] for name, at in drawn.anchors.items() if "." in name}
    told = {box.text.replace("\u00a0", " ") for box in drawn.texts}  # on paper every blank is a plain one
    pages = [sheet for sheet in sheets if "Story-pole strips" in sheet.words]
    signs = _signs(pages)
    for side in ("fill", "water"):
        wanted = sorted(z * 1000 for name, z in levels.items() if name.startswith(side))
        assert signs[side] == pytest.approx(wanted, abs=NEAR)
    for sheet in pages:
        for text, _, _ in sheet.texts:
            said = text.replace("'", "\u2032").replace('"', "\u2033")
            if re.fullmatch(r"Lift \d+|First water|Last water", said):
                assert said in told
    names = [text for sheet in pages for text, _, _ in sheet.texts]
    assert sum(text.startswith(("Lift ", "First water", "Last water")) for text in names) == len(levels)
    said = {text.replace("'", "\u2032").replace('"', "\u2033") for text in names}
    readings = {text for text in told if re.match(r"[\d,]+($|\u2032|\u2033| )", text)}
    assert readings <= said


def _signs(pages: list[Sheet]) -> dict[str, list[float]]:
    """The levels of all mark lines below the strip's top edge, by side, each once."""
    found: dict[str, set[float]] = {"fill": set(), "water": set()}
    offset: dict[str, float] = {}  # of a join mark below the top of the strip
    for sheet in pages:
        edges = sorted({round(path.points[0][0], 3) for path in sheet.stroked(INK) if _is_side(path)})
        for left, right in zip(edges[::2], edges[1::2], strict=True):
            assert right - left == pytest.approx(66.0, abs=NEAR)
            own = {name: y for name, (_, y) in _marks(sheet, left, right).items()}
            known = [name for name in own if name in offset]
            if known:
                top = own[known[0]] - offset[known[0]]
            else:
                (line,) = [
                    path.points[0][1]
                    for path in sheet.stroked(INK)
                    if _is_level(path, left, right) and path.width == pytest.approx(0.5, abs=1e-3)
                ]
                top = line
            offset.update({name: y - top for name, y in own.items()})
            for path in sheet.stroked(INK):
                start, end = path.points[0], path.points[-1]
                if (
                    len(path.points) == 2
                    and abs(start[1] - end[1]) < 1e-6
                    and abs(abs(start[0] - end[0]) - 8.0) < 1e-3
                ):
                    if start[0] == pytest.approx(left, abs=1e-3):
                        found["fill"].add(round(start[1] - top, 2))
                    elif start[0] == pytest.approx(right, abs=1e-3):
                        found["water"].add(round(start[1] - top, 2))
    return {side: sorted(levels) for side, levels in found.items()}


def _is_side(path) -> bool:
    x0, y0, x1, y1 = path.box
    return (
        len(path.points) == 2
        and x1 - x0 < 1e-6
        and y1 - y0 > 12
        and path.width == pytest.approx(0.3, abs=1e-3)
    )


def _is_level(path, left: float, right: float) -> bool:
    x0, y0, x1, y1 = path.box
    return y1 - y0 < 1e-6 and (x0, x1) == pytest.approx((left, right), abs=1e-3)


def test_a_job_without_a_plan_of_filling_has_no_strips(jobs):
    made = jobs["quandong-rise"]
    none = replace(made.results["fill.stages"], value=None)
    worked = checks.Results(
        {**made.results.numbers, "fill.stages": none}, made.levels, made.results.groundwater
    )
    sheets = read(true_size(made.levels, worked, "a4"))
    assert all("Slot template" in sheet.words for sheet in sheets)


def test_what_a_number_stops_the_sheet_says_in_place_of_what_to_do(jobs):
    made = jobs["harakeke-flat"]  # its groundwater: more runs in than its pump moves
    assert made.results["fill.stages"].verdict == "stop"
    for sheet in read(true_size(made.levels, made.results, "a4")):
        if "Story-pole" in sheet.words:
            assert "STOP: more water can run into the dig" in sheet.words
            assert "Cut out each piece" not in sheet.words
        else:
            assert "STOP" not in sheet.words


def test_a_region_gets_the_papers_it_can_buy():
    assert papers_of("metric") == ("a4", "a3")
    assert papers_of("us") == ("letter", "a4", "a3")
