"""What a decision rests on: facts told by people, and numbers counted from the log."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bylittle.core.advice.plan import Teaching
from bylittle.core.learning.forecast import Chance, Outlook, chance, share_above
from bylittle.core.learning.history import SOURCES, STATUSES, Rows, unpacked
from bylittle.core.learning.mastery import Standing, standing
from bylittle.core.learning.tracker import State
from bylittle.core.practice.marks import NO_LEVEL, Source, Status

DONE = STATUSES.index(Status.DONE)
REFUSED = STATUSES.index(Status.REFUSED)
OBSERVED = tuple(SOURCES.index(source) for source in Source if source.observed)
PROBES = (SOURCES.index(Source.PROBE), SOURCES.index(Source.BASELINE))
TURNS_BACK = 10


@dataclass(frozen=True, slots=True)
class LowFidelity:
    """An adult who was seen to help otherwise than planned: `share` of what was seen was as planned (0..1);
    `turns` of `all_turns` since the plan began are this adult's."""

    adult: str
    share: float
    turns: int
    all_turns: int


@dataclass(frozen=True, slots=True)
class Facts:
    """What people told that no log holds.

    `red_flags`: answers of the gate that are yes. `lost_steps`: steps (from 0) mastered earlier and lost.
    `plan_since`: first day of the plan. `baseline`: probe scores before it, 0..1 in order; None: not asked.
    `doing_breaks_down`: the therapist saw that the doing (not idea or plan) breaks down.
    `easier_material`: the plan uses an easier variant than the goal names.
    `adults_differ`: two adults are known to help in different ways. `low_fidelity`: an adult seen to help
    otherwise than planned.
    """

    red_flags: tuple[str, ...] = ()
    lost_steps: tuple[int, ...] = ()
    plan_since: int | None = None
    baseline: tuple[float, ...] | None = None
    doing_breaks_down: bool = False
    easier_material: bool = False
    adults_differ: bool = False
    low_fidelity: LowFidelity | None = None


@dataclass(frozen=True, slots=True)
class StepFacts:
    """One step as it is taught now: the help offered last, its chance, and the turns it rests on.

    `offered` is None where the step was not asked on the last practice day. `too_hard` and `too_easy` are
    the shares of belief in which success with that help lies below or above the band. `alone_with` and
    `alone_at`: the people and the places, where told, with whom and where it went alone.
    """

    step: int
    offered: int | None
    chance: Chance
    too_hard: float
    too_easy: float
    turns: int
    managed: int
    days: int
    standing: Standing
    alone_with: tuple[str, ...] = ()
    alone_at: tuple[str, ...] = ()


def rows_since(state: State, day: int | None) -> Rows:
    """Recent marks from `day` on."""
    rows = unpacked(state.recent)
    return rows if day is None else rows.where(rows.day >= day)


def last_offers(rows: Rows, n_steps: int) -> tuple[int | None, ...]:
    """Help offered on each step on the last practice day; None where it was not asked.

    Probes do not count: there the offer is always alone.
    """
    practice = rows.where((rows.status == DONE) & ~np.isin(rows.source, PROBES))
    offers: list[int | None] = [None] * n_steps
    if len(practice):
        last = practice.where(practice.day == practice.day[-1])
        for step, offered, lo in zip(last.step, last.offered, last.lo, strict=True):
            offers[step] = int(max(offered if offered != NO_LEVEL else lo, 0))
    return tuple(offers)


def step_facts(state: State, view: Outlook, rows: Rows, plan: Teaching) -> tuple[StepFacts, ...]:
    """All steps' facts, in order."""
    offers = last_offers(rows, state.settings.n_steps)
    return tuple(_step(state, view, rows, plan, step, offers[step]) for step in range(len(offers)))


def _step(
    state: State, view: Outlook, rows: Rows, plan: Teaching, step: int, offered: int | None
) -> StepFacts:
    level = state.settings.top if offered is None else offered
    mine = rows.where((rows.step == step) & (rows.status == DONE) & (rows.offered == level))
    last = mine.where(np.arange(len(mine)) >= len(mine) - TURNS_BACK)
    low, high = plan.band
    alone = rows.where((rows.step == step) & (rows.status == DONE) & (rows.lo == state.settings.top))
    return StepFacts(
        step=step,
        offered=offered,
        chance=chance(view, step, level),
        too_hard=1.0 - share_above(view, step, level, low),
        too_easy=share_above(view, step, level, high),
        turns=len(last),
        managed=int((last.lo >= level).sum()),
        days=len(np.unique(last.day)),
        standing=standing(state, view, step, plan.mastery),
        alone_with=_told(state.names[0], alone.adult),
        alone_at=_told(state.names[1], alone.place),
    )


def _told(names: tuple[str, ...], codes: NDArray[np.int64]) -> tuple[str, ...]:
    known = [names[code] for code in np.unique(codes) if code < len(names)]
    return tuple(sorted(name for name in known if name))


@dataclass(frozen=True, slots=True)
class Stops:
    """Stops by sitting: the last practice days, how many stops each, how many turns each."""

    days: tuple[int, ...]
    stops: tuple[int, ...]
    turns: tuple[int, ...]


def stops_by_day(rows: Rows) -> Stops:
    """Stops and turns of each recent day; a turn with any stopped step is one stop."""
    days, day = np.unique(rows.day, return_inverse=True)
    _, first = np.unique(rows.turn, return_index=True)
    turns = np.bincount(day[first], minlength=len(days))
    stopped = rows.status == REFUSED
    _, first = np.unique(rows.turn[stopped], return_index=True)
    stops = np.bincount(day[stopped][first], minlength=len(days))
    return Stops(tuple(days.tolist()), tuple(stops.tolist()), tuple(turns.tolist()))
