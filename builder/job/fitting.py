"""Faults between parts: levels, ground, pump and sump that do not fit together."""

from __future__ import annotations

from builder.job import rules
from builder.job.floor import Point
from builder.job.ground import LayerGiven, NotSeen, Seen
from builder.job.looks import Look, run, size
from builder.job.reading import Reading
from builder.job.works import RingBeam, Sump


def water_levels(reading: Reading, water: float, overflow: float) -> None:
    """The working level lies at or below the overflow."""
    if water < overflow:
        wrong = (
            f"the working water, {size(water)} below the rim, "
            f"would stand above the overflow, {size(overflow)} below it"
        )
        reading.fault_at(
            ("levels", "water_below_rim"),
            wrong,
            "Write water_below_rim at least as large as overflow_below_rim",
        )


def water_covers(reading: Reading, floor: tuple[Point, ...], water: float, beam: RingBeam) -> None:
    """The working level and the beam's underside lie above the shallowest floor."""
    shallow = min(z for _, z in floor)
    if water >= shallow:
        wrong = (
            f"water {size(water)} below the rim leaves the floor dry, for that lies {size(shallow)} below it"
        )
        reading.fault_at(
            ("levels", "water_below_rim"),
            wrong,
            "Write the depth from the rim down to the water, such as 120 mm",
        )
    if beam.depth >= shallow:
        wrong = f"a ring beam {size(beam.depth)} deep reaches under the floor, {size(shallow)} below the rim"
        reading.fault_at(("ring_beam", "depth"), wrong, "Write the height of the concrete, such as 200 mm")


def in_the_ground(reading: Reading, floor: tuple[Point, ...], rim: float, paving: float) -> None:
    """The shell stands in the ground, and its paving not under it."""
    deep = max(z for _, z in floor)
    if rim >= deep:
        wrong = f"a rim {size(rim)} above ground lifts the whole shell, {size(deep)} deep, out of it"
        reading.fault_at(
            ("levels", "rim_above_ground"), wrong, "Write how far the rim stands out, such as 50 mm"
        )
    if rim + paving < 0:
        wrong = f"the paving would lie {size(-rim - paving)} under the ground"
        reading.fault_at(
            ("levels", "paving_above_rim"),
            wrong,
            "Write how far the paving lies above the rim, such as 40 mm",
        )


def groundwater(reading: Reading, seen: Seen | NotSeen, highest: float | None, base: float | None) -> None:
    """The highest known level is not below the level seen, nor the aquifer's base above it."""
    if not isinstance(seen, Seen):
        return
    if highest is not None and highest > seen.depth:
        wrong = (
            f"the highest known level, {size(highest)} below ground, "
            f"is lower than the one seen, {size(seen.depth)}"
        )
        reading.fault_at(
            ("ground", "highest_known"),
            wrong,
            "Write the smaller depth of the two here, or leave the key out",
        )
    if base is not None and base <= seen.depth:
        wrong = f"the aquifer's base, {size(base)} below ground, lies above its water, {size(seen.depth)}"
        reading.fault_at(
            ("ground", "aquifer_base"),
            wrong,
            "Write the depth of the tight layer under the water, or leave the key out",
        )


def layers(reading: Reading, given: tuple[LayerGiven, ...] | None) -> None:
    """Layers go down in order, and only the last may have no end."""
    above = 0.0
    for index, layer in enumerate(given or ()):
        at = ("ground", "layers", index)
        last = given is not None and index == len(given) - 1
        if layer.to is None:
            if not last:
                reading.fault_at(
                    (*at, "to"),
                    "only the last layer may go on down",
                    "Write where it ends, such as `to: 0.6 m`",
                )
            continue
        if layer.to <= above:
            wrong = (
                f"the layer ends {size(layer.to)} below ground, where the one above it ends at {size(above)}"
            )
            reading.fault_at(
                (*at, "to"),
                wrong,
                "List the layers from the ground down; to is a depth below ground, not a thickness",
            )
        above = layer.to


def layers_reach(reading: Reading, given: tuple[LayerGiven, ...] | None, rim: float) -> None:
    """The layers are known down to the bedding base."""
    base = rules.bedding_base(reading.seen)
    if not given or base is None or given[-1].to is None:
        return
    if given[-1].to < base - rim - 1e-9:
        wrong = (
            f"the layers end {size(given[-1].to)} below ground, "
            f"but the bedding base lies {size(base - rim)} below it"
        )
        instead = "Dig the test hole deeper, or leave `to` out where the last layer is known to go on"
        reading.fault_at(("ground", "layers", len(given) - 1, "to"), wrong, instead)


def pump_curve(reading: Reading, curve: tuple[Point, ...]) -> None:
    """Along the curve the flow rises and the head falls."""
    at = ("pump", "curve")
    for index in range(1, len(curve)):
        (flow0, head0), (flow1, head1) = curve[index - 1], curve[index]
        if flow1 <= flow0:
            reading.fault_at(
                (*at, index),
                "the flow does not rise from the point before it",
                "List the points from no flow up",
            )
        elif head1 > head0:
            wrong = "the head rises with the flow"
            reading.fault_at(
                (*at, index), wrong, "Write [flow, head] pairs as on the pump's plate: less head at more flow"
            )


def sump_takes(reading: Reading, sump: Sump | None, throat: float) -> None:
    """The sump is at least as wide as the valve's throat."""
    if sump is not None and sump.width < throat:
        wrong = f"a sump {size(sump.width)} wide is narrower than the valve's throat of {size(throat)}"
        reading.fault_at(
            ("sump", "width"), wrong, "Write the width of the square pit under the valve, such as 400 mm"
        )


def look(reading: Reading) -> None:
    """Report every fault between parts that could be read."""
    run(_FIRST, reading, spoils=True)
    run(_LOOKS, reading)


_FIRST: tuple[Look, ...] = ((layers, ("ground.layers",)),)
_LOOKS: tuple[Look, ...] = (
    (water_levels, ("levels.water_below_rim", "levels.overflow_below_rim")),
    (water_covers, ("shell.floor", "levels.water_below_rim", "ring_beam")),
    (in_the_ground, ("shell.floor", "levels.rim_above_ground", "levels.paving_above_rim")),
    (groundwater, ("ground.groundwater", "ground.highest_known", "ground.aquifer_base")),
    (layers_reach, ("ground.layers", "levels.rim_above_ground")),
    (pump_curve, ("pump.curve",)),
    (sump_takes, ("sump", "shell.relief.throat")),
)
