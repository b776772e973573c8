"""Runs every child of every kind through every method and rule, on two processes, and gathers the sums."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from functools import partial

import numpy as np

from benchmarks.children.child import Child
from benchmarks.children.course import Course, Setting, live
from benchmarks.children.fitting import Fitted, fit
from benchmarks.children.forecasters import (
    Forecaster,
    LastDay,
    Ours,
    PooledLogistic,
    RunningMean,
    Tracing,
)
from benchmarks.children.kinds import BY_NAME, KINDS, Kind, make, stream
from benchmarks.children.measures import Foresight, Outcome, foresee, outcome
from benchmarks.children.rules import Adviser, Counting, Oracle, Plan, Rule

OTHERS = 4
ELSEWHERE = 7_000_000


class Wandering(Counting):
    """Whole-task counting with some days that stray: another help, a step left out. Logs for forecasts
    come from it, so that no forecaster sets its own questions."""

    def __init__(self, child: Child, rng: np.random.Generator) -> None:
        super().__init__(child, "whole", 3)
        self.rng = rng

    def plan(self, day: int) -> Plan:
        levels = list(super().plan(day).turn(0))
        for step, level in enumerate(levels):
            luck = self.rng.random()
            if luck < 0.10:
                levels[step] = None
            elif luck < 0.30 and level is not None:
                levels[step] = min(self.top, max(1, level + (1 if luck < 0.20 else -1)))
        held = tuple(levels)
        return Plan(lambda turn: held)


@dataclass(frozen=True, slots=True)
class Way:
    """One row of the second table: a rule and how its course is run."""

    rule: Callable[[Child], Rule]
    setting: Setting = field(default_factory=Setting)


SPARSE, PROBED = Setting(written="first"), Setting(probes=True)
WAYS: dict[str, Way] = {
    "whole task, 80 % on 3 days": Way(partial(Counting, days=3)),
    "whole task, 80 % on 1 day": Way(partial(Counting, days=1)),
    "backward, 80 % on 3 days": Way(partial(Counting, goal="backward", days=3)),
    "backward, 80 % on 1 day": Way(partial(Counting, goal="backward", days=1)),
    "oracle": Way(Oracle),
    "advice, daily": Way(Adviser),
    "advice, weekly": Way(partial(Adviser, every="week")),
    "advice, 1 of 5 written": Way(Adviser, SPARSE),
    "advice, with probes": Way(Adviser, PROBED),
    "advice, backward": Way(partial(Adviser, goal="backward")),
    "whole, 3 days, 1 of 5 written": Way(partial(Counting, days=3), SPARSE),
    "whole, 1 day, 1 of 5 written": Way(partial(Counting, days=1), SPARSE),
}
OURS = "our tracker"
# What a full run leaves out to stay within a quarter of an hour; each can still be asked for by name.
LEFT_OUT = {
    "A": ("advice, backward",),
    "B": (
        "advice, backward",
        "advice, weekly",
        "advice, 1 of 5 written",
        "whole, 3 days, 1 of 5 written",
        "whole, 1 day, 1 of 5 written",
    ),
}


@dataclass(frozen=True, slots=True)
class Order:
    """What is to be run for one child."""

    kind: str
    number: int
    seed: int
    ways: tuple[str, ...]
    foresight: bool
    fitted: Fitted


@dataclass
class Findings:
    """By method or way, by kind: one entry a child."""

    foresight: dict[str, dict[str, list[Foresight]]] = field(default_factory=dict)
    outcomes: dict[str, dict[str, list[Outcome]]] = field(default_factory=dict)


def wandering_log(kind: Kind, seed: int, number: int) -> Course:
    """A log for forecasts: the whole twelve weeks, also after all is learnt."""
    rng = stream(seed, kind.name, number, "wander")
    return live(kind, seed, number, lambda child: Wandering(child, rng), Setting(until_end=False))


def methods(fitted: Fitted) -> dict[str, Callable[[], Forecaster]]:
    """The forecasters compared."""
    return {
        "last day's rate": LastDay,
        "running mean": RunningMean,
        "pooled logistic": lambda: PooledLogistic(fitted.weights, fitted.bias, fitted.precision),
        "two-state tracing": lambda: Tracing(fitted.tracing),
        OURS: Ours,
    }


def learn_from_others(seed: int, others: int = OTHERS) -> Fitted:
    """Fit the methods that need it on children of all kinds who are not in the study."""
    return fit([wandering_log(kind, seed + ELSEWHERE, n) for kind in KINDS for n in range(others)])


def carry_out(order: Order) -> tuple[str, dict[str, Foresight], dict[str, Outcome]]:
    """Everything for one child."""
    kind = BY_NAME[order.kind]
    seen: dict[str, Foresight] = {}
    if order.foresight:
        log = wandering_log(kind, order.seed, order.number)
        _, family = make(kind, order.seed, order.number)
        seen = foresee(log, family, methods(order.fitted))
    ends = {}
    for name in order.ways:
        way = WAYS[name]
        course = live(kind, order.seed, order.number, way.rule, way.setting)
        ends[name] = outcome(course)
        if order.foresight and name == "advice, daily":
            seen |= in_own_use(course, kind, order)
    return order.kind, seen, ends


def in_own_use(course: Course, kind: Kind, order: Order) -> dict[str, Foresight]:
    """Forecasts on the log that the advice itself brought about, until all is learnt and called."""
    _, family = make(kind, order.seed, order.number)
    named = {name: methods(order.fitted)[name] for name in ("pooled logistic", OURS)}
    seen = foresee(course, family, named)
    return {f"{name}, log of the advice": seen[name] for name in named}


def carry_out_all(orders: Sequence[Order], processes: int = 2) -> Findings:
    """All children, in the same order whatever the number of processes."""
    findings = Findings()
    for kind, seen, ends in _mapped(orders, processes):
        for name, sums in seen.items():
            findings.foresight.setdefault(name, {}).setdefault(kind, []).append(sums)
        for name, end in ends.items():
            findings.outcomes.setdefault(name, {}).setdefault(kind, []).append(end)
    return findings


def _mapped(orders: Sequence[Order], processes: int) -> Iterable[tuple]:
    if processes == 1:
        return map(carry_out, orders)
    with ProcessPoolExecutor(processes) as pool:
        return list(pool.map(carry_out, orders, chunksize=2))


def ways_of(kind: Kind, asked: Sequence[str] | None) -> tuple[str, ...]:
    """The ways asked for; where none is named, those of a full run."""
    if asked is not None:
        return tuple(asked)
    return tuple(way for way in WAYS if way not in LEFT_OUT[kind.family])


def study(
    kinds: Sequence[str],
    children: int,
    ways: Sequence[str] | None,
    seed: int,
    foresight: bool,
    processes: int,
    others: int = OTHERS,
) -> Findings:
    """The whole comparison; `ways` None is a full run; `others` of each kind teach the fitted methods."""
    fitted = learn_from_others(seed, others)
    orders = [
        Order(kind, number, seed, ways_of(BY_NAME[kind], ways), foresight, fitted)
        for number in range(children)
        for kind in kinds
    ]
    return carry_out_all(orders, processes)
