"""From one turn to the next belief: the state of a tracker is a pure replay of the log.

`enter` takes a state and one turn and returns the new state with the reason; `replay` does it for a log.
Within a day all marks share a day effect; belief moves on (practice, idle days, jumps, loss) when the next
day's first turn comes in or a forecast asks for a later day.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from bylittle.core.faults import BadValue
from bylittle.core.learning.history import MOST_TURNS, Names, PackedTurn, packed
from bylittle.core.learning.marks import checked_marks, whole_day
from bylittle.core.learning.prior import SHIPPED, Bank, Prior, bank
from bylittle.core.learning.tables import log_table, rounded_effort, time_kernel
from bylittle.core.practice.marks import Mark, Status
from bylittle.core.skill.ladder import FEWEST_LEVELS, MOST_LEVELS
from bylittle.core.skill.steps import FEWEST_STEPS, MOST_STEPS
from bylittle.core.stats.ordinal import Floats
from bylittle.core.stats.ordinal_grid import (
    Singles,
    Updated,
    moved,
    scaled_likelihood,
    tempered,
    update,
)

MarkKind = tuple[int, float, bool, int, int]
DAYS_KEPT = 6


@dataclass(frozen=True, slots=True)
class Settings:
    """What a tracker is about: how many steps, how many help levels, which prior."""

    n_steps: int
    n_levels: int = 6
    prior: Prior = SHIPPED
    bank: Bank = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        _check_range("n_steps", self.n_steps, FEWEST_STEPS, MOST_STEPS)
        _check_range("n_levels", self.n_levels, FEWEST_LEVELS, MOST_LEVELS)
        # Looked up once: hashing a prior for every table would cost more than the tables.
        object.__setattr__(self, "bank", bank(self.prior, self.n_levels))

    @property
    def top(self) -> int:
        return self.n_levels - 1


def _check_range(name: str, value: object, low: int, high: int) -> None:
    if not isinstance(value, int | np.integer) or not low <= int(value) <= high:
        raise BadValue("out_of_range", name=name, value=value, allowed=(low, high))


@dataclass(frozen=True, slots=True)
class State:
    """Belief at the start of `day`, and what `day` brought so far.

    `belief` [k, c, h, g] and `log_weights` [c, h] are as of the morning; `today` counts the day's kinds of
    mark and `effort` its practice. `alone_days`: the last days on which a step was done alone. `recent`:
    the last turns, packed.
    """

    settings: Settings
    day: int | None
    turns: int
    days: int
    belief: Singles
    log_weights: Floats
    today: Mapping[MarkKind, int] = field(default_factory=dict)
    effort: tuple[float, ...] = ()
    alone_days: tuple[tuple[int, ...], ...] = ()
    recent: tuple[PackedTurn, ...] = ()
    names: Names = ((), (), ())
    log_evidence: float = 0.0


@dataclass(frozen=True, slots=True)
class Entered:
    """Why belief changed: how many marks told something, how many were silent, and the days passed."""

    day: int
    telling: int
    silent: int
    stops: int
    days_passed: int


@dataclass(frozen=True, slots=True)
class Turn:
    """One turn of a log."""

    day: int
    marks: tuple[Mark, ...]


def begin(settings: Settings) -> State:
    """The state before the first turn."""
    arrays = settings.bank
    c = len(arrays.shapes)
    belief = np.broadcast_to(arrays.start_belief, (settings.n_steps, c, *arrays.start_belief.shape))
    return State(
        settings=settings,
        day=None,
        turns=0,
        days=0,
        belief=np.array(belief, dtype=np.float32),
        log_weights=arrays.log_prior,
        effort=(0.0,) * settings.n_steps,
        alone_days=((),) * settings.n_steps,
    )


def replay(settings: Settings, log: Iterable[Turn]) -> State:
    """The state after a whole log: exactly what entering turn by turn gives."""
    state = begin(settings)
    for turn in log:
        state, _ = enter(state, turn.day, turn.marks)
    return state


def enter(state: State, day: int, marks: Iterable[object]) -> tuple[State, Entered]:
    """One turn: the new state and the reason. Faults leave the old state as it was."""
    settings = state.settings
    whole = whole_day(day, state.day)
    kept = checked_marks(marks, settings.n_steps, settings.n_levels)
    passed = 0 if state.day is None else whole - state.day
    morning = at_day(state, whole)
    bytes_of_turn, names = packed(kept, state.names)
    after = replace(
        morning,
        turns=state.turns + 1,
        today=_counted(morning.today, kept, settings),
        effort=_efforts(morning.effort, kept, settings),
        alone_days=_alone_days(morning.alone_days, whole, kept, settings.top),
        recent=(*state.recent[1 - MOST_TURNS :], (whole, bytes_of_turn)),
        names=names,
    )
    return after, _entered(whole, kept, passed)


def _entered(day: int, marks: tuple[Mark, ...], passed: int) -> Entered:
    telling = sum(mark.status is Status.DONE for mark in marks)
    stops = sum(mark.status is Status.REFUSED for mark in marks)
    return Entered(day, telling, len(marks) - telling - stops, stops, passed)


def _counted(
    today: Mapping[MarkKind, int], marks: tuple[Mark, ...], settings: Settings
) -> Mapping[MarkKind, int]:
    counts = dict(today)
    for mark in marks:
        lo = max(mark.lo, 0)
        if mark.status is Status.DONE and (lo > 0 or mark.hi < settings.top):
            kind = (mark.step, settings.prior.noise(mark.source), not mark.source.observed, lo, mark.hi)
            counts[kind] = counts.get(kind, 0) + 1
    return counts


def effort_of(mark: Mark, prior: Prior, top: int) -> float:
    """How much of a fully effective attempt a mark was: the more the child did alone, the more."""
    if mark.status is not Status.DONE:
        return 0.0
    level = mark.lo if mark.ladder or mark.offered < 0 else mark.offered
    share = prior.effort_least + (1 - prior.effort_least) * max(level, 0) / top
    managed = mark.ladder or mark.lo >= mark.offered
    return share if managed else share * prior.effort_missed


def _efforts(so_far: tuple[float, ...], marks: tuple[Mark, ...], settings: Settings) -> tuple[float, ...]:
    effort = list(so_far)
    for mark in marks:
        effort[mark.step] += effort_of(mark, settings.prior, settings.top)
    return tuple(effort)


def _alone_days(
    so_far: tuple[tuple[int, ...], ...], day: int, marks: tuple[Mark, ...], top: int
) -> tuple[tuple[int, ...], ...]:
    days = list(so_far)
    for mark in marks:
        alone = mark.status is Status.DONE and mark.lo == top
        if alone and (not days[mark.step] or days[mark.step][-1] != day):
            days[mark.step] = (*days[mark.step][-DAYS_KEPT:], day)
    return tuple(days)


def at_day(state: State, day: int) -> State:
    """The state on the morning of `day`: itself when that is today, else the day is closed."""
    if state.day is None or day == state.day:
        return state if state.day is not None else replace(state, day=day, days=1)
    seen = updated(state)
    settings = state.settings
    memory = settings.prior.weight_memory
    return replace(
        state,
        day=day,
        days=state.days + 1,
        belief=passed(seen.belief, settings, state.effort, day - state.day),
        log_weights=tempered(seen.log_weights, settings.bank.log_prior, memory),
        today={},
        effort=(0.0,) * settings.n_steps,
        log_evidence=state.log_evidence + seen.log_evidence,
    )


def passed(belief: Singles, settings: Settings, effort: tuple[float, ...], days: int) -> Singles:
    """Belief after the practice of a day and the days up to the next: every step by its own kernels."""
    kernels = np.stack(
        [
            time_kernel(
                settings.bank,
                rounded_effort(each),
                days - 1 if each > 0 else days,
            )
            for each in effort
        ]
    )
    return moved(belief, kernels, settings.bank.n_gains)


def updated(state: State) -> Updated:
    """Belief and weights with today's marks taken in, before any time passes."""
    if not state.today:
        return Updated(state.belief, state.log_weights, 0.0)
    arrays = state.settings.bank
    kinds = sorted({kind[1:] for kind in state.today})
    steps = sorted({kind[0] for kind in state.today})
    counts = np.zeros((len(steps), len(kinds)))
    for kind, count in state.today.items():
        counts[steps.index(kind[0]), kinds.index(kind[1:])] = count
    tables = np.stack([log_table(arrays, *kind) for kind in kinds])
    likelihood = scaled_likelihood(counts, tables, arrays.table_shape)
    seen = update(state.belief[steps], state.log_weights, likelihood, arrays.node_weights)
    belief = state.belief.copy()
    belief[steps] = seen.belief
    return replace(seen, belief=belief)
