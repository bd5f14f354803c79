"""One pack with its whole guide, made once; each test has a memory of its own of what was made from what."""

from pathlib import Path

import pytest

from builder.pack import made
from tests.pack.jobs import pack, quick

__all__ = ["quick"]


@pytest.fixture(autouse=True)
def own_cache(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(made, "KEPT", tmp_path_factory.mktemp("kept"))


@pytest.fixture(scope="session")
def packed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder that holds send/ and issued/ of a job's first issue."""
    root = tmp_path_factory.mktemp("packed")
    pack(root)
    return root
