"""What each help level does for a child, with steps and weeks set apart: a logistic fit of recent practice.

Help is chosen by how well a step goes, so plain shares of each level mislead. Here each step has a skill of
its own for each week, which drifts, and each help level one effect on all steps; only goes of the same step
near in time tell two levels apart. The most likely values are found by Newton's method; a test of two levels
sets the fit against one in which they are the same (likelihood ratio, Wilks 1938).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bylittle.core.advice.patterns import managed
from bylittle.core.learning.history import Rows
from bylittle.core.stats.ordinal import Floats

WEEK = 7
DRIFT = 0.6  # standard deviation of a skill's change in a week, in logits
WIDE = 3.0  # of a first skill and of an effect: next to nothing is known before
MOST_ROUNDS, NEAR, LONGEST = 15, 1e-3, 2.0


@dataclass(frozen=True, slots=True)
class Table:
    """Goes and how many of them were managed [step, week, level], level 0 (the fullest help) left out."""

    goes: Floats
    good: Floats

    def of(self, level: int) -> float:
        """How many goes were with this help."""
        return float(self.goes[:, :, level - 1].sum())

    def merged(self, level: int) -> Table:
        """The same with this level and the next one, of less help, counted as one."""
        return Table(_merged(self.goes, level), _merged(self.good, level))


@dataclass(frozen=True, slots=True)
class Fit:
    """Skills [step, week] and effects [level] in logits, alone 0; `log_fit`: penalised log likelihood."""

    skills: Floats
    effects: Floats
    log_fit: float


def table(rows: Rows, top: int) -> Table:
    """Practice counted by step, week and help."""
    steps, step = np.unique(rows.step, return_inverse=True)
    week = (rows.day - rows.day.min()) // WEEK
    shape = (len(steps), int(week.max()) + 1, top)
    place = (step * shape[1] + week) * top + rows.offered - 1
    size = shape[0] * shape[1] * top
    goes = np.bincount(place, minlength=size).reshape(shape).astype(float)
    good = np.bincount(place, managed(rows).astype(float), size).reshape(shape).astype(float)
    return Table(goes, good)


def _merged(counts: Floats, level: int) -> Floats:
    less = np.delete(counts, level - 1, axis=2)
    less[:, :, level - 1] += counts[:, :, level - 1]
    return less


def fitted(told: Table) -> Fit:
    """The most likely skills and effects."""
    stiff = _stiffness(told.goes.shape[1])
    skills, effects = np.zeros(told.goes.shape[:2]), np.zeros(told.goes.shape[2])
    for _ in range(MOST_ROUNDS):
        by_skill, by_effect = _newton(told, stiff, skills, effects)
        largest = max(np.abs(by_skill).max(), np.abs(by_effect).max(initial=0.0))
        part = min(1.0, LONGEST / max(largest, NEAR))
        skills, effects = skills + part * by_skill, effects + part * np.append(by_effect, 0.0)
        if largest < NEAR:
            break
    return Fit(skills, effects, _log_fit(told, stiff, skills, effects))


def _stiffness(weeks: int) -> Floats:
    """Precision of one step's skills over the weeks: a walk with steps of `DRIFT`."""
    steps = np.diff(np.eye(weeks), axis=0)
    stiff = steps.T @ steps / DRIFT**2
    stiff[0, 0] += 1 / WIDE**2
    return np.asarray(stiff)


def _newton(told: Table, stiff: Floats, skills: Floats, effects: Floats) -> tuple[Floats, Floats]:
    """One Newton step: the skills are solved step by step, the effects from what they leave."""
    chance = 1 / (1 + np.exp(-(skills[:, :, None] + effects)))
    weight, slope = told.goes * chance * (1 - chance), told.good - told.goes * chance
    own = stiff + weight.sum(axis=2)[:, :, None] * np.eye(len(stiff))
    shared = weight[:, :, :-1]
    uphill = slope.sum(axis=2) - skills @ stiff
    solved = np.linalg.solve(own, np.concatenate([shared, uphill[:, :, None]], axis=2))
    left = np.diag(weight.sum(axis=(0, 1))[:-1] + 1 / WIDE**2) - np.einsum(
        "kwl,kwm->lm", shared, solved[:, :, :-1]
    )
    climb = slope.sum(axis=(0, 1))[:-1] - effects[:-1] / WIDE**2
    by_effect = np.linalg.solve(left, climb - np.einsum("kwl,kw->l", shared, solved[:, :, -1]))
    return solved[:, :, -1] - solved[:, :, :-1] @ by_effect, by_effect


def _log_fit(told: Table, stiff: Floats, skills: Floats, effects: Floats) -> float:
    places = skills[:, :, None] + effects
    likely = (told.good * places - told.goes * np.logaddexp(0.0, places)).sum()
    rough = np.einsum("kw,wv,kv->", skills, stiff, skills) + (effects**2).sum() / WIDE**2
    return float(likely - rough / 2)


def signed_root(told: Table, fit: Fit, level: int) -> float:
    """How surely this level works less well than the next one, of less help: standard normal where both do
    the same (signed root of the likelihood ratio); below 0 where it works better."""
    same = fitted(told.merged(level))
    root = float(np.sqrt(max(0.0, 2 * (fit.log_fit - same.log_fit))))
    return root if fit.effects[level] > fit.effects[level - 1] else -root


def shares(told: Table, fit: Fit, levels: tuple[int, ...]) -> tuple[float, ...]:
    """Share managed with each of the levels as the fit has it, over the goes with any of them."""
    goes = told.goes[:, :, [level - 1 for level in levels]].sum(axis=2)
    each = [1 / (1 + np.exp(-(fit.skills + fit.effects[level - 1]))) for level in levels]
    return tuple(float((goes * chance).sum() / goes.sum()) for chance in each)
