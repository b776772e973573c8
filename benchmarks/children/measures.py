"""The words of the table, worked out where the truth is known.

Forecast, one next practice day ahead: *regret* = log score of the written marks minus that of the true
chance of such a mark, nats a mark; *calibration error* = mean gap between forecast and share managed over
ten bins; *covers* = share of 90 % intervals that hold the child's true chance.

Course: over attempts at asked steps whose true chance alone is below .85, *success* = share managed with
the help offered, *too hard* = true chance there below .70, *too easy* above .90. *False call* = share of
calls made while the true chance alone is below .70. *Lag* = turns from truly independent to the call.
*Failure run* = longest run of consecutive misses of one child. *Turns* = turns until all steps are truly
independent, the whole course where they never are.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from benchmarks.children.child import INDEPENDENT
from benchmarks.children.course import Course
from benchmarks.children.family import Family
from benchmarks.children.fitting import by_day, day_counts
from benchmarks.children.forecasters import Forecaster

BINS = 10
FALSE_BELOW = 0.70
ROOM_FOR_LAG = 40


@dataclass
class Foresight:
    """Sums over one child's forecasts with one method."""

    marks: float = 0.0
    loss: float = 0.0
    regret: float = 0.0
    days: float = 0.0
    held: float = 0.0
    missed_by: float = 0.0
    bins: np.ndarray = field(default_factory=lambda: np.zeros((BINS, 3)))

    def add(self, marked: float, true_marked: float, k: int, n: int) -> None:
        """Score k managed of n marks against the forecast and against the truth."""
        p, q = min(max(marked, 1e-6), 1 - 1e-6), min(max(true_marked, 1e-6), 1 - 1e-6)
        loss = -k * np.log(p) - (n - k) * np.log(1 - p)
        self.marks += n
        self.loss += loss
        self.regret += loss + k * np.log(q) + (n - k) * np.log(1 - q)
        self.bins[min(BINS - 1, int(p * BINS))] += (n, n * p, k)


def foresee(
    course: Course, family: Family, methods: dict[str, Callable[[], Forecaster]]
) -> dict[str, Foresight]:
    """Replay one log: forecast each practice day before its marks are shown, then show them."""
    made = {name: method() for name, method in methods.items()}
    sums = {name: Foresight() for name in (*methods, "the truth")}
    for day, turns in by_day(course).items():
        for (step, level), (k, n) in day_counts(turns).items():
            curve = course.truth[day][step]
            true_marked = family.recorded(curve, level)
            sums["the truth"].add(true_marked, true_marked, k, n)
            for name, method in made.items():
                said, into = method.forecast(step, level, day), sums[name]
                into.add(said.marked, true_marked, k, n)
                into.days += 1
                into.held += said.low - 1e-9 <= curve[level] <= said.high + 1e-9
                into.missed_by += abs(said.mean - curve[level])
        for marks in turns:
            for method in made.values():
                method.record(day, marks)
    return sums


def regret(children: Sequence[Foresight]) -> float:
    """Nats a mark."""
    return sum(c.regret for c in children) / max(1.0, sum(c.marks for c in children))


def loss(children: Sequence[Foresight]) -> float:
    """Minus the log score, nats a mark."""
    return sum(c.loss for c in children) / max(1.0, sum(c.marks for c in children))


def calibration(children: Sequence[Foresight]) -> float:
    """Mean gap between forecast and outcome over ten bins, weighted by marks."""
    bins = sum(c.bins for c in children)
    return float(np.abs(bins[:, 2] - bins[:, 1]).sum() / max(1.0, bins[:, 0].sum()))


def coverage(children: Sequence[Foresight]) -> float:
    """Share of 90 % intervals that hold the true chance."""
    return sum(c.held for c in children) / max(1.0, sum(c.days for c in children))


def missed_by(children: Sequence[Foresight]) -> float:
    """Mean distance of the believed chance from the true one."""
    return sum(c.missed_by for c in children) / max(1.0, sum(c.days for c in children))


@dataclass
class Outcome:
    """Sums over one child's course under one rule."""

    turns: float
    reached: bool
    goes: int
    managed: int
    too_hard: int
    too_easy: int
    calls: int
    false_calls: int
    lags: list[float]
    uncalled: int
    failure_run: int
    said: np.ndarray
    decisions: dict[str, int]


def outcome(course: Course) -> Outcome:
    """Work out one course."""
    below = [g for g in course.goes if g.alone < INDEPENDENT]
    lags, uncalled = _lags(course)
    said = np.zeros((BINS, 3))
    for go in course.goes:
        if go.said is not None and go.level >= 1:
            said[min(BINS - 1, int(go.said * BINS))] += (1, go.said, go.managed)
    return Outcome(
        turns=course.all_independent if course.all_independent is not None else course.horizon,
        reached=course.all_independent is not None,
        goes=len(below),
        managed=sum(g.managed for g in below),
        too_hard=sum(g.chance < 0.70 for g in below),
        too_easy=sum(g.chance > 0.90 for g in below),
        calls=len(course.calls),
        false_calls=sum(c.alone < FALSE_BELOW for c in course.calls),
        lags=lags,
        uncalled=uncalled,
        failure_run=longest_run([not g.managed for g in course.goes]),
        said=said,
        decisions=_tally(course.decisions),
    )


def _tally(words: Sequence[str]) -> dict[str, int]:
    return {word: words.count(word) for word in sorted(set(words))}


def _lags(course: Course) -> tuple[list[float], int]:
    """Lags of the steps independent early enough to be called; those never called wait to the end."""
    first = {call.step: call.turns for call in reversed(course.calls)}
    lags, uncalled = [], 0
    for step, since in enumerate(course.independent):
        if since is None or since > course.horizon - ROOM_FOR_LAG:
            continue
        uncalled += step not in first
        lags.append(max(0.0, first.get(step, course.horizon) - since))
    return lags, uncalled


def longest_run(misses: Sequence[bool]) -> int:
    """Longest run of True."""
    longest = run = 0
    for miss in misses:
        run = run + 1 if miss else 0
        longest = max(longest, run)
    return longest


def share(top: Callable[[Outcome], float], of: Callable[[Outcome], float]) -> Callable:
    """A measure that is a ratio of sums over children."""

    def measure(children: Sequence[Outcome]) -> float:
        total = sum(of(c) for c in children)
        return sum(top(c) for c in children) / total if total else 0.0

    return measure


def mean_lag(children: Sequence[Outcome]) -> float:
    """Mean lag over steps."""
    lags = [lag for c in children for lag in c.lags]
    return float(np.mean(lags)) if lags else float("nan")


def said_calibration(children: Sequence[Outcome]) -> float:
    """Calibration of the success the adviser itself foretold for what it asked."""
    bins = sum(c.said for c in children)
    return (
        float(np.abs(bins[:, 2] - bins[:, 1]).sum() / bins[:, 0].sum()) if bins[:, 0].sum() else float("nan")
    )


OUTCOMES: dict[str, Callable[[Sequence[Outcome]], float]] = {
    "turns": lambda children: float(np.mean([c.turns for c in children])),
    "reached": lambda children: float(np.mean([c.reached for c in children])),
    "success": share(lambda c: c.managed, lambda c: c.goes),
    "too hard": share(lambda c: c.too_hard, lambda c: c.goes),
    "too easy": share(lambda c: c.too_easy, lambda c: c.goes),
    "false calls": share(lambda c: c.false_calls, lambda c: c.calls),
    "lag": mean_lag,
    "failure run": lambda children: float(np.quantile([c.failure_run for c in children], 0.9)),
    "foretold": said_calibration,
}
FORESIGHT: dict[str, Callable[[Sequence[Foresight]], float]] = {
    "regret": regret,
    "log loss": loss,
    "calibration": calibration,
    "covers": coverage,
    "off by": missed_by,
}


def bootstrap_se(
    measure: Callable[[Sequence], float], children: Sequence, rng: np.random.Generator, times: int = 100
) -> float:
    """Standard error of a measure by drawing children again with replacement."""
    n = len(children)
    draws = [measure([children[i] for i in rng.integers(0, n, n)]) for _ in range(times)]
    return float(np.nanstd(draws, ddof=1)) if np.isfinite(draws).sum() > 1 else float("nan")
