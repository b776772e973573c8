"""The bars: what has to be reached on unseen children. A bar counts as met within two standard errors."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from benchmarks.children.kinds import BY_NAME
from benchmarks.children.measures import FORESIGHT, OUTCOMES, bootstrap_se
from benchmarks.children.report import Cells, Figure, Results, mean_over
from benchmarks.children.study import OURS, Findings

ByName = dict[str, dict[str, list[Any]]]
Measure = Callable[[Sequence[Any]], float]

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
        verdict = "to compare" if np.isinf([self.low, self.high]).all() else verdict
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
    """The kind that misses by most; one beyond its two standard errors goes first."""
    if not kinds:
        return

    def beyond(kind: str) -> tuple[bool, float]:
        f = kinds[kind]
        by = max(f.value - high, low - f.value)
        return by > 2 * f.se, by

    worst = max(kinds, key=beyond)
    yield Bar(name, kinds[worst], low, high, worst)


def _apart(
    by_name: ByName, measure: Measure, ours: str, theirs: str, family: str, times: float = 1.0
) -> dict[str, Figure]:
    """Ours - times x theirs, kind by kind: the same children under both, drawn again as pairs."""
    found: dict[str, Figure] = {}
    for kind, children in by_name.get(ours, {}).items():
        others = by_name.get(theirs, {}).get(kind, [])
        if BY_NAME[kind].family == family and others:
            found[kind] = _of_pairs(list(zip(children, others, strict=True)), measure, times)
    return found


def _of_pairs(pairs: list[tuple], measure: Measure, times: float) -> Figure:
    def difference(chosen: Sequence[tuple]) -> float:
        ours, theirs = zip(*chosen, strict=True)
        return measure(ours) - times * measure(theirs)

    return Figure(difference(pairs), bootstrap_se(difference, pairs, np.random.default_rng(2)))


def bars(findings: Findings, results: Results) -> list[Bar]:
    """Every bar that the study has figures for."""
    return [*_first(findings, results), *_second(findings, results)]


NONE = -np.inf


def _first(findings: Findings, results: Results) -> Iterator[Bar]:
    see, end, a = results.foresight, results.outcomes, "A"

    def seen(measure: str) -> dict[str, Figure]:
        return _rows(see, measure, OURS, a)

    def ended(measure: str, way: str = DAILY) -> dict[str, Figure]:
        return _rows(end, measure, way, a)

    def turns(way: str, than: str) -> dict[str, Figure]:
        return _apart(findings.outcomes, OUTCOMES["turns"], way, than, a)

    yield from _mean("A regret, nats a mark", seen("regret"), a, NONE, 0.018)
    own = _rows(see, "regret", f"{OURS}, log of the advice", a)
    yield from _mean("A regret on the log of the advice (no bar)", own, a, NONE, np.inf)
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
    yield from _mean("A turns beyond whole-task counting, 3 days", turns(DAILY, WHOLE), a, NONE, 0)
    yield from _mean("A the oracle's turns beyond the same (no bar)", turns("oracle", WHOLE), a, NONE, np.inf)
    yield from _mean("A 1 of 5 written: turns beyond all written", turns(SPARSE, DAILY), a, NONE, 10)
    yield from _mean("A 1 of 5 written: false calls", ended("false calls", SPARSE), a, NONE, 0.01)
    yield from _mean("A weekly: turns beyond daily", turns(WEEKLY, DAILY), a, NONE, 6)


def _second(findings: Findings, results: Results) -> Iterator[Bar]:
    see, end, b = results.foresight, results.outcomes, "B"

    def behind(measure: str, than: str, times: float = 1.0) -> dict[str, Figure]:
        return _apart(findings.foresight, FORESIGHT[measure], OURS, than, b, times)

    for than in ("running mean", "last day's rate"):
        yield from _worst(f"B regret beyond {than}, worst kind", behind("regret", than), NONE, 0)
    logistic = behind("log loss", "pooled logistic", 1.05)
    yield from _mean("B log loss beyond 1.05 x pooled logistic", logistic, b, NONE, 0)
    yield from _worst("B log loss beyond 1.05 x pooled logistic, worst kind", logistic, NONE, 0)
    yield from _mean("B calibration error", _rows(see, "calibration", OURS, b), b, NONE, 0.06)
    yield from _mean("B 90 % interval covers", _rows(see, "covers", OURS, b), b, 0.80, 0.97)
    yield from _mean("B success while learning", _rows(end, "success", DAILY, b), b, 0.70, 0.85)
    yield from _mean("B false calls", _rows(end, "false calls", DAILY, b), b, NONE, 0.02)
    slower = _slower(findings)
    yield from _worst("B turns beyond 1.25 x the better counting rule, worst kind", slower, NONE, 0)
    fewer = _apart(findings.outcomes, OUTCOMES["false calls"], PROBED, DAILY, b)
    yield from _mean("B false calls: with probes beyond without", fewer, b, NONE, 0)


def _slower(findings: Findings) -> dict[str, Figure]:
    """Turns beyond 1.25 x the better counting rule of each kind."""
    rules = [
        _apart(findings.outcomes, OUTCOMES["turns"], DAILY, rule, "B", 1.25) for rule in (WHOLE, BACKWARD)
    ]
    return {kind: max((rule[kind] for rule in rules if kind in rule), key=_value) for kind in rules[0]}


def _value(figure: Figure) -> float:
    return figure.value


def listed(findings: Findings, results: Results) -> list[str]:
    """The bars, a line each."""
    told = [bar.told() for bar in bars(findings, results)]
    return ["", "bars: figure (standard error), permitted, verdict", *told]
