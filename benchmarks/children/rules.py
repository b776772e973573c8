"""Who decides what is asked with which help: counting rules of common practice, an oracle, our adviser.

A rule is asked each practice day for its plan, sees the marks that were written, and says after each day
which steps it holds to be mastered.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from benchmarks.children.child import INDEPENDENT, Child
from bylittle.core.faults import NotEnoughData
from bylittle.core.practice.marks import Mark, Status

Levels = Sequence[int | None]


@dataclass(frozen=True, slots=True)
class Plan:
    """Help for each step, None where an adult does it; `turn(i)` for the i-th turn of the day."""

    turn: Callable[[int], Levels]
    ladder: bool = False
    predicted: Sequence[float | None] = ()
    decision: str = ""
    patterns: tuple[str, ...] = ()


def same_all_day(levels: Levels) -> Plan:
    """A plan that asks every turn alike."""
    held = tuple(levels)
    return Plan(lambda turn: held)


class Rule(Protocol):
    """What every way of deciding offers to the course of a child."""

    def plan(self, day: int) -> Plan:
        """The plan of this day."""

    def record(self, day: int, marks: list[Mark]) -> None:
        """See one turn as it was written."""

    def called(self, day: int) -> list[bool]:
        """Which steps it calls mastered, after this day."""


class Counting:
    """Most-to-least fading by counting: less help after 3 managed in a row, more after 2 misses in a row;
    mastered after `days` days running with at least 80 % alone. Common practice, no source.
    """

    def __init__(self, child: Child, goal: str = "whole", days: int = 3) -> None:
        self.top, self.goal, self.days = child.top, goal, days
        n = child.n_steps
        self.level = [1] * n
        self.run = [0] * n
        self.good_days = [0] * n
        self.is_called = [False] * n
        self.today: dict[int, list[bool]] = {}

    def plan(self, day: int) -> Plan:
        return same_all_day([self.level[k] if self._asked(k) else None for k in range(len(self.level))])

    def _asked(self, step: int) -> bool:
        if self.goal == "whole" or self.is_called[step]:
            return True
        waiting = [k for k, called in enumerate(self.is_called) if not called]
        return step == waiting[-1]

    def record(self, day: int, marks: list[Mark]) -> None:
        for mark in marks:
            if mark.status is Status.DONE and mark.source.value == "home":
                self._count(mark.step, mark.offered, mark.lo >= mark.offered)

    def _count(self, step: int, offered: int, managed: bool) -> None:
        if offered == self.top:
            self.today.setdefault(step, []).append(managed)
        if self.is_called[step]:
            return
        run = self.run[step]
        self.run[step] = max(run, 0) + 1 if managed else min(run, 0) - 1
        if self.run[step] >= 3:
            self._fade(step, +1)
        elif self.run[step] <= -2:
            self._fade(step, -1)

    def _fade(self, step: int, by: int) -> None:
        self.level[step] = min(self.top, max(0, self.level[step] + by))
        self.run[step] = 0

    def called(self, day: int) -> list[bool]:
        for step, goes in self.today.items():
            self.good_days[step] = self.good_days[step] + 1 if sum(goes) >= 0.8 * len(goes) else 0
            self.is_called[step] |= self.good_days[step] >= self.days
        self.today = {}
        return list(self.is_called)


class Oracle:
    """Knows every true chance: asks at most `new` steps with a chance alone below one half besides those
    beyond it, each with the help whose chance lies nearest .80, and calls a step when it is independent."""

    def __init__(self, child: Child, new: int = 3) -> None:
        self.child, self.new = child, new

    def plan(self, day: int) -> Plan:
        alone = [self.child.alone(k) for k in range(self.child.n_steps)]
        waiting = sorted((k for k, p in enumerate(alone) if p < INDEPENDENT), key=lambda k: -alone[k])
        levels: list[int | None] = [self.child.top] * self.child.n_steps
        new = 0
        for step in waiting:
            new += alone[step] < 0.5
            levels[step] = self._nearest(step) if new <= self.new else None
        return same_all_day(levels)

    def _nearest(self, step: int) -> int:
        curve = self.child.typical(step)
        return min(range(1, self.child.top + 1), key=lambda level: abs(curve[level] - 0.8))

    def record(self, day: int, marks: list[Mark]) -> None:
        """Needs no marks."""

    def called(self, day: int) -> list[bool]:
        return [self.child.alone(k) >= INDEPENDENT for k in range(self.child.n_steps)]


class Adviser:
    """Our own advice, followed to the letter. With `every="week"` the tracker itself holds its advice for
    the week, so it is asked each practice day all the same."""

    def __init__(self, child: Child, every: str = "day", goal: str = "whole", **settings: Any) -> None:
        from bylittle.core.advice import SkillTracker

        self.tracker = SkillTracker(
            child.n_steps, n_levels=child.top + 1, goal=goal, advice_every=every, **settings
        )
        self.n, self.top = child.n_steps, child.top

    def plan(self, day: int) -> Plan:
        try:
            advice = self.tracker.advise(day)
        except NotEnoughData:
            return same_all_day([None] * (self.n - 1) + [1])
        return Plan(
            lambda turn: [None if level is None or level < 0 else level for level in advice.for_turn(turn)],
            bool(advice.ladder),
            tuple(advice.predicted),
            str(advice.decision),
            pattern_codes(advice.patterns),
        )

    def record(self, day: int, marks: list[Mark]) -> None:
        self.tracker.record(day, marks)

    def called(self, day: int) -> list[bool]:
        try:
            return list(self.tracker.mastered(day))
        except NotEnoughData:
            return [False] * self.n


def pattern_codes(patterns: Any) -> tuple[str, ...]:
    """Names of the patterns found."""
    return tuple(str(pattern.kind) for pattern in patterns)
