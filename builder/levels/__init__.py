"""Where everything is: the datum, the shell as a solid, the dig and the gap by level."""

from builder.levels.dig import Dig
from builder.levels.place import Levels, Tube, place
from builder.levels.profile import Profile
from builder.levels.sections import Section, cross_section, long_section
from builder.levels.solid import Solid

__all__ = ["Dig", "Levels", "Profile", "Section", "Solid", "Tube", "cross_section", "long_section", "place"]
