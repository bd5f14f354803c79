"""The one table of defaults: key · default · why · who may change it.

Every key an author may leave out stands here; a key that does not is required. A default is text
as an author would write it and is read the same way, or a rule (rules.py), or None: not given.
`says` is what the assumptions page prints: by default the value; empty where nothing is assumed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from builder import yamlfile
from builder.job import rules
from builder.yamlfile import Step

MAKER = "the shell's maker"
ENGINEER = "the engineer or certifier"
AUTHOR = "the author of the job"
SITE = "whoever measures on site"


@dataclass(frozen=True)
class Default:
    """One row: the key's path (`[]` for any item of a list), its default, why, and who may change it."""

    path: str
    value: str | None
    why: str
    who: str
    says: str | None = None
    rule: Callable[..., Any] | None = None

    @property
    def text(self) -> str:
        """The default in words, for the printed schema and the assumptions."""
        return self.says or self.value or "not given"


_ROWS = (
    Default("issue", "A", "the first issue", AUTHOR, says=""),
    Default("issued", None, "the guide then bears no date", AUTHOR, says=""),
    Default("changed", "none", "nothing came before a first issue", AUTHOR, says=""),
    Default("link", None, "written when a spec is begun; needed to send a guide out", AUTHOR, says=""),
    Default("audience", "owner-builder", "the reader who needs most said", AUTHOR),
    # the shell
    Default("shell.name", "Shell to the job's own drawing", "a shell in line needs no name", AUTHOR, says=""),
    Default("shell.outline.corner_radius", "0 mm", "square corners hold the most water", MAKER),
    Default("shell.ledges", "none", "no steps or seats are drawn", MAKER),
    Default("shell.wall_batter", "0 deg", "upright walls are the bulkiest, so they float first", MAKER),
    Default(
        "shell.floor_thickness",
        None,
        "few makers thicken the floor",
        MAKER,
        "as thick as the wall",
        rules.same_as_wall,
    ),
    Default(
        "shell.laminate_density", "1600 kg/m3", "usual for hand-laid or sprayed glass and polyester", MAKER
    ),
    Default(
        "shell.weight_centre", None, "nobody has weighed the ends", MAKER, "from the laminate's own spread"
    ),
    Default("shell.relief.at", "lowest", "water gathers under the deepest floor", MAKER),
    Default("shell.relief.throat", "50 mm", "a common size", MAKER),
    Default("shell.relief.thread", "G2", "a common size", MAKER),
    Default("shell.relief.flange", "90 mm", "a common size for a 50 mm throat", MAKER),
    Default("shell.relief.opening_head", "60 mm", "a common spring or float weight", MAKER),
    Default("shell.relief.discharge_coefficient", "0.6", "a sharp-edged opening", MAKER),
    Default("shell.relief.seal", "ring", "most valves come with a ring", MAKER),
    Default("shell.relief.fitted_by", "factory", "most shells come with the body in", MAKER),
    Default("shell.skimmer", "none", "no skimmer is drawn", MAKER),
    Default("shell.wall_limit", None, "only the maker can give it", MAKER, "no wall limit known"),
    Default("shell.wall_limit.outward", None, "only the maker can give it", MAKER, "no outward limit known"),
    Default("shell.wall_limit.inward", None, "only the maker can give it", MAKER, "no inward limit known"),
    # levels
    Default(
        "levels.rim_above_ground", "50 mm", "common practice: surface water runs away from the pool", AUTHOR
    ),
    Default("levels.paving_above_rim", "40 mm", "common practice: the thickness of a coping paver", AUTHOR),
    Default("levels.water_below_rim", "120 mm", "common practice: mid-height of a skimmer's mouth", MAKER),
    Default("levels.overflow_below_rim", "60 mm", "common practice", MAKER),
    Default("levels.peg.above_rim", "500 mm", "high enough to see across the dig", SITE),
    Default("levels.peg.where", "a peg outside the dig", "it has to outlast the digging", SITE),
    # the ground
    Default("ground.soil", None, "either soil or layers is given", SITE, says=""),
    Default("ground.layers", None, "either soil or layers is given", SITE, says=""),
    Default("ground.groundwater.watched_for", "0 d", "water that was not waited for may still come", SITE),
    Default("ground.highest_known", None, "nobody has told of a higher level", SITE, "no higher level known"),
    Default(
        "ground.aquifer_base",
        None,
        "no hole has found it",
        SITE,
        "1.5 times the dig depth plus the drawdown, below ground",
    ),
    Default("ground.catchment", "60 m2", "half a roof and a terrace, until someone has measured", SITE),
    Default("ground.runoff", "1.0", "paving and roofs let nothing in", ENGINEER),
    Default("ground.rain_overnight", "50 mm", "a wet night on most coasts", ENGINEER),
    Default("ground.site_class", None, "only a soil test gives it", ENGINEER, "site class not known"),
    Default("ground.neighbours", "none", "no footing, wall or pipe is noted near the dig", SITE),
    Default("ground.tidal", "no", "no tide moves the groundwater", SITE),
    Default("ground.layers[].to", None, "the last layer goes on down", SITE, says=""),
    # materials
    Default(
        "bedding.material",
        "bedding-gravel-7",
        "common practice where water may come: no fines to wash out",
        ENGINEER,
    ),
    Default("bedding.thickness", "75 mm", "common practice", MAKER),
    Default("backfill.material", "drainage-gravel-7", "common practice: it drains to the tube", ENGINEER),
    Default("backfill.working_gap", "300 mm", "common practice: narrower can't be packed", ENGINEER),
    Default("backfill.lift", "150 mm", "common practice: the most that is packed well by hand", ENGINEER),
    # the standpipe
    Default("standpipe.pipe", "pvc-dn65-pn9", "a common pressure pipe that takes a small pump", AUTHOR),
    Default("standpipe.beside", "deep end", "it reads and drains the lowest floor", AUTHOR),
    Default(
        "standpipe.pit",
        None,
        "water is read and pumped in it before the tube stands",
        ENGINEER,
        "none where groundwater is known to stay 300 mm below the bedding; else 300 mm deep, 400 mm wide",
        rules.pit,
    ),
    Default(
        "standpipe.foot_below_underside",
        None,
        "the trade's habit, deeper where water may come",
        ENGINEER,
        "15 mm without a pit; 50 mm above the pit's base with one",
        rules.foot,
    ),
    Default("standpipe.slotted", "600 mm", "common practice", ENGINEER),
    Default("standpipe.slot_width", "1.5 mm", "holds back 5 to 7 mm gravel", ENGINEER),
    Default("standpipe.slot_length", "30 mm", "three rows leave over half the girth whole", ENGINEER),
    Default("standpipe.rows", "3", "common practice", ENGINEER),
    Default("standpipe.pitch", "25 mm", "common practice", ENGINEER),
    Default("standpipe.below_lid", "30 mm", "common practice: 20 to 50 mm", ENGINEER),
    Default("standpipe.lid.width", "250 mm", "common practice: a hand and a pump pass through", AUTHOR),
    Default("standpipe.lid.thickness", "20 mm", "common practice for a lid that is walked on", AUTHOR),
    # sump, mesh, beam
    Default("sump", "none", "no pit under the valve is asked for", ENGINEER),
    Default("sump.depth", "200 mm", "common practice", ENGINEER),
    Default("sump.width", "400 mm", "common practice", ENGINEER),
    Default("sump.fill", "drainage-gravel-20", "coarse gravel carries most water", ENGINEER),
    Default("mesh", "geotextile-fine", "it keeps the bedding out of the valve", ENGINEER),
    Default("ring_beam.width", "300 mm", "common practice", ENGINEER),
    Default("ring_beam.depth", "200 mm", "common practice", ENGINEER),
    Default("ring_beam.tied", "no", "weight that isn't tied to the shell doesn't hold it down", ENGINEER),
    # pump and water
    Default("pump.body", "50 mm", "a small submersible pump that passes a DN 65 tube", AUTHOR),
    Default("pump.min_depth", "50 mm", "usual for such a pump", AUTHOR),
    Default(
        "pump.curve", "[[0 L/min, 7 m], [60 L/min, 5 m], [120 L/min, 0 m]]", "usual for such a pump", AUTHOR
    ),
    Default("pump.hose.bore", "25 mm", "usual for such a pump", AUTHOR),
    Default("pump.hose.length", "15 m", "to the far side of the yard", AUTHOR),
    Default("pump.hose.rise", "0.5 m", "over a kerb or into a tank", AUTHOR),
    Default("water.flow", "18 L/min", "a garden tap", SITE),
    Default("water.density", "1000 kg/m3", "fresh groundwater; sea water is 1025", SITE),
    # the dig
    Default(
        "excavation.batter",
        None,
        "the steepest that the softest ground of this job stands at",
        ENGINEER,
        "the flattest batter of the job's grounds; none where shored",
        rules.batter,
    ),
    Default("excavation.shoring", None, "sides at their batter need none", ENGINEER, says=""),
    Default("excavation.truck", "8 m3", "a tip truck", AUTHOR),
    Default("excavation.overdug", "0 mm", "the dig stops at the bedding base", SITE),
    Default("excavation.makeup", "none", "nothing is overdug", ENGINEER),
    # the record
    Default("as_built", None, "nothing is measured yet", SITE, says=""),
    Default("as_built.measured", None, "nobody has noted the day", SITE, says=""),
    Default("as_built.by", None, "nobody has noted who", SITE, says=""),
    Default("as_built.rim", None, "not measured yet", SITE, says=""),
    Default("as_built.tube_length", None, "not measured yet", SITE, says=""),
    Default("as_built.tube_top_above_rim", None, "not measured yet", SITE, says=""),
    Default("as_built.water_below_rim", None, "not measured yet", SITE, says=""),
    Default("as_built.paving_above_rim", None, "not measured yet", SITE, says=""),
    Default("as_built.dips", "none", "not measured yet", SITE, says=""),
    Default("as_built.dips[].mark", "build", "most dips are taken before the tube is trimmed", SITE, says=""),
    Default("as_built.dips[].pool_below_rim", None, "not measured", SITE, says=""),
    Default("accepted", "none", "nobody answers for a stop", ENGINEER, says=""),
    Default("accepted[].on", None, "nobody has noted the day", ENGINEER, says=""),
    Default("notes", "", "nothing to add", AUTHOR, says=""),
)
TABLE: Mapping[str, Default] = {row.path: row for row in _ROWS}


def pattern(path: tuple[Step, ...]) -> str:
    """Return the table's name of a path: `ground.layers[].to`."""
    return "".join("[]" if isinstance(step, int) else f".{step}" for step in path).removeprefix(".")


def node(text: str, line: int, column: int) -> yamlfile.Node:
    """Return a default's text as the tree an author would have written at that place."""
    if text[:1] not in ("[", "{"):
        return yamlfile.Text(text, line, column)
    return _placed(yamlfile.parse(f"value: {text}".encode(), "defaults").entries["value"], line, column)


def _placed(tree: yamlfile.Node, line: int, column: int) -> yamlfile.Node:
    if isinstance(tree, yamlfile.Text):
        return yamlfile.Text(tree.text, line, column)
    if isinstance(tree, yamlfile.Sequence):
        return yamlfile.Sequence(tuple(_placed(item, line, column) for item in tree.items), line, column)
    entries = {key: _placed(value, line, column) for key, value in tree.entries.items()}
    keys = {key: yamlfile.Text(key, line, column) for key in entries}
    return yamlfile.Mapping(entries, keys, line, column)
