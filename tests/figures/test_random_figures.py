"""Figures of 200 random valid jobs, three of each in turn, held to what a reader needs.

`make random-figures` draws them all.
"""

import pytest

from builder.catalogue import load
from builder.figures.index import NAMES
from tests import random_figures, random_jobs

JOBS, EACH, LOT = 200, 3, 20
CATALOGUE = load()


@pytest.mark.parametrize("first", range(0, JOBS, LOT))
def test_the_figures_of_random_jobs_are_readable_true_and_the_same_twice(first: int) -> None:
    faults = []
    for number in range(first, first + LOT):
        _, results, _ = random_jobs.valid(1, number, CATALOGUE)
        for turn in range(EACH):
            name = NAMES[(number * EACH + turn) % len(NAMES)]
            found = random_figures.faults_of(name, results, twice=turn == 0)
            faults += [f"{number} {name}: {fault}" for fault in found]
    assert not faults, "\n".join(faults)


def test_the_judge_sees_what_is_wrong() -> None:
    sheet = random_figures.Sheet()
    line = [[(20.0, 10.0), (60.0, 50.0)], [(20.0, 50.0), (60.0, 10.0)]]
    sheet.stroke(line, "dimension", 0.55, random_figures.Layer.NOTE)
    sheet.text("crossed", 30.0, 33.0)
    found = " ".join(random_figures._leaders(sheet))
    assert "two leaders cross" in found
    assert "runs through 'crossed'" in found
