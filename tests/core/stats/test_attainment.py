"""Goal attainment T score: reference cases, table by sum of scores, laws, refusals."""

from __future__ import annotations

import json
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bylittle.core.faults import BadValue, NotEnoughData, Undefined
from bylittle.core.stats import attainment

REFERENCE = json.loads(
    (Path(__file__).parents[2] / "reference" / "attainment" / "gas.json").read_text("utf-8")
)

# No time limit for one example: the machine may be busy.
quick = settings(max_examples=40, deadline=None)
levels = st.lists(st.integers(-2, 2), min_size=1, max_size=6)
weight = st.floats(0, 20)


@pytest.mark.parametrize("case", REFERENCE["cases"], ids=lambda case: case["id"])
def test_reference_case(case: dict) -> None:
    if "attainment" in case:
        found = [attainment.t_score(case["attainment"], case["weights"], case["rho"])]
        expected = [case["expected_T"]]
    else:
        found = attainment.t_change(case["baseline"], case["followup"], case["weights"], case["rho"])
        expected = [case["expected_T_baseline"], case["expected_T_followup"], case["expected_change"]]
    assert list(found) == pytest.approx(expected, abs=case["tolerance"])


def test_no_case_was_lost() -> None:
    assert len(REFERENCE["cases"]) == 10


@pytest.mark.parametrize("row", REFERENCE["points_per_unit_equal_weights"], ids=lambda row: str(row["goals"]))
def test_points_that_one_level_is_worth(row: dict) -> None:
    one_up = attainment.t_score([1] + [0] * (row["goals"] - 1))
    assert one_up - 50 == pytest.approx(row["points_per_unit"], abs=1e-6)


@pytest.mark.parametrize(
    ("scores", "weights", "expected"),
    # Worked from the formula of Kiresuk & Sherman (1968) with other weights than the reference cases.
    [([1, 2], [2, 1], 66.064), ([1, 0, -1], [3, 2, 1], 54.407), ([0, 1, -1], [4, 6, 9], 47.886)],
)
def test_more_weights(scores: list[int], weights: list[int], expected: float) -> None:
    assert attainment.t_score(scores, weights) == pytest.approx(expected, abs=5e-4)


@quick
@given(levels, st.data(), st.floats(0, 1))
def test_score_is_that_of_the_correlation_matrix(scores: list[int], data: st.DataObject, rho: float) -> None:
    weights = np.array(data.draw(st.lists(weight, min_size=len(scores), max_size=len(scores))))
    assume(weights.max() > 0.01)
    matrix = np.full((len(scores), len(scores)), rho)
    np.fill_diagonal(matrix, 1.0)
    expected = 50 + 10 * (weights @ scores) / np.sqrt(weights @ matrix @ weights)
    assert attainment.t_score(scores, weights, rho) == pytest.approx(expected)


@quick
@given(levels, st.data(), st.floats(1e-3, 1e3))
def test_weights_count_only_against_each_other(scores: list[int], data: st.DataObject, factor: float) -> None:
    weights = data.draw(st.lists(st.integers(0, 9), min_size=len(scores), max_size=len(scores)))
    assume(any(weights))
    expected = attainment.t_score(scores, weights)
    assert attainment.t_score(scores, [factor * w for w in weights]) == pytest.approx(expected)
    assert attainment.t_score([-x for x in scores], weights) == pytest.approx(100 - expected)
    assert attainment.t_score([0] * len(scores), weights) == 50.0


def test_huge_weights_do_not_overflow() -> None:
    assert attainment.t_score([1, 1], [1e300, 1e300]) == pytest.approx(attainment.t_score([1, 1]))


def test_a_goal_of_no_weight_does_not_count() -> None:
    assert attainment.t_score([1, -2], [3, 0]) == pytest.approx(attainment.t_score([1]))


def test_no_weight_at_all_is_undefined() -> None:
    with pytest.raises(Undefined):
        attainment.t_score([1, 2], [0, 0])


def test_no_goal_is_too_few() -> None:
    for weights in (None, []):
        with pytest.raises(NotEnoughData) as caught:
            attainment.t_score([], weights)
        assert (caught.value.n, caught.value.needed) == (0, 1)


@pytest.mark.parametrize(
    ("arguments", "name"),
    [
        (([3],), "levels"),
        (([-4],), "levels"),
        (([math.nan],), "levels"),
        (([1, 2], [1]), "weights"),
        (([1, 2], [1, -1]), "weights"),
        (([1, 2], [1, math.inf]), "weights"),
        (([1, 2], None, 1.1), "rho"),
        (([1, 2], None, -0.1), "rho"),
        (([1, 2], None, math.nan), "rho"),
    ],
)
def test_what_a_score_cannot_be_made_of(arguments: tuple, name: str) -> None:
    with pytest.raises(BadValue) as caught:
        attainment.t_score(*arguments)
    assert caught.value.values["name"] == name


def test_a_change_is_of_the_same_goals() -> None:
    with pytest.raises(BadValue):
        attainment.t_change([0, 1], [1])


def test_some_services_use_a_lower_level_and_half_levels() -> None:
    assert attainment.t_score([-3]) == 20.0
    assert attainment.t_score([0.5]) == 55.0
