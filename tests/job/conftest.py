"""A spec with every key, and reading text as a spec."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from builder import yamlfile
from builder.catalogue import Catalogue, load
from builder.errors import Fault, InputFaults
from builder.job import Job, of

HERE = Path(__file__).parent


@pytest.fixture(scope="session")
def full() -> str:
    return (HERE / "full.yml").read_text(encoding="utf-8")


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    return load()


@pytest.fixture(scope="session")
def reads(catalogue: Catalogue) -> Callable[[str], Job]:
    """Read the text of a spec; raises InputFaults."""

    def read(text: str) -> Job:
        return of(yamlfile.parse(text.encode(), "job.yml"), "job.yml", catalogue)

    return read


@pytest.fixture(scope="session")
def faults_of(reads: Callable[[str], Job]) -> Callable[[str], tuple[Fault, ...]]:
    """Return the faults of the text of a spec; none where it is sound."""

    def find(text: str) -> tuple[Fault, ...]:
        try:
            reads(text)
        except InputFaults as exc:
            return exc.faults
        return ()

    return find
