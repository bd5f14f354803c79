"""The invented guide, built once for all tests of this room."""

from pathlib import Path

import pytest

from builder.website import build
from tests.website.invented import Drawing, guide_of


@pytest.fixture(scope="session")
def drawn() -> dict[str, Drawing]:
    return {name: Drawing(name) for name in ("long-section", "plan")}


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory, drawn: dict[str, Drawing]) -> Path:
    """The invented guide, built once."""
    return build(guide_of(), drawn, tmp_path_factory.mktemp("sites") / "QR-0412").parent
