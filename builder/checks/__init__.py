"""The whole result of a job: numbers, comparisons, verdicts."""

from builder.checks.groundwater import Groundwater
from builder.checks.pumping import most_pumped
from builder.checks.results import Results, work

__all__ = ["Groundwater", "Results", "most_pumped", "work"]
