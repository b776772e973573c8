"""Who writes the marks: an adult may see steadily more or less independence than there was.

For each adult of the family a few ways of writing are weighed by how well they foretell that adult's marks.
The tracker then reads a mark with the mean slips of its writer. A therapist's marks are not weighed so.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache

import numpy as np

from bylittle.core.learning.history import MOST_NAMES
from bylittle.core.learning.prior import Prior
from bylittle.core.learning.responses import record_row
from bylittle.core.stats.ordinal import Floats

Slips = tuple[float, float]
Writers = Mapping[str, tuple[float, ...]]  # by adult: how much written lately, log weight of each way
WrittenKind = tuple[str, int, int, int]
LATELY = 0.93  # what a day ago counts when asked who writes nowadays
COARSE = 50  # slips are rounded to one in fifty: marks of like writers then share their tables


def ways(prior: Prior) -> tuple[Slips, ...]:
    """Shares of marks one level up and one level down, for each way of writing."""
    even = prior.home_noise / 2
    steady = prior.writer_slips
    return ((even, even), *((each, even / 2) for each in steady), *((even / 2, each) for each in steady))


@lru_cache(maxsize=64)
def log_shares(prior: Prior) -> tuple[float, ...]:
    """Log prior share of each way of writing."""
    others = len(ways(prior)) - 1
    return tuple(np.log([1 - prior.writer_share, *[prior.writer_share / others] * others]).tolist())


def slips_of(prior: Prior, writers: Writers, adult: str) -> Slips:
    """The mean share of this adult's marks that are one level up, and one level down."""
    return _mean_slips(prior, writers[adult][1:] if adult in writers else log_shares(prior))


def slips_to_come(prior: Prior, writers: Writers) -> Slips:
    """The same for the family's next mark, by whoever of those who wrote lately."""
    if not writers:
        return prior.home_noise / 2, prior.home_noise / 2
    lately = np.array([known[0] for known in writers.values()])
    each = np.array([_mean_slips(prior, known[1:]) for known in writers.values()])
    up, down = lately @ each / lately.sum()
    return float(up), float(down)


@lru_cache(maxsize=1024)
def _mean_slips(prior: Prior, logs: tuple[float, ...]) -> Slips:
    weights = np.exp(np.asarray(logs) - max(logs))
    up, down = weights @ np.asarray(ways(prior)) / weights.sum()
    return round(up * COARSE) / COARSE, round(down * COARSE) / COARSE


def heard(
    prior: Prior, writers: Writers, written: Iterable[tuple[WrittenKind, int]], tails: Floats
) -> Writers:
    """Weights of the ways of writing after a day.

    `written`: (adult, step, lo, hi) with counts; `tails` [step, l]: P(N >= l) as believed. Evidence counts
    `writer_trust` of its worth, since the marks of a day share its luck.
    """
    after = {adult: _faded(prior, known) for adult, known in writers.items()}
    for (adult, step, lo, hi), count in written:
        if adult not in after and len(after) >= MOST_NAMES:
            continue
        rows = _rows(prior, tails.shape[1], lo, hi)
        likely = (1 - prior.slip) * (rows @ tails[step]) + prior.slip * (hi - lo + 1) / tails.shape[1]
        lately, *logs = after.get(adult, (0.0, *log_shares(prior)))
        told = np.asarray(logs) + prior.writer_trust * count * np.log(likely)
        after[adult] = (lately + count, *(told - told.max()).tolist())
    return after


def _faded(prior: Prior, known: tuple[float, ...]) -> tuple[float, ...]:
    usual = np.asarray(log_shares(prior))
    kept = usual + prior.writer_memory * (np.asarray(known[1:]) - (usual - usual.max()))
    return (LATELY * known[0], *(kept - kept.max()).tolist())


@lru_cache(maxsize=2048)
def _rows(prior: Prior, n_levels: int, lo: int, hi: int) -> Floats:
    return np.array([record_row(n_levels, up, down, lo, hi) for up, down in ways(prior)])
