"""The demo jobs' guides."""

from pathlib import Path

import pytest

from builder.checks import Results
from builder.pages import Guide
from tests.pages.reading import JOBS, guide_of, results_of

DEMO = sorted(JOBS.glob("*.yml"))


@pytest.fixture(params=DEMO, ids=[path.stem for path in DEMO])
def spec(request: pytest.FixtureRequest) -> Path:
    """Each demo job in turn."""
    return Path(request.param)


@pytest.fixture
def guide(spec: Path) -> Guide:
    return guide_of(spec)


@pytest.fixture
def results(spec: Path) -> Results:
    return results_of(spec)


@pytest.fixture
def quandong() -> Guide:
    return guide_of(JOBS / "quandong-rise.yml")
