"""What a page may say of the job itself, ready to be asked for in a template."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from builder.catalogue.rows import Fabric, Material, Pipe, Thread
from builder.job import Job
from builder.levels import Levels
from builder.pages.shown import PageError, bold
from builder.pages.typed import markup, typed
from builder.pages.words import Words, listed, lower_first

NEAR = 0.0005  # metres: a tape cannot tell two marks as near as this apart


@dataclass(frozen=True)
class Facts:
    """One job in words: who reads, what is in it, what is not. Spec text is already escaped."""

    job: Job
    levels: Levels
    words: Words
    groundwater: str  # seen, below or unknown

    @property
    def title(self) -> Markup:
        """The job's title as typed."""
        return typed(self.job.spec.title)

    @property
    def ref(self) -> Markup:
        """The desk's reference as typed."""
        return typed(self.job.spec.ref)

    @property
    def changed(self) -> tuple[Markup, ...]:
        """What moved since the last issue, sentence by sentence, as typed."""
        return tuple(typed(text) for text in self.job.spec.changed)

    @property
    def length(self) -> float:
        """Greatest inside length of the shell at the rim, along x, in metres."""
        low, _, high, _ = self.job.spec.shell.outline.bounds
        return high - low

    @property
    def width(self) -> float:
        """Greatest inside width of the shell at the rim, in metres."""
        _, low, _, high = self.job.spec.shell.outline.bounds
        return high - low

    @property
    def floor_shallow(self) -> float:
        """The shallowest floor, metres below the rim."""
        return min(depth for _, depth in self.job.spec.shell.floor)

    @property
    def flat(self) -> bool:
        """Whether the floor has one depth all over."""
        return len({depth for _, depth in self.job.spec.shell.floor}) == 1

    @property
    def shell(self) -> Markup:
        """The shell's name as typed."""
        return typed(self.job.spec.shell.name)

    @property
    def peg(self) -> Markup:
        """Where the peg is, as typed."""
        return typed(self.job.spec.levels.peg.where)

    @property
    def notes(self) -> tuple[Markup, ...]:
        """The desk's note, line by line, as typed."""
        text = self.job.spec.notes or ""
        return tuple(typed(line) for line in text.splitlines() if line.strip())

    @property
    def ledges(self) -> tuple[tuple[Markup, float], ...]:
        """The ledges in the shell: name as typed, depth below the rim in metres."""
        return tuple((typed(ledge.name), ledge.depth) for ledge in self.job.spec.shell.ledges)

    @property
    def crew(self) -> bool:
        """Whether the guide is the crew's short form."""
        return self.job.spec.audience == "crew"

    @property
    def ring(self) -> bool:
        """Whether the valve seals with a ring; sealant otherwise."""
        return self.job.spec.shell.relief.seal == "ring"

    @property
    def bead(self) -> float:
        """The bead of sealant in metres; only where the valve seals with sealant."""
        seal = self.job.spec.shell.relief.seal
        if isinstance(seal, str):
            raise PageError("this valve seals on a ring, so there is no bead", "Ask job.ring first")
        return seal.bead

    @property
    def factory(self) -> bool:
        """Whether the valve's threaded body comes fitted from the factory."""
        return self.job.spec.shell.relief.fitted_by == "factory"

    @property
    def clay(self) -> bool:
        """Whether any layer of the dig holds water back as clay does."""
        return any(layer.soil.cohesive for layer in self.job.layers)

    @property
    def soil(self) -> Markup:
        """The ground, layer by layer from the top."""
        layers = self.job.layers
        if len(layers) == 1:
            return typed(lower_first(layers[0].soil.name))
        parts = [
            f"{lower_first(layer.soil.name)} to {self.words.exact(layer.bottom)}" for layer in layers[:-1]
        ]
        return typed(listed([*parts, f"{lower_first(layers[-1].soil.name)} below"]))

    @property
    def water_above_base(self) -> bool:
        """Whether water was seen above the base of the dig."""
        seen = self.levels.groundwater
        return seen is not None and seen < self.levels.bedding_base

    @property
    def one_mark(self) -> bool:
        """Whether the trimmed tube ends at the build mark, so that every dip is the same from both."""
        return abs(self.levels.tube_top) < NEAR

    @property
    def wet(self) -> bool:
        """Whether the reader must reckon with water in the dig: seen above its base, or unknown."""
        return self.water_above_base or self.groundwater == "unknown"

    @property
    def deep(self) -> bool:
        """Whether the dig is deeper than the region lets people stand in it without more."""
        return self.levels.bedding_base - self.levels.ground >= self.job.region.dig_trigger

    @property
    def pipe(self) -> Pipe:
        """The tube."""
        return self.job.pipe

    @property
    def bedding(self) -> Material:
        """The bedding."""
        return self.job.bedding

    @property
    def backfill(self) -> Material:
        """The backfill."""
        return self.job.backfill

    @property
    def sump_fill(self) -> Material | None:
        """What fills the sump; None without a sump."""
        return self.job.sump_fill

    @property
    def mesh(self) -> Fabric | None:
        """The mesh or geotextile under the valve; None without."""
        return self.job.mesh

    @property
    def thread(self) -> Thread | None:
        """The valve's thread; None where the spec names none."""
        return self.job.thread

    @property
    def pit(self) -> bool:
        """Whether a pit is dug under the tube."""
        return self.levels.pit_base is not None

    @property
    def sold_lengths(self) -> Markup:
        """The lengths the tube is sold in."""
        return typed(
            f"lengths of {listed([self.words.exact(length) for length in self.job.pipe.sold_lengths], 'or')}"
        )

    @property
    def valve_place(self) -> Markup:
        """Where the valve stands in plan, from peg A."""
        return self._place(*self.levels.valve)

    @property
    def tube_place(self) -> Markup:
        """Where the tube stands in plan, from peg A."""
        return self._place(self.levels.tube.x, self.levels.tube.y)

    def _place(self, x: float, y: float) -> Markup:
        """Return a point of the plan in words: from peg A along the side A B, then square across."""
        left, near, _, _ = self.levels.dig.base.bounds
        along, across = (bold(self.words.length(size)) for size in (x - left, y - near))
        return markup(f"{along} along and {across} across")
