"""The rows of the catalogue: what is known of every part, ground, material and region.

Every row names its source and says with `memory` that nobody has confirmed it in print. SI units;
fractions, not per cent.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from builder import yamlfile
from builder.quantity import Range


@dataclass(frozen=True)
class Row:
    """What every row has: its id, its name for a reader, where it comes from, how sure it is.

    A row often brings values of several sources together: `source` is the main one, `also` names the
    others, and `where` says which value is whose. `memory_of` names the values that are unconfirmed;
    it is empty where memory is False, and where the whole row is from memory.
    """

    id: str
    name: str
    source: str  # id in shared/sources.yml
    where: str  # table, clause or page; empty where the source has none
    memory: bool  # True: something in it is from memory or common practice, not confirmed in print
    also: tuple[str, ...] = field(default=(), kw_only=True)
    memory_of: tuple[str, ...] = field(default=(), kw_only=True)

    @property
    def sources(self) -> tuple[str, ...]:
        """Every source id the row draws on, the main one first."""
        return (self.source, *self.also)


@dataclass(frozen=True)
class Grading:
    """Percent passing by sieve, as an envelope: rows of (sieve in m, least, most), fractions.

    Sieves from coarse to fine. A single curve has least equal to most.
    """

    sieves: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True)
class ShellRow(Row):
    """A shell: its `spec` is the mapping a job may also write in line, and is checked as part of the job."""

    spec: yamlfile.Mapping
    file: str  # how faults call the file the spec stands in


@dataclass(frozen=True)
class Pipe(Row):
    """A tube to cut the standpipe from: mean outside diameter, least wall, lengths it is sold in."""

    series: str
    outside: float
    wall: float
    sold_lengths: tuple[float, ...]

    @property
    def bore(self) -> float:
        """Inside diameter in metres."""
        return self.outside - 2 * self.wall


@dataclass(frozen=True)
class Ground(Row):
    """A natural ground: permeability, grading where one is published, how it stands and digs."""

    k: Range
    cohesive: bool
    grading: Grading | None
    friction_angle: float
    unit_weight_moist: float
    unit_weight_saturated: float
    drainable_porosity: float
    bulking: float  # loose volume over bank volume
    batter: float  # steepest unsupported cut from the horizontal, rad
    look: str  # how a layman knows it in the hand


@dataclass(frozen=True)
class Material(Row):
    """A bedding, backfill or sump fill. drains None: nobody can say, treated as cannot tell."""

    uses: tuple[str, ...]  # of bedding, backfill, sump
    drains: bool | None
    k: Range | None
    grading: Grading | None
    friction_angle: float
    unit_weight_moist: float
    unit_weight_saturated: float
    porosity: float | None
    bulk_density: float
    waste: float  # fraction to order on top
    cemented: bool
    hatch: str  # one of: sand, gravel, fine, coarse, concrete
    ask_for: str  # the words it is sold in


@dataclass(frozen=True)
class Fabric(Row):
    """A geotextile or mesh: O95 opening in m, permittivity in 1/s, thickness in m; None unknown."""

    kind: str  # nonwoven, woven, mesh
    opening: float | None
    permittivity: float | None
    thickness: float | None
    ask_for: str


@dataclass(frozen=True)
class Thread(Row):
    """A pipe thread: pitch in m."""

    pitch: float


ACTS = (
    "electrical",
    "crane",
    "mains water",
    "sewer",
    "gas",
    "barrier",
    "services",
    "excavation",
    "approval",
)
ABOUT = (
    "shell",
    "installation",
    "barrier",
    "suction",
    "electrical",
    "excavation",
    "services",
    "ground",
    "earthworks",
    "drainage",
    "concrete",
    "paving",
    "pipes",
    "fabric",
    "plumbing",
    "dewatering",
    "crane",
    "dust",
    "approval",
)


@dataclass(frozen=True)
class Trade:
    """An act that only a licensed or certified person may do, and who that is."""

    act: str  # one of ACTS
    who: str
    memory: bool


@dataclass(frozen=True)
class Standard:
    """A standard to check: number, title, year and how sure we are of all three."""

    number: str
    title: str
    year: str
    about: str  # one of ABOUT
    sure: str  # found or memory


@dataclass(frozen=True)
class Region(Row):
    """A place with its own rules."""

    units: str  # metric or us: what lengths are printed in
    barrier_depth: float  # water depth from which a barrier must stand
    barrier_rule: str
    dig_trigger: float  # depth from which an open dig needs more than the batter
    dig_rule: str
    services: str  # who to ask about buried services
    emergency: str  # number to call
    approval: str
    electrical: str
    dewatering: str
    trades: tuple[Trade, ...]
    standards: tuple[Standard, ...]

    def who(self, act: str) -> Trade:
        """Return who may do `act`; raises KeyError for an act no row speaks of."""
        for trade in self.trades:
            if trade.act == act:
                return trade
        raise KeyError(f"{self.id} names nobody for {act}")


@dataclass(frozen=True)
class Source:
    """Where facts come from: title, edition, kind (standard, law, manual, text, practice, physics)."""

    id: str
    title: str
    edition: str
    kind: str
    seen: bool  # True: read in the document or an excerpt of it; False: from memory
    note: str = ""
