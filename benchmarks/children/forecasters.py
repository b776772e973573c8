"""Ways to forecast the next practice day from the marks written so far; our tracker is one of them.

`forecast(step, level, day)` gives the chance that the next mark says managed, and what the method believes
of the child's own chance: mean and 90 % interval.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from scipy.special import betaincinv

from benchmarks.children.child import LEVELS, STEPS
from bylittle.core.practice.marks import Mark, Status


@dataclass(frozen=True, slots=True)
class Forecast:
    """`marked`: chance of a mark that says managed. `mean`, `low`, `high`: the chance itself, 90 %."""

    marked: float
    mean: float
    low: float
    high: float


class Forecaster(Protocol):
    """One method, for one child."""

    def record(self, day: int, marks: list[Mark]) -> None:
        """See one turn."""

    def forecast(self, step: int, level: int, day: int) -> Forecast:
        """Forecast a day after the last one seen."""


def clipped(p: float) -> float:
    """Chances of the simple methods are kept off 0 and 1, where one surprise costs everything."""
    return min(0.98, max(0.02, p))


def beta_forecast(a: float, b: float) -> Forecast:
    """Forecast from a beta distribution."""
    low, high = betaincinv(a, b, 0.05), betaincinv(a, b, 0.95)
    return Forecast(clipped(a / (a + b)), a / (a + b), float(low), float(high))


def told(marks: list[Mark]) -> list[tuple[int, int, bool, float]]:
    """Step, level, managed and middle of the interval of each mark that says something."""
    return [
        (m.step, m.offered, m.lo >= m.offered, 0.5 * (m.lo + m.hi))
        for m in marks
        if m.status is Status.DONE and m.offered >= 0
    ]


class LastDay:
    """The rate of the last day on which this step was tried with this help."""

    def __init__(self) -> None:
        self.day: dict[tuple[int, int], int] = {}
        self.tally: dict[tuple[int, int], list[int]] = {}

    def record(self, day: int, marks: list[Mark]) -> None:
        for step, level, managed, _ in told(marks):
            if self.day.get((step, level)) != day:
                self.day[step, level], self.tally[step, level] = day, [0, 0]
            self.tally[step, level][0] += managed
            self.tally[step, level][1] += 1

    def forecast(self, step: int, level: int, day: int) -> Forecast:
        k, n = self.tally.get((step, level), [0, 0])
        if n == 0:
            return Forecast(0.5, 0.5, 0.05, 0.95)
        beta = beta_forecast(k + 0.5, n - k + 0.5)
        return Forecast(clipped(k / n), k / n, beta.low, beta.high)


class RunningMean:
    """The share managed so far of this step with this help, from a flat beta prior."""

    def __init__(self) -> None:
        self.k = np.ones((STEPS, LEVELS))
        self.miss = np.ones((STEPS, LEVELS))

    def record(self, day: int, marks: list[Mark]) -> None:
        for step, level, managed, _ in told(marks):
            self.k[step, level] += managed
            self.miss[step, level] += not managed

    def forecast(self, step: int, level: int, day: int) -> Forecast:
        return beta_forecast(float(self.k[step, level]), float(self.miss[step, level]))


class History:
    """What a pooled logistic regression is told of a child: counts, fading averages, the last day."""

    def __init__(self) -> None:
        self.k = np.zeros(STEPS)
        self.miss = np.zeros(STEPS)
        self.slow = np.full(STEPS, 1.5)
        self.quick = np.full(STEPS, 1.5)
        self.last = LastDay()
        self.seen_on = np.full(STEPS, -1)

    def record(self, day: int, marks: list[Mark]) -> None:
        self.last.record(day, marks)
        for step, _, managed, middle in told(marks):
            self.k[step] += managed
            self.miss[step] += not managed
            self.slow[step] += 0.05 * (middle - self.slow[step])
            self.quick[step] += 0.2 * (middle - self.quick[step])
            self.seen_on[step] = day

    def features(self, step: int, level: int, day: int) -> list[float]:
        """One row: help level, what is known of the step, what is known of the child."""
        at = [float(level == other) for other in range(1, LEVELS)]
        last = self.last.tally.get((step, level), [0, 0])
        rate = (last[0] + 1) / (last[1] + 2) - 0.5
        own = [float(np.log1p(self.k[step])), float(np.log1p(self.miss[step]))]
        fading = [float(self.slow[step]), float(self.quick[step]), float(self.quick.mean())]
        gap = np.log1p(max(0, day - int(self.seen_on[step])) if self.seen_on[step] >= 0 else 0)
        crossed = [fading[1] * level / LEVELS, fading[0] * level / LEVELS, own[0] * level / LEVELS]
        return [*at, rate, *own, *fading, *crossed, float(gap), float(fading[1] ** 2)]


class PooledLogistic:
    """Logistic regression fitted on other children; its interval is a beta as wide as days differ there."""

    def __init__(self, weights: np.ndarray, bias: float, precision: float) -> None:
        self.weights, self.bias, self.precision = weights, bias, precision
        self.history = History()

    def record(self, day: int, marks: list[Mark]) -> None:
        self.history.record(day, marks)

    def forecast(self, step: int, level: int, day: int) -> Forecast:
        x = float(np.dot(self.history.features(step, level, day), self.weights)) + self.bias
        p = 1.0 / (1.0 + np.exp(-x))
        return beta_forecast(max(p * self.precision, 0.05), max((1 - p) * self.precision, 0.05))


@dataclass(frozen=True, slots=True)
class TwoStates:
    """Knowledge tracing: has it or not; guess and slip for each level of help; chance to learn at a go."""

    first: float
    learn: float
    guess: np.ndarray
    slip: np.ndarray


class Tracing:
    """Two-state tracing of each step, with figures fitted on other children."""

    def __init__(self, figures: TwoStates) -> None:
        self.figures = figures
        self.knows = np.full(STEPS, figures.first)

    def record(self, day: int, marks: list[Mark]) -> None:
        f = self.figures
        for step, level, managed, _ in told(marks):
            yes = 1 - f.slip[level] if managed else f.slip[level]
            no = f.guess[level] if managed else 1 - f.guess[level]
            knows = self.knows[step]
            after = knows * yes / (knows * yes + (1 - knows) * no)
            self.knows[step] = after + (1 - after) * f.learn

    def forecast(self, step: int, level: int, day: int) -> Forecast:
        f, knows = self.figures, float(self.knows[step])
        ends = (float(f.guess[level]), float(1 - f.slip[level]))
        p = ends[0] + knows * (ends[1] - ends[0])
        low = ends[1] if knows > 0.95 else ends[0]
        high = ends[0] if knows < 0.05 else ends[1]
        return Forecast(clipped(p), p, min(low, p), max(high, p))


class Ours:
    """The tracker of the tool."""

    def __init__(self) -> None:
        from bylittle.core.advice import SkillTracker

        self.tracker = SkillTracker(STEPS, n_levels=LEVELS, goal="whole")

    def record(self, day: int, marks: list[Mark]) -> None:
        self.tracker.record(day, marks)

    def forecast(self, step: int, level: int, day: int) -> Forecast:
        mean, low, high = self.tracker.chance(step, level, day)
        marked = float(self.tracker.count_pmf(step, level, 1, day)[1])
        return Forecast(marked, float(mean), float(low), float(high))
