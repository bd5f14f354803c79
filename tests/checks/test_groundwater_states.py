"""What is known of the groundwater, and what every number then says.

The box's bedding base lies 1500 mm below the rim, 1450 mm below the ground. A 100 mm hole with 300 mm
of it wet shows nine tenths of its water after 17,446 s (4.85 h) in fair ground of 1e-6 m/s, and after
1,744,637 s (20.2 d) in tight ground of 1e-8 m/s.
"""

import pytest

from builder.checks import Results
from tests.checks.by_hand import results

NULL = object()


def hole(depth: str, watched: str | None, **changes: object) -> Results:
    water = {"not_seen_to": depth} | ({} if watched is None else {"watched_for": watched})
    return results({"ground.groundwater": water, **{key.replace("__", "."): v for key, v in changes.items()}})


@pytest.mark.parametrize(
    ("soil", "depth", "watched", "state", "verdict"),
    [
        # too shallow, however long it was watched
        ("fair-ground", "1.44 m", "30 d", "unknown", "cannot tell"),
        ("tight-ground", "1.44 m", "30 d", "unknown", "cannot tell"),
        # deep enough, but not watched, or not for the shorter of the lag and 7 days
        ("fair-ground", "2.4 m", None, "unknown", "cannot tell"),
        ("fair-ground", "2.4 m", "17440 s", "unknown", "cannot tell"),
        ("tight-ground", "2.4 m", "6.99 d", "unknown", "cannot tell"),
        # long enough
        ("fair-ground", "2.4 m", "17450 s", "below", "ok"),
        ("fair-ground", "1.45 m", "17450 s", "below", "ok"),
        ("open-ground", "2.4 m", "1 min", "below", "ok"),
        # lag over 7 days: a week is as good as it gets, and rain is the matter
        ("tight-ground", "2.4 m", "7 d", "below", "watch"),
        ("tight-ground", "2.4 m", "30 d", "below", "watch"),
    ],
)
def test_a_dry_hole_is_believed_only_where_it_was_deep_and_watched_long_enough(
    soil: str, depth: str, watched: str | None, state: str, verdict: str
) -> None:
    worked = hole(depth, watched, ground__soil=soil)
    assert worked.groundwater.state == state
    assert worked["level.groundwater"].value is None
    assert worked["level.groundwater"].verdict == verdict
    assert worked["level.groundwater"].reason


def test_a_dry_hole_that_is_believed_says_below_which_level_the_water_stays() -> None:
    worked = hole("2.4 m", "1 d")
    assert worked.groundwater.used == pytest.approx(2.45)
    assert "2,450 mm below the rim" in worked["level.groundwater"].reason


def test_clay_that_gives_no_water_in_a_week_says_that_rain_fills_the_dig() -> None:
    assert "rain" in hole("2.4 m", "7 d", ground__soil="tight-ground")["level.groundwater"].reason


@pytest.mark.parametrize(
    ("worked", "expected"),
    [
        pytest.param(
            results(),
            {
                "level.groundwater": ("ok", 0.55),
                "uplift.safety_today": ("ok", 1.5072),
                "uplift.lowest_water": ("ok", None),
                "valve.head": ("ok", -0.43),
                "standpipe.yield": ("ok", 0.82595 * 2e-3 * 0.012),
                "standpipe.reach": ("ok", 1.70),
            },
            id="seen",
        ),
        pytest.param(
            hole("1.44 m", "3 d"),
            {
                "level.groundwater": ("cannot tell", NULL),
                # worked with groundwater at ground level: 23840/(1000·18.1804·1.37)
                "uplift.safety_today": ("cannot tell", 0.95716),
                "uplift.lowest_water": ("cannot tell", None),
                "valve.head": ("cannot tell", NULL),
                "standpipe.yield": ("cannot tell", NULL),
                "standpipe.reach": ("ok", 1.70),
            },
            id="unknown",
        ),
        pytest.param(
            hole("2.4 m", "3 d"),
            {
                "level.groundwater": ("ok", NULL),
                "uplift.safety_today": ("ok", NULL),
                "uplift.lowest_water": ("ok", None),
                "valve.head": ("ok", NULL),
                "standpipe.yield": ("ok", NULL),
                "standpipe.reach": ("ok", 1.70),
            },
            id="below",
        ),
    ],
)
def test_each_state_gives_its_own_verdicts(worked: Results, expected: dict[str, tuple[str, object]]) -> None:
    for key, (verdict, value) in expected.items():
        assert worked[key].verdict == verdict, key
        if value is NULL:
            assert worked[key].value is None, key
            assert worked[key].reason, key
        elif value is not None:
            assert worked[key].si == pytest.approx(value, rel=1e-4), key


def test_an_unknown_groundwater_is_never_reads_only() -> None:
    changes = {"standpipe__pit": "none", "standpipe__foot_below_underside": "15 mm"}
    assert hole("1.44 m", "3 d", **changes)["standpipe.reach"].verdict == "watch"
    assert hole("2.4 m", "3 d", **changes)["standpipe.reach"].verdict == "ok"


@pytest.mark.parametrize(
    ("layers", "days"),
    [
        # the underside lies 1370 mm below the ground; the hole ends at 2400
        ([{"to": "1.3 m", "soil": "tight-ground"}, {"soil": "fair-ground"}], 17446 / 86400),
        ([{"to": "1.4 m", "soil": "tight-ground"}, {"soil": "fair-ground"}], 1744637 / 86400),
        ([{"to": "2.3 m", "soil": "fair-ground"}, {"soil": "tight-ground"}], 1744637 / 86400),
        ([{"to": "2.5 m", "soil": "fair-ground"}, {"soil": "tight-ground"}], 17446 / 86400),
    ],
)
def test_the_hole_follows_the_tightest_layer_between_underside_and_its_bottom(
    layers: list[dict[str, str]], days: float
) -> None:
    worked = hole("2.4 m", "3 d", ground__soil=None, ground__layers=layers)
    assert worked["ground.lag_90"].si / 86400 == pytest.approx(days, rel=1e-4)


@pytest.mark.parametrize(
    ("below_ground", "upper", "lower"),
    [
        ("500 mm", 0.25, 0.55),  # 300 mm above the groundwater
        ("1.6 m", 1.12, 1.42),  # above the deepest underside where the groundwater is lower
        ("200 mm", 0.05, 0.25),  # no higher than the ground
        ({"not_seen_to": "1.44 m"}, 1.12, 1.42),  # the underside where it is not known
    ],
)
def test_the_gap_is_averaged_over_the_300_mm_above_the_water(
    below_ground: object, upper: float, lower: float
) -> None:
    # batter 45 degrees over a base at 1500 mm: at depth z the gap is 0.3 + (1.5 − z) wide
    worked = results({"ground.groundwater": below_ground, "excavation": {"batter": "45 deg"}})
    mean = 0.0
    steps = 2000
    for at in range(steps):
        z = upper + (at + 0.5) / steps * (lower - upper)
        wide = 0.3 + 1.5 - z
        mean += (2 * (6.02 + 3.02) * wide + 3.141592653589793 * wide**2) / steps
    given = worked["standpipe.time_lag_soil"].inputs["gap_area"].value
    assert given == pytest.approx(mean, rel=1e-3)
