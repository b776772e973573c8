"""A prior from the service's own children: empirical Bayes over many logs.

Each log is replayed with the present prior; what its hypotheses earned, averaged over children with
`PSEUDO_CHILDREN` imagined ones that hold the shipped shares, is the next prior: a few rounds of the EM
algorithm for mixture weights (Dempster, Laird and Rubin 1977) with a Dirichlet prior.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from bylittle.core.faults import NotEnoughData
from bylittle.core.learning.prior import SHIPPED, Prior, Shares
from bylittle.core.learning.tracker import Settings, Turn, replay, updated
from bylittle.core.stats.ordinal import Floats

FEWEST_CHILDREN = 20
FEWEST_TURNS = 20
PSEUDO_CHILDREN = 30.0
ROUNDS = 3


@dataclass(frozen=True, slots=True)
class ChildLog:
    """One child's log, ready to be replayed."""

    n_steps: int
    n_levels: int
    turns: tuple[Turn, ...]


@dataclass(frozen=True, slots=True)
class Earned:
    """Posterior shares of one log's hypotheses, and its log evidence."""

    shapes: Floats
    gains: Floats
    starts: Floats
    log_evidence: float


@dataclass(frozen=True, slots=True)
class FittedPrior:
    """The new prior; how far its shares moved (total variation, 0..1); log evidence a child."""

    prior: Prior
    children: int
    left_out: int
    moved_shapes: float
    moved_gains: float
    moved_starts: float
    evidence_before: float
    evidence_after: float


Mapper = Callable[[Callable[[ChildLog], Earned], Sequence[ChildLog]], Iterable[Earned]]


def earned(prior: Prior, log: ChildLog) -> Earned:
    """Replay one log, no evidence forgotten, and read off what its hypotheses earned."""
    state = replay(Settings(log.n_steps, log.n_levels, replace(prior, weight_memory=1.0)), log.turns)
    evening = updated(state)
    weights = np.exp(evening.log_weights)
    inner = weights.sum(axis=0).reshape(len(prior.gains), len(prior.starts))
    total = state.log_evidence + evening.log_evidence
    return Earned(weights.sum(axis=1), inner.sum(axis=1), inner.sum(axis=0), total)


def fit_prior(logs: Sequence[ChildLog], mapper: Mapper = map, shipped: Prior = SHIPPED) -> FittedPrior:
    """Fit the shares of shapes, gains and starts; `mapper` is `map` or an executor's.

    NotEnoughData with fewer than `FEWEST_CHILDREN` logs of `FEWEST_TURNS` turns: small services keep the
    shipped prior.
    """
    told = [log for log in logs if len(log.turns) >= FEWEST_TURNS]
    if len(told) < FEWEST_CHILDREN:
        raise NotEnoughData("fit_prior", n=len(told), needed=FEWEST_CHILDREN, turns=FEWEST_TURNS)
    prior, evidence = shipped, []
    for _ in range(ROUNDS):
        found = list(mapper(partial(earned, prior), told))
        evidence.append(float(np.mean([each.log_evidence for each in found])))
        prior = _next(prior, shipped, found)
    last = list(mapper(partial(earned, prior), told))
    return FittedPrior(
        prior=prior,
        children=len(told),
        left_out=len(logs) - len(told),
        moved_shapes=_moved(prior.shape_shares, shipped.shape_shares),
        moved_gains=_moved(prior.gain_shares, shipped.gain_shares),
        moved_starts=_moved(prior.start_shares, shipped.start_shares),
        evidence_before=evidence[0],
        evidence_after=float(np.mean([each.log_evidence for each in last])),
    )


def _next(prior: Prior, shipped: Prior, found: Sequence[Earned]) -> Prior:
    return replace(
        prior,
        shape_shares=_mixed(shipped.shape_shares, [each.shapes for each in found]),
        gain_shares=_mixed(shipped.gain_shares, [each.gains for each in found]),
        start_shares=_mixed(shipped.start_shares, [each.starts for each in found]),
    )


def _mixed(shipped: Shares, found: Sequence[Floats]) -> Shares:
    total = PSEUDO_CHILDREN * np.asarray(shipped) / sum(shipped) + np.sum(found, axis=0)
    return tuple((total / total.sum()).tolist())


def _moved(new: Shares, old: Shares) -> float:
    return float(np.abs(np.asarray(new) / sum(new) - np.asarray(old) / sum(old)).sum() / 2)
