"""The dig is full: shell, bedding, make-up, backfill, pits and beam, and what stays open, for any job.

What is printed stands on one side with its own hole on the other; the shell and the room beside the beam
are cut into slices here, with nothing taken from the profiles the numbers come from.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.checks import Results
from tests.checks.by_hand import results
from tests.checks.drawn_at_random import jobs
from tests.checks.test_quantities_by_hand import RING, below

NEAR = 1e-3  # of the hole: twelve slices between two bends


@st.composite
def digs(draw: st.DrawFn) -> dict[str, Any]:
    """Return a drawn job with another gap, overdig, rim, lift, pit, and a beam that fits the gap."""
    changes = draw(jobs())
    gap = draw(st.integers(300, 700))
    changes["backfill.working_gap"] = f"{gap} mm"
    changes["backfill.lift"] = f"{draw(st.integers(75, 250))} mm"
    changes["ring_beam.width"] = f"{draw(st.integers(150, gap))} mm"
    changes["ring_beam.depth"] = f"{draw(st.integers(100, 390))} mm"
    changes["levels.rim_above_ground"] = f"{draw(st.sampled_from([0, 50, 150, 400]))} mm"
    changes["standpipe.slotted"] = "200 mm"
    if draw(st.booleans()):
        changes["standpipe.pit"] = {"depth": "300 mm", "width": f"{draw(st.integers(300, 600))} mm"}
        changes["standpipe.foot_below_underside"] = "330 mm"
    changes["excavation"] = {
        **changes["excavation"],
        "overdug": f"{draw(st.sampled_from([0, 35, 120]))} mm",
        "makeup": "compacted",
    }
    return changes


def stays_open(worked: Results) -> float:
    """Volume in m3 under the ground, over the last lift and beside the beam, in slices."""
    levels = worked.levels
    outside = levels.solid.outside
    ring = outside.grown_round(levels.job.spec.ring_beam.width).polygon
    end = worked["fill.stages"].table.records()[-1]["backfill_top"]
    assert isinstance(end, float)
    height = (end - levels.ground) / 24
    middles = levels.ground + (np.arange(24) + 0.5) * height
    return sum(levels.dig.region(float(z)).difference(ring).area for z in middles) * height


@settings(max_examples=12, deadline=None, print_blob=True)
@given(digs())
def test_what_is_put_into_the_dig_and_what_stays_open_is_the_dig(changes: dict[str, Any]) -> None:
    worked = results(changes)
    levels, spec = worked.levels, worked.job.spec
    placed = sum(float(row["backfill_m3"]) for row in worked["fill.stages"].table.records())  # type: ignore[arg-type]
    beam = worked["beam.volume"].si / levels.beam.depth * max(levels.beam.depth - levels.ground, 0.0)
    sump = 0.0 if spec.sump is None else spec.sump.width**2 * spec.sump.depth
    pit = 0.0 if spec.standpipe.pit is None else spec.standpipe.pit.width**2 * spec.standpipe.pit.depth
    parts = {
        "shell": below(levels, levels.ground, outside=True),
        "bedding": worked["bedding.volume"].si,
        "make-up": worked["bedding.makeup_volume"].si,
        "lifts": placed,
        "sump": sump,
        "pit": pit,
        "beam": beam,
        "open": stays_open(worked),
    }
    assert min(parts.values()) >= 0.0, parts
    assert sum(parts.values()) == pytest.approx(worked["dig.volume"].si, rel=NEAR), parts
    # what stays open beside the beam is filled once it is poured: the backfill to buy is both
    assert worked["backfill.volume"].si == pytest.approx(
        placed + parts["open"], abs=NEAR * worked["dig.volume"].si
    )


@pytest.mark.parametrize("width", ["100 mm", "300 mm"])
def test_a_narrower_beam_leaves_room_to_fill_beside_it(width: str) -> None:
    # By hand: the gap's ring of 300 mm down to 1420 mm, less the beam's own ring from 50 to 200 mm.
    worked = results({"ring_beam.width": width})
    beam = worked["beam.volume"].si / 0.2
    assert worked["backfill.volume"].si == pytest.approx(RING * 1.37 - beam * 0.15, rel=1e-7)


@pytest.mark.parametrize("width", ["500 mm", "800 mm"])
def test_a_beam_wider_than_the_gap_takes_no_backfill_away(width: str) -> None:
    # By hand: under the beam, from 200 down to 1420 mm, the gap's ring of 300 mm, however wide the beam.
    worked = results({"ring_beam.width": width})
    assert worked["backfill.volume"].si == pytest.approx(RING * (1.42 - 0.20), rel=1e-7)
