"""Ordinal chances and the static fit, against a general library."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.miscmodels.ordinal_model import OrderedModel

from bylittle.core.faults import BadValue, NotEnoughData
from bylittle.core.stats.ordinal import blur, category_chances, fit_static, interval_chances, tail_chances


def falling(n: int) -> st.SearchStrategy[list[float]]:
    return st.lists(st.floats(-4, 6), min_size=n, max_size=n).map(lambda o: sorted(o, reverse=True))


@given(st.floats(-6, 6), falling(5))
def test_categories_are_a_distribution(x: float, offsets: list[float]) -> None:
    categories = category_chances(tail_chances(x, offsets))
    assert categories.shape == (6,)
    assert (categories >= 0).all()
    assert categories.sum() == pytest.approx(1.0)


@given(st.integers(2, 8), st.floats(0, 0.5), st.floats(0, 0.5))
def test_slips_lose_no_record(n_levels: int, up: float, down: float) -> None:
    matrix = blur(n_levels, up, down)
    assert matrix.sum(axis=1) == pytest.approx(np.ones(n_levels))
    assert (matrix >= 0).all()


def test_an_interval_is_the_sum_of_its_categories() -> None:
    categories = category_chances(tail_chances(0.3, [2.0, 1.0, -1.0]))
    assert interval_chances(categories, 1, 2) == pytest.approx(categories[1] + categories[2])
    assert interval_chances(categories, 0, 3, blur(4, 0.1, 0.02)) == pytest.approx(1.0)


def test_an_interval_off_the_ladder_is_refused() -> None:
    with pytest.raises(BadValue):
        interval_chances(np.ones(4) / 4, 2, 1)


def drawn(seed: int, n: int = 400) -> tuple[np.ndarray, np.ndarray]:
    chance = np.random.default_rng(seed)
    x = chance.normal(size=(n, 2))
    latent = x @ [0.9, -0.5] + chance.logistic(size=n)
    return x, np.digitize(latent, [-1.5, -0.2, 0.8, 2.0])


@pytest.mark.parametrize("seed", [3, 4, 5])
def test_static_fit_agrees_with_a_general_library(seed: int) -> None:
    """statsmodels 0.15 OrderedModel(y, x, distr="logit").fit(method="bfgs"), to 1e-3."""
    x, y = drawn(seed)
    theirs = OrderedModel(y, x, distr="logit").fit(method="bfgs", disp=False, maxiter=500)
    ours = fit_static(y, y, x, 5)
    thresholds = OrderedModel(y, x, distr="logit").transform_threshold_params(theirs.params)[1:-1]
    assert ours.slopes == pytest.approx(theirs.params[:2], abs=1e-3)
    assert ours.thresholds == pytest.approx(thresholds, abs=1e-3)
    assert ours.log_likelihood == pytest.approx(theirs.llf, abs=1e-3)


def test_wide_intervals_still_find_the_slopes() -> None:
    x, y = drawn(8, 3000)
    lo, hi = np.where(y >= 2, 2, 0), np.where(y >= 2, 4, 1)
    exact = np.arange(len(y)) % 2 == 0
    fit = fit_static(np.where(exact, y, lo), np.where(exact, y, hi), x, 5)
    assert fit.slopes == pytest.approx([0.9, -0.5], abs=0.12)


def test_too_few_records_are_refused_with_what_is_needed() -> None:
    with pytest.raises(NotEnoughData) as caught:
        fit_static([0, 1], [0, 1], [[0.0], [1.0]], 4)
    assert (caught.value.n, caught.value.needed) == (2, 5)


def test_nan_is_refused() -> None:
    with pytest.raises(BadValue):
        fit_static([0] * 9, [0] * 9, [[float("nan")]] * 9, 4)


@settings(max_examples=10, deadline=None)
@given(st.integers(0, 10_000))
def test_fit_is_no_worse_than_the_truth(seed: int) -> None:
    x, y = drawn(seed, 200)
    tails = 1 / (1 + np.exp(-(x @ [0.9, -0.5])[:, None] + np.array([-1.5, -0.2, 0.8, 2.0])))
    chances = category_chances(np.concatenate([np.ones((len(y), 1)), tails], axis=1))
    truth = np.log(chances[np.arange(len(y)), y]).sum()
    assert fit_static(y, y, x, 5).log_likelihood >= truth - 1e-6
