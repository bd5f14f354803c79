"""Readings of a tube as people type them, and what is none."""

READINGS = [
    *[(mark, "mm", str(dip), str(pool)) for mark, dip, pool in (
        ("mark", 0, 0), ("mark", 1, 120), ("mark", 99, 120), ("mark", 100, 60), ("mark", 219, 60),
        ("mark", 220, 60), ("mark", 221, 60), ("mark", 299, 0), ("mark", 300, 100), ("mark", 399, 100),
        ("mark", 400, 115), ("mark", 400, 116), ("mark", 404, 90), ("mark", 405, 90), ("mark", 406, 90),
        ("mark", 500, 230), ("mark", 500, 231), ("mark", 777, 400), ("mark", 999, 725), ("mark", 1000, 854),
        ("mark", 1300, 1150), ("mark", 1499, 1250), ("mark", 1699, 1450), ("mark", 1722, 1550),
        ("top", 0, 120), ("top", 9, 120), ("top", 10, 120), ("top", 230, 60), ("top", 231, 60),
        ("top", 409, 115), ("top", 410, 115), ("top", 415, 115), ("top", 416, 115), ("top", 1732, 1550),
    )],
    ("mark", "m", "0,5", "0,12"), ("mark", "m", "0.5", "0.12"), ("mark", "m", "1", "0"),
    ("mark", "m", "1.7 m", "1.554"), ("top", "m", "1,732", "1,55"), ("mark", "mm", "1,406 mm", "1,195"),
    ("mark", "mm", " 1250\u00a0mm ", "850"),
    ("mark", "in", "19 11/16", "4 1/2"), ("mark", "in", "19 3/4", "4.5"), ("mark", "in", "1 ft 8 in", "9 in"),
    ("mark", "in", "4' 1 1/4\"", "3 ft"), ("mark", "in", "15,75", "4,53"), ("mark", "in", "67 3/4 in", "61"),
    ("mark", "in", "1/2", "1/4"), ("mark", "in", "3 ft", "2 ft 11 15/16 in"),
    ("mark", "in", "5 ft 1/2", "5 ft"),
]  # fmt: skip
"""A mark, a unit, a dip and a pool level as typed."""

NOT_READINGS = [
    ("mark", "mm", "", "120"), ("mark", "mm", "900", ""), ("mark", "mm", "0,5", "120"),
    ("mark", "mm", "0.5", "120"), ("mark", "mm", "-5", "120"), ("mark", "mm", "1723", "120"),
    ("mark", "mm", "1e3", "120"), ("mark", "mm", "dry", "120"), ("mark", "mm", "\uff19\uff10\uff10", "120"),
    ("mark", "mm", "900", "1701"), ("mark", "mm", "9 00", "120"), ("mark", "mm", "1.2 m", "120"),
    ("mark", "mm", "900\n", "120"), ("mark", "m", "1250", "0.1"), ("mark", "m", "1.2345", "0.1"),
    ("mark", "m", "1,2,3", "0.1"), ("mark", "in", "41/4", "4"), ("mark", "in", "4 5/4", "4"),
    ("mark", "in", "4 ft 13", "4"), ("mark", "in", "4.5 1/2", "4"), ("mark", "in", "in", "4"),
    ("side", "mm", "900", "120"), ("mark", "furlong", "900", "120"), ("mark", "mm", "Infinity", "120"),
]  # fmt: skip
