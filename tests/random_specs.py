"""Random job specs as an author might write them: shells, odd outlines, soils, waters, materials.

A spec is drawn from one `random.Random`, so its seed repeats it. Some specs come out impossible
(a valve with no room, a tube too long for its pipe): the job room refuses those, and another is drawn.
"""

from __future__ import annotations

import math
import random
from typing import Any

from builder.catalogue import Catalogue

Spec = dict[str, Any]
Point = tuple[int, int]  # mm


def draw(rng: random.Random, catalogue: Catalogue) -> Spec:
    """Return one spec; lengths in mm unless they say otherwise."""
    shell = _shell(rng, catalogue)
    overflow = rng.randint(30, 110)
    spec: Spec = {
        "ref": "RANDOM",
        "title": "Random",
        "region": rng.choice(sorted(catalogue.regions)),
        "shell": shell,
        "levels": {
            "rim_above_ground": mm(rng.choice([0, 50, rng.randint(0, 400)])),
            "paving_above_rim": mm(rng.randint(0, 80)),
            "overflow_below_rim": mm(overflow),
            "water_below_rim": mm(overflow + rng.randint(0, 120)),
            "peg": {"above_rim": mm(rng.randint(100, 900)), "where": "a gate post"},
        },
        "ground": _ground(rng, catalogue),
        "bedding": {
            "material": _material(rng, catalogue, "bedding"),
            "thickness": mm(rng.randint(40, 200)),
        },
        "backfill": {
            "material": _material(rng, catalogue, "backfill"),
            "working_gap": mm(rng.choice([300, rng.randint(200, 900)])),
            "lift": mm(rng.choice([150, rng.randint(75, 300)])),
        },
        "standpipe": _standpipe(rng, catalogue, shell),
        "mesh": rng.choice([*sorted(catalogue.fabrics), "none"]),
        "ring_beam": {
            "width": mm(rng.randint(150, 600)),
            "depth": mm(rng.randint(100, 350)),
            "tied": rng.choice(["yes", "no"]),
        },
        "water": {
            "flow": f"{rng.randint(6, 60)} L/min",
            "density": f"{rng.choice([1000, 1000, 1010, 1025])} kg/m3",
        },
        "excavation": _excavation(rng),
    }
    if rng.random() < 0.5:
        spec["sump"] = {
            "depth": mm(rng.randint(100, 400)),
            "width": mm(rng.randint(200, 800)),
            "fill": _material(rng, catalogue, "sump"),
        }
    if rng.random() < 0.7:
        spec["pump"] = _pump(rng)
    if rng.random() < 0.15:
        spec["as_built"] = _as_built(rng)
    return spec


def mm(value: float) -> str:
    """Write a length in millimetres."""
    return f"{value:g} mm"


def _shell(rng: random.Random, catalogue: Catalogue) -> Any:
    """A catalogue shell or one in line."""
    if rng.random() < 0.4:
        return rng.choice(sorted(catalogue.shells))
    outline, length, width = _outline(rng)
    floor = _floor(rng, length)
    wall, thick = rng.randint(5, 14), rng.randint(5, 25)
    deep = sum(z for _, z in floor) / len(floor)
    # the laminate's weight by size and thickness, give or take
    likely = 1.6e-6 * (2 * (length + width) * deep * wall + length * width * thick)
    shell: Spec = {
        "outline": outline,
        "floor": [[mm(x), mm(z)] for x, z in floor],
        "wall_batter": f"{rng.choice([0, 1, 3, 5, 8])} deg",
        "wall": mm(wall),
        "floor_thickness": mm(thick),
        "mass": f"{likely * rng.uniform(0.6, 2.5):.0f} kg",
    }
    if rng.random() < 0.4:
        size = [mm(rng.randint(400, min(1500, length // 3))), mm(rng.randint(width // 3, width))]
        shell["ledges"] = [
            {"name": "steps", "at": ["0 m", "0 m"], "size": size, "depth": mm(rng.randint(150, 700))}
        ]
    if rng.random() < 0.2:
        shell["weight_centre"] = mm(rng.randint(length // 3, 2 * length // 3))
    if rng.random() < 0.4:
        shell["wall_limit"] = {
            "outward": f"{rng.randint(2, 12)} kPa",
            "inward": f"{rng.randint(1, 9)} kPa",
        }
    if rng.random() < 0.5:
        throat = rng.choice([32, 40, 50])
        seal: Any = rng.choice(["ring", {"bead": mm(rng.randint(4, 8))}])
        shell["relief"] = {
            "throat": mm(throat),
            "flange": mm(throat + rng.randint(30, 60)),
            "opening_head": mm(rng.randint(10, 150)),
            "seal": seal,
            "fitted_by": rng.choice(["factory", "site"]),
        }
    return shell


def _outline(rng: random.Random) -> tuple[Spec, int, int]:
    length = rng.randint(3600, 11000)
    width = rng.randint(2200, min(4800, length))
    form = rng.choice(["box", "box", "cut corners", "ell", "waist", "bean", "round ends"])
    if form == "box":
        radius = rng.choice([0, 0, rng.randint(50, 900)])
        given = {"length": mm(length), "width": mm(width), "corner_radius": mm(radius)}
        return given, length, width
    points: list[Point]
    if form == "cut corners":
        cuts = [(rng.randint(1, length // 3), rng.randint(1, width // 3)) for _ in range(4)]
        (a, b), (c, d), (e, f), (g, h) = cuts
        points = [(0, b), (a, 0), (length - c, 0), (length, d)]
        points += [(length, width - f), (length - e, width), (g, width), (0, width - h)]
    elif form == "ell":
        x, y = rng.randint(length // 3, 2 * length // 3), rng.randint(width // 2, 4 * width // 5)
        points = [(0, 0), (length, 0), (length, width), (x, width), (x, y), (0, y)]
    elif form == "waist":
        dent = rng.randint(1, width // 6)
        start, end = 2 * length // 5, 3 * length // 5
        points = [(0, 0), (start, dent), (end, dent), (length, 0)]
        points += [(length, width), (end, width - dent), (start, width - dent), (0, width)]
    elif form == "bean":
        points = _closed(length, width, rng.uniform(0.0, 0.18))
    else:
        radius = width / 2
        turns = [math.pi * at / 8 for at in range(9)]
        right = [(length - radius + radius * math.sin(t), radius - radius * math.cos(t)) for t in turns]
        left = [(radius - radius * math.sin(t), radius + radius * math.cos(t)) for t in turns]
        points = [(round(x), round(y)) for x, y in (*right, *left)]
    return {"points": [[mm(x), mm(y)] for x, y in points]}, length, width


def _closed(length: int, width: int, bend: float) -> list[Point]:
    """An ellipse, pushed in on one long side by `bend` of its width, moved to x = 0, y = 0."""
    turns = [2 * math.pi * at / 28 for at in range(28)]
    raw = [(math.cos(t), math.sin(t) + bend * 2 * math.exp(-6 * math.cos(t) ** 2)) for t in turns]
    low_x, low_y = min(x for x, _ in raw), min(y for _, y in raw)
    span_x, span_y = max(x for x, _ in raw) - low_x, max(y for _, y in raw) - low_y
    return [(round((x - low_x) / span_x * length), round((y - low_y) / span_y * width)) for x, y in raw]


def _floor(rng: random.Random, length: int) -> list[Point]:
    shallow, deep = sorted((rng.randint(800, 1600), rng.randint(1000, 2300)))
    start = rng.randint(length // 5, length // 2)
    end = min(start + max(600, deep - shallow), length - 300)
    form = rng.choice(["level", "slope", "slope", "hopper", "middle", "many", "both ends"])
    if form == "level":
        return [(0, deep), (length, deep)]
    if form == "slope":
        ends = rng.choice([(shallow, deep), (deep, shallow)])
        return [(0, ends[0]), (length, ends[1])]
    if form == "hopper":
        return [(0, shallow), (start, shallow), (end, deep), (length, deep)]
    if form == "middle":
        return [(0, shallow), (start, deep), (end, deep), (length, shallow)]
    if form == "both ends":
        return [(0, deep), (start, shallow), (end, shallow), (length, deep)]
    at = sorted({0, length, *(rng.randint(1, length - 1) for _ in range(4))})
    return [(x, rng.randint(shallow, deep)) for x in at]


def _ground(rng: random.Random, catalogue: Catalogue) -> Spec:
    soils = sorted(catalogue.grounds)
    ground: Spec = {}
    if rng.random() < 0.5:
        ground["soil"] = rng.choice(soils)
    else:
        ends = sorted(rng.sample(range(200, 4000), rng.randint(1, 3)))
        layers: list[Spec] = [{"to": mm(end), "soil": rng.choice(soils)} for end in ends]
        ground["layers"] = [*layers, {"soil": rng.choice(soils)}]
    seen = rng.random() < 0.7
    depth = rng.choice([0, rng.randint(0, 3500), rng.randint(0, 3500)])
    if seen:
        ground["groundwater"] = mm(depth)
        if rng.random() < 0.3:
            ground["highest_known"] = mm(rng.randint(0, depth))
        if rng.random() < 0.3:
            ground["aquifer_base"] = mm(depth + rng.randint(1, 8000))
    else:
        watched = rng.choice(["0 d", f"{rng.randint(1, 24)} h", f"{rng.randint(1, 40)} d"])
        ground["groundwater"] = {"not_seen_to": mm(rng.randint(500, 5000)), "watched_for": watched}
        if rng.random() < 0.2:
            ground["aquifer_base"] = mm(rng.randint(300, 9000))
    ground |= {
        "catchment": f"{rng.choice([0, 60, rng.randint(0, 400)])} m2",
        "runoff": f"{rng.choice([1.0, 0.8, 0.3])}",
        "rain_overnight": mm(rng.choice([50, rng.randint(0, 250)])),
        "tidal": "yes" if rng.random() < 0.1 else "no",
    }
    if rng.random() < 0.3:
        ground["neighbours"] = [
            {"what": "a footing", "away": mm(rng.randint(0, 6000)), "depth": mm(rng.randint(0, 3000))}
            for _ in range(rng.randint(1, 3))
        ]
    return ground


def _material(rng: random.Random, catalogue: Catalogue, use: str) -> str:
    return rng.choice(sorted(name for name, row in catalogue.materials.items() if use in row.uses))


def _standpipe(rng: random.Random, catalogue: Catalogue, shell: Any) -> Spec:
    tube: Spec = {"pipe": rng.choice(sorted(catalogue.pipes))}
    if rng.random() < 0.3:
        tube["pit"] = {"depth": mm(rng.randint(150, 700)), "width": mm(rng.randint(300, 800))}
    elif rng.random() < 0.3:
        tube["pit"] = "none"
    if rng.random() < 0.5:
        pitch = rng.randint(10, 40)
        tube |= {
            "slotted": mm(rng.randint(150, 900)),
            "pitch": mm(pitch),
            "slot_width": f"{rng.choice([0.5, 0.8, 1.5, 2, 3])} mm",
            "slot_length": mm(rng.randint(15, 40)),
            "rows": str(rng.randint(1, 4)),
        }
    if isinstance(shell, str) and catalogue.shells[shell] and rng.random() < 0.2:
        tube["beside"] = "skimmer"
    return tube


def _pump(rng: random.Random) -> Spec:
    head = rng.uniform(3.0, 12.0)
    flows = sorted(rng.sample(range(5, 400), rng.randint(1, 4)))
    heads = sorted((rng.uniform(0.0, head) for _ in flows), reverse=True)
    if rng.random() < 0.7:
        heads[-1] = 0.0
    curve = [["0 L/min", f"{head:.2f} m"]]
    curve += [[f"{flow} L/min", f"{lift:.2f} m"] for flow, lift in zip(flows, heads, strict=True)]
    return {
        "body": mm(rng.choice([40, 50, 60])),
        "min_depth": mm(rng.randint(5, 120)),
        "curve": curve,
        "hose": {
            "bore": mm(rng.choice([13, 19, 25, 32, 38, 50])),
            "length": f"{rng.randint(2, 80)} m",
            "rise": f"{rng.uniform(-1.0, 4.0):.2f} m",
        },
    }


def _excavation(rng: random.Random) -> Spec:
    dig: Spec = {"truck": f"{rng.randint(3, 14)} m3"}
    form = rng.choice(["given", "given", "default", "upright"])
    if form == "given":
        dig["batter"] = f"{rng.randint(20, 80)} deg"
    elif form == "upright":
        dig |= {"batter": "none", "shoring": "engineer"}
    if rng.random() < 0.3:
        dig |= {
            "overdug": mm(rng.randint(1, 300)),
            "makeup": rng.choice(["none", "compacted", "stabilised"]),
        }
    return dig


def _as_built(rng: random.Random) -> Spec:
    built: Spec = {"measured": "2026-11-18", "by": "crew lead"}
    for key, low, high in (
        ("tube_length", 1000, 2600),
        ("tube_top_above_rim", -60, 60),
        ("water_below_rim", 60, 200),
        ("paving_above_rim", 0, 80),
    ):
        if rng.random() < 0.6:
            built[key] = mm(rng.randint(low, high))
    built["dips"] = [
        {
            "on": f"2026-11-{rng.randint(1, 28):02d}",
            "dip": mm(rng.randint(-100, 2600)),
            "mark": rng.choice(["build", "top"]),
        }
        for _ in range(rng.randint(0, 3))
    ]
    return built
