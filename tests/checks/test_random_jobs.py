"""A small run of `make random-jobs`, so that a change that breaks it shows at once."""

import random
from dataclasses import replace

import pytest

from builder.catalogue import Catalogue, load
from tests import random_jobs, random_relations, random_specs

SEED = 20
BATCH = 30


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load()


@pytest.mark.parametrize("batch", range(5))
def test_random_jobs_hold_what_must_hold(batch: int, catalogue: Catalogue) -> None:
    compared = 0
    for number in range(batch * BATCH, (batch + 1) * BATCH):
        _, pair = random_jobs.look(SEED, number, catalogue)
        compared += pair
    assert compared >= 3


def test_a_number_of_a_seed_is_the_same_job_every_time(catalogue: Catalogue) -> None:
    first, _, _ = random_jobs.valid(SEED, 3, catalogue)
    again, _, _ = random_jobs.valid(SEED, 3, catalogue)
    assert first == again
    assert first != random_jobs.valid(SEED, 4, catalogue)[0]


def test_most_drawn_specs_are_valid(catalogue: Catalogue) -> None:
    refused = sum(random_jobs.valid(SEED, number, catalogue)[2] for number in range(40))
    assert refused < 20


def test_the_draws_reach_every_kind_of_job(catalogue: Catalogue) -> None:
    rng = random.Random(1)  # noqa: S311 a draw to repeat, no secret
    specs = [random_specs.draw(rng, catalogue) for _ in range(300)]
    assert {isinstance(spec["shell"], str) for spec in specs} == {True, False}
    assert {isinstance(spec["ground"]["groundwater"], str) for spec in specs} == {True, False}
    for key in ("sump", "pump", "as_built"):
        assert {key in spec for spec in specs} == {True, False}, key
    for key in ("layers", "neighbours", "aquifer_base", "highest_known"):
        assert {key in spec["ground"] for spec in specs} == {True, False}, key


def test_a_broken_relation_is_seen(catalogue: Catalogue) -> None:
    # the same job twice, claimed to have more of what it has less of
    _, worked, _ = random_jobs.valid(SEED, 0, catalogue)
    dry = random_relations.Relation("up", lambda _rng, spec, _worked: spec, not_less=("shell.mass",))
    assert list(dry.holds(worked, worked)) == []
    heavier = random_jobs.valid(SEED, 1, catalogue)[1]
    one, other = sorted((worked, heavier), key=lambda results: -results["shell.mass"].si)
    assert list(dry.holds(one, other)) != []


@pytest.mark.parametrize(
    "key", ["dig.volume", "bedding.volume", "bedding.makeup_volume", "backfill.volume", "fill.stages"]
)
def test_a_millionth_of_the_dig_that_is_missing_is_seen(catalogue: Catalogue, key: str) -> None:
    _, worked, _ = random_jobs.valid(SEED, 0, catalogue)
    assert list(random_jobs._volumes(worked)) == []
    little = 1e-6 * worked["dig.volume"].si
    number = worked[key]
    if key == "fill.stages":
        table = number.table
        at = [column.key for column in table.columns].index("backfill_m3")
        first = table.rows[0]
        row = (*first[:at], first[at] + little, *first[at + 1 :])  # type: ignore[operator]
        spoilt = replace(number, value=replace(table, rows=(row, *table.rows[1:])))
    else:
        spoilt = replace(number, value=number.si + little)
    assert list(random_jobs._volumes(replace(worked, numbers={**worked.numbers, key: spoilt})))


def test_a_crash_tells_its_spec(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    def fall_over(_levels: object) -> object:
        raise ZeroDivisionError

    monkeypatch.setattr(random_jobs, "work", fall_over)
    with pytest.raises(random_jobs.Crash) as caught:
        random_jobs.valid(SEED, 0, catalogue)
    assert caught.value.spec["ref"] == "RANDOM"
