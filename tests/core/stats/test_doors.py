"""What every measure of two phases does with input that it cannot or should not take."""

from __future__ import annotations

import doctest
import math
from collections.abc import Callable
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from bylittle.core.faults import BadValue, Fault, NotEnoughData
from bylittle.core.stats import (
    agreement,
    attainment,
    autocorrelation,
    conservative_dual,
    overlap,
    pairs,
    proportions,
    randomization,
    ratios,
    separation,
    trend,
)

A, B = [3.0, 4.0, 2.0, 5.0, 3.0], [6.0, 5.0, 7.0, 8.0, 6.0, 9.0]
Measure = Callable[..., Any]

DIRECTED: dict[str, Measure] = {
    "nap": overlap.nap,
    "nap_errors": overlap.nap_errors,
    "tau": overlap.tau,
    "tau_u": overlap.tau_u,
    "tau_u_all_pairs": overlap.tau_u_all_pairs,
    "tau_bc": overlap.tau_bc,
    "tau_bc_kendall": overlap.tau_bc_kendall,
    "pnd": overlap.pnd,
    "pem": overlap.pem,
    "pand": overlap.pand,
    "ird": overlap.ird,
    "smd": ratios.smd,
    "smd_pooled": lambda a, b, better="increase": ratios.smd(a, b, better, sd="pooled"),
    "lrr": ratios.lrr,
    "lrr_decreasing": lambda a, b, better="increase": ratios.lrr(a, b, better, "decreasing", "percentage"),
    "criterion": conservative_dual.criterion,
    "start_point": lambda a, b, better="increase": randomization.start_point([(a, b)], better, least_a=1),
    "pand_of_study": lambda a, b, better="increase": separation.pand_of_study([(a, b)], better),
    "pand_by_sorting": lambda a, b, better="increase": separation.pand_by_sorting([(a, b)], better),
}
TWO_PHASES = DIRECTED | {"percent_of_goal": lambda a, b: ratios.percent_of_goal(a, b, 10.0)}

# The fewest points of baseline and of treatment that each measure answers for.
FEWEST = {
    "nap": (2, 2),
    "nap_errors": (2, 2),
    "tau": (2, 2),
    "tau_u": (2, 1),
    "tau_u_all_pairs": (2, 2),
    "tau_bc": (3, 2),
    "tau_bc_kendall": (3, 2),
    "pnd": (1, 1),
    "pem": (1, 1),
    "pand": (1, 1),
    "ird": (1, 1),
    "smd": (3, 2),
    "smd_pooled": (2, 2),
    "lrr": (2, 2),
    "lrr_decreasing": (2, 2),
    "criterion": (3, 5),
    "start_point": (1, 5),
    "pand_of_study": (1, 1),
    "pand_by_sorting": (1, 1),
    "percent_of_goal": (2, 2),
}


def answer(name: str, a: list[float], b: list[float]) -> Any:
    """What the measure tells, or the fault that it raises."""
    try:
        return TWO_PHASES[name](a, b)
    except Fault as fault:
        return fault


everything = pytest.mark.parametrize("name", TWO_PHASES)


@everything
@pytest.mark.parametrize("wrong", [math.nan, math.inf, -math.inf, "many", None])
@pytest.mark.parametrize("phase", ["a", "b"])
def test_not_a_finite_number_is_a_bad_value(name: str, wrong: object, phase: str) -> None:
    spoilt = [*(A if phase == "a" else B)[:-1], wrong]
    with pytest.raises(BadValue) as caught:
        TWO_PHASES[name](*((spoilt, B) if phase == "a" else (A, spoilt)))
    assert caught.value.values["name"] == phase


@everything
def test_more_than_one_axis_is_a_bad_value(name: str) -> None:
    with pytest.raises(BadValue):
        TWO_PHASES[name](np.array([A, A]), B)


@everything
@pytest.mark.parametrize("short", [0, 1])
def test_too_few_points_say_how_many_are_needed(name: str, short: int) -> None:
    for position, needed in enumerate(FEWEST[name]):
        given = [list(A), list(B)]
        given[position] = given[position][:short]
        if short >= needed:
            continue
        with pytest.raises(NotEnoughData) as caught:
            TWO_PHASES[name](*given)
        assert (caught.value.n, caught.value.needed) == (short, needed)


@everything
def test_the_fewest_points_are_enough(name: str) -> None:
    fewest_a, fewest_b = FEWEST[name]
    extra = 1 if name == "start_point" else 0  # one start alone is no test
    assert TWO_PHASES[name](A[: fewest_a + extra], B[:fewest_b]) is not None


@pytest.mark.parametrize("name", DIRECTED)
def test_an_unknown_direction_is_a_bad_value(name: str) -> None:
    with pytest.raises(BadValue) as caught:
        DIRECTED[name](A, B, "up")
    assert caught.value.values["name"] == "better"


@everything
@pytest.mark.parametrize(
    ("a", "b"),
    [([4.0] * 6, [4.0] * 6), ([0.0] * 6, [0.0] * 6), ([0.0] * 6, [5.0] * 6), ([1e9, 1e-9] * 3, [0.0] * 6)],
    ids=["all equal", "all zero", "zero then five", "far apart"],
)
def test_degenerate_series_give_numbers_or_a_named_refusal(name: str, a: list[float], b: list[float]) -> None:
    found = answer(name, a, b)
    if isinstance(found, Fault):
        assert found.code in ("undefined", "bad_value")
        return
    numbers = [getattr(found, field, None) for field in ("estimate", "se", "low", "high", "p", "pand")]
    numbers = [number for number in numbers if number is not None] or [found] * isinstance(found, float)
    if name != "nap_errors":
        assert numbers
    assert all(math.isfinite(number) for number in numbers)


@everything
def test_input_is_left_as_it_was(name: str) -> None:
    a, b = np.array(A), np.array(B)
    TWO_PHASES[name](a, b)
    assert a.tolist() == A
    assert b.tolist() == B


@pytest.mark.parametrize(
    "module",
    [agreement, attainment, autocorrelation, overlap, pairs, proportions, ratios, trend],
    ids=lambda module: module.__name__.rsplit(".", 1)[-1],
)
def test_worked_examples_in_docstrings_hold(module: ModuleType) -> None:
    assert doctest.testmod(module).failed == 0


def test_docstrings_hold_worked_examples() -> None:
    assert sum(doctest.testmod(module).attempted for module in (overlap, proportions, attainment)) >= 3
