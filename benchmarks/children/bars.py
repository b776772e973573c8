"""The bars: what has to be reached on unseen children. A bar counts as met within two standard errors."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import sqrt

import numpy as np

from benchmarks.children.kinds import BY_NAME
from benchmarks.children.report import Cells, Figure, Results, mean_over
from benchmarks.children.study import OURS

DAILY, WEEKLY, SPARSE = "advice, daily", "advice, weekly", "advice, 1 of 5 written"
PROBED, WHOLE, BACKWARD = "advice, with probes", "whole task, 80 % on 3 days", "backward, 80 % on 3 days"


@dataclass(frozen=True, slots=True)
class Bar:
    """`figure` has to lie in low..high, within two standard errors."""

    name: str
    figure: Figure
    low: float
    high: float
    where: str = ""

    @property
    def met(self) -> bool:
        """True where the bar is met."""
        room = 2 * (self.figure.se if np.isfinite(self.figure.se) else 0.0)
        return self.low - room <= self.figure.value <= self.high + room

    @property
    def clear(self) -> bool:
        """True where it is met without leaning on the standard error."""
        return self.low <= self.figure.value <= self.high

    def told(self) -> str:
        """One line of the list."""
        verdict = "met" if self.clear else "met within two standard errors" if self.met else "NOT MET"
        between = f"{_plain(self.low)} .. {_plain(self.high)}"
        where = f" [{self.where}]" if self.where else ""
        style = "{:.1f}" if abs(self.figure.value) >= 2 else "{:.4f}"
        return f"{self.name:<58} {self.figure.told(style):>16}  {between:<16} {verdict}{where}"


def _plain(x: float) -> str:
    return "" if np.isinf(x) else f"{x:g}"


def _of(kinds: dict[str, Figure], family: str) -> dict[str, Figure]:
    return {k: f for k, f in kinds.items() if BY_NAME[k].family == family and np.isfinite(f.value)}


def _rows(found: Cells, measure: str, name: str, family: str) -> dict[str, Figure]:
    return _of(found.get(measure, {}).get(name, {}), family)


def _mean(name: str, kinds: dict[str, Figure], family: str, low: float, high: float) -> Iterator[Bar]:
    figure = mean_over(kinds, family)
    if figure:
        yield Bar(name, figure, low, high)


def _worst(name: str, kinds: dict[str, Figure], low: float, high: float) -> Iterator[Bar]:
    """The kind that misses by most standard errors, or comes nearest to missing."""
    if not kinds:
        return

    def beyond(kind: str) -> float:
        f = kinds[kind]
        return max(f.value - high, low - f.value) - 2 * f.se

    worst = max(kinds, key=beyond)
    yield Bar(name, kinds[worst], low, high, worst)


def _less(a: Figure, b: Figure, times: float = 1.0) -> Figure:
    """a - times x b; the errors are taken as unrelated, which overstates them for the same children."""
    return Figure(a.value - times * b.value, sqrt(a.se**2 + (times * b.se) ** 2))


def _extra(
    name: str,
    found: Cells,
    measure: str,
    ours: str,
    theirs: str,
    family: str,
    high: float,
    times: float = 1.0,
) -> Iterator[Bar]:
    a = mean_over(_rows(found, measure, ours, family), family)
    b = mean_over(_rows(found, measure, theirs, family), family)
    if a and b:
        yield Bar(name, _less(a, b, times), -np.inf, high)


def bars(results: Results) -> list[Bar]:
    """Every bar that the study has figures for."""
    return [*_first(results), *_second(results)]


NONE = -np.inf


def _first(results: Results) -> Iterator[Bar]:
    see, end, a = results.foresight, results.outcomes, "A"

    def seen(measure: str) -> dict[str, Figure]:
        return _rows(see, measure, OURS, a)

    def ended(measure: str, way: str = DAILY) -> dict[str, Figure]:
        return _rows(end, measure, way, a)

    yield from _mean("A regret, nats a mark", seen("regret"), a, NONE, 0.018)
    yield from _mean("A calibration error", seen("calibration"), a, NONE, 0.018)
    yield from _worst("A calibration error, worst kind", seen("calibration"), NONE, 0.03)
    yield from _mean("A 90 % interval covers", seen("covers"), a, 0.88, 0.95)
    yield from _worst("A 90 % interval covers, worst kind", seen("covers"), 0.85, 1.0)
    yield from _mean("A success while learning", ended("success"), a, 0.76, 0.83)
    yield from _worst("A success, worst kind", ended("success"), 0.72, 0.86)
    yield from _mean("A too hard", ended("too hard"), a, NONE, 0.23)
    yield from _mean("A false calls", ended("false calls"), a, NONE, 0.005)
    yield from _worst("A false calls, worst kind", ended("false calls"), NONE, 0.02)
    yield from _mean("A lag, turns", ended("lag"), a, NONE, 24)
    yield from _mean("A 90 % failure run", ended("failure run"), a, NONE, 7)
    yield from _extra("A turns beyond whole-task counting, 3 days", end, "turns", DAILY, WHOLE, a, 0)
    yield from _extra("A 1 of 5 written: turns beyond all written", end, "turns", SPARSE, DAILY, a, 10)
    yield from _mean("A 1 of 5 written: false calls", ended("false calls", SPARSE), a, NONE, 0.01)
    yield from _extra("A weekly: turns beyond daily", end, "turns", WEEKLY, DAILY, a, 6)


def _second(results: Results) -> Iterator[Bar]:
    see, end, b = results.foresight, results.outcomes, "B"
    for other in ("running mean", "last day's rate"):
        yield from _behind(f"B regret beyond {other}, worst kind", see, "regret", other, 1.0)
    yield from _extra(
        "B log loss beyond 1.05 x pooled logistic", see, "log loss", OURS, "pooled logistic", b, 0, 1.05
    )
    yield from _behind(
        "B log loss beyond 1.05 x pooled logistic, worst kind", see, "log loss", "pooled logistic", 1.05
    )
    yield from _mean("B calibration error", _rows(see, "calibration", OURS, b), b, NONE, 0.06)
    yield from _mean("B 90 % interval covers", _rows(see, "covers", OURS, b), b, 0.80, 0.97)
    yield from _mean("B success while learning", _rows(end, "success", DAILY, b), b, 0.70, 0.85)
    yield from _mean("B false calls", _rows(end, "false calls", DAILY, b), b, NONE, 0.02)
    yield from _slower(end)
    yield from _extra("B false calls: with probes beyond without", end, "false calls", PROBED, DAILY, b, 0)


def _behind(name: str, see: Cells, measure: str, other: str, times: float) -> Iterator[Bar]:
    ours, theirs = _rows(see, measure, OURS, "B"), _rows(see, measure, other, "B")
    both = {kind: _less(ours[kind], theirs[kind], times) for kind in ours if kind in theirs}
    yield from _worst(name, both, NONE, 0)


def _slower(end: Cells) -> Iterator[Bar]:
    """Turns beyond 1.25 x the better counting rule, in the kind where it is worst."""
    ours = _rows(end, "turns", DAILY, "B")
    whole, backward = _rows(end, "turns", WHOLE, "B"), _rows(end, "turns", BACKWARD, "B")
    better = {k: min((whole[k], backward[k]), key=_value) for k in whole if k in backward}
    both = {k: _less(ours[k], better[k], 1.25) for k in ours if k in better}
    yield from _worst("B turns beyond 1.25 x the better counting rule, worst", both, NONE, 0)


def _value(figure: Figure) -> float:
    return figure.value


def listed(results: Results) -> list[str]:
    """The bars, a line each."""
    return ["", "bars: figure (standard error), permitted, verdict", *(bar.told() for bar in bars(results))]
