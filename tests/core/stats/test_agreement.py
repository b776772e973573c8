"""Agreement against scikit-learn and statsmodels."""

from __future__ import annotations

import json
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from sklearn.metrics import accuracy_score, cohen_kappa_score
from statsmodels.stats.inter_rater import cohens_kappa

from bylittle.core.faults import BadValue, NotEnoughData, Undefined
from bylittle.core.stats import agreement

REFERENCE = json.loads(
    (Path(__file__).parents[2] / "reference" / "agreement" / "agreement.json").read_text("utf-8")
)

# No time limit for one example: the machine may be busy.
quick = settings(max_examples=40, deadline=None)
CHECKS = {check["name"].split(",")[0]: check for check in REFERENCE["checks"]}
KAPPA = CHECKS["Cohen's kappa"]
POINTS = CHECKS["Point-by-point agreement"]
WEIGHTS = [None, "linear", "quadratic"]
scores = st.lists(st.tuples(st.integers(0, 3), st.integers(0, 3)), min_size=2, max_size=25)


def spread_out(table: list[list[int]]) -> tuple[list[int], list[int]]:
    pairs = [(i, j) for i, row in enumerate(table) for j, n in enumerate(row) for _ in range(n)]
    return [i for i, _ in pairs], [j for _, j in pairs]


@pytest.mark.parametrize("example", [e for e in KAPPA["examples"] if "table" in e])
def test_kappa_of_reference_tables(example: dict) -> None:
    close = {"abs": KAPPA["tolerance"]}
    found = agreement.kappa(*spread_out(example["table"]))
    assert found.estimate == pytest.approx(example["kappa"], **close)
    assert found.se == pytest.approx(example["std_kappa"], **close)
    assert agreement.kappa_of_table(example["table"]) == found
    for key, value in ((found.low, "kappa_low"), (found.high, "kappa_upp")):
        if value in example:
            assert key == pytest.approx(example[value], **close)
    for weights in ("linear", "quadratic"):
        if f"kappa_{weights}" in example:
            weighted = agreement.kappa_of_table(example["table"], weights)
            assert weighted.estimate == pytest.approx(example[f"kappa_{weights}"], **close)


def test_kappa_of_one_level_only_is_undefined() -> None:
    example = next(e for e in KAPPA["examples"] if "r1" in e)
    assert example["kappa"] is None
    for weights in WEIGHTS:
        with pytest.raises(Undefined):
            agreement.kappa(example["r1"], example["r2"], weights)


@pytest.mark.parametrize(
    ("table", "expected"),
    # Worked from kappa = (p_o - p_e) / (1 - p_e).
    [([[45, 15], [25, 15]], 0.1304), ([[25, 35], [5, 35]], 0.2593)],
)
def test_kappa_by_hand(table: list[list[int]], expected: float) -> None:
    assert agreement.kappa_of_table(table).estimate == pytest.approx(expected, abs=5e-5)


def test_kappa_of_words() -> None:
    assert agreement.kappa(list("NPNUP"), list("NPNUN")).estimate == pytest.approx(0.6875)


# The library also divides by errors of 0 on the way to a test that is not compared here.
@pytest.mark.filterwarnings("ignore::RuntimeWarning")
@quick
@given(scores, st.sampled_from(WEIGHTS))
def test_kappa_is_that_of_the_libraries(pairs: list[tuple[int, int]], weights: str | None) -> None:
    a, b = [x for x, _ in pairs], [y for _, y in pairs]
    assume(len(set(a) | set(b)) > 1)
    found = agreement.kappa(a, b, weights, levels=range(4))
    assert found.estimate == pytest.approx(
        cohen_kappa_score(a, b, labels=range(4), weights=weights), abs=1e-12
    )
    table = np.zeros((4, 4))
    np.add.at(table, (a, b), 1)
    other = cohens_kappa(table, wt=weights)
    # Where the variance is 0 the library takes the root of a rounding error.
    assert found.se == pytest.approx(other.std_kappa, abs=1e-6, nan_ok=True) or found.se == 0.0
    assert found.low <= found.estimate <= found.high


@quick
@given(scores, st.sampled_from(WEIGHTS))
def test_kappa_does_not_mind_who_is_first(pairs: list[tuple[int, int]], weights: str | None) -> None:
    a, b = [x for x, _ in pairs], [y for _, y in pairs]
    assume(len(set(a) | set(b)) > 1)
    one, other = agreement.kappa(a, b, weights), agreement.kappa(b, a, weights)
    assert (one.estimate, one.se) == pytest.approx((other.estimate, other.se), abs=1e-9)
    assert one.estimate <= 1.0


@quick
@given(scores)
def test_point_by_point_is_that_of_scikit_learn(pairs: list[tuple[int, int]]) -> None:
    a, b = [x for x, _ in pairs], [y for _, y in pairs]
    found = agreement.point_by_point(a, b)
    assert found == pytest.approx(accuracy_score(a, b))
    assert found == agreement.point_by_point(b, a) == agreement.point_by_point(np.array(a), np.array(b))


def test_reference_points() -> None:
    (example,) = POINTS["examples"]
    a, b = example["r1"], example["r2"]
    close = {"abs": POINTS["tolerance"]}
    assert agreement.point_by_point(a, b) == pytest.approx(example["agreement"], **close)
    assert agreement.occurrence_only(a, b) == pytest.approx(example["occurrence_only"], **close)
    assert agreement.total_count(a, b) == pytest.approx(example["total_count"], **close)
    assert agreement.within_one_level(a, b) == pytest.approx(example["within_one_level"], **close)


def test_seven_of_eight_steps() -> None:
    assert agreement.point_by_point([1] * 8, [1] * 7 + [0]) == 0.875


def test_perfect_agreement_is_one() -> None:
    assert agreement.kappa(["words", "alone"], ["words", "alone"]).estimate == 1.0


def test_a_near_miss_costs_less_when_weighted() -> None:
    a, b = [0, 1, 2, 3, 3], [0, 1, 2, 3, 2]
    plain, weighted = agreement.kappa(a, b), agreement.kappa(a, b, "quadratic")
    assert weighted.estimate > plain.estimate


def test_order_of_named_levels_must_be_told_for_weights() -> None:
    a, b = ["words", "alone", "touch"], ["words", "touch", "touch"]
    with pytest.raises(BadValue):
        agreement.kappa(a, b, "linear")
    order = ["touch", "words", "alone"]
    numbers = agreement.kappa([1, 2, 0], [1, 0, 0], "linear")
    assert agreement.kappa(a, b, "linear", levels=order) == numbers
    with pytest.raises(BadValue):
        agreement.kappa(a, b, levels=["touch", "words"])
    with pytest.raises(BadValue):
        agreement.kappa(a, b, levels=[*order, "words"])
    with pytest.raises(BadValue):
        agreement.kappa([1, 2], [1, 1], "cubic")


@pytest.mark.parametrize(
    "measure",
    [
        agreement.point_by_point,
        agreement.kappa,
        agreement.occurrence_only,
        agreement.within_one_level,
        agreement.total_count,
    ],
)
def test_pairs_of_scores_that_are_no_pairs(measure) -> None:
    with pytest.raises(BadValue):
        measure([1, 2, 3], [1, 2])
    with pytest.raises(BadValue):
        measure([1, math.nan], [1, 2])
    with pytest.raises(BadValue):
        measure([1, 2], [None, 2])
    with pytest.raises(NotEnoughData):
        measure([], [])


def test_edges_of_the_smaller_measures() -> None:
    with pytest.raises(NotEnoughData):
        agreement.kappa([1], [2])
    with pytest.raises(Undefined):
        agreement.occurrence_only([0, 0], [0, 0])
    assert agreement.total_count([0, 0], [0, 0]) == 1.0
    assert agreement.total_count([0, 0], [0, 3]) == 0.0
    with pytest.raises(BadValue):
        agreement.total_count([-1, 2], [1, 1])


@pytest.mark.parametrize("table", [[[1, 2]], [[1, -1], [2, 3]], [[1, math.nan], [2, 3]], []])
def test_tables_that_are_none(table: list) -> None:
    with pytest.raises(BadValue):
        agreement.kappa_of_table(table)
    with pytest.raises(NotEnoughData):
        agreement.kappa_of_table([[0, 0], [0, 0]])
