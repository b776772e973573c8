"""Fits of the two methods that learn from other children: logistic regression and two-state tracing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import minimize
from scipy.special import expit
from sklearn.linear_model import LogisticRegression

from benchmarks.children.child import LEVELS, STEPS
from benchmarks.children.course import Course
from benchmarks.children.forecasters import History, TwoStates, told
from bylittle.core.practice.marks import Mark


@dataclass(frozen=True, slots=True)
class Fitted:
    """What other children taught: ready to be handed to each child's forecaster."""

    weights: np.ndarray
    bias: float
    precision: float
    tracing: TwoStates


def by_day(course: Course) -> dict[int, list[list[Mark]]]:
    """The turns of a log by day, in order."""
    days: dict[int, list[list[Mark]]] = {}
    for day, marks in course.log:
        days.setdefault(day, []).append(marks)
    return days


def day_counts(turns: Sequence[list[Mark]]) -> dict[tuple[int, int], list[int]]:
    """Managed and tried of each step and level in these turns; home marks with less than the fullest help."""
    counts: dict[tuple[int, int], list[int]] = {}
    for marks in turns:
        for step, level, managed, _ in told([m for m in marks if m.source.value == "home"]):
            if level >= 1:
                tally = counts.setdefault((step, level), [0, 0])
                tally[0] += managed
                tally[1] += 1
    return counts


def _rows(course: Course) -> tuple[list[list[float]], list[list[int]]]:
    history, rows, counts = History(), [], []
    for day, turns in by_day(course).items():
        for (step, level), tally in day_counts(turns).items():
            rows.append(history.features(step, level, day))
            counts.append(tally)
        for marks in turns:
            history.record(day, marks)
    return rows, counts


def fit(courses: Sequence[Course]) -> Fitted:
    """Fit both methods on the logs of other children."""
    rows: list[list[float]] = []
    counts: list[list[int]] = []
    for course in courses:
        more_rows, more_counts = _rows(course)
        rows += more_rows
        counts += more_counts
    x, c = np.array(rows), np.array(counts, dtype=float)
    model = LogisticRegression(C=10.0, max_iter=2000)
    y = np.r_[np.ones(len(x)), np.zeros(len(x))]
    model.fit(np.r_[x, x], y, sample_weight=np.r_[c[:, 0], c[:, 1] - c[:, 0]])
    p = model.predict_proba(x)[:, 1]
    return Fitted(model.coef_[0], float(model.intercept_[0]), _precision(p, c), fit_tracing(courses))


def _precision(p: np.ndarray, c: np.ndarray) -> float:
    """Precision of a beta whose spread explains how far day counts miss the fit, by moments."""
    k, n = c[:, 0], c[:, 1]
    many = n > 1
    k, n, p = k[many], n[many], p[many]
    pairs = ((k - n * p) ** 2 - n * p * (1 - p)).sum()
    rho = max(pairs / (n * (n - 1) * p * (1 - p)).sum(), 1e-3)
    return float(1 / rho - 1)


def fit_tracing(courses: Sequence[Course]) -> TwoStates:
    """Most likely figures of the two-state model; guess and slip are logistic in the help level."""
    runs = _sequences(courses)
    levels = np.full((len(runs), max(len(r) for r in runs)), -1)
    managed = np.zeros(levels.shape)
    for i, run in enumerate(runs):
        levels[i, : len(run)] = [level for level, _ in run]
        managed[i, : len(run)] = [ok for _, ok in run]

    def loss(z: np.ndarray) -> float:
        return -_log_likelihood(_figures(z), levels, managed)

    found = minimize(loss, np.array([-2.0, -3.5, 0.5, -1.0, -2.0, 0.0]), method="Nelder-Mead", tol=1e-2)
    return _figures(found.x)


def _sequences(courses: Sequence[Course]) -> list[list[tuple[int, bool]]]:
    runs: list[list[tuple[int, bool]]] = []
    for course in courses:
        steps: list[list[tuple[int, bool]]] = [[] for _ in range(STEPS)]
        for _, marks in course.log:
            for step, level, ok, _ in told(marks):
                steps[step].append((level, ok))
        runs += [s for s in steps if s]
    return runs


def _figures(z: np.ndarray) -> TwoStates:
    def s(x: np.ndarray | float) -> np.ndarray:
        return expit(np.asarray(x, dtype=float))

    less_help = np.arange(LEVELS) / (LEVELS - 1)
    guess = np.clip(s(z[2] + (z[3] - z[2]) * less_help * 1.5), 0.01, 0.98)
    slip = np.clip(s(z[4] + (z[5] - z[4]) * less_help), 0.01, 0.6)
    guess[0], slip[0] = 0.99, 0.01
    return TwoStates(float(s(z[0])), float(s(z[1])), guess, np.minimum(slip, 1 - guess))


def _log_likelihood(f: TwoStates, levels: np.ndarray, managed: np.ndarray) -> float:
    knows, total = np.full(len(levels), f.first), 0.0
    for t in range(levels.shape[1]):
        at, ok = levels[:, t], managed[:, t] > 0
        here = at >= 0
        yes = np.where(ok, 1 - f.slip[at], f.slip[at])
        no = np.where(ok, f.guess[at], 1 - f.guess[at])
        p = knows * yes + (1 - knows) * no
        total += float(np.log(p[here]).sum())
        after = knows * yes / p
        knows = np.where(here, after + (1 - after) * f.learn, knows)
    return total
