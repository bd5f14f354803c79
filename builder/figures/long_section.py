"""Long section: the job cut along the pool through the relief valve, with its levels below the rim."""

from __future__ import annotations

import math

from builder.figures import details, parts, waters
from builder.figures.canvas import Point, Sheet, View
from builder.figures.cut import Cut
from builder.figures.lettering import bold
from builder.figures.marks import skirt
from builder.figures.placer import Note, Span, along
from builder.figures.reader import Reader
from builder.figures.scene import Scene, said, thickened
from builder.levels import long_section

ON_FLOOR = 0.001  # metres: a point of the cut this near the floor's own line lies on the floor
SAME_FLOOR = 0.02  # metres: an end less than this above the deepest floor is not labelled apart


def draw(read: Reader) -> Scene:
    """Return the long section of a job."""
    levels, words = read.levels, read.words
    cut = Cut(levels, long_section(levels))
    view = cut.view()
    sheet = Sheet()
    anchors = parts.whole(sheet, view, cut)
    pool_note, pool_said = waters.pool(sheet, view, read, anchors)
    ground_note, ground_said = waters.ground(sheet, view, cut, read)
    above, below, told = _levels(read, cut, view, anchors)
    ends = _rings(sheet, view, read, anchors)
    high = min(view.y(cut.window[1]) - 1.0, *(top for top, _ in ends))
    low = max(view.y(cut.lowest) + 4.0, *(foot for _, foot in ends))
    skirt(sheet, [*above, pool_note], high, down=False)
    skirt(sheet, [*below, ground_note], low, down=True)
    sheet.close()
    thick = thickened(cut.thicker(view))
    where = "at the side of the shell, dashed" if cut.tube_hidden else "at the end of the shell"
    return Scene(
        sheet=sheet,
        title="Long section",
        caption=" ".join(
            said(
                "The pool cut along its length at the relief valve.",
                f"All to one scale; levels in {words.unit} from the rim.",
                "Circled: A, B and C have figures of their own.",
                thick,
                "Dashed: the standpipe, which stands beside the shell." if cut.tube_hidden else "",
            )
        ),
        description="A cut along the pool: shell, dig, bedding, standpipe, pool water and groundwater "
        "with their levels.",
        long_description=said(*told, f"The standpipe is shown {where}.", pool_said, ground_said, thick),
        anchors=anchors,
    )


def _levels(
    read: Reader, cut: Cut, view: View, anchors: parts.Anchors
) -> tuple[list[Note | Span], list[Note | Span], list[str]]:
    """Labels above and below the drawing, and their sentences."""
    levels, words = read.levels, read.words
    start, end = cut.section.inside[0], cut.section.inside[-1]
    low, high = levels.solid.deep_run
    above: list[Note | Span] = [
        Span(f"{words.length(end[0] - start[0])} inside, at the rim", view.at(*start), view.at(*end)),
        Note(("paving", bold(read.level("level.paving"))), _on(view, anchors, "paving", cut)),
        Note(
            ("ground", bold(read.level("level.ground"))),
            (view.at(*anchors["ground.left"]), view.at(*anchors["ground.right"])),
        ),
        Note(
            (details.named(details.LID, "tube top"), bold(read.level("level.tube_top"))),
            (view.at(*anchors["tube.top"]),),
        ),
        Note(("deepest floor", bold(read.level("level.floor_deep"))), _floor(view, cut, low, high)),
    ]
    base = levels.bedding_base
    below: list[Note | Span] = [
        Note(("bedding base", bold(read.level("level.bedding_base"))), _flat(view, low, high, base)),
        Note(("tube foot", bold(read.level("level.tube_foot"))), (view.at(*anchors["tube.foot"]),)),
        *_circled(view, anchors, levels.tube.outside),
    ]
    told = [
        f"The pool is {words.mm(end[0] - start[0])} long inside at the rim; levels count from the rim.",
        f"Finished paving is {read.spoken('level.paving')}, the ground {read.spoken('level.ground')}.",
        f"The deepest floor is {read.spoken('level.floor_deep')}, the base of the bedding under it "
        f"{read.spoken('level.bedding_base')}; the relief valve sits in that floor.",
        f"The top of the standpipe is {read.spoken('level.tube_top')}, its foot "
        f"{read.spoken('level.tube_foot')}.",
    ]
    for name, run in _end_floors(cut):
        depth = run[0][1]
        if levels.floor_deep - depth > SAME_FLOOR:
            above.append(
                Note(
                    (f"floor, {name} end", bold(words.level(depth))), tuple(view.at(*point) for point in run)
                )
            )
            told.append(f"At the {name} end the floor is {words.spoken_level(depth)}.")
    for name, box in (("gravel pit", cut.pit), ("sump", cut.sump)):
        if box is not None:
            below.append(
                Note((f"{name} base", bold(words.level(box[3]))), _flat(view, box[0], box[2], box[3]))
            )
            told.append(f"The base of the {name} is {words.spoken_level(box[3])}.")
    return above, below, told


def _rings(sheet: Sheet, view: View, read: Reader, anchors: parts.Anchors) -> list[tuple[float, float]]:
    """Circle the places that have details; return the upper and lower page y of each."""
    valve, slots = anchors["valve"], _slots(view, anchors)
    apart = _apart(view, anchors)
    flange, outside = read.levels.job.spec.shell.relief.flange, read.levels.tube.outside
    ends = [details.ring(sheet, view, anchors["tube.top"], outside)]
    if apart >= 2 * details.LEAST:
        return [
            *ends,
            details.ring(sheet, view, valve, flange),
            details.ring(sheet, view, slots, outside),
        ]
    middle = (valve[0] + slots[0]) / 2, (valve[1] + slots[1]) / 2
    return [
        *ends,
        details.ring(sheet, view, middle, apart / view.scale + max(flange, outside)),
    ]  # one for both


def _circled(view: View, anchors: parts.Anchors, outside: float) -> tuple[Note, ...]:
    """The labels of valve and slots; one where one circle lies round both."""
    valve, slots = details.named(details.VALVE, "relief valve"), details.named(details.SLOTS, "slots")
    at = view.at(*anchors["valve"])
    if _apart(view, anchors) < 2 * details.LEAST:
        return (Note((valve, slots), (at,)),)
    ring = details.on_ring(view, _slots(view, anchors), outside)
    return Note((valve,), (at,)), Note((slots,), ring, dot=False)


def _apart(view: View, anchors: parts.Anchors) -> float:
    """Points from the valve to the place of the slots that has a circle."""
    return math.dist(view.at(*anchors["valve"]), view.at(*_slots(view, anchors)))


def _slots(view: View, anchors: parts.Anchors) -> Point:
    """The place on the slotted part of the tube whose circle stands clearest of the valve's."""
    (x, top), (_, foot) = anchors["tube.slots"], anchors["tube.foot"]
    valve = view.at(*anchors["valve"])
    places = [(x, top + (foot - top) * share) for share in (0.0, 0.5, 1.0)]
    clear = [place for place in places if math.dist(valve, view.at(*place)) >= 2 * details.LEAST]
    return clear[0] if clear else max(places, key=lambda place: math.dist(valve, view.at(*place)))


def _end_floors(cut: Cut) -> tuple[tuple[str, tuple[Point, ...]], ...]:
    """For each end, places on the floor where it begins: at the wall's foot, or past the ledges."""
    solid, line = cut.levels.solid, cut.section.inside
    floor = [p for p in line if abs(p[1] - solid.floor(p[0])) < ON_FLOOR]
    ends = []
    for name, points in (("left", floor), ("right", floor[::-1])):
        (x0, z0), (x1, z1) = points[0], points[1]
        ends.append(
            (name, tuple((x0 + (x1 - x0) * share, z0 + (z1 - z0) * share) for share in (0.0, 0.06, 0.12)))
        )
    return tuple(ends)


def _floor(view: View, cut: Cut, low: float, high: float) -> tuple[Point, ...]:
    """Places on the deepest floor, clear of the valve."""
    depth = cut.levels.floor_deep
    room = cut.levels.job.spec.shell.relief.flange
    if high - low < 2 * room:
        return (view.at(low, depth), view.at(high, depth))
    return along(view.at(low, depth), view.at(cut.valve_at - room, depth), 4) + along(
        view.at(cut.valve_at + room, depth), view.at(high, depth), 4
    )


def _flat(view: View, low: float, high: float, depth: float) -> tuple[Point, ...]:
    return along(view.at(low, depth), view.at(high, depth), 5)


def _on(view: View, anchors: parts.Anchors, part: str, cut: Cut) -> tuple[Point, ...]:
    """Places on the paving, left then right, clear of the tube."""
    left, right = anchors[f"{part}.left"], anchors[f"{part}.right"]
    places = [(left[0] + (cut.rims[0] - left[0]) * share, left[1]) for share in (0.5, 0.8, 0.2)]
    places += [(right[0] + (cut.rims[1] - right[0]) * share, right[1]) for share in (0.5, 0.8, 0.2)]
    return tuple(view.at(*place) for place in places)
