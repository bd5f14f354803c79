"""The sheet on which one job's numbers are written, each with its formula, inputs and verdict.

`work` puts inputs through a calc function and keeps formula and inputs beside the value; a missing
input makes a *cannot tell*. `method` keeps a number that comes from an integral, a root or a table.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from builder.quantity import Audience, Calculation, Input, Number, Range, Table, Verdict
from builder.units import SafeSide

Given = float | Range | None
Judge = Callable[[float], tuple[Verdict, str]]


@dataclass
class Sheet:
    """Numbers by key, in the order they were worked."""

    numbers: dict[str, Number] = field(default_factory=dict)

    def __getitem__(self, key: str) -> Number:
        """Return the number already worked under `key`."""
        return self.numbers[key]

    def si(self, key: str) -> float | None:
        """Return the SI value under `key`; None where it could not be had."""
        value = self.numbers[key].value
        return value if isinstance(value, int | float) else None

    def range(self, key: str) -> Range | None:
        """Return the range under `key`; None where it could not be had."""
        number = self.numbers[key]
        if number.value is None or number.low is None or number.high is None:
            return None
        return Range(number.low, number.si, number.high)

    def put(self, number: Number) -> Number:
        """Write down a number; a key is written once."""
        if number.key in self.numbers:
            raise ValueError(f"{number.key} is worked twice")
        self.numbers[number.key] = number
        return number

    def work(
        self,
        key: str,
        words: str,
        calculation: Calculation[Any],
        *,
        unit: str | None = None,
        side: SafeSide = "nearest",
        audience: Audience = "working",
        judge: Judge | None = None,
        missing: str = "",
        note: str = "",
        **given: Given,
    ) -> Number:
        """Work `calculation` from the inputs given and write the number down.

        unit       the printed unit, where the key carries one; otherwise the calculation's own SI unit
        judge      verdict and reason from the value; a range is judged at its high end
        missing    why an input is missing, the reason of the *cannot tell*
        note       the reason of an *ok* number that needs a word
        """

        def number(value: float | None, verdict: Verdict, reason: str, **more: Any) -> Number:
            return Number(
                key=key,
                words=words,
                value=value,
                unit=unit or calculation.unit,
                symbol=calculation.symbol,
                formula=calculation.formula,
                source=calculation.source,
                safe_side=side,
                audience=audience,
                verdict=verdict,
                reason=reason,
                **more,
            )

        known = {name: value for name, value in given.items() if value is not None}
        if len(known) < len(given):
            inputs = {name: _input(value, calculation.units[name]) for name, value in given.items()}
            reason = missing or "an input is not known"
            return self.put(number(None, "cannot tell", reason, inputs=inputs))
        low, typical, high = _cases(calculation, known)
        ranged = any(isinstance(value, Range) for value in known.values())
        inputs = {
            name: Input(
                typical[1][name],
                calculation.units[name],
                low[1][name] if isinstance(value, Range) else None,
                high[1][name] if isinstance(value, Range) else None,
            )
            for name, value in known.items()
        }
        verdict, reason = judge(high[0] if ranged else typical[0]) if judge else ("ok", note)
        return self.put(
            number(
                typical[0],
                verdict,
                reason or note,
                inputs=inputs,
                low=low[0] if ranged else None,
                high=high[0] if ranged else None,
            )
        )

    def method(
        self,
        key: str,
        words: str,
        value: float | Table | None,
        *,
        unit: str,
        symbol: str,
        how: str,
        source: str,
        inputs: Mapping[str, tuple[float | None, str]],
        side: SafeSide = "nearest",
        audience: Audience = "working",
        verdict: Verdict = "ok",
        reason: str = "",
    ) -> Number:
        """Write down a number from an integral, a root or a table; `how` says how to repeat it."""
        return self.put(
            Number(
                key=key,
                words=words,
                value=value,
                unit=unit,
                symbol=symbol,
                formula=f"method: {how}",
                source=source,
                inputs={name: Input(given, given_unit) for name, (given, given_unit) in inputs.items()},
                verdict=verdict,
                reason=reason,
                safe_side=side,
                audience=audience,
            )
        )

    def without(
        self,
        key: str,
        words: str,
        calculation: Calculation[Any],
        *,
        reason: str,
        verdict: Verdict = "ok",
        unit: str | None = None,
        side: SafeSide = "nearest",
        audience: Audience = "working",
    ) -> Number:
        """Write down that `key` has no value here: it does not apply (ok), or cannot be told."""
        return self.put(
            Number(
                key=key,
                words=words,
                value=None,
                unit=unit or calculation.unit,
                symbol=calculation.symbol,
                formula=calculation.formula,
                source=calculation.source,
                verdict=verdict,
                reason=reason,
                safe_side=side,
                audience=audience,
            )
        )


def _input(value: Given, unit: str) -> Input:
    return Input(value.typical if isinstance(value, Range) else value, unit)


def _cases(
    calculation: Calculation[Any], given: Mapping[str, float | Range]
) -> tuple[tuple[float, dict[str, float]], ...]:
    """The low, typical and high result, each with the inputs that give it."""
    typical = {name: value.typical if isinstance(value, Range) else value for name, value in given.items()}
    ranged = {name: value for name, value in given.items() if isinstance(value, Range)}
    if not ranged:
        only = (calculation(**typical), typical)
        return only, only, only
    corners = []
    for ends in itertools.product(*((value.low, value.high) for value in ranged.values())):
        inputs = {**typical, **dict(zip(ranged, ends, strict=True))}
        corners.append((calculation(**inputs), inputs))
    return (
        min(corners, key=lambda case: case[0]),
        (calculation(**typical), typical),
        max(corners, key=lambda case: case[0]),
    )
