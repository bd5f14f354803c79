"""Random valid jobs: changes of the box's spec for hypothesis to draw."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st


@st.composite
def jobs(draw: st.DrawFn) -> dict[str, Any]:
    """Return changes of the box: another shell, other levels, ground, tube and materials."""
    length = draw(st.integers(4000, 9000))
    width = draw(st.integers(2200, min(4200, length)))
    radius = draw(st.sampled_from([0, 0, 200, 500]))
    shallow, deep = sorted((draw(st.integers(1000, 1600)), draw(st.integers(1000, 2000))))
    start = draw(st.integers(length // 4, length // 2))
    form = draw(st.sampled_from(["level", "slope", "hopper", "middle"]))
    floor = {
        "level": [(0, deep), (length, deep)],
        "slope": [(0, shallow), (length, deep)],
        "hopper": [(0, shallow), (start, shallow), (start + 1000, deep), (length, deep)],
        "middle": [(0, shallow), (start, deep), (start + 900, deep), (length, shallow)],
    }[form]
    wall, thick = draw(st.integers(5, 12)), draw(st.integers(6, 20))
    # laminate of walls and floor, give or take: from the same rough sum a maker would do
    likely = 1.6e-6 * (2 * (length + width) * (shallow + deep) / 2 * wall + length * width * thick)
    mass = likely * draw(st.floats(0.7, 2.0))
    ledges = []
    if draw(st.booleans()):
        size = [f"{draw(st.integers(500, 900))} mm", f"{width} mm"]
        ledges = [{"name": "steps", "at": ["0 m", "0 m"], "size": size, "depth": "400 mm"}]
    water: object = f"{draw(st.integers(0, 3500))} mm"
    if draw(st.integers(0, 3)) == 0:
        water = {
            "not_seen_to": f"{draw(st.integers(500, 4000))} mm",
            "watched_for": f"{draw(st.integers(0, 20))} d",
        }
    overflow = draw(st.integers(30, 100))
    sump: object = "none"
    if draw(st.booleans()):
        sump = {"depth": "200 mm", "width": "400 mm", "fill": "stone"}
    changes: dict[str, Any] = {
        "shell.outline": {
            "length": f"{length} mm",
            "width": f"{width} mm",
            "corner_radius": f"{radius} mm",
        },
        "shell.floor": [[f"{x} mm", f"{z} mm"] for x, z in floor],
        "shell.ledges": ledges,
        "shell.wall_batter": f"{draw(st.sampled_from([0, 2, 4, 6]))} deg",
        "shell.wall": f"{wall} mm",
        "shell.floor_thickness": f"{thick} mm",
        "shell.laminate_density": "1600 kg/m3",
        "shell.mass": f"{mass:.1f} kg",
        "levels.rim_above_ground": f"{draw(st.integers(0, 150))} mm",
        "levels.overflow_below_rim": f"{overflow} mm",
        "levels.water_below_rim": f"{overflow + draw(st.integers(0, 100))} mm",
        "ground.soil": draw(st.sampled_from(["open-ground", "fair-ground", "tight-ground"])),
        "ground.groundwater": water,
        "bedding.thickness": f"{draw(st.integers(40, 150))} mm",
        "bedding.material": draw(st.sampled_from(["bed", "fill", "dust"])),
        "backfill.material": draw(st.sampled_from(["fill", "stone", "dust", "riddle"])),
        "standpipe.pit": None,
        "standpipe.foot_below_underside": None,
        "standpipe.slotted": f"{draw(st.integers(200, 700))} mm",
        "mesh": draw(st.sampled_from(["cloth", "veil", "none"])),
        "sump": sump,
        "ring_beam.tied": draw(st.sampled_from(["yes", "no"])),
        "water.density": f"{draw(st.sampled_from([1000, 1025]))} kg/m3",
        "excavation": draw(
            st.sampled_from(
                [{"batter": "none", "shoring": "engineer"}, {"batter": "45 deg"}, {"batter": "27 deg"}]
            )
        ),
    }
    return changes
