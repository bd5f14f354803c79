"""Every public function of the calc room is held twice: by a value in print or by hand, and by a property.

A mention proves nothing. Each function is made wrong, and a test must fail: its value a fiftieth too
large, in the tests of values; its sign turned, in the tests of properties.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from functools import cache, partial
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from hypothesis import Phase, settings

from builder.quantity import Calculation
from tests.calc.calculations import ROOMS
from tests.validation import cases

Test = Callable[[], None]
Change = Callable[[float], float]
KINDS: dict[str, tuple[tuple[str, ...], Change]] = {
    "value": (("test_published_*.py", "test_by_hand.py"), lambda value: value * 1.02),
    "property": (("test_properties.py",), lambda value: -value),
}
PUBLIC: dict[str, tuple[ModuleType, str]] = {
    f"{room.__name__.rpartition('.')[2]}.{name}": (room, name)
    for room in ROOMS
    for name, found in vars(room).items()
    if callable(found) and not name.startswith("_") and found.__module__ == room.__name__
}


def changed(result: Any, change: Change) -> Any:
    """A function's result with every number in it changed."""
    if isinstance(result, tuple):
        return tuple(changed(each, change) for each in result)
    return result if result is None else change(result)


@contextmanager
def replaced(name: str, by: Callable[..., Any]) -> Iterator[None]:
    """For a while, have a function's calls go to `by(original, ...)`."""
    room, attribute = PUBLIC[name]
    found = getattr(room, attribute)
    at, part = (found, "function") if isinstance(found, Calculation) else (room, attribute)
    original = getattr(at, part)
    setattr(at, part, partial(by, original))
    try:
        yield
    finally:
        setattr(at, part, original)


@cache
def every_case(kind: str) -> list[tuple[Test, set[str]]]:
    """Every test of a kind that passes, case by case, with the functions it calls."""
    here, found = Path(__file__).parent, []
    for path in sorted(path for pattern in KINDS[kind][0] for path in here.glob(pattern)):
        module = importlib.import_module(f"tests.calc.{path.stem}")
        for name, test in vars(module).items():
            if name.startswith("test_"):
                found += [(partial(test, **given), set[str]()) for given in cases(test)]
    passing = []
    for test, called in found:
        with ExitStack() as watched:
            for name in PUBLIC:
                watched.enter_context(replaced(name, partial(_noted, name, called)))
            if not fails(test):
                passing.append((test, called))
    return passing


def _noted(name: str, called: set[str], original: Callable[..., Any], *args: Any, **given: Any) -> Any:
    called.add(name)
    return original(*args, **given)


def _wrong(change: Change, original: Callable[..., Any], *args: Any, **given: Any) -> Any:
    return changed(original(*args, **given), change)


def fails(test: Test) -> bool:
    """Whether a test fails."""
    try:
        test()
    except Exception:
        return True
    return False


@pytest.fixture(autouse=True)
def one_example_is_enough() -> Iterator[None]:
    """No failing example is made smaller here: that it fails is all."""
    before = settings.get_current_profile_name()
    settings.register_profile(
        "first fault", settings(max_examples=20), phases=[Phase.explicit, Phase.generate]
    )
    settings.load_profile("first fault")
    yield
    settings.load_profile(before)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", PUBLIC)
def test_a_wrong_function_is_found_out(name: str, kind: str) -> None:
    holding = [test for test, called in every_case(kind) if name in called]
    assert holding, f"no test of a {kind} calls {name}"
    with replaced(name, partial(_wrong, KINDS[kind][1])):
        assert any(map(fails, holding)), f"{name} may be wrong: no test of a {kind} finds out"


def test_a_mention_or_a_call_alone_holds_nothing() -> None:
    name = "levels.ground"
    called_only: Mapping[str, Any] = {"rim_above_ground": 0.05}
    with replaced(name, partial(_wrong, KINDS["value"][1])):
        assert not fails(lambda: PUBLIC[name][0].ground(**called_only))
        assert PUBLIC[name][0].ground(**called_only) == pytest.approx(0.051)
    assert PUBLIC[name][0].ground(**called_only) == 0.05
