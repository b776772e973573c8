"""Who writes the marks: an adult may see steadily more or less independence than there was.

For each adult of the family a few ways of writing are weighed by how well they foretell that adult's marks.
The tracker then reads a mark with the mean slips of its writer. A therapist's marks are not weighed so.

After a miss an adult may write the least help that would have been enough, having gone down help by help, or
whatever help came to hand. Which of the two it is, is weighed the same way.

Two adults who differ can be understood in two ways: one sees too much, or the other too little. Belief as it
stands lies in between and would settle neither, so each way is weighed as if the skill might lie some grid
points off, the same for all who wrote: only together do their marks tell who of them it is.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from bylittle.core.learning.history import MOST_NAMES
from bylittle.core.learning.prior import Bank
from bylittle.core.learning.responses import record_row
from bylittle.core.stats.ordinal import Floats

Slips = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Writer:
    """What one adult's marks have told of how that adult writes.

    `lately`: how much written lately. `exact_odds`: log odds that a miss's level is the reach itself.
    `ways`: log weight of each way of writing. `evidence`: the same, a row for each shift of the skill.
    """

    lately: float
    exact_odds: float
    ways: tuple[float, ...]
    evidence: tuple[float, ...]


Writers = Mapping[str, Writer]
WrittenKind = tuple[str, int, int, int]
LATELY = 0.93  # what a day ago counts when asked who writes nowadays
LEAST = 1e-9  # keeps a logarithm finite
SUREST = 6.0  # log odds; no habit is so fixed that a month of other marks could not show its change
SHIFTS = (-2, 0, 2)  # grid points by which the skill may lie elsewhere than believed
SHIFT_SD = 0.6  # logits by which belief may well be off while two adults differ
SHIFT_MEMORY = 0.9  # a shift is soon taken up by belief itself: older evidence on it says little
COARSE = 50  # slips are rounded to one in fifty: marks of like writers then share their tables
COARSE_SHARE = 8  # and how exactly a miss is told to one in eight


def ways(arrays: Bank) -> tuple[Slips, ...]:
    """Shares of marks one level up and one level down, for each way of writing."""
    even = arrays.prior.home_noise / 2
    steady = arrays.prior.writer_slips
    return ((even, even), *((each, even / 2) for each in steady), *((even / 2, each) for each in steady))


@lru_cache(maxsize=64)
def log_shares(arrays: Bank) -> tuple[float, ...]:
    """Log prior share of each way of writing."""
    others, share = len(ways(arrays)) - 1, arrays.prior.writer_share
    return tuple(np.log([1 - share, *[share / others] * others]).tolist())


def slips_of(arrays: Bank, writers: Writers, adult: str) -> Slips:
    """The mean share of this adult's marks that are one level up, and one level down."""
    return _mean_slips(arrays, writers[adult].ways if adult in writers else log_shares(arrays))


def exactness(arrays: Bank, writers: Writers, adult: str) -> float:
    """How likely the level this adult writes after a miss is the least that would have been enough, 0..1."""
    if arrays.prior.exact_share == 0:
        return 0.0
    odds = writers[adult].exact_odds if adult in writers else _usual_odds(arrays.prior.exact_share)
    return round(COARSE_SHARE / (1 + math.exp(-odds))) / COARSE_SHARE


def _usual_odds(share: float) -> float:
    if not 0 < share < 1:
        return SUREST if share >= 1 else -SUREST
    return math.log(share / (1 - share))


def tells_level(lo: int, hi: int, top: int) -> bool:
    """A miss with the level that worked then, where lower ones than the last might have."""
    return 0 < lo < hi < top


def slips_to_come(arrays: Bank, writers: Writers) -> Slips:
    """The same for the family's next mark, by whoever of those who wrote lately."""
    if not writers:
        even = arrays.prior.home_noise / 2
        return even, even
    lately = np.array([known.lately for known in writers.values()])
    each = np.array([_mean_slips(arrays, known.ways) for known in writers.values()])
    up, down = lately @ each / lately.sum()
    return float(up), float(down)


@lru_cache(maxsize=1024)
def _mean_slips(arrays: Bank, logs: tuple[float, ...]) -> Slips:
    weights = np.exp(np.asarray(logs) - max(logs))
    up, down = weights @ np.asarray(ways(arrays)) / weights.sum()
    return round(up * COARSE) / COARSE, round(down * COARSE) / COARSE


def heard(
    arrays: Bank, writers: Writers, written: Iterable[tuple[WrittenKind, int]], tails: Floats
) -> Writers:
    """What is known of each adult after a day.

    `written`: (adult, step, lo, hi) with counts; `tails` [shift, step, l]: P(N >= l) as believed and with
    the skill so many grid points off (`SHIFTS`). Evidence counts `writer_trust` of its worth, since the marks
    of a day share its luck.
    """
    prior = arrays.prior
    told = list(written)
    rows = np.array([_rows(arrays, tails.shape[2], lo, hi) for (_, _, lo, hi), _ in told])
    by_chance = np.array([(hi - lo + 1) / tails.shape[2] for (_, _, lo, hi), _ in told])
    of_mark = tails[:, [step for (_, step, _, _), _ in told]]
    likely = (1 - prior.slip) * (of_mark.swapaxes(0, 1) @ rows.swapaxes(1, 2))
    counts = prior.writer_trust * np.array([count for _, count in told])
    logs = counts[:, None, None] * np.log(likely + prior.slip * by_chance[:, None, None])
    odds = counts * _told_exactly(arrays, told, of_mark[SHIFTS.index(0)])
    after = {adult: _faded(arrays, known) for adult, known in writers.items()}
    for adult in sorted({kind[0] for kind, _ in told}):
        if adult not in after and len(after) >= MOST_NAMES:
            continue
        mine = [i for i, (kind, _) in enumerate(told) if kind[0] == adult]
        known = after.get(adult) or _unknown(arrays)
        after[adult] = Writer(
            lately=known.lately + sum(told[i][1] for i in mine),
            exact_odds=min(max(known.exact_odds + float(odds[mine].sum()), -SUREST), SUREST),
            ways=known.ways,
            evidence=_from_best(known.evidence + logs[mine].sum(axis=0).ravel()),
        )
    return _weighed_together(arrays, after)


def _weighed_together(arrays: Bank, writers: Writers) -> Writers:
    """Each adult's ways, given that the skill's shift is the same for all who wrote."""
    tables = {adult: _table(known) for adult, known in writers.items()}
    of_shift = {adult: np.logaddexp.reduce(table, axis=1) for adult, table in tables.items()}
    shift = _log_shifts(arrays) + sum(of_shift.values())
    after = {}
    for adult, table in tables.items():
        by_others = shift - of_shift[adult]
        ways_now = np.logaddexp.reduce(table + by_others[:, None], axis=0)
        known = writers[adult]
        after[adult] = Writer(known.lately, known.exact_odds, _from_best(ways_now), known.evidence)
    return after


@lru_cache(maxsize=64)
def _log_shifts(arrays: Bank) -> Floats:
    step = float(arrays.grid[1] - arrays.grid[0])
    return np.asarray(-0.5 * (np.asarray(SHIFTS) * step / SHIFT_SD) ** 2)


def _unknown(arrays: Bank) -> Writer:
    usual = log_shares(arrays)
    return Writer(0.0, _usual_odds(arrays.prior.exact_share), usual, usual * len(SHIFTS))


def _table(known: Writer) -> Floats:
    """Evidence [shift, way]."""
    return np.asarray(known.evidence).reshape(len(SHIFTS), -1)


def _from_best(logs: Floats) -> tuple[float, ...]:
    return tuple((logs - logs.max()).ravel().tolist())


def _told_exactly(arrays: Bank, told: list[tuple[WrittenKind, int]], of_step: Floats) -> Floats:
    """Log odds, mark by mark, for the level written after a miss being the reach itself.

    Against it stands an adult who writes any of the N levels that were enough, each alike.
    """
    odds = np.zeros(len(told))
    top = of_step.shape[1] - 1
    for i, ((_, _, lo, hi), _) in enumerate(told):
        if 0 < lo <= hi < top:  # the last level before the offer counts too: careful adults write it most
            reach = np.array([_rows(arrays, top + 1, n, n)[0] @ of_step[i] for n in range(lo, hi + 1)])
            any_of_them = reach @ (1 / np.arange(lo, hi + 1))
            odds[i] = math.log(max(float(reach[0]), LEAST) / max(float(any_of_them), LEAST))
    return odds


def _faded(arrays: Bank, known: Writer) -> Writer:
    """A day later: what was learned goes a little back to what is usual, what belief was off by sooner."""
    usual, memory = np.asarray(log_shares(arrays)), arrays.prior.writer_memory
    table = _table(known)
    of_shift = np.logaddexp.reduce(table, axis=1)[:, None]
    kept = usual + memory * (table - of_shift - usual) + SHIFT_MEMORY * of_shift
    before = _usual_odds(arrays.prior.exact_share)
    return Writer(
        lately=LATELY * known.lately,
        exact_odds=before + memory * (known.exact_odds - before),
        ways=known.ways,
        evidence=_from_best(kept),
    )


@lru_cache(maxsize=2048)
def _rows(arrays: Bank, n_levels: int, lo: int, hi: int) -> Floats:
    return np.array([record_row(n_levels, up, down, lo, hi) for up, down in ways(arrays)])
