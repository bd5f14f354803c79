"""A job with its figures nudged: its spec's, or those of one catalogue row it uses."""

from __future__ import annotations

import dataclasses
import itertools
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from builder import job as jobs
from builder import plan
from builder.job import Job, Spec

STIR = 1e-7  # relative, far above rounding and far below what flips a choice


@dataclass(frozen=True)
class Used:
    """A catalogue row this job uses: its shelf, its id, and what it is for ("" where that is plain)."""

    shelf: str
    id: str
    role: str


def used_rows(job: Job) -> tuple[Used, ...]:
    """Return the rows a job uses, each once for each of its uses."""
    spec = job.spec
    named: list[tuple[str, str | None, str]] = [
        ("shells", spec.shell.id, ""),
        ("regions", spec.region, ""),
        ("pipes", spec.standpipe.pipe, ""),
        ("materials", spec.bedding.material, "bedding"),
        ("materials", spec.backfill.material, "backfill"),
        ("materials", spec.sump.fill if spec.sump else None, "sump_fill"),
        ("fabrics", spec.mesh, ""),
        ("threads", spec.shell.relief.thread, ""),
        *(("grounds", layer.soil.id, "") for layer in job.layers),
    ]
    return tuple(dict.fromkeys(Used(shelf, name, role) for shelf, name, role in named if name is not None))


def row_stirred(job: Job, used: Used) -> Job:
    """Return the job with every figure of one row nudged."""
    if used.shelf == "shells":
        return replace(job, spec=replace(job.spec, shell=_stirred(job.spec.shell)))
    if used.shelf == "grounds":
        layers = tuple(
            replace(layer, soil=_stirred(layer.soil)) if layer.soil.id == used.id else layer
            for layer in job.layers
        )
        return replace(job, layers=layers, spec=_batter_stirred(job) if _batter_by_default(job) else job.spec)
    alone = {"regions": "region", "pipes": "pipe", "fabrics": "mesh", "threads": "thread"}
    one = used.role or alone[used.shelf]
    return replace(job, **{one: _stirred(getattr(job, one))})


def spec_stirred(job: Job) -> tuple[Job, Job]:
    """Return the job with every figure that its spec gives itself nudged, and with other answers."""
    spec: Spec = _stirred(job.spec)
    if job.spec.shell.id is not None:
        spec = replace(spec, shell=job.spec.shell)
    if _batter_by_default(job):
        spec = replace(spec, excavation=replace(spec.excavation, batter=job.spec.excavation.batter))
    layers = tuple(
        replace(layer, top=layer.top * (1 - STIR), bottom=layer.bottom * (1 - STIR)) for layer in job.layers
    )
    beam, ground = job.spec.ring_beam, job.spec.ground
    other = replace(
        job.spec,
        ring_beam=replace(beam, tied=not beam.tied),
        ground=replace(ground, tidal=not ground.tidal),
    )
    return replace(job, spec=spec, layers=layers), replace(job, spec=other)


def _batter_by_default(job: Job) -> bool:
    """Whether the batter is the one at which the job's grounds stand."""
    return any(used.path == "excavation.batter" for used in job.defaults_used)


def _batter_stirred(job: Job) -> Spec:
    dig = job.spec.excavation
    return replace(job.spec, excavation=replace(dig, batter=_stirred(dig.batter)))


def _stirred(value: Any, step: Callable[[], int] | None = None) -> Any:
    """Return a value with every figure in it a little smaller, each by a share of its own.

    A shell keeps its shape: its lengths shrink by one share. Nothing becomes a billionth, a whole
    number one more.
    """
    step = step or itertools.count(1).__next__
    if isinstance(value, bool) or value is None:
        return value
    if isinstance(value, int):
        return value + 1
    if isinstance(value, float):
        return value * (1 - STIR * (1 + step() % 7)) if value else 1e-9
    if isinstance(value, tuple):
        return tuple(_stirred(item, step) for item in value)
    if isinstance(value, plan.Outline):
        return plan.Outline(value.points * (1 - STIR))
    if isinstance(value, jobs.Shell):
        step = itertools.repeat(0).__next__
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return replace(
            value,
            **{
                item.name: _stirred(getattr(value, item.name), step)
                for item in dataclasses.fields(value)
                if item.init
            },
        )
    return value


def figures_in(value: Any) -> list[float]:
    """Return every figure in a spec or a row; of outlines and ledges the area."""
    if isinstance(value, float):
        return [value]
    if isinstance(value, tuple):
        return [figure for item in value for figure in figures_in(item)]
    if isinstance(value, plan.Outline):
        return [float(value.polygon.area)]
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        own = [f for item in dataclasses.fields(value) for f in figures_in(getattr(value, item.name))]
        return [*own, value.length * value.width] if isinstance(value, jobs.Ledge) else own
    return [float(value)] if isinstance(value, int) and not isinstance(value, bool) else []
