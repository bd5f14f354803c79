"""The standpipe of the plain box: its cuts, its reach, what it yields and what it proves."""

import math

import pytest

from builder.checks import most_pumped
from tests.checks.by_hand import results


def shape_factor(wet: float) -> float:
    """Hvorslev's, for `wet` metres of a tube 80 mm outside."""
    return 2 * math.pi * wet / math.log(wet / 0.08 + math.sqrt(1 + (wet / 0.08) ** 2))


@pytest.mark.parametrize(
    ("foot", "cut"),
    [
        ("329 mm", 1.91),
        ("330 mm", 1.91),
        ("331 mm", 1.92),
        ("340 mm", 1.92),
        ("321 mm", 1.91),
        ("320 mm", 1.90),
        ("330.4 mm", 1.91),  # tenths are rounded away before
        ("330.6 mm", 1.92),
    ],
)
def test_a_tube_is_cut_to_the_next_ten_millimetres_and_an_exact_multiple_stays(foot: str, cut: float) -> None:
    # foot 330 mm under the underside: 1420 + 330 + 10 + 150 = 1910 mm
    assert results({"standpipe.foot_below_underside": foot})["standpipe.cut_length"].si == cut


@pytest.mark.parametrize(
    ("slotted", "pitch", "count"),
    [("600 mm", "25 mm", 72), ("599 mm", "25 mm", 69), ("300 mm", "100 mm", 9), ("700 mm", "70 mm", 30)],
)
def test_slots_are_counted_in_whole_pitches(slotted: str, pitch: str, count: int) -> None:
    worked = results({"standpipe.slotted": slotted, "standpipe.pitch": pitch})
    assert worked["standpipe.slot_count"].si == count


def test_the_gravel_limits_the_yield_where_it_passes_less_than_the_slots() -> None:
    # Gravel's water at the bedding base, 1500 mm; foot at 1750. Dust of 1e-8 m/s passes so little that two
    # rings of slots would do; the gravel alone gives most between, where more head meets less length.
    number = results({"backfill.material": "dust"})["standpipe.yield"]
    deeper = (1.500 + step / 1000 for step in range(1, 201))
    assert number.si == pytest.approx(
        max(shape_factor(1.75 - z) * 1e-8 * (z - 1.5) for z in deeper), rel=1e-9
    )


def test_only_slots_under_the_pumped_water_count() -> None:
    # Gravel that passes anything: the slots rule, those within 250 mm of the foot less a hair. Ten rings of
    # three, at 12.5 to 237.5 mm above the foot, however much further up the tube is slotted.
    ten = 30 * 0.030 * 0.0015 * 0.03 * 0.5
    for slotted in ("250 mm", "600 mm", "1.5 m"):
        number = results({"backfill.material": "stone", "standpipe.slotted": slotted})["standpipe.yield"]
        assert number.si == pytest.approx(ten, rel=1e-9)
        assert number.inputs["wet_slots"].value == 30
    number = results({"backfill.material": "stone", "standpipe.slotted": "100 mm"})["standpipe.yield"]
    assert number.si == pytest.approx(0.4 * ten, rel=1e-9)
    # a foot 100 mm deeper puts four more rings under the water
    deeper = {
        "standpipe.foot_below_underside": "430 mm",
        "standpipe.pit": {"depth": "400 mm", "width": "400 mm"},
    }
    number = results({"backfill.material": "stone", **deeper})["standpipe.yield"]
    assert number.si == pytest.approx(1.4 * ten, rel=1e-9)


def test_the_yield_does_not_hang_on_todays_water_where_the_tube_reaches_under_the_bedding() -> None:
    # dipped at 550, at 1490 or at 1640 mm: what it gives while it holds the bedding base
    todays = [results({"ground.groundwater": at})["standpipe.yield"] for at in ("0.5 m", "1.44 m", "1.59 m")]
    assert todays[0].si == todays[1].si == todays[2].si
    assert todays[0].inputs["in_gravel"].value == pytest.approx(1.5)


def test_a_tube_that_does_not_reach_under_the_bedding_gives_from_todays_water() -> None:
    # foot 15 mm under the underside: reach 1385 mm, over the bedding base; the water at 550
    number = results({"standpipe.foot_below_underside": "15 mm"})["standpipe.yield"]
    assert number.inputs["in_gravel"].value == pytest.approx(0.55)
    # all 24 rings count with the water in the tube at 1435 − 587.5 mm or a little higher
    assert number.si == pytest.approx(72 * 0.030 * 0.0015 * 0.03 * 0.5, rel=1e-9)


def test_a_pump_that_asks_for_no_water_leaves_a_millimetre() -> None:
    number = results({"pump.min_depth": "0 mm", "ground.groundwater": "1.6985 m"})["standpipe.yield"]
    assert number.value is not None
    assert number.inputs["wet_length"].value >= 0.001


def test_a_pump_is_throttled_to_the_yield_and_not_to_what_the_slots_alone_would_pass() -> None:
    assert "1.1 litres a minute" in results()["standpipe.yield"].reason
    assert "1.1 litres" not in results({"backfill.material": "dust"})["standpipe.yield"].reason


def test_a_tube_that_too_little_water_gets_into_is_not_pumped() -> None:
    # dust of 1e-8 m/s: 7e-6 L/min, far under a litre in ten minutes (0.1 L/min; common practice)
    worked = results({"backfill.material": "dust"})
    assert worked["standpipe.yield"].si < 0.1e-3 / 60
    throttle = worked["pump.throttle_to"]
    assert (throttle.value, throttle.verdict) == (None, "watch")
    assert worked["standpipe.yield"].verdict == "watch"
    assert "a litre in ten minutes" in throttle.reason
    assert "call" in throttle.reason
    assert most_pumped(worked.__getitem__) is throttle  # never what the slots alone would pass
    assert most_pumped(results().__getitem__).key == "pump.throttle_to"


def test_where_the_water_is_not_known_a_backfill_that_does_not_drain_still_gives_the_tube_nothing() -> None:
    unknown = {"ground.groundwater": {"not_seen_to": "1.0 m"}}
    assert most_pumped(results(unknown).__getitem__).key == "standpipe.gentle_flow"
    dust = results({"backfill.material": "dust", **unknown})
    assert most_pumped(dust.__getitem__).verdict == "watch"


def test_below_the_tubes_reach_there_is_no_yield_and_no_fault() -> None:
    number = results({"ground.groundwater": "1.65 m"})["standpipe.yield"]  # 1700 mm, at the reach
    assert number.value is None
    assert (number.verdict, bool(number.reason)) == ("ok", True)


def test_the_link_test_without_a_pit_fills_a_strip_of_bedding() -> None:
    # foot 15 mm in the bedding, 65 mm above its base; strip 0.4 m by 3.16 m (valve to tube), 0.4 pores;
    # above the strip's own gravel the water runs off, so the 15 mm over the foot are all that can show
    worked = results({"standpipe.pit": "none", "standpipe.foot_below_underside": "15 mm"})
    assert worked["proof.litres"].si == pytest.approx(0.4 * 0.4 * 3.16 * (0.015 + 0.065), rel=1e-4)
    assert worked["proof.rise"].si == pytest.approx(0.015, rel=1e-9)


def test_the_link_test_asks_for_no_more_water_than_stands_in_the_pit() -> None:
    # pit 400 x 400 x 300 mm, foot 50 mm above its base: 250 mm of pit over the foot. Of 20 L in 0.4
    # pores there would be 0.020/(0.4*0.4*0.4) - 0.050 = 0.2625 m, 12.5 mm more than the pit holds
    assert results()["proof.rise"].si == pytest.approx(0.250, rel=1e-9)


def test_a_foot_level_with_the_gravels_top_can_show_nothing() -> None:
    number = results({"standpipe.pit": "none", "standpipe.foot_below_underside": "0 mm"})["proof.rise"]
    assert number.verdict == "cannot tell"


def test_a_sump_fills_before_the_link_shows() -> None:
    changes = {"standpipe.pit": "none", "standpipe.foot_below_underside": "15 mm"}
    plain = results(changes)["proof.litres"].si
    sump = {"depth": "200 mm", "width": "400 mm", "fill": "stone"}
    more = results({**changes, "sump": sump})["proof.litres"].si
    assert more - plain == pytest.approx(0.5 * 0.4 * 0.4 * 0.2, rel=1e-9)


@pytest.mark.parametrize(("body", "verdict"), [("62 mm", "ok"), ("62.1 mm", "stop"), ("73 mm", "stop")])
def test_a_pump_needs_ten_millimetres_of_room(body: str, verdict: str) -> None:
    assert results({"pump.body": body})["standpipe.pump_clearance"].verdict == verdict  # bore 72 mm


@pytest.mark.parametrize(("length", "verdict"), [("33 mm", "ok"), ("34 mm", "stop")])
def test_slots_may_cut_two_fifths_of_the_girth(length: str, verdict: str) -> None:
    # 0.40·π·80/3 = 33.5 mm
    assert results({"standpipe.slot_length": length})["standpipe.girth_cut"].verdict == verdict


@pytest.mark.parametrize(
    ("shallow", "pit", "verdict"),
    [
        ("1.35 m", "none", "ok"),
        ("1.34 m", "none", "stop"),
        ("1.34 m", {"depth": "300 mm", "width": "400 mm"}, "ok"),
    ],
)
def test_a_tube_stands_at_the_deep_end_or_in_a_pit(shallow: str, pit: object, verdict: str) -> None:
    changes = {
        "shell.floor": [["0 m", "1.4 m"], ["4 m", "1.4 m"], ["6 m", shallow]],
        "standpipe.beside": {"at": ["6.16 m", "1.5 m"]},
        "standpipe.pit": pit,
        "standpipe.foot_below_underside": "15 mm",
    }
    assert results(changes)["standpipe.place"].verdict == verdict


@pytest.mark.parametrize(
    ("bedding", "backfill", "value", "verdict"),
    [
        ("bed", "fill", 0.0, "ok"),
        ("bed", "dust", 1.0, "stop"),
        ("dust", "fill", 1.0, "stop"),
        ("dust", "dust", 2.0, "stop"),
        ("bed", "riddle", None, "cannot tell"),
        ("dust", "riddle", None, "stop"),
    ],
)
def test_the_tube_reads_the_floor_only_through_what_drains(
    bedding: str, backfill: str, value: float | None, verdict: str
) -> None:
    number = results({"bedding.material": bedding, "backfill.material": backfill})["standpipe.reads_floor"]
    assert (number.value, number.verdict) == (value, verdict)


@pytest.mark.parametrize(
    ("below_ground", "foot", "verdict", "words"),
    [
        ("0.5 m", "330 mm", "ok", "can hold"),  # reach 1700 mm, 280 mm under the underside
        ("0.5 m", "150 mm", "ok", "can hold"),  # exactly 100 mm under it
        ("0.5 m", "149 mm", "watch", "can't"),
        ("1.6 m", "15 mm", "ok", "reads only"),  # 1650 mm, under the bedding base of 1500 mm
    ],
)
def test_the_reach_is_judged_by_the_underside_and_by_what_is_known(
    below_ground: str, foot: str, verdict: str, words: str
) -> None:
    changes = {"ground.groundwater": below_ground, "standpipe.foot_below_underside": foot}
    number = results(changes)["standpipe.reach"]
    assert number.verdict == verdict
    assert words in number.reason


@pytest.mark.parametrize(
    ("more", "verdict"),
    [
        ({}, "ok"),
        ({"ground.highest_known": "1.46 m"}, "ok"),  # 1510 mm below the rim, the bedding base at 1500
        ({"ground.highest_known": "1.44 m"}, "watch"),
        ({"ground.tidal": "yes"}, "watch"),
    ],
)
def test_water_that_has_stood_higher_or_has_a_tide_is_not_known_to_stay_under(
    more: dict[str, str], verdict: str
) -> None:
    changes = {"ground.groundwater": "1.6 m", "standpipe.foot_below_underside": "15 mm", **more}
    assert results(changes)["standpipe.reach"].verdict == verdict


# --- tie measures --------------------------------------------------------------------------------


def test_the_lid_of_the_box_is_tied_to_three_corners_of_its_rim() -> None:
    # The rim is 6 m by 3 m; the tube stands in the middle of the 300 mm gap beside the end wall of 10 mm:
    # x = 6 + 0.010 + 0.150 = 6.16, y = 1.5. From B (6, 0) and C (6, 3): sqrt(0.16² + 1.5²); their tapes
    # cross at 168 degrees, too flat, so A (0, 0) is one of the pair: sqrt(6.16² + 1.5²).
    rows = results()["standpipe.ties"].table.records()
    assert [row["from"] for row in rows] == ["rim corner B", "rim corner C", "rim corner A"]
    assert [row["away"] for row in rows] == pytest.approx(
        [math.hypot(0.16, 1.5), math.hypot(0.16, 1.5), math.hypot(6.16, 1.5)]
    )


def test_a_skimmer_is_a_mark_as_good_as_a_corner() -> None:
    # the tube at (4.5, -0.16), the skimmer at (4, 0): sqrt(0.5² + 0.16²), nearer than any corner
    worked = results(
        {"shell.skimmer": {"at": ["4 m", "0 m"]}, "standpipe.beside": {"at": ["4.5 m", "-0.16 m"]}}
    )
    first = worked["standpipe.ties"].table.records()[0]
    assert first["from"] == "middle of the skimmer"
    assert first["away"] == pytest.approx(math.hypot(0.5, 0.16))


@pytest.mark.parametrize("x", ["0.4 m", "1.5 m", "3 m", "5.9 m"])
def test_three_tapes_give_one_place_whatever_side_the_tube_stands_on(x: str) -> None:
    # a property: of the points at the first two distances, only the tube lies at the third too
    worked = results({"standpipe.beside": {"at": [x, "-0.16 m"]}})
    rows = [[float(cell or 0.0) for cell in row[1:4]] for row in worked["standpipe.ties"].table.rows]
    tube = worked.levels.tube.x, worked.levels.tube.y
    (one, x0, y0), (_, x1, y1), (third, x2, y2) = rows
    assert math.dist(tube, (x0, y0)) == pytest.approx(one)
    # the tube mirrored in the line from the first mark to the second is the other crossing
    long = math.dist((x0, y0), (x1, y1))
    along = ((tube[0] - x0) * (x1 - x0) + (tube[1] - y0) * (y1 - y0)) / long**2
    foot = x0 + along * (x1 - x0), y0 + along * (y1 - y0)
    other = 2 * foot[0] - tube[0], 2 * foot[1] - tube[1]
    if math.dist(tube, other) > 0.4:  # two crossings this near each other lie under one lid
        assert abs(math.dist(other, (x2, y2)) - third) > 0.02


@pytest.mark.parametrize(
    ("groundwater", "wet"),
    [
        ("0.5 m", 0.600),  # 1750 − 550 mm stand in the tube, over all its slots
        ("1.1 m", 0.600),  # 600 mm
        ("1.6 m", 0.100),  # 1750 − 1650 mm
        ("1.68 m", 0.050),  # 20 mm: no less than can be seen at the foot
        ("3 m", 0.050),  # dry: when the first water shows
        ({"not_seen_to": "2 m", "watched_for": "0 d"}, 0.050),
    ],
)
def test_a_tube_in_shallow_water_follows_the_backfill_later(groundwater: object, wet: float) -> None:
    # Bore 72 mm: 0.0040715 m2. 600 mm wet: F = 2π·0.6/ln(7.5 + 7.566) = 1.38985 m, A/(F·0.02) = 0.14647 s;
    # 100 mm: F = 2π·0.1/ln(1.25 + 1.6008) = 0.59977 m, 0.33942 s; 50 mm: 0.53234 m, 0.38241 s.
    number = results({"ground.groundwater": groundwater})["standpipe.time_lag_backfill"]
    assert number.inputs["wet_length"].value == pytest.approx(wet)
    by_hand = {0.600: 0.14647, 0.100: 0.33942, 0.050: 0.38241}[wet]
    assert number.si == pytest.approx(by_hand, rel=1e-4)
    assert number.si == pytest.approx(math.pi / 4 * 0.072**2 / (shape_factor(wet) * 0.02))
