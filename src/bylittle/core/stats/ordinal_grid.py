"""An exact grid filter for ordinal responses of several tracks under a bank of hypotheses.

Each track (axis k) has a location on a fixed grid (axis g). Hypotheses are pairs (c, h): c says how a
location turns into responses, h everything else. All tracks seen on one occasion share an occasion effect
with nodes d. Nothing here knows what a track or an occasion is.

Axes: belief [k, c, h, g] sums to 1 over g; log_weights [c, h]; likelihood [k, c, d, g]; node_weights [d].
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]

TINY = 1e-30


@dataclass(frozen=True, slots=True)
class Updated:
    """Belief and hypothesis weights after one occasion; `log_evidence` of the occasion's data.

    `responsible` [k, c, d, g]: posterior of location and occasion effect given each c.
    """

    belief: Singles
    log_weights: Floats
    log_evidence: float
    responsible: Singles


def scaled_likelihood(counts: Floats, chances: Singles) -> tuple[Singles, float]:
    """Likelihood [k, c, d, g] of counted responses, each track scaled so that its largest value is 1.

    counts [k, u] of response kinds u with chances [u, c, d, g]. Also the log of all that was scaled away.
    """
    if (counts.max(axis=1) == 1).all() and (counts.sum(axis=1) == 1).all():
        # One response a track: there is nothing to multiply, and no logarithm is needed.
        alone = chances[counts.argmax(axis=1)]
        most = alone.reshape(len(alone), -1).max(axis=1)
        alone /= most[:, None, None, None]
        return alone, float(np.log(most, dtype=np.float64).sum())
    n_kinds = len(chances)
    logs = counts.astype(np.float32) @ np.log(chances).reshape(n_kinds, -1)
    largest = logs.max(axis=1, keepdims=True)
    logs -= largest
    # Far below the largest value all is equally impossible; the floor keeps hypotheses comparable.
    np.exp(np.maximum(logs, -60.0, out=logs), out=logs)
    return logs.reshape(len(counts), *chances.shape[1:]), float(largest.sum(dtype=np.float64))


def update(belief: Singles, log_weights: Floats, likelihood: Singles, node_weights: Floats) -> Updated:
    """Bayes' rule for one occasion: the tracks seen share the occasion effect, exactly summed out.

    `belief` holds the tracks seen only. Hypothesis weights come back normalised.
    """
    evidence = belief @ np.ascontiguousarray(likelihood.swapaxes(2, 3))
    np.maximum(evidence, TINY, out=evidence)
    logs = np.log(evidence).sum(axis=0, dtype=np.float64)
    top = logs.max(axis=-1, keepdims=True)
    joint = np.exp(logs - top) * node_weights
    total = joint.sum(axis=-1, keepdims=True)
    per_node = (joint / total).astype(np.float32) / evidence
    after = belief * (per_node @ likelihood)
    after /= after @ _ones(after.shape[-1])
    weights, log_evidence = normalised(log_weights + (np.log(total) + top)[..., 0])
    within = np.exp(weights - np.logaddexp.reduce(weights, axis=1)[:, None]).astype(np.float32)
    responsible = ((per_node * within[..., None]).swapaxes(2, 3) @ belief) * likelihood
    return Updated(after, weights, log_evidence, responsible)


@lru_cache(maxsize=16)
def _ones(points: int) -> Singles:
    """A column of ones: a product with it sums the last axis several times quicker than `sum` does."""
    return np.ones((points, 1), dtype=np.float32)


def normalised(log_weights: Floats) -> tuple[Floats, float]:
    """Log weights that sum to one, and the log of what they summed to before."""
    top = float(log_weights.max())
    total = top + float(np.log(np.exp(log_weights - top).sum()))
    return log_weights - total, total


def tempered(log_weights: Floats, log_prior: Floats, power: float) -> Floats:
    """Forget a little of what hypotheses earned: weights go the share 1 - power back to the prior's."""
    if power == 1.0:
        return log_weights
    return normalised(log_prior + power * (log_weights - log_prior))[0]


def moved(belief: Singles, kernels: Singles, groups: int) -> Singles:
    """Belief after a step in time. kernels [k, group, g, g] map from the old point (row) to the new one.

    The hypothesis axis h of `belief` is `groups` blocks; each block moves by its own kernel.
    """
    k, c, h, g = belief.shape
    split = belief.reshape(k, c, groups, h // groups, g).transpose(0, 2, 1, 3, 4)
    after = split.reshape(k, groups, -1, g) @ kernels
    back = after.reshape(k, groups, c, h // groups, g).transpose(0, 2, 1, 3, 4)
    return np.ascontiguousarray(back).reshape(k, c, h, g)


def collapsed(belief: Singles, weights: Floats, groups: int) -> Floats:
    """Weighted belief [k, c, group, g], summing to 1 over all but k: what forecasts need."""
    k, c, h, g = belief.shape
    split = belief.reshape(k, c, groups, h // groups, g)
    shares = weights.reshape(c, groups, h // groups).astype(np.float32)
    return np.asarray(np.einsum("kcgvx,cgv->kcgx", split, shares), dtype=np.float64)


def shift_kernel(grid: Floats, shift: Floats, variance: Floats) -> Floats:
    """Transition [old, new] with the given mean shift and variance at each old point.

    Small moves use a three-point stencil with exact mean and (where it can) exact variance; larger ones
    a discretised normal. Mass that would leave the grid stays at its end.
    """
    step = grid[1] - grid[0]
    rows = np.zeros((len(grid), len(grid)))
    for i in range(len(grid)):
        _fill_row(rows[i], i, float(shift[i] / step), float(variance[i] / step**2))
    return rows


def _fill_row(row: Floats, i: int, shift: float, variance: float) -> None:
    whole = round(shift)
    part = shift - whole
    spread = max(variance, abs(part) - part**2) + part**2
    last = len(row) - 1
    if spread <= 1.0:
        for k, weight in ((-1, (spread - part) / 2), (0, 1 - spread), (1, (spread + part) / 2)):
            row[min(max(i + whole + k, 0), last)] += weight
        return
    reach = int(np.ceil(5 * np.sqrt(variance))) + 1
    targets = np.arange(i + whole - reach, i + whole + reach + 1)
    weights = np.exp(-((targets - i - shift) ** 2) / (2 * variance))
    np.add.at(row, np.clip(targets, 0, last), weights / weights.sum())


def binned_quantiles(values: Floats, mass: Floats, shares: tuple[float, ...], bins: int = 500) -> Floats:
    """Quantiles of masses at values in 0..1, by counting in bins; right to about one bin's width."""
    where = np.minimum((values.ravel() * bins).astype(np.int64), bins - 1)
    total = np.cumsum(np.bincount(where, weights=mass.ravel(), minlength=bins))
    below = np.concatenate([[0.0], total])
    return np.asarray(np.interp(np.asarray(shares) * below[-1], below, np.arange(bins + 1) / bins))


@lru_cache(maxsize=256)
def refinement(n: int, parts: int, blur: float = 0.0) -> Floats:
    """Spreads masses on n grid points over a grid `parts` times finer [n, fine], linearly between points.

    `blur`: standard deviation, in grid steps, of a normal that smears them further. Mass is kept.
    """
    fine = np.arange((n - 1) * parts + 1) / parts
    hats = np.maximum(1 - np.abs(fine[None, :] - np.arange(n)[:, None]), 0.0)
    if blur > 0:
        kernel = np.exp(-0.5 * ((fine[None, :] - fine[:, None]) / blur) ** 2)
        hats = hats @ (kernel / kernel.sum(axis=1, keepdims=True))
    return np.asarray(hats / hats.sum(axis=1, keepdims=True))


def occasion_nodes(n: int) -> tuple[Floats, Floats]:
    """Nodes and weights of Gauss-Hermite quadrature for a standard normal occasion effect."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(n)
    return nodes, weights / weights.sum()
