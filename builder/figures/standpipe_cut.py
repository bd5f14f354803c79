"""Standpipe cut sheet: the tube as it is cut, its marks and slots, and the slots rolled out."""

from __future__ import annotations

import math

from builder.figures import details, slot_wall
from builder.figures.canvas import Layer, Sheet, View, rectangle
from builder.figures.column import Tag, column
from builder.figures.lettering import bold, safe, width
from builder.figures.marks import upright
from builder.figures.placer import LEAD
from builder.figures.reader import Reader
from builder.figures.scene import Scene, said
from builder.figures.style import EDGE, MARGIN, OUTLINE, TEXT, THIN

HIGH = 226.0  # points: the tube as cut
STEP = 8.0  # points between the texts of two dimensions side by side
CAP = 0.012  # of the tube's length: how high the loose cap is drawn


def draw(read: Reader) -> Scene:
    """Return the cut sheet of a job's standpipe."""
    levels, words = read.levels, read.words
    spec = levels.job.spec.standpipe
    long, trimmed, mark = (read.si(f"standpipe.{key}") for key in ("cut_length", "length", "build_mark"))
    if long is None or trimmed is None or mark is None:  # a sum of levels: always there
        raise ValueError("the standpipe has no length")
    foot = levels.tube_foot
    texts = [
        read.length("standpipe.cut_length"),
        read.length("standpipe.build_mark"),
        words.exact(spec.slotted),
    ]
    wide = [width(text, TEXT) for text in texts]
    scale = HIGH / long
    left = MARGIN + sum(wide) + 3 * STEP + levels.tube.outside * scale / 2
    view = View(scale, 0.0, foot - long, left=left)
    sheet = Sheet()
    _tube(sheet, view, read, foot - long)
    x = MARGIN
    for text, reach, taken in zip(texts, (long, mark, spec.slotted), wide, strict=True):
        top, low = view.y(foot - reach), view.y(foot)
        middle = x + taken / 2
        upright(sheet, middle, top, low, text)
        end = left - levels.tube.outside * scale / 2 - 2
        sheet.stroke([[(middle - 3, top), (end, top)]], "dimension", THIN, Layer.NOTE)
        x += taken + STEP
    low = view.y(foot)
    sheet.stroke(
        [[(MARGIN + wide[0] / 2 - 3, low), (left - levels.tube.outside * scale / 2 - 2, low)]],
        "dimension",
        THIN,
        Layer.NOTE,
    )
    tags, told = _names(read, view, foot - long)
    edge = left + levels.tube.outside * scale / 2 + 6
    end = column(sheet, tags, edge=edge, x=edge + 13, low=0.0, high=HIGH)
    chosen, short = slot_wall.strip(sheet, read, max(end, low) + LEAD + 4)
    sheet.close()
    large = chosen.said(words)
    out = "Between two zigzag lines a piece is left out." if short else ""
    return Scene(
        sheet=sheet,
        title="Standpipe: how to cut it",
        caption=" ".join(
            said(
                f"The tube to one scale; lengths in {words.unit} from the foot. Cut it long, stand it, and "
                "trim it only when the paving level is there.",
                f"Detail {details.SLOTS} of the long section, the wall with its slots, is {large}.",
                out,
            )
        ),
        description="The standpipe with its length as cut, the ring of the build mark, the trim line "
        "and the slots rolled out.",
        long_description=(*told, f"A piece of the wall with its slots is shown rolled out and {large}."),
        anchors={
            "foot": (0.0, foot),
            "build mark": (0.0, foot - mark),
            "trim": (0.0, foot - trimmed),
            "top": (0.0, foot - long),
        },
        printed=chosen.printed,
    )


def _tube(sheet: Sheet, view: View, read: Reader, top: float) -> None:
    """The tube from the foot to where it is cut, with slots, mark, trim line and caps."""
    levels = read.levels
    spec = levels.job.spec.standpipe
    half, foot = levels.tube.outside / 2, levels.tube_foot
    ring = view.line(rectangle(-half, top, half, foot))
    sheet.fill([ring], "tube", Layer.TUBE)
    spare = view.line(rectangle(-half, top, half, levels.tube_top))
    sheet.fill([spare], "paper", Layer.TUBE)
    count = math.floor(spec.slotted / spec.pitch + 1e-9)
    slots = [foot - (number + 0.5) * spec.pitch for number in range(count)]
    sheet.stroke([view.line([(-half, z), (half, z)]) for z in slots], "tube-line", THIN, Layer.EDGE)
    sheet.stroke(
        [view.line([(-half, levels.tube_top), (-half, foot), (half, foot), (half, levels.tube_top)])],
        "tube-line",
        OUTLINE,
        Layer.EDGE,
    )
    sheet.stroke([[*spare, spare[0]]], "tube-line", EDGE, Layer.EDGE, dash=(2.2, 1.8))
    over = half + 3 / view.scale
    sheet.stroke(
        [view.line([(-over, levels.tube_top), (over, levels.tube_top)])],
        "ink",
        EDGE,
        Layer.FRONT,
        dash=(3.0, 1.5),
    )
    sheet.stroke([view.line([(-half, 0.0), (half, 0.0)])], "ink", 3.0, Layer.FRONT)
    cap = CAP * (foot - top)
    sheet.fill([view.line(rectangle(-over, foot - cap, over, foot + cap * 0.4))], "tube-line", Layer.FRONT)


def _names(read: Reader, view: View, top: float) -> tuple[list[Tag], list[str]]:
    levels, words = read.levels, read.words
    spec = levels.job.spec.standpipe
    half = levels.tube.outside / 2
    pipe = safe(levels.job.pipe.name)
    bore = words.length(levels.tube.bore, step=0.001), words.length(levels.tube.outside, step=0.001)
    trim = read.mm("standpipe.length")
    below = words.exact(spec.below_lid)
    half_pitch, slot = words.exact(spec.pitch / 2), words.exact(spec.slot_length)
    count = f"{read.si('standpipe.slot_count') or 0:,.0f}"
    tags = [
        Tag(("cut here: " + bold(read.mm("standpipe.cut_length")),), view.at(half, top)),
        Tag(("trim here later: " + bold(trim), f"{below} below the lid"), view.at(half, levels.tube_top)),
        Tag(
            ("build mark: ring at rim level, from the foot " + bold(read.mm("standpipe.build_mark")),),
            view.at(half, 0.0),
        ),
        Tag(
            (f"tube {bore[1]} outside, {bore[0]} bore",),
            view.at(half, (levels.tube_foot - spec.slotted) * 0.55),
        ),
        Tag(
            (
                f"{bold(details.SLOTS)} {spec.rows} {'row' if spec.rows == 1 else 'rows'} of slots,",
                f"{count} in all, each {slot} long,",
                f"{words.exact(spec.slot_width)} wide; the lowest",
                f"{half_pitch} above the foot",
            ),
            view.at(half, levels.tube_foot - spec.slotted / 2),
        ),
    ]
    told = [
        f"The standpipe is cut from {pipe}, {bore[1]} outside and {bore[0]} in the bore.",
        f"Cut it {read.mm('standpipe.cut_length')} long. Paint the build mark, a ring at rim level, "
        f"{read.mm('standpipe.build_mark')} from the foot.",
        f"When the paving level is there, trim it to {read.mm('standpipe.length')}, "
        f"{words.exact_mm(spec.below_lid)} below the lid. "
        "A cap goes on the foot, a loose cap on the top.",
        f"Slots are cut across the tube in {spec.rows} rows evenly spaced around it, over the lowest "
        f"{words.exact_mm(spec.slotted)}: "
        f"the first {half_pitch} above the foot, then every {words.exact_mm(spec.pitch)}; {count} "
        f"slots, each {slot} long and "
        f"{words.exact_mm(spec.slot_width)} wide.",
    ]
    return tags, told
