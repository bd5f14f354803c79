"""Fixtures of the checks room: the box's numbers, worked once."""

import pytest

from builder.checks import Results
from tests.checks.by_hand import results


@pytest.fixture(scope="session")
def box() -> Results:
    """Every number of the plain box."""
    return results()
