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
TREND_DAYS = 28.0
MOST_ROUNDS, NEAR, LONGEST = 20, 1e-2, 2.0
LEAST = 1e-9  # keeps a quotient finite where there is nothing to tell


@dataclass(frozen=True, slots=True)
class Table:
    """Goes and how many of them were managed [step, week, kind], and which effects act on a kind of go:
    `design` [kind, effect]. A week here is a period of so many days."""

    goes: Floats
    good: Floats
    design: Floats
    period: int = WEEK

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


def table(rows: Rows, kind: NDArray[np.int64], design: Floats, period: int = WEEK) -> Table:
    """Rows counted by step, week (or another period of days) and `kind` of go."""
    steps, step = np.unique(rows.step, return_inverse=True)
    week = (rows.day - rows.day.min()) // period
    shape = (len(steps), int(week.max()) + 1, len(design))
    place = (step * shape[1] + week) * shape[2] + kind
    size = shape[0] * shape[1] * shape[2]
    goes = np.bincount(place, minlength=size).reshape(shape).astype(float)
    good = np.bincount(place, managed(rows).astype(float), size).reshape(shape).astype(float)
    return Table(goes, good, design, period)


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
    stiff = steps.T @ steps / (DRIFT**2 * told.period / WEEK)
    stiff[0, 0] += 1 / WIDE**2
    trend = np.broadcast_to((np.arange(weeks) * told.period / TREND_DAYS)[:, None, None], (weeks, kinds, 1))
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
    uphill = slope.sum(axis=2) - skills @ frame.stiff
    shared, both = _shared(weight, frame.design)
    solved = np.linalg.solve(own, np.concatenate([shared, uphill[:, :, None]], axis=2))
    flat, left = shared.reshape(-1, len(both)), solved[:, :, :-1].reshape(-1, len(both))
    precision = both + frame.wide * np.eye(len(both)) - flat.T @ left
    climb = slope.sum(axis=0).ravel() @ frame.design.reshape(-1, len(both)) - frame.wide * effects
    by_effect = np.linalg.solve(precision, climb - flat.T @ solved[:, :, -1].ravel())
    return solved[:, :, -1] - solved[:, :, :-1] @ by_effect, by_effect, precision


def _shared(weight: Floats, design: Floats) -> tuple[Floats, Floats]:
    """Information that the effects share with each skill [step, week, effect], and among themselves."""
    flat = design.reshape(-1, design.shape[2])
    shared = (weight.transpose(1, 0, 2) @ design).transpose(1, 0, 2)
    return shared, (flat * weight.sum(axis=0).reshape(-1, 1)).T @ flat


def _log_fit(told: Table, frame: _Frame, skills: Floats, effects: Floats) -> float:
    places = skills[:, :, None] + frame.design @ effects
    likely = (told.good * places - told.goes * np.logaddexp(0.0, places)).sum()
    rough = np.einsum("kw,wv,kv->", skills, frame.stiff, skills) + frame.wide * (effects**2).sum()
    return float(likely - rough / 2)


def root(fit: Fit, less: Table) -> float:
    """Root of the likelihood ratio against the fit that knows less: standard normal, without its sign,
    where nothing is lost by that."""
    return float(np.sqrt(max(0.0, 2 * (fit.log_fit - fitted(less).log_fit))))


def rises(told: Table, fit: Fit, begins: NDArray[np.int64]) -> tuple[Floats, Floats]:
    """For a rise of everything at once at the beginning of each of these periods: how surely there was one
    (standard normal where there was none), and its size in logits.

    Score test (Rao 1948): no other fit is needed. Periods may differ more than goes would, having a luck of
    their own: the test is divided by the root of how much more.
    """
    frame = _frame(told)
    chance = 1 / (1 + np.exp(-(fit.skills[:, :, None] + told.design @ fit.effects)))
    weight, slope = told.goes * chance * (1 - chance), told.good - told.goes * chance
    weeks, kinds, n = frame.design.shape
    since = (np.arange(weeks)[:, None] >= begins).astype(float)
    rising = np.broadcast_to(since[:, None, :], (weeks, kinds, len(begins)))
    shared, both = _shared(weight, np.concatenate([frame.design, rising], axis=2))
    own = frame.stiff + weight.sum(axis=2)[:, :, None] * np.eye(weeks)
    left = both - shared.reshape(-1, len(both)).T @ np.linalg.solve(own, shared).reshape(-1, len(both))
    known = left[:n, :n] + frame.wide * np.eye(n)
    worth = np.diag(left[n:, n:] - left[n:, :n] @ np.linalg.solve(known, left[:n, n:]))
    worth = np.maximum(worth, LEAST)
    climb = slope.sum(axis=(0, 2)) @ since
    return climb / np.sqrt(worth * _more_than_goes(weight, slope)), climb / worth


def _more_than_goes(weight: Floats, slope: Floats) -> float:
    """How much more periods vary than goes would; 1 at least."""
    by_period, expected = slope.sum(axis=(0, 2)), weight.sum(axis=(0, 2))
    n = int((expected > 0).sum())
    return max(1.0, float((by_period**2).sum() / max(expected.sum(), LEAST)) * n / max(n - 2, 1))


def effect_of(fit: Fit, level: int) -> float:
    """The effect of a help level; alone, the last one, has none."""
    return float(fit.effects[level - 1]) if level <= len(fit.effects) else 0.0


def shares(told: Table, fit: Fit, levels: tuple[int, ...]) -> tuple[float, ...]:
    """Share managed with each of the levels as the fit has it, over the goes with any of them."""
    goes = told.goes[:, :, [level - 1 for level in levels]].sum(axis=2)
    each = [1 / (1 + np.exp(-(fit.skills + effect_of(fit, level)))) for level in levels]
    return tuple(float((goes * chance).sum() / goes.sum()) for chance in each)
