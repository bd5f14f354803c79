"""Where the demo jobs are."""

from pathlib import Path

FOLDER = Path(__file__).parents[2] / "jobs"
JOBS = sorted(FOLDER.glob("*.yml"))
