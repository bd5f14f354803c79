"""Gradings: what passes each sieve for every material of the job, with the openings that hold it back."""

from __future__ import annotations

import math
from dataclasses import dataclass

from builder.figures.canvas import Dash, Layer, Sheet
from builder.figures.chart import Chart, Scale
from builder.figures.lettering import bold, inline, safe, wrapped
from builder.figures.marks import DROP, skirt
from builder.figures.placer import LEAD, Note, Span
from builder.figures.reader import Reader
from builder.figures.scene import Scene
from builder.figures.style import LEVEL, MARGIN, OUTLINE, TEXT, WIDTH

HIGH = 170.0  # points
MM = 1000.0
FINEST = -5  # the finest decade that has a number
PERCENTS = (0, 20, 40, 60, 80, 100)
SAMPLE = 30.0  # points of line beside a name in the key
OPENING = (1.5, 1.5)
# How the materials are told apart, in the order of their places from the ground to the tube.
PENS: tuple[tuple[str, Dash], ...] = (
    ("edge", ()),
    ("tube-line", (7.0, 2.0)),
    ("water-line", (2.5, 1.8)),
    ("groundwater", (8.0, 2.0, 1.6, 2.0)),
    ("fabric", (4.0, 2.0, 1.2, 1.6, 1.2, 2.0)),
)


@dataclass(frozen=True)
class _Material:
    """A material by its name and uses; sieves: its grading, empty where none is known.

    Each sieve is its size in metres, the least share that passes it and the most.
    """

    name: str
    sieves: tuple[tuple[float, float, float], ...]


def draw(read: Reader) -> Scene:
    """Return the grading curves of a job's materials."""
    materials = _materials(read)
    graded = [one for one in materials if one.sieves][: len(PENS)]
    unknown = [f"No grading is known for {inline(one.name)}." for one in materials if not one.sieves]
    sheet = Sheet()
    openings = _openings(read)
    sizes = [size for one in graded for size, _, _ in one.sieves]
    sizes += [size for _, size in openings]
    across, down = _scales(sizes)
    chart = Chart.on_sheet(across, down, HIGH)
    told = []
    for one, (role, dash) in zip(graded, PENS, strict=False):
        sieves = one.sieves
        least = [(math.log10(size), low * 100) for size, low, _ in sieves]
        most = [(math.log10(size), high * 100) for size, _, high in sieves]
        edges = [chart.line(least)] if least == most else [chart.line(least), chart.line(most)]
        sheet.stroke(edges, role, OUTLINE, Layer.LEVEL, dash=dash)
        told.append(f"{safe(one.name)}: {'; '.join(_sieve(*row) for row in sieves)}.")
    end = chart.axes(sheet)
    marks: list[Note | Span] = []
    for name, size in openings:
        x, _ = chart.at(math.log10(size), 0.0)
        sheet.stroke([[(x, chart.top), (x, chart.low)]], "act", LEVEL, Layer.LEVEL, dash=OPENING)
        marks.append(Note((name, bold(f"{size * MM:.2g} mm")), ((x, chart.top),), dot=False))
        told.append(f"The {name} is {size * MM:.2g} mm.")
    skirt(sheet, marks, chart.top - 1, down=False)
    y = end + 6
    for one, (role, dash) in zip(graded, PENS, strict=False):
        sheet.stroke([[(MARGIN, y), (MARGIN + SAMPLE, y)]], role, OUTLINE, Layer.NOTE, dash=dash)
        for line in wrapped(safe(one.name), WIDTH - 2 * MARGIN - SAMPLE - 6):
            sheet.text(line, MARGIN + SAMPLE + 6, y + DROP)
            y += LEAD + 1
    for sentence in unknown:
        for line in wrapped(sentence, WIDTH - 2 * MARGIN):
            sheet.text(line, MARGIN, y + TEXT / 3)
            y += LEAD
    sheet.close()
    return Scene(
        sheet=sheet,
        title="Gradings and openings",
        caption="How much of each material passes a sieve. Two lines of one kind are the least and the most "
        "its grading allows.",
        description="A plot of the share of each material that passes a sieve against the sieve's size, with "
        "the openings of mesh and slots.",
        long_description=(
            *told,
            *unknown,
            f"The scale of sizes has numbers at {across.numbers} mm, that of shares at {down.numbers} %.",
        ),
        anchors={name: (math.log10(size), 0.0) for name, size in openings},
    )


def _materials(read: Reader) -> list[_Material]:
    """Ground, backfill, bedding and sump fill, each material once with all its uses."""
    job = read.levels.job
    rows = [("ground", layer.soil.name, layer.soil.grading) for layer in job.layers]
    rows += [
        ("backfill", job.backfill.name, job.backfill.grading),
        ("bedding", job.bedding.name, job.bedding.grading),
    ]
    if job.sump_fill is not None:
        rows.append(("sump", job.sump_fill.name, job.sump_fill.grading))
    uses: dict[str, list[str]] = {}
    for use, name, _ in rows:
        uses.setdefault(name, []).append(use)
    sieves = {name: grading.sieves if grading is not None else () for _, name, grading in rows}
    return [_Material(f"{name} ({', '.join(dict.fromkeys(uses[name]))})", sieves[name]) for name in uses]


def _openings(read: Reader) -> list[tuple[str, float]]:
    """What holds grains back, with its opening in metres."""
    job = read.levels.job
    found = [("slot in the tube", job.spec.standpipe.slot_width)]
    if job.mesh is not None and job.mesh.opening is not None:
        found.append(("mesh opening", job.mesh.opening))
    return found


def _scales(sizes: list[float]) -> tuple[Scale, Scale]:
    """A scale of sizes in whole decades of a metre's logarithm, and one of per cent."""
    low, high = math.floor(math.log10(min(sizes)) + 1e-9), math.ceil(math.log10(max(sizes)) - 1e-9)
    decades = tuple((float(power), f"{10.0**power * MM:g}") for power in range(max(low, FINEST), high + 1))
    percents = tuple((float(at), str(at)) for at in PERCENTS)
    return (
        Scale(low, high, decades, "size of a sieve, mm"),
        Scale(100.0, 0.0, percents, "per cent that passes"),
    )


def _sieve(size: float, least: float, most: float) -> str:
    share = f"{least * 100:g}" if least == most else f"{least * 100:g} to {most * 100:g}"
    return f"{share} % passes {size * MM:g} mm"
