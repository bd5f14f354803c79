"""The job room: one spec file read, every fault found, every default filled in."""

from builder.job.defaults import TABLE, Default
from builder.job.ground import GroundGiven, LayerGiven, Neighbour, NotSeen, Seen
from builder.job.job import Job, Layer
from builder.job.read import of, read, shell_named
from builder.job.reading import DefaultUsed
from builder.job.record import Accepted, AsBuilt, Dip, RimReading
from builder.job.schema import LevelsGiven, Peg, Spec
from builder.job.shell import Bead, Ledge, Relief, Shell, WallLimit
from builder.job.works import (
    At,
    BackfillGiven,
    BeddingGiven,
    Excavation,
    Hose,
    Lid,
    Pit,
    Pump,
    RingBeam,
    Standpipe,
    Sump,
    Water,
)

__all__ = [
    "TABLE",
    "Accepted",
    "AsBuilt",
    "At",
    "BackfillGiven",
    "Bead",
    "BeddingGiven",
    "Default",
    "DefaultUsed",
    "Dip",
    "Excavation",
    "GroundGiven",
    "Hose",
    "Job",
    "Layer",
    "LayerGiven",
    "Ledge",
    "LevelsGiven",
    "Lid",
    "Neighbour",
    "NotSeen",
    "Peg",
    "Pit",
    "Pump",
    "Relief",
    "RimReading",
    "RingBeam",
    "Seen",
    "Shell",
    "Spec",
    "Standpipe",
    "Sump",
    "WallLimit",
    "Water",
    "of",
    "read",
    "shell_named",
]
