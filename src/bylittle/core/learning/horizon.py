"""When the whole skill is likely done: a range with its assumptions, and silence where data cannot say."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bylittle.core.faults import NotEnoughData, Undefined
from bylittle.core.learning.marks import whole_day
from bylittle.core.learning.passing import rounded_effort, time_kernel
from bylittle.core.learning.responses import plain_chances
from bylittle.core.learning.tracker import State, effective, updated
from bylittle.core.stats.ordinal import Floats
from bylittle.core.stats.ordinal_grid import Singles, moved

FEWEST_DAYS = 8
WEEKS_AHEAD = 40
# The belief's own shares at which one in ten, half and nine in ten of our simulated children of 21 kinds had
# got there (`python -m benchmarks children`): belief is wide on the slow side, and all steps at once seem
# rarer than they are.
SHARES = (0.02, 0.27, 0.9)
EVEN_ODDS = 0.5  # where belief itself never gets so far, the data do not say


@dataclass(frozen=True, slots=True)
class Horizon:
    """Days by which one in ten, half and nine in ten such children have had every step independent.

    `late` None: beyond the horizon. Assumes practice goes on as on the last practice days: `days_a_week`,
    `effort` a practised step and day, at most `at_once` new steps together, no illness or long break.
    `chance_now`: how likely it is already.
    """

    early: int
    middle: int
    late: int | None
    days_a_week: float
    effort: float
    at_once: int
    bar: float
    chance_now: float


def when_done(
    state: State,
    bar: float,
    at_once: int,
    day: int | None = None,
    days_a_week: float | None = None,
    new_below: float = 0.2,
) -> Horizon:
    """The range of days by which every step's chance alone has reached `bar`.

    A step is new while its chance alone is below `new_below`: only new ones wait for their turn.
    NotEnoughData before `FEWEST_DAYS` practice days; Undefined where even odds lie beyond `WEEKS_AHEAD`
    weeks: the data do not say. Steps are taken as independent given the child's hypotheses.
    """
    if state.day is None or state.days < FEWEST_DAYS:
        raise NotEnoughData("horizon", n=state.days if state.day is not None else 0, needed=FEWEST_DAYS)
    start = state.day if day is None else whole_day(day, state.day)
    pace = _pace(state) if days_a_week is None else min(max(days_a_week, 0.25), 7.0)
    effort = _effort(state)
    likely = _likely_by_week(state, bar, at_once, effort * pace, new_below)
    weeks = [_first(likely, share) for share in SHARES]
    if weeks[0] is None or weeks[1] is None or max(likely) < EVEN_ODDS:
        raise Undefined("horizon_beyond", weeks=WEEKS_AHEAD, chance=likely[-1])
    late = None if weeks[2] is None else start + round(7 * weeks[2])
    early, middle = start + round(7 * weeks[0]), start + round(7 * weeks[1])
    return Horizon(early, middle, late, pace, effort, at_once, bar, likely[0])


def _pace(state: State) -> float:
    """Practice days a week over the recent turns."""
    days = np.unique([day for day, _ in state.recent])
    return float(min(7.0, max(0.25, 7.0 * len(days) / (days[-1] - days[0] + 1))))


def _effort(state: State) -> float:
    """Effort of a practised step on the last practice day."""
    told = [each for each in effective(state, updated(state)) if each > 0]
    return float(np.mean(told)) if told else 3.0


def _likely_by_week(state: State, bar: float, at_once: int, weekly: float, new_below: float) -> list[float]:
    arrays = state.settings.bank
    seen = updated(state)
    weights = np.exp(seen.log_weights)
    alone = plain_chances(arrays, seen.offsets)[state.settings.top][None, :, None, :]
    enough, new = alone >= bar, alone < new_below
    reached = (seen.belief * enough).sum(axis=-1)
    waiting, likely = seen.belief * ~enough, []
    for _ in range(WEEKS_AHEAD + 1):
        likely.append(float((weights * reached.prod(axis=0)).sum()))
        still_new = np.einsum("kch,ch->k", (waiting * new).sum(axis=-1), weights)
        moved_on = _week_on(state, waiting, weekly * _shares(still_new, at_once))
        reached = reached + (moved_on * enough).sum(axis=-1)
        waiting = moved_on * ~enough
    return likely


def _shares(still_new: Floats, at_once: int) -> Floats:
    """How much of the practice each step gets: new ones share `at_once` places, the others are all asked."""
    places = min(1.0, at_once / max(float(still_new.sum()), 1e-9))
    return np.asarray(1 - still_new * (1 - places))


def _week_on(state: State, belief: Singles, efforts: Floats) -> Singles:
    arrays = state.settings.bank
    amounts = [rounded_effort(float(each)) for each in efforts]
    kernels = np.stack([time_kernel(arrays, amount, 7) for amount in amounts])
    return moved(belief, kernels, arrays.n_gains)


def _first(likely: list[float], share: float) -> float | None:
    """Weeks until the chance first reaches `share`, between whole weeks in a straight line."""
    best = np.maximum.accumulate(likely)
    if best[-1] < share:
        return None
    week = int(np.argmax(best >= share))
    if week == 0:
        return 0.0
    before, after = best[week - 1], best[week]
    return float(week - 1 + (share - before) / (after - before))
