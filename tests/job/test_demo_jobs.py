"""The demo jobs load, and differ in every choice."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.catalogue import Catalogue
from builder.job import Bead, Job, NotSeen, Seen, read

FOLDER = Path(__file__).resolve().parents[2] / "jobs"


@pytest.fixture(scope="module")
def jobs(catalogue: Catalogue) -> list[Job]:
    return [read(file, catalogue) for file in sorted(FOLDER.glob("*.yml"))]


def test_five_demo_jobs_load_without_a_fault(jobs: list[Job]) -> None:
    assert len(jobs) >= 5
    assert len({job.spec.ref for job in jobs}) == len(jobs)


def test_the_demo_jobs_differ_in_every_choice(jobs: list[Job]) -> None:
    shells = [job.spec.shell for job in jobs]
    assert {shell.outline.convex for shell in shells} == {True, False}
    assert {shell.id is None for shell in shells} == {True, False}
    assert {isinstance(shell.relief.seal, Bead) for shell in shells} == {True, False}
    assert {shell.relief.fitted_by for shell in shells} == {"factory", "site"}
    assert {job.spec.audience for job in jobs} == {"owner-builder", "crew"}
    assert {"au", "nz", "us"} <= {job.region.id[:2] for job in jobs}
    assert {job.layers[0].soil.cohesive for job in jobs} == {True, False}
    assert {len(job.layers) > 1 for job in jobs} == {True, False}
    assert {(job.mesh is None, job.spec.sump is None) for job in jobs} >= {
        (False, True),
        (False, False),
        (True, True),
    }
    assert {job.spec.standpipe.pit is None for job in jobs} == {True, False}
    assert {job.spec.excavation.batter is None for job in jobs} == {True, False}


def test_groundwater_is_seen_not_seen_and_above_a_floor(jobs: list[Job]) -> None:
    waters = [job.spec.ground.groundwater for job in jobs]
    watched = sorted(water.watched_for for water in waters if isinstance(water, NotSeen))
    assert watched[0] < 86400.0  # too short a watch
    assert watched[-1] >= 7 * 86400.0  # long enough for any ground
    above = [
        job
        for job in jobs
        if isinstance(job.spec.ground.groundwater, Seen)
        and job.spec.levels.rim_above_ground + job.spec.ground.groundwater.depth
        < max(z for _, z in job.spec.shell.floor)
    ]
    assert above
