"""The grid filter: exact against brute force, kernels with the moments they promise."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bylittle.core.stats.ordinal_grid import (
    binned_quantiles,
    collapsed,
    moved,
    normalised,
    occasion_nodes,
    refinement,
    scaled_likelihood,
    shift_kernel,
    tempered,
    update,
)

GRID = np.linspace(-6, 6, 25)


def some(seed: int, k: int = 2, c: int = 2, h: int = 3, d: int = 3, g: int = 7):
    chance = np.random.default_rng(seed)
    belief = chance.random((k, c, h, g))
    belief /= belief.sum(axis=-1, keepdims=True)
    weights = normalised(np.log(chance.random((c, h))))[0]
    likelihood = chance.random((k, c, d, g))
    nodes = chance.random(d)
    return belief, weights, likelihood, nodes / nodes.sum()


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 10_000))
def test_update_is_bayes_rule_summed_by_hand(seed: int) -> None:
    belief, weights, likelihood, nodes = some(seed)
    seen = update(belief.astype(np.float32), weights, likelihood.astype(np.float32), nodes)
    k, c, h, g = belief.shape
    joint = np.zeros((c, h, g, g))
    for ci, hi, di in product(range(c), range(h), range(len(nodes))):
        first = belief[0, ci, hi] * likelihood[0, ci, di]
        second = belief[1, ci, hi] * likelihood[1, ci, di]
        joint[ci, hi] += np.exp(weights[ci, hi]) * nodes[di] * np.outer(first, second)
    assert seen.log_evidence == pytest.approx(np.log(joint.sum()), abs=1e-4)
    shares = joint.sum(axis=(2, 3)) / joint.sum()
    assert np.exp(seen.log_weights) == pytest.approx(shares, abs=1e-4)
    within = joint.sum(axis=3) / joint.sum(axis=(2, 3))[..., None]
    assert seen.belief[0] == pytest.approx(within, abs=1e-4)
    assert seen.responsible.sum(axis=(2, 3)) == pytest.approx(np.ones((k, c)), abs=1e-4)


def test_scaling_keeps_the_likelihood_but_for_a_constant() -> None:
    chances = np.random.default_rng(1).uniform(0.2, 0.9, (3, 2, 3, 5)).astype(np.float32)
    counts = np.array([[2, 0, 1], [0, 3, 0]], dtype=float)
    scaled, logs = scaled_likelihood(counts, chances)
    plain = np.stack([chances[0] ** 2 * chances[2], chances[1] ** 3])
    assert scaled.max(axis=(1, 2, 3)) == pytest.approx(np.ones(2))
    assert scaled * (plain / scaled).max(axis=(1, 2, 3), keepdims=True) == pytest.approx(plain, rel=1e-3)
    assert logs == pytest.approx(np.log(plain.max(axis=(1, 2, 3))).sum(), abs=1e-4)


def test_one_response_a_track_is_scaled_like_any_other() -> None:
    chances = np.random.default_rng(2).uniform(0.2, 0.9, (3, 2, 3, 5)).astype(np.float32)
    scaled, logs = scaled_likelihood(np.array([[0.0, 1.0, 0.0], [1.0, 0.0, 0.0]]), chances)
    plain = chances[[1, 0]]
    most = plain.max(axis=(1, 2, 3), keepdims=True)
    assert scaled == pytest.approx(plain / most, rel=1e-5)
    assert logs == pytest.approx(float(np.log(most).sum()), abs=1e-5)
    assert np.shares_memory(scaled, chances) is False


@given(st.floats(-1.5, 1.5), st.floats(0.001, 2.0))
def test_kernels_keep_mass_and_have_the_mean_they_promise(shift: float, variance: float) -> None:
    same = np.ones(25)
    kernel = shift_kernel(GRID, shift * same, variance * same)
    assert kernel.sum(axis=1) == pytest.approx(same)
    assert (kernel >= -1e-12).all()
    mean = kernel[12] @ GRID
    assert mean == pytest.approx(shift, abs=0.02)
    part = abs(shift / 0.5 - round(shift / 0.5))
    least = (part - part**2) * 0.25
    assert kernel[12] @ (GRID - mean) ** 2 == pytest.approx(max(variance, least), rel=0.05, abs=0.02)


def test_each_group_moves_by_its_own_kernel() -> None:
    belief = np.zeros((1, 1, 4, 25), dtype=np.float32)
    belief[..., 12] = 1.0
    up = shift_kernel(GRID, np.full(25, 0.5), np.full(25, 1e-9))
    kernels = np.stack([np.eye(25), up])[None].astype(np.float32)
    after = moved(belief, kernels, 2)
    assert after.argmax(axis=-1)[0, 0].tolist() == [12, 12, 13, 13]
    assert collapsed(after, np.full((1, 4), 0.25), 2).sum() == pytest.approx(1.0)


@given(st.floats(0, 1))
def test_tempering_goes_back_towards_the_prior(power: float) -> None:
    prior, earned = normalised(np.log([[0.5, 0.5]]))[0], normalised(np.log([[0.9, 0.1]]))[0]
    share = np.exp(tempered(earned, prior, power))[0, 0]
    assert 0.5 - 1e-9 <= share <= 0.9 + 1e-9


def test_quantiles_of_many_small_masses() -> None:
    values = np.random.default_rng(2).uniform(0, 1, 20_000)
    low, middle, high = binned_quantiles(values, np.ones(20_000), (0.05, 0.5, 0.95))
    assert (low, middle, high) == pytest.approx(np.quantile(values, [0.05, 0.5, 0.95]), abs=0.005)


@pytest.mark.parametrize("blur", [0.0, 1.2])
def test_refining_keeps_mass(blur: float) -> None:
    assert refinement(25, 4, blur).sum(axis=1) == pytest.approx(np.ones(25))


def test_occasion_nodes_have_unit_variance() -> None:
    nodes, weights = occasion_nodes(5)
    assert weights.sum() == pytest.approx(1.0)
    assert weights @ nodes == pytest.approx(0.0, abs=1e-12)
    assert weights @ nodes**2 == pytest.approx(1.0)
