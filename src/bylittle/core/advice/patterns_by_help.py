"""What each help level does for a child, with steps and weeks set apart: a logistic fit of recent practice.

Help is chosen by how well a step goes, so plain shares of each level mislead. Here each step has a skill of
its own for each week, which drifts about a common trend, and each help level has one effect on all steps;
only goes of the same step near in time tell two levels apart. The most likely values are found by Newton's
method; a test sets the fit against one without an effect, or with two the same (likelihood ratio,
Wilks 1938).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bylittle.core.advice.patterns import managed
from bylittle.core.learning.history import Rows
from bylittle.core.stats.ordinal import Floats

WEEK = 7
DRIFT = 0.4  # standard deviation of a skill's change in a week about the trend, in logits
WIDE = 3.0  # of a first skill, an effect and a month's trend: next to nothing is known before
TREND_WEEKS = 4.0
MOST_ROUNDS, NEAR, LONGEST = 20, 1e-3, 2.0


@dataclass(frozen=True, slots=True)
class Table:
    """Goes and how many of them were managed [step, week, kind], and which effects act on a kind of go:
    `design` [kind, effect]."""

    goes: Floats
    good: Floats
    design: Floats

    def of(self, kind: int) -> float:
        """How many goes there were of this kind."""
        return float(self.goes[:, :, kind].sum())

    def without(self, effect: int) -> Table:
        """The same with this effect held to be naught."""
        return replace(self, design=np.delete(self.design, effect, axis=1))

    def alike(self, level: int) -> Table:
        """The same with this level's effect held to be that of the next one, of less help."""
        design = self.design.copy()
        if level < design.shape[1]:
            design[:, level] += design[:, level - 1]
        return replace(self, design=np.delete(design, level - 1, axis=1))


@dataclass(frozen=True, slots=True)
class Fit:
    """Skills [step, week] and effects in logits; `spread`: covariance of the effects; `log_fit`: penalised
    log likelihood."""

    skills: Floats
    effects: Floats
    spread: Floats
    log_fit: float


def by_level(top: int) -> Floats:
    """Design of goes with levels 1..top, alone having no effect of its own."""
    return np.eye(top, top - 1)


def table(rows: Rows, kind: NDArray[np.int64], design: Floats) -> Table:
    """Rows counted by step, week and `kind` of go."""
    steps, step = np.unique(rows.step, return_inverse=True)
    week = (rows.day - rows.day.min()) // WEEK
    shape = (len(steps), int(week.max()) + 1, len(design))
    place = (step * shape[1] + week) * shape[2] + kind
    size = shape[0] * shape[1] * shape[2]
    goes = np.bincount(place, minlength=size).reshape(shape).astype(float)
    good = np.bincount(place, managed(rows).astype(float), size).reshape(shape).astype(float)
    return Table(goes, good, design)


@dataclass(frozen=True, slots=True)
class _Frame:
    """`design` [week, kind, effect] with the trend as its last effect; `stiff`: precision of one step's
    skills over the weeks, a walk with steps of `DRIFT`; `wide`: precision of an effect."""

    design: Floats
    stiff: Floats
    wide: float


def _frame(told: Table) -> _Frame:
    weeks, kinds = told.goes.shape[1:]
    steps = np.diff(np.eye(weeks), axis=0)
    stiff = steps.T @ steps / DRIFT**2
    stiff[0, 0] += 1 / WIDE**2
    trend = np.broadcast_to((np.arange(weeks) / TREND_WEEKS)[:, None, None], (weeks, kinds, 1))
    held = np.broadcast_to(told.design, (weeks, *told.design.shape))
    return _Frame(np.concatenate([held, trend], axis=2), stiff, 1 / WIDE**2)


def fitted(told: Table) -> Fit:
    """The most likely skills and effects."""
    frame = _frame(told)
    skills, effects = np.zeros(told.goes.shape[:2]), np.zeros(frame.design.shape[2])
    for _ in range(MOST_ROUNDS):
        by_skill, by_effect, precision = _newton(told, frame, skills, effects)
        largest = max(np.abs(by_skill).max(), np.abs(by_effect).max())
        part = min(1.0, LONGEST / max(largest, NEAR))
        skills, effects = skills + part * by_skill, effects + part * by_effect
        if largest < NEAR:
            break
    spread = np.asarray(np.linalg.inv(precision)[:-1, :-1], dtype=np.float64)
    weekly = skills + frame.design[:, 0, -1] * effects[-1]
    return Fit(weekly, effects[:-1], spread, _log_fit(told, frame, skills, effects))


def _newton(told: Table, frame: _Frame, skills: Floats, effects: Floats) -> tuple[Floats, Floats, Floats]:
    """One Newton step and the effects' precision: skills are solved step by step, effects from the rest."""
    chance = 1 / (1 + np.exp(-(skills[:, :, None] + frame.design @ effects)))
    weight, slope = told.goes * chance * (1 - chance), told.good - told.goes * chance
    own = frame.stiff + weight.sum(axis=2)[:, :, None] * np.eye(len(frame.stiff))
    shared = np.einsum("kwc,wcp->kwp", weight, frame.design)
    uphill = slope.sum(axis=2) - skills @ frame.stiff
    solved = np.linalg.solve(own, np.concatenate([shared, uphill[:, :, None]], axis=2))
    both = np.einsum("wc,wcp,wcq->pq", weight.sum(axis=0), frame.design, frame.design)
    precision = both + frame.wide * np.eye(len(both)) - np.einsum("kwp,kwq->pq", shared, solved[:, :, :-1])
    climb = np.einsum("wc,wcp->p", slope.sum(axis=0), frame.design) - frame.wide * effects
    by_effect = np.linalg.solve(precision, climb - np.einsum("kwp,kw->p", shared, solved[:, :, -1]))
    return solved[:, :, -1] - solved[:, :, :-1] @ by_effect, by_effect, precision


def _log_fit(told: Table, frame: _Frame, skills: Floats, effects: Floats) -> float:
    places = skills[:, :, None] + frame.design @ effects
    likely = (told.good * places - told.goes * np.logaddexp(0.0, places)).sum()
    rough = np.einsum("kw,wv,kv->", skills, frame.stiff, skills) + frame.wide * (effects**2).sum()
    return float(likely - rough / 2)


def root(fit: Fit, less: Table) -> float:
    """Root of the likelihood ratio against the fit that knows less: standard normal, without its sign,
    where nothing is lost by that."""
    return float(np.sqrt(max(0.0, 2 * (fit.log_fit - fitted(less).log_fit))))


def effect_of(fit: Fit, level: int) -> float:
    """The effect of a help level; alone, the last one, has none."""
    return float(fit.effects[level - 1]) if level <= len(fit.effects) else 0.0


def shares(told: Table, fit: Fit, levels: tuple[int, ...]) -> tuple[float, ...]:
    """Share managed with each of the levels as the fit has it, over the goes with any of them."""
    goes = told.goes[:, :, [level - 1 for level in levels]].sum(axis=2)
    each = [1 / (1 + np.exp(-(fit.skills + effect_of(fit, level)))) for level in levels]
    return tuple(float((goes * chance).sum() / goes.sum()) for chance in each)
