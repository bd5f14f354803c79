"""The small language in which every formula is printed, and its evaluator.

Names, numbers, + - * / ^ ( ), and the functions below. A reader can put the printed inputs into
the printed formula and get the printed value; so can a test, for every number of every job.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from functools import lru_cache

from builder.errors import FormulaError

FUNCTIONS: Mapping[str, Callable[..., float]] = {
    "min": min,
    "max": max,
    "sqrt": math.sqrt,
    "ln": lambda of: math.log(of),  # one argument: math.log would take a base as well
    "log10": math.log10,
    "exp": math.exp,
    "sin": math.sin,
    "cos": math.cos,
    "tan": math.tan,
    "floor": math.floor,
    "ceil": math.ceil,
}
CONSTANTS: Mapping[str, float] = {"pi": math.pi}

_TOKEN = re.compile(r"\s*(?:((?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?)|([A-Za-z_]\w*)|([-+*/^(),−]))")
_Term = Callable[[Mapping[str, float]], float]


def evaluate(formula: str, inputs: Mapping[str, float]) -> float:
    """Return the value of `formula` with `inputs` put in, all in SI.

    Raises FormulaError where the formula does not parse, a name is missing, or the arithmetic
    has no finite real result (a division by zero, the logarithm of a negative number).
    """
    term = _parsed(formula)[0]
    try:
        value = float(term(inputs))
    except (ValueError, ZeroDivisionError, OverflowError, TypeError) as exc:
        raise FormulaError(f"{formula}: {exc}") from exc
    if not math.isfinite(value):
        raise FormulaError(f"{formula}: the result is not a finite number")
    return value


def names(formula: str) -> frozenset[str]:
    """Return the input names that `formula` uses."""
    return _parsed(formula)[1]


@lru_cache(maxsize=1024)
def _parsed(formula: str) -> tuple[_Term, frozenset[str]]:
    parser = _Parser(formula)
    term = parser.sum()
    if parser.peek() is not None:
        raise FormulaError(f"{formula}: cannot read from {parser.peek()!r} on")
    return term, frozenset(parser.names)


class _Parser:
    """Recursive descent: sum, product, sign, power, atom; ^ binds to the right."""

    def __init__(self, formula: str) -> None:
        self.formula = formula
        self.names: set[str] = set()
        self.tokens: list[str] = []
        at = 0
        text = formula.rstrip()
        while at < len(text):
            match = _TOKEN.match(text, at)
            if match is None:
                raise FormulaError(f"{formula}: cannot read {text[at:]!r}")
            self.tokens.append(match.group().strip().replace("−", "-"))
            at = match.end()
        self.at = 0

    def peek(self) -> str | None:
        return self.tokens[self.at] if self.at < len(self.tokens) else None

    def take(self) -> str:
        token = self.peek()
        if token is None:
            raise FormulaError(f"{self.formula}: ends too early")
        self.at += 1
        return token

    def expect(self, token: str) -> None:
        if self.take() != token:
            raise FormulaError(f"{self.formula}: {token!r} is missing")

    def sum(self) -> _Term:
        left = self.product()
        while self.peek() in ("+", "-"):
            left = _binary(self.take(), left, self.product())
        return left

    def product(self) -> _Term:
        left = self.sign()
        while self.peek() in ("*", "/"):
            left = _binary(self.take(), left, self.sign())
        return left

    def sign(self) -> _Term:
        if self.peek() == "-":
            self.take()
            operand = self.sign()
            return lambda inputs: -operand(inputs)
        return self.power()

    def power(self) -> _Term:
        base = self.atom()
        if self.peek() == "^":
            self.take()
            return _binary("^", base, self.sign())
        return base

    def atom(self) -> _Term:
        taken = self.take()
        if taken == "(":
            inner = self.sum()
            self.expect(")")
            return inner
        if taken[0].isdigit() or taken[0] == ".":
            number = float(taken)
            return lambda inputs: number
        if taken in FUNCTIONS:
            return self.call(FUNCTIONS[taken])
        if taken in CONSTANTS:
            constant = CONSTANTS[taken]
            return lambda inputs: constant
        if not (taken[0].isalpha() or taken[0] == "_"):
            raise FormulaError(f"{self.formula}: {taken!r} stands where a number or a name should")
        self.names.add(taken)
        return lambda inputs: _look_up(self.formula, taken, inputs)

    def call(self, function: Callable[..., float]) -> _Term:
        self.expect("(")
        arguments = [self.sum()]
        while self.peek() == ",":
            self.take()
            arguments.append(self.sum())
        self.expect(")")
        return lambda inputs: function(*(argument(inputs) for argument in arguments))


def _look_up(formula: str, name: str, inputs: Mapping[str, float]) -> float:
    try:
        return inputs[name]
    except KeyError:
        raise FormulaError(f"{formula}: the input {name!r} is missing") from None


def _binary(operator: str, left: _Term, right: _Term) -> _Term:
    if operator == "+":
        return lambda inputs: left(inputs) + right(inputs)
    if operator == "-":
        return lambda inputs: left(inputs) - right(inputs)
    if operator == "*":
        return lambda inputs: left(inputs) * right(inputs)
    if operator == "/":
        return lambda inputs: left(inputs) / right(inputs)
    return lambda inputs: left(inputs) ** right(inputs)
