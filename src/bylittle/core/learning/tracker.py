"""From one turn to the next belief: the state of a tracker is a pure replay of the log.

`enter` takes a state and one turn and returns the new state with the reason; `replay` does it for a log.
Within a day all marks share a day effect; belief moves on (practice, idle days, jumps, loss) when the next
day's first turn comes in or a forecast asks for a later day.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bylittle.core.faults import BadValue
from bylittle.core.learning.grades import grade_gap, regraded_belief
from bylittle.core.learning.history import MOST_TURNS, Names, PackedTurn, packed
from bylittle.core.learning.marks import checked_marks, whole_day
from bylittle.core.learning.passing import rounded_effort, time_kernel
from bylittle.core.learning.prior import SHIPPED, Bank, Prior, bank
from bylittle.core.learning.responses import Curves, RecordKind, learned, plain_chances, record_chances
from bylittle.core.learning.writers import SHIFTS, Writers, exactness, heard, slips_of, tells_level
from bylittle.core.practice.marks import Mark, Status
from bylittle.core.skill.ladder import FEWEST_LEVELS, MOST_LEVELS
from bylittle.core.skill.steps import FEWEST_STEPS, MOST_STEPS
from bylittle.core.stats.ordinal import Floats
from bylittle.core.stats.ordinal_grid import (
    Singles,
    moved,
    scaled_likelihood,
    tempered,
    update,
)

MarkKind = tuple[int, float, bool, str, int, int]
Practised = tuple[float, int]
Indices = NDArray[np.intp]
DAYS_KEPT = 6


@dataclass(frozen=True, slots=True)
class Settings:
    """What a tracker is about: how many steps, how many help levels, which prior.

    `grades`: the names of the materials from easier to harder, where the skill has such a ladder.
    """

    n_steps: int
    n_levels: int = 6
    prior: Prior = SHIPPED
    grades: tuple[str, ...] = ()
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

    `belief` [k, c, h, g], `log_weights` [c, h] and the help levels' `offsets` [c, L - 1] with their
    `precision` are as of the morning; `today` counts the day's kinds of
    mark and `effort` its practice by step and level: how much, and in how many goes. `alone_days`: the last
    days on which a step was done alone. `recent`: the last turns, packed. `grades`: the material each step
    was last practised with, "" where nobody said.
    """

    settings: Settings
    day: int | None
    turns: int
    days: int
    belief: Singles
    log_weights: Floats
    offsets: Floats
    precision: Floats
    today: Mapping[MarkKind, int] = field(default_factory=dict)
    effort: Mapping[tuple[int, int], Practised] = field(default_factory=dict)
    alone_days: tuple[tuple[int, ...], ...] = ()
    recent: tuple[PackedTurn, ...] = ()
    names: Names = ((), (), ())
    grades: tuple[str, ...] = ()
    writers: Writers = field(default_factory=dict)
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
        offsets=arrays.offsets,
        precision=np.broadcast_to(arrays.offset_precision, arrays.offsets.shape),
        alone_days=((),) * settings.n_steps,
        grades=("",) * settings.n_steps,
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
    morning = _with_grades(at_day(state, whole), kept)
    bytes_of_turn, names = packed(kept, state.names)
    after = replace(
        morning,
        turns=state.turns + 1,
        today=_counted(morning.today, kept, settings),
        effort=_efforts(morning.effort, kept, settings),
        alone_days=_alone_days(morning, whole, kept),
        recent=(*state.recent[1 - MOST_TURNS :], (whole, bytes_of_turn)),
        names=names,
    )
    return after, _entered(whole, kept, passed)


def _entered(day: int, marks: tuple[Mark, ...], passed: int) -> Entered:
    telling = sum(mark.status is Status.DONE for mark in marks)
    stops = sum(mark.status is Status.REFUSED for mark in marks)
    return Entered(day, telling, len(marks) - telling - stops, stops, passed)


def _with_grades(state: State, marks: tuple[Mark, ...]) -> State:
    """The state told anew for the materials of a step's first marks of the day."""
    for mark in sorted(marks, key=lambda mark: (mark.step, mark.grade)):
        if mark.grade and not any(step == mark.step for step, _ in state.effort):
            state = with_grade(state, mark.step, mark.grade)
    return state


def with_grade(state: State, step: int, grade: str) -> State:
    """Belief about one step once it is practised with the material `grade`; no change where it was so."""
    known = state.grades[step]
    grades = (*state.grades[:step], grade, *state.grades[step + 1 :])
    if known == grade:
        return state
    if not known:
        return replace(state, grades=grades)
    gap = grade_gap(state.settings.grades, known, grade)
    belief = state.belief.copy()
    belief[step] = regraded_belief(state.settings.bank, belief[step], gap)
    days = (*state.alone_days[:step], (), *state.alone_days[step + 1 :])
    return replace(state, belief=belief, grades=grades, alone_days=days)


def _counted(
    today: Mapping[MarkKind, int], marks: tuple[Mark, ...], settings: Settings
) -> Mapping[MarkKind, int]:
    counts = dict(today)
    for mark in marks:
        lo = max(mark.lo, 0)
        if mark.status is Status.DONE and (lo > 0 or mark.hi < settings.top):
            reported = not mark.source.observed
            adult = mark.adult if reported else ""
            kind = (mark.step, settings.prior.noise(mark.source), reported, adult, lo, mark.hi)
            counts[kind] = counts.get(kind, 0) + 1
    return counts


def effort_of(mark: Mark, prior: Prior, top: int) -> float:
    """How much of a fully effective attempt a mark was: the more the child did alone, the more."""
    level = practised_level(mark)
    share = share_of_effort(prior, level, top)
    managed = mark.ladder or mark.lo >= mark.offered
    return share if managed else share * prior.effort_missed


def share_of_effort(prior: Prior, level: int, top: int) -> float:
    """How much an attempt with this help teaches, against one alone."""
    return prior.effort_least + (1 - prior.effort_least) * level / top


def practised_level(mark: Mark) -> int:
    """The help with which the attempt was made: what was offered, else what worked."""
    return max(mark.lo if mark.ladder or mark.offered < 0 else mark.offered, 0)


def _efforts(
    so_far: Mapping[tuple[int, int], Practised], marks: tuple[Mark, ...], settings: Settings
) -> Mapping[tuple[int, int], Practised]:
    effort = dict(so_far)
    for mark in marks:
        if mark.status is Status.DONE:
            key = (mark.step, practised_level(mark))
            amount, goes = effort.get(key, (0.0, 0))
            effort[key] = (amount + effort_of(mark, settings.prior, settings.top), goes + 1)
    return effort


def _alone_days(state: State, day: int, marks: tuple[Mark, ...]) -> tuple[tuple[int, ...], ...]:
    """Days on which a step was done alone at the first go: later ones have the day's practice behind them.

    A look of the therapist counts whenever it comes.
    """
    days = list(state.alone_days)
    tried = {step for step, _ in state.effort}
    for mark in marks:
        alone = mark.status is Status.DONE and mark.lo == state.settings.top
        counts = alone and (mark.step not in tried or mark.source.observed)
        if counts and (not days[mark.step] or days[mark.step][-1] != day):
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
        belief=passed(state, seen, day - state.day),
        log_weights=tempered(seen.log_weights, settings.bank.log_prior, memory),
        offsets=seen.offsets,
        precision=seen.precision,
        today={},
        effort={},
        writers=_heard(state, seen),
        log_evidence=state.log_evidence + seen.log_evidence,
    )


def passed(state: State, seen: Evening, days: int) -> Singles:
    """Belief after the practice of a day and the days up to the next: every step by its own kernels."""
    settings = state.settings
    amounts = [rounded_effort(each) for each in effective(state, seen)]
    kernels = np.stack([time_kernel(settings.bank, amount, days) for amount in amounts])
    return moved(seen.belief, kernels, settings.bank.n_gains)


def effective(state: State, seen: Evening) -> list[float]:
    """Effort of each step today, weighed by how near to just right its help turned out to be.

    A family that writes down one turn seldom plays but one: a step's day counts as `usual_goes` at least.
    """
    total, goes = np.zeros(state.settings.n_steps), np.zeros(state.settings.n_steps)
    if not state.effort:
        return total.tolist()
    arrays, prior = state.settings.bank, state.settings.prior
    plain = plain_chances(arrays, seen.offsets).reshape(arrays.n_levels, -1)
    likely = seen.mass.reshape(len(total), -1) @ plain.T
    near = np.exp(-(((likely - prior.challenge_best) / prior.challenge_width) ** 2))
    worth = prior.challenge_least + (1 - prior.challenge_least) * near
    for (step, level), (amount, n) in state.effort.items():
        total[step] += amount * worth[step, level]
        goes[step] += n
    counted: list[float] = (total * np.maximum(1.0, prior.usual_goes / np.maximum(goes, 1))).tolist()
    return counted


@dataclass(frozen=True, slots=True)
class Evening:
    """Belief, weights and offsets with the day's marks taken in, before any time passes.

    `mass` [k, c, g]: belief over all hypotheses, summing to one for each step. `curves`: what the
    morning's offsets make of a location, where the day had marks.
    """

    belief: Singles
    log_weights: Floats
    offsets: Floats
    precision: Floats
    log_evidence: float
    mass: Floats
    curves: Curves | None = None


def _mass(belief: Singles, log_weights: Floats) -> Floats:
    """Belief [k, c, g] that sums to one for each step."""
    weights = np.exp(log_weights).astype(np.float32)
    return np.asarray((weights[None, :, None, :] @ belief)[:, :, 0, :], dtype=np.float64)


def updated(state: State) -> Evening:
    """What today's marks make of the morning's belief."""
    if not state.today:
        mass = _mass(state.belief, state.log_weights)
        return Evening(state.belief, state.log_weights, state.offsets, state.precision, 0.0, mass)
    arrays = state.settings.bank
    kinds, steps, counts = _laid_out(state)
    curves = Curves(arrays, state.offsets)
    chances = record_chances(curves, kinds)
    likelihood, scaled = scaled_likelihood(counts, chances)
    everything = len(steps) == len(state.belief)  # then there is nothing to pick out and put back
    morning = state.belief if everything else state.belief[steps]
    seen = update(morning, state.log_weights, likelihood, arrays.node_weights)
    if everything:
        belief = seen.belief
    else:
        belief = state.belief.copy()
        belief[steps] = seen.belief
    offsets, precision = learned(curves, state.precision, kinds, counts, chances, seen.responsible)
    told, mass = seen.log_evidence + scaled, _mass(belief, seen.log_weights)
    return Evening(belief, seen.log_weights, offsets, precision, told, mass, curves)


def _laid_out(state: State) -> tuple[list[RecordKind], list[int], Floats]:
    read = {kind: _read(state, kind) for kind in state.today}
    kinds, steps = sorted(set(read.values())), sorted({kind[0] for kind in read})
    row = {kind: u for u, kind in enumerate(kinds)}
    counts = np.zeros((len(steps), len(kinds)))
    for kind, count in state.today.items():
        counts[steps.index(kind[0]), row[read[kind]]] += count
    return kinds, steps, counts


def _read(state: State, kind: MarkKind) -> RecordKind:
    """A mark as its writer means it."""
    _, noise, reported, adult, lo, hi = kind
    if not reported:
        return noise / 2, noise / 2, 0.0, False, lo, hi
    arrays = state.settings.bank
    slips = slips_of(arrays, state.writers, adult)
    told = tells_level(lo, hi, state.settings.top)
    return *slips, exactness(arrays, state.writers, adult) if told else 0.0, True, lo, hi


def _heard(state: State, seen: Evening) -> Writers:
    written = [
        ((kind[3], kind[0], *kind[4:]), count) for kind, count in sorted(state.today.items()) if kind[2]
    ]
    if not written:
        return state.writers
    arrays, mass = state.settings.bank, seen.mass
    curves = seen.curves or Curves(arrays, seen.offsets)
    levels = arrays.node_weights.astype(np.float32) @ curves.tails(reported=True)
    off = levels[:, :, _places_off(len(arrays.grid))].reshape(*levels.shape[:2], len(SHIFTS), -1)
    flat = off.transpose(1, 3, 2, 0).reshape(mass[0].size, -1)
    believed = (mass.reshape(len(mass), -1) @ flat).reshape(len(mass), len(SHIFTS), -1).swapaxes(0, 1)
    return heard(arrays, state.writers, written, believed)


@lru_cache(maxsize=8)
def _places_off(points: int) -> Indices:
    """For each of `SHIFTS`, one after another, where every grid point then lies; the ends stay ends."""
    return np.concatenate([np.clip(np.arange(points) + shift, 0, points - 1) for shift in SHIFTS])
