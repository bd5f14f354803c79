"""A memory of its own for each test of what was made from what, and a desk over random jobs made once."""

from pathlib import Path

import pytest

from builder.desk import site
from builder.pack import made
from tests.desk.jobs import RandomDesk, random_desk
from tests.pack.jobs import pack, quick

__all__ = ["quick"]


@pytest.fixture(autouse=True)
def own_cache(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(made, "KEPT", tmp_path_factory.mktemp("kept"))
    monkeypatch.setattr(site, "KEPT", tmp_path_factory.mktemp("desk"))


@pytest.fixture(scope="session")
def thirty(tmp_path_factory: pytest.TempPathFactory) -> RandomDesk:
    """Return a desk over thirty random jobs."""
    return random_desk(tmp_path_factory.mktemp("thirty"), 30, seed=7)


@pytest.fixture(scope="session")
def packed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder that holds send/ and issued/ of a job's first issue, with its whole guide."""
    root = tmp_path_factory.mktemp("packed")
    pack(root)
    return root
