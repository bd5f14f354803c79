"""Standpipe cut sheet: the tube as it is cut, its marks and slots, and the slots rolled out."""

from __future__ import annotations

import math

from builder.figures import details
from builder.figures.canvas import Layer, Sheet, View, rectangle
from builder.figures.column import Tag, column
from builder.figures.lettering import bold, safe, width, wrapped
from builder.figures.marks import HEAD, across, upright
from builder.figures.placer import LEAD
from builder.figures.reader import Reader
from builder.figures.scene import Scene
from builder.figures.style import EDGE, MARGIN, OUTLINE, TEXT, THIN, WIDTH

HIGH = 262.0  # points: the tube as cut
STEP = 8.0  # points between the texts of two dimensions side by side
STRIP_HIGH = 84.0  # points: the wall rolled out, at most, as long as that shows two slots
STRIP_PITCHES = 4  # rows along the tube that are shown rolled out
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
    tags, said = _names(read, view, foot - long)
    edge = left + levels.tube.outside * scale / 2 + 6
    end = column(sheet, tags, edge=edge, x=edge + 13, low=0.0, high=HIGH * 0.5)
    said += _strip(sheet, view, read, edge + 13, end + 16)
    sheet.close()
    return Scene(
        sheet=sheet,
        title="Standpipe: how to cut it",
        caption=f"Detail {details.SLOTS} of the long section is the wall with its slots. The tube to one "
        f"scale; lengths in {words.unit} from the foot. Cut it long, stand it, and trim it only when the "
        "paving level is there.",
        description="The standpipe with its length as cut, the ring of the build mark, the trim line "
        "and the slots rolled out.",
        long_description=tuple(said),
        anchors={
            "foot": (0.0, foot),
            "build mark": (0.0, foot - mark),
            "trim": (0.0, foot - trimmed),
            "top": (0.0, foot - long),
        },
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
    trim = read.length("standpipe.length")
    below = words.exact(spec.below_lid)
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
    ]
    said = [
        f"The standpipe is cut from {pipe}, {bore[1]} outside and {bore[0]} in the bore.",
        f"Cut it {read.mm('standpipe.cut_length')} long. Paint the build mark, a ring at rim level, "
        f"{read.mm('standpipe.build_mark')} from the foot.",
        f"When the paving level is there, trim it to {read.mm('standpipe.length')}, "
        f"{words.exact_mm(spec.below_lid)} below the lid. "
        "A cap goes on the foot, a loose cap on the top.",
    ]
    return tags, said


def _strip(sheet: Sheet, view: View, read: Reader, left: float, top: float) -> list[str]:
    """The slotted wall rolled out, from the foot up, at a whole number of times the tube's scale."""
    levels, words = read.levels, read.words
    spec = levels.job.spec.standpipe
    girth = math.pi * levels.tube.outside
    pitch = words.exact(spec.pitch)
    room = width(pitch, TEXT) + STEP
    fits = (WIDTH - MARGIN - left - room) / (girth * view.scale)
    times, parts = max(1, math.floor(fits)), max(1, math.ceil(1 / fits))
    scale = view.scale * times / parts
    large = f"1/{parts} as large" if parts > 1 else "as large" if times == 1 else f"{times} times as large"
    fit = max(2, math.floor(STRIP_HIGH / (spec.pitch * scale)))
    rows = min(STRIP_PITCHES, fit, math.floor(spec.slotted / spec.pitch + 1e-9))
    wide, high = girth * scale, (rows + 0.4) * spec.pitch * scale
    head = top + TEXT
    heading = wrapped(f"{details.named(details.SLOTS, 'slots')}, wall rolled out", WIDTH - MARGIN - left)
    for number, line in enumerate((*heading, large)):
        sheet.text(line, left, head + LEAD * number)
    close = rows > 1 and spec.pitch * scale < 2 * HEAD + 2  # heads of the pitch stand outside it
    y0 = head + LEAD * len(heading) + (31 if close else 23)
    low = y0 + high
    ring = rectangle(left, y0, left + wide, low)
    sheet.fill([ring], "tube", Layer.TUBE)
    sheet.stroke([[ring[0], ring[3], ring[2], ring[1]]], "tube-line", OUTLINE, Layer.EDGE)
    sheet.stroke([[ring[0], ring[1]]], "tube-line", EDGE, Layer.EDGE, dash=(3.0, 2.0))
    half = spec.slot_length * scale / 2
    thick = max(spec.slot_width * scale, 1.0)
    levels_up = [low - (number + 0.5) * spec.pitch * scale for number in range(rows)]
    slots = []
    for row in range(spec.rows):
        middle = left + wide * (row + 0.5) / spec.rows
        slots += [[(middle - half, y), (middle + half, y)] for y in levels_up]
    sheet.stroke(slots, "ink", thick, Layer.EDGE)
    first = left + wide * 0.5 / spec.rows
    slot = words.exact(spec.slot_length)
    over = y0 - (18 if close else 10)
    sheet.stroke(
        [[(first + s * half, levels_up[-1] - 2), (first + s * half, over - 3)] for s in (-1, 1)],
        "dimension",
        THIN,
        Layer.NOTE,
    )
    across(sheet, first - half, first + half, over, slot)
    x = left + wide + STEP
    if rows > 1:
        sheet.stroke(
            [[(left + wide - (wide / spec.rows / 2 - half) + 2, y), (x + 3, y)] for y in levels_up[-2:]],
            "dimension",
            THIN,
            Layer.NOTE,
        )
        upright(sheet, x, levels_up[-1], levels_up[-2], pitch, side="left")
        low = max(low, levels_up[-2] + (HEAD + 5 if close else 0.0))
    half_pitch = words.exact(spec.pitch / 2)
    count = f"{read.si('standpipe.slot_count') or 0:,.0f}"
    lines = [
        f"{spec.rows} rows, {count} slots in all",
        f"each {slot} long, {words.exact(spec.slot_width)} wide",
        f"lowest slots at {half_pitch}",
    ]
    fitted = [part for line in lines for part in wrapped(line, WIDTH - MARGIN - left)]
    for number, line in enumerate(fitted, 1):
        sheet.text(line, left, low + 2 + LEAD * number)
    return [
        f"Slots are cut across the tube in {spec.rows} rows evenly spaced around it, over the lowest "
        f"{words.exact_mm(spec.slotted)}: "
        f"the first {half_pitch} above the foot, then every {words.exact_mm(spec.pitch)}; {count} "
        f"slots, each {slot} long and "
        f"{words.exact_mm(spec.slot_width)} wide.",
        f"The wall with the slots is shown rolled out, {large} as the tube beside it.",
    ]
