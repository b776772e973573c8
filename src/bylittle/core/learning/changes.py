"""When the skill itself changes: steps split, merged or reworded, another grade of material."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from bylittle.core.faults import BadValue
from bylittle.core.learning.grades import regraded_belief
from bylittle.core.learning.tracker import Settings, State, at_day, begin, with_grade
from bylittle.core.stats.ordinal_grid import Singles, moved, shift_kernel

SPLIT_DOUBT = 0.7


def regraded(state: State, harder: float, steps: Sequence[int] | None = None) -> State:
    """Belief after a change of material by `harder` grades (below 0: easier): what was done is told anew.

    How much a grade costs this child, the next marks tell. BadValue for a step that is not there.
    """
    _check_steps(steps or (), state.settings.n_steps)
    if not np.isfinite(harder):
        raise BadValue("not_a_number", name="harder", value=harder, allowed="a finite number of grades")
    if harder == 0:
        return state
    which = range(state.settings.n_steps) if steps is None else steps
    closed = _closed(state)
    arrays, changed = closed.settings.bank, closed.belief.copy()
    for step in which:
        changed[step] = regraded_belief(arrays, changed[step], float(harder))
    days = tuple(() if step in which else kept for step, kept in enumerate(state.alone_days))
    return replace(closed, belief=changed, alone_days=days)


def on_grade(state: State, grade: str) -> State:
    """Belief about every step once it is practised with the material `grade`, from the next day on."""
    if not grade or all(known in (grade, "") for known in state.grades):
        return state
    closed = _closed(state)
    for step in range(closed.settings.n_steps):
        closed = with_grade(closed, step, grade)
    return closed


def revised(state: State, origins: Sequence[Sequence[int]]) -> State:
    """Belief for a new version of the skill: each new step with the old steps it comes from.

    () is a new step; (k,) is step k kept or reworded; the same k twice: step k split, with doubt about each
    half; (j, k): merged, as hard as the harder of them. The child's own hypotheses carry over.
    """
    old = state.settings
    for each in origins:
        _check_steps(each, old.n_steps)
    settings = Settings(len(origins), old.n_levels, old.prior, old.grades)
    closed, fresh = _closed(state), begin(settings)
    told = [tuple(each) for each in origins]
    belief = np.stack([_carried(closed, each, told.count(each) > 1, fresh.belief[0]) for each in told])
    days = tuple(_days_kept(state, each, told.count(each) > 1) for each in told)
    # Rows of old steps would be read as the new ones: the tracker looks back no further than the change.
    grades = tuple(state.grades[each[0]] if each else "" for each in told)
    return replace(closed, settings=settings, belief=belief, alone_days=days, grades=grades, recent=())


def _carried(state: State, origin: tuple[int, ...], split: bool, fresh: Singles) -> Singles:
    if not origin:
        return fresh
    if len(origin) == 1:
        doubt = SPLIT_DOUBT**2 if split else 0.0
        carried: Singles = _widened(state, doubt, origin)[origin[0]]
        return carried
    return harder_of(state.belief[list(origin)])


def harder_of(belief: Singles) -> Singles:
    """Belief about the least of several independent locations, from theirs [k, c, h, g]."""
    above = np.cumsum(belief[..., ::-1], axis=-1)[..., ::-1].prod(axis=0)
    following = np.concatenate([above[..., 1:], np.zeros_like(above[..., :1])], axis=-1)
    mass = np.maximum(above - following, 0)
    return np.asarray(mass / mass.sum(axis=-1, keepdims=True), dtype=np.float32)


def _days_kept(state: State, origin: tuple[int, ...], split: bool) -> tuple[int, ...]:
    if not origin or split:
        return ()
    common = set(state.alone_days[origin[0]]).intersection(*(state.alone_days[k] for k in origin[1:]))
    return tuple(sorted(common))


def _closed(state: State) -> State:
    """The state with today's marks taken in: what follows is the next day's."""
    return state if state.day is None else at_day(state, state.day + 1)


def _widened(state: State, variance: float, steps: tuple[int, ...]) -> Singles:
    grid = state.settings.bank.grid
    same = np.ones(len(grid))
    kernel = shift_kernel(grid, 0.0 * same, variance * same) if variance else np.eye(len(grid))
    kernels = np.stack([kernel if step in steps else np.eye(len(grid)) for step in range(len(state.belief))])
    return moved(state.belief, kernels[:, None].astype(np.float32), 1)


def _check_steps(steps: Sequence[int], n_steps: int) -> None:
    for step in steps:
        if isinstance(step, bool) or not isinstance(step, int | np.integer) or not 0 <= step < n_steps:
            raise BadValue("out_of_range", name="step", value=step, allowed=(0, n_steps - 1))
