"""A number that knows its unit, formula, inputs and source.

`calculated` marks a function of the calc room: keyword-only arguments annotated with the units
below, one result, and the formula in print. `Number` is one entry of a job's result.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Annotated, Any, Generic, Literal, ParamSpec

from builder.units import SafeSide, to_unit

Metre = Annotated[float, "m"]
SquareMetre = Annotated[float, "m2"]
CubicMetre = Annotated[float, "m3"]
MetreToTheFourth = Annotated[float, "m4"]
Kilogram = Annotated[float, "kg"]
KilogramMetre = Annotated[float, "kg m"]
KilogramPerCubicMetre = Annotated[float, "kg/m3"]
CubicMetrePerSecond = Annotated[float, "m3/s"]
MetrePerSecond = Annotated[float, "m/s"]
SecondPerSquareMetre = Annotated[float, "s/m2"]
MetrePerSecondSquared = Annotated[float, "m/s2"]
PerSecond = Annotated[float, "1/s"]
Second = Annotated[float, "s"]
Pascal = Annotated[float, "Pa"]
PascalSecond = Annotated[float, "Pa s"]
NewtonPerCubicMetre = Annotated[float, "N/m3"]
Radian = Annotated[float, "rad"]
Plain = Annotated[float, "1"]

Verdict = Literal["ok", "watch", "stop", "cannot tell"]
Audience = Literal["step", "working"]
VERDICTS: Sequence[Verdict] = ("ok", "watch", "cannot tell", "stop")  # from best to worst

P = ParamSpec("P")


@dataclass(frozen=True)
class Range:
    """An uncertain input: low ≤ typical ≤ high, SI."""

    low: float
    typical: float
    high: float


class Calculation(Generic[P]):
    """A function of the calc room with its printed formula; call it like the function."""

    def __init__(self, function: Callable[P, float], symbol: str, formula: str, source: str) -> None:
        """Read the units off the annotations."""
        hints = {name: _hint(hint, function) for name, hint in function.__annotations__.items()}
        self.function = function
        self.symbol = symbol
        self.formula = formula
        self.source = source
        self.unit = _unit(hints.pop("return"))
        self.units = {name: _unit(hint) for name, hint in hints.items()}
        self.__doc__ = function.__doc__
        self.__name__ = function.__name__
        self.__module__ = function.__module__

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> float:
        """Return the SI value."""
        return self.function(*args, **kwargs)


def calculated(*, symbol: str, formula: str, source: str) -> Callable[[Callable[P, float]], Calculation[P]]:
    """Mark a calc function with its symbol, printed formula and source id in shared/sources."""

    def mark(function: Callable[P, float]) -> Calculation[P]:
        return Calculation(function, symbol, formula, source)

    return mark


@dataclass(frozen=True)
class Input:
    """One input of a printed formula, SI; low, typical, high where the number is a range.

    The low input is the one that gives the low *number*, so the formula holds case by case.
    """

    value: float | None
    unit: str
    low: float | None = None
    high: float | None = None

    def as_json(self) -> dict[str, Any]:
        """Return the JSON shape of DESIGN section 6."""
        out: dict[str, Any] = {"value": self.value, "unit": self.unit}
        if self.low is not None:
            out.update(low=self.low, typical=self.value, high=self.high)
        return out


@dataclass(frozen=True)
class Column:
    """A column of a table: its key and the unit its cells carry."""

    key: str
    unit: str


@dataclass(frozen=True)
class Table:
    """A number that is a table; cells are in the column's unit, text, or None."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[float | str | None, ...], ...]

    def as_json(self) -> dict[str, Any]:
        """Return the JSON shape of DESIGN section 6."""
        return {
            "columns": [{"key": column.key, "unit": column.unit} for column in self.columns],
            "rows": [list(row) for row in self.rows],
        }

    def records(self) -> list[dict[str, float | str | None]]:
        """Return each row as a mapping by column key."""
        keys = [column.key for column in self.columns]
        return [dict(zip(keys, row, strict=True)) for row in self.rows]


@dataclass(frozen=True)
class Number:
    """One entry of a job's result.

    value, low and high are SI; `printed` turns them into the key's own unit. words names the
    number for a reader; reason is one sentence in his language, empty where nothing needs saying.
    """

    key: str
    words: str
    value: float | Table | None
    unit: str
    symbol: str
    formula: str
    source: str
    inputs: Mapping[str, Input] = field(default_factory=dict)
    verdict: Verdict = "ok"
    reason: str = ""
    safe_side: SafeSide = "nearest"
    audience: Audience = "working"
    low: float | None = None
    high: float | None = None

    @property
    def si(self) -> float:
        """The SI value; raises ValueError where there is none or it is a table."""
        if not isinstance(self.value, int | float):
            raise ValueError(f"{self.key} has no single value")
        return float(self.value)

    @property
    def table(self) -> Table:
        """The table; raises ValueError where the number is none."""
        if not isinstance(self.value, Table):
            raise ValueError(f"{self.key} is not a table")
        return self.value

    def printed(self, value: float | None) -> float | None:
        """Return an SI value in this number's own unit."""
        return None if value is None else to_unit(value, self.unit)

    def as_json(self) -> dict[str, Any]:
        """Return the JSON shape of DESIGN section 6."""
        value = self.value.as_json() if isinstance(self.value, Table) else self.printed(self.value)
        out: dict[str, Any] = {"value": value}
        if self.low is not None:
            out.update(low=self.printed(self.low), typical=value, high=self.printed(self.high))
        out.update(
            unit=self.unit,
            symbol=self.symbol,
            formula=self.formula,
            inputs={name: given.as_json() for name, given in self.inputs.items()},
            source=self.source,
            verdict=self.verdict,
            reason=self.reason,
            safe_side=self.safe_side,
            audience=self.audience,
        )
        return out


def worst(*verdicts: Verdict) -> Verdict:
    """Return the worst of the verdicts; stop outranks cannot tell, which outranks watch."""
    return VERDICTS[max((VERDICTS.index(verdict) for verdict in verdicts), default=0)]


def _hint(hint: Any, function: Callable[..., Any]) -> Any:
    """The annotation a postponed name stands for: one of the above, as the module imports it."""
    return function.__globals__.get(hint) if isinstance(hint, str) else hint


def _unit(hint: Any) -> str:
    metadata: tuple[Any, ...] = getattr(hint, "__metadata__", ())
    if len(metadata) != 1:
        raise TypeError("a calc argument or result is annotated with one of the units of builder.quantity")
    return str(metadata[0])
