"""What stands round the dig, and how near it may come: fence, heap of spoil, crane.

All of it goes by common practice (shared/practice.yml). Nothing here says where on the block they stand.
"""

from __future__ import annotations

from builder.calc import dig as calc
from builder.catalogue.practice import practices
from builder.checks.sheet import Sheet
from builder.levels import Levels


def work(sheet: Sheet, levels: Levels) -> None:
    """Write the fence's size, the heap's, and how far heap and crane stay back.

    Needs dig.top_length, dig.top_width, dig.depth_deep and dig.bulked_volume.
    """
    habit = {name: row.value for name, row in practices().items()}
    for name, words in (("length", "least length of the fence"), ("width", "least width of the fence")):
        sheet.work(
            f"dig.fence_{name}",
            f"{words} round the dig",
            calc.fence,
            side="up",
            audience="step",
            size=sheet.si(f"dig.top_{name}"),
            fence_back=habit["fence-back"],
        )
    depth = sheet.si("dig.depth_deep")
    sheet.work(
        "dig.heap_back",
        "least distance of the heap of spoil from the edge of the dig",
        calc.heap_back,
        side="up",
        audience="step",
        edge=habit["edge"],
        depth=depth,
        fence_back=habit["fence-back"],
        heap_fence=habit["heap-fence"],
    )
    sheet.work(
        "dig.crane_back",
        "least distance of the crane's feet from the edge of the dig",
        calc.crane_back,
        side="up",
        audience="step",
        crane_times=habit["crane-back"],
        depth=depth,
        run=levels.dig.run * sheet["dig.depth_deep"].si,
        fence_back=habit["fence-back"],
    )
    _heap(sheet, habit["heap-high"], habit["heap-slope"])


def _heap(sheet: Sheet, most: float, slope: float) -> None:
    volume, length = sheet["dig.bulked_volume"].si, sheet["dig.fence_length"].si
    width, height = calc.heap(volume=volume, length=length, most=most, slope=slope)
    for name, words, size, symbol in (
        ("width", "width of a heap of all the spoil, as long as the fence", width, "b_h"),
        ("height", "height of that heap", height, "h_h"),
    ):
        sheet.method(
            f"dig.heap_{name}",
            words,
            size,
            unit="m",
            symbol=symbol,
            how="the width b at which length*b*h - (length + b)*r*h + 4/3*r^2*h is bulked_volume, with "
            "h = min(most, tan(slope)*min(length, b)/2) and r = h/tan(slope)",
            source="common-practice",
            side="up" if name == "width" else "nearest",
            audience="step",
            inputs={
                "bulked_volume": (volume, "m3"),
                "length": (length, "m"),
                "most": (most, "m"),
                "slope": (slope, "rad"),
            },
        )
