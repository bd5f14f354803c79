"""The language formulas are printed in, against Python's own evaluation of the same expression."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.errors import FormulaError
from builder.formula import CONSTANTS, FUNCTIONS, evaluate, names

INPUTS = {"a": 1.7, "b": -0.4, "width": 3.25, "k_low": 1e-5}
PYTHON = {
    "min": min, "max": max, "sqrt": math.sqrt, "ln": math.log, "log10": math.log10, "exp": math.exp,
    "sin": math.sin, "cos": math.cos, "tan": math.tan, "floor": math.floor, "ceil": math.ceil, "pi": math.pi,
}  # fmt: skip


def python(expression: str) -> float:
    """Python's own value of an expression made by the strategies below."""
    value = eval(expression.replace("^", "**"), {"__builtins__": {}}, {**PYTHON, **INPUTS})  # noqa: S307 - ours
    return float(value)


@pytest.mark.parametrize(
    ("formula", "value"),
    [
        # by hand
        ("1 + 2*3", 7),
        ("(1 + 2)*3", 9),
        ("8/4/2", 1),
        ("8 - 4 - 2", 2),
        ("2^3^2", 512),
        ("-2^2", -4),
        ("(-2)^2", 4),
        ("2^-1", 0.5),
        ("2*-3", -6),
        ("2 - -3", 5),
        ("--2", 2),
        ("2*3^2", 18),
        ("6/2*3", 9),
        ("1e3", 1000),
        ("1.5E-3", 0.0015),
        (".5e3", 500),
        (".5", 0.5),
        ("5.", 5),
        ("min(3, 1, 2)", 1),
        ("max(3, min(9, 4))", 4),
        ("sqrt(9)", 3),
        ("ln(exp(2))", 2),
        ("log10(1000)", 3),
        ("sin(pi/2)", 1),
        ("cos(0)", 1),
        ("tan(pi/4)", 1),
        ("floor(2.7)", 2),
        ("floor(-2.1)", -3),
        ("ceil(2.1)", 3),
        ("3 − 1", 2),  # a printed minus
        ("  4\t/ 2  ", 2),
    ],
)
def test_grammar_and_precedence(formula: str, value: float) -> None:
    assert evaluate(formula, {}) == pytest.approx(value, rel=1e-14)


def test_names_are_taken_from_the_inputs() -> None:
    assert evaluate("shell_mass/(rho_w*2)", {"shell_mass": 10.0, "rho_w": 5.0}) == 1.0
    assert names("a*min(b, pi) + a - c_1") == {"a", "b", "c_1"}
    assert names("2*pi*sqrt(4)") == frozenset()


def test_names_that_are_given_but_not_used_do_no_harm() -> None:
    assert evaluate("a", {"a": 1.0, "z": math.nan}) == 1.0


@pytest.mark.parametrize("function", sorted(FUNCTIONS))
def test_every_function_is_pythons(function: str) -> None:
    arguments = "0.7, 0.3" if function in ("min", "max") else "0.7"
    assert evaluate(f"{function}({arguments})", {}) == python(f"{function}({arguments})")


def test_the_functions_and_constants_are_those_of_the_printed_grammar() -> None:
    assert " ".join(FUNCTIONS) == "min max sqrt ln log10 exp sin cos tan floor ceil"
    assert dict(CONSTANTS) == {"pi": math.pi}


@pytest.mark.parametrize(
    ("formula", "said"),
    [
        ("", "ends too early"),
        ("1 +", "ends too early"),
        ("(1", "ends too early"),
        ("1)", "cannot read from ')' on"),
        ("3 4", "cannot read from '4' on"),
        ("2a", "cannot read from 'a' on"),
        ("+5", "'+' stands where a number or a name should"),
        ("2**3", "'*' stands where a number or a name should"),
        ("min()", "')' stands where a number or a name should"),
        ("min 3", "'(' is missing"),
        ("(1 + 2*3", "ends too early"),
        ("sqrt(4, 5)", "argument"),
        ("ln(8, 2)", "argument"),
        ("a$b", "cannot read '$b'"),
        ("a.b", "cannot read '.b'"),
        ("a[0]", "cannot read '[0]'"),
        ("'text'", "cannot read"),
        ("1 = 1", "cannot read"),
        ("depth", "the input 'depth' is missing"),
        ("1/0", "division by zero"),
        ("0^-1", ""),
        ("sqrt(-1)", ""),
        ("ln(0)", ""),
        ("log10(-1)", ""),
        ("(-8)^0.5", "complex"),
        ("exp(1000)", ""),
        ("10^400", ""),
        ("1e308*10", "not a finite number"),
        ("1e308*10 - 1e308*10", "not a finite number"),
    ],
)
def test_what_cannot_be_worked_out_is_an_error_that_shows_the_formula(formula: str, said: str) -> None:
    with pytest.raises(FormulaError) as error:
        evaluate(formula, {"a": 1.0, "b": 2.0})
    assert str(error.value).startswith(f"{formula}: ")
    assert said in str(error.value)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_an_input_that_is_not_finite_gives_no_number(value: float) -> None:
    with pytest.raises(FormulaError):
        evaluate("2*a", {"a": value})


EXPRESSIONS = st.recursive(
    st.one_of(
        st.sampled_from([*INPUTS, "pi"]),
        st.integers(0, 40).map(str),
        st.floats(0.0, 99.0, allow_nan=False).map(lambda x: f"{x:.4g}"),
    ),
    lambda inner: st.one_of(
        st.tuples(inner, st.sampled_from(["+", "-", "*", "/", " + ", " - "]), inner).map("".join),
        st.tuples(inner, st.sampled_from(["^2", "^-1", "^0.5", "^3"])).map(lambda p: f"({p[0]}){p[1]}"),
        inner.map(lambda e: f"({e})"),
        inner.map(lambda e: f"-({e})"),
        st.tuples(st.sampled_from(["sqrt", "ln", "exp", "sin", "floor", "ceil"]), inner).map(
            lambda p: f"{p[0]}({p[1]})"
        ),
        st.tuples(st.sampled_from(["min", "max"]), inner, inner).map(lambda p: f"{p[0]}({p[1]}, {p[2]})"),
    ),
    max_leaves=12,
)


@given(EXPRESSIONS)
def test_any_expression_has_pythons_value_or_none(expression: str) -> None:
    try:
        expected = python(expression)
    except (ValueError, ZeroDivisionError, OverflowError, TypeError):
        expected = math.nan
    if math.isfinite(expected):
        assert evaluate(expression, INPUTS) == pytest.approx(expected, rel=1e-12, abs=1e-300)
    else:
        with pytest.raises(FormulaError):
            evaluate(expression, INPUTS)


@given(st.text(alphabet="ab12.()+-*/^, e_−minsqrt", max_size=24))
def test_any_text_has_a_value_or_a_formula_error(text: str) -> None:
    try:
        value = evaluate(text, INPUTS)
    except FormulaError:
        return
    assert math.isfinite(value)


def test_the_same_formula_gives_the_same_value_after_a_thousand_others() -> None:
    first = evaluate("a*width + k_low", INPUTS)
    shuffled = random.Random(1)  # noqa: S311 - not for secrets
    for _ in range(1100):
        evaluate(f"a + {shuffled.random():.6f}", INPUTS)
    assert evaluate("a*width + k_low", INPUTS) == first
