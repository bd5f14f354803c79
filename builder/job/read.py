"""Reading a job spec: all faults of a file in one go, or a Job."""

from __future__ import annotations

import math
from pathlib import Path

from builder import yamlfile
from builder.catalogue import Catalogue, load
from builder.errors import InputFaults
from builder.job import fitting, geometry, inside, tube
from builder.job.job import Job, Layer
from builder.job.reading import BROKEN, Reading
from builder.job.schema import SPEC, Spec
from builder.job.shell import Shell, ShellForm


def read(path: Path, catalogue: Catalogue | None = None) -> Job:
    """Return the job in the spec file at `path`; raises InputFaults with every fault found.

    catalogue: the project's own where none is given. Faults of its files are reported too.
    """
    return of(yamlfile.read(Path(path)), str(path), catalogue)


def of(root: yamlfile.Mapping, file: str, catalogue: Catalogue | None = None) -> Job:
    """Return the job in the tree of a spec called `file`; raises InputFaults."""
    reading = Reading(file, root, load() if catalogue is None else catalogue)
    spec = SPEC.read(root, (), reading)
    geometry.look(reading)
    inside.look(reading)
    fitting.look(reading)
    tube.look(reading)
    if reading.faults or spec is BROKEN:
        raise InputFaults(reading.faults)
    return _job(spec, root, file, reading)


def shell_named(name: str, catalogue: Catalogue) -> Shell:
    """Return a shell of the catalogue as a job that names it has it; raises InputFaults."""
    root = yamlfile.Mapping({}, {}, 1, 1)
    reading = Reading(catalogue.name, root, catalogue)
    found = ShellForm().read(yamlfile.Text(name, 1, 1), ("shell",), reading)
    if not isinstance(found, Shell):
        raise InputFaults(reading.faults)
    return found


def _job(spec: Spec, root: yamlfile.Mapping, file: str, reading: Reading) -> Job:
    known = reading.catalogue
    thread = spec.shell.relief.thread
    return Job(
        file=file,
        node=root,
        spec=spec,
        catalogue=known,
        region=known.regions[spec.region],
        pipe=known.pipes[spec.standpipe.pipe],
        layers=_layers(spec, known),
        bedding=known.materials[spec.bedding.material],
        backfill=known.materials[spec.backfill.material],
        sump_fill=known.materials[spec.sump.fill] if spec.sump else None,
        mesh=known.fabrics[spec.mesh] if spec.mesh else None,
        thread=known.threads[thread] if thread else None,
        defaults_used=tuple(reading.used),
        _reading=reading,
    )


def _layers(spec: Spec, known: Catalogue) -> tuple[Layer, ...]:
    ground = spec.ground
    if ground.soil is not None:
        return (Layer(0.0, math.inf, known.grounds[ground.soil]),)
    layers: list[Layer] = []
    top = 0.0
    for layer in ground.layers or ():
        bottom = math.inf if layer.to is None else layer.to
        layers.append(Layer(top, bottom, known.grounds[layer.soil]))
        top = bottom
    last = layers[-1]
    return (*layers[:-1], Layer(last.top, math.inf, last.soil))
