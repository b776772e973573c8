"""One child, one skill: the convenient door to the tracker and the adviser.

Everything here calls pure functions of `learning` and `advice`; the object only holds the current state.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from typing import Self

from bylittle.core.advice.adviser import Advice, advise, called, coming, tried_steps
from bylittle.core.advice.facts import Facts
from bylittle.core.advice.patterns import look
from bylittle.core.advice.patterns_of_help import ReportGap, report_gap
from bylittle.core.advice.plan import teaching
from bylittle.core.advice.saved import advice_from, advice_value, plan_from, plan_value
from bylittle.core.advice.words import Every
from bylittle.core.faults import BadValue
from bylittle.core.learning import saved
from bylittle.core.learning.changes import on_grade, regraded, revised
from bylittle.core.learning.forecast import Chance, Outlook, chance, count_pmf, means, outlook
from bylittle.core.learning.history import unpacked
from bylittle.core.learning.horizon import Horizon, when_done
from bylittle.core.learning.marks import checked_marks, whole_day
from bylittle.core.learning.mastery import Criterion, standing
from bylittle.core.learning.prior import SHIPPED, Prior
from bylittle.core.learning.tracker import Entered, Settings, State, begin, enter
from bylittle.core.practice.marks import Source
from bylittle.core.stats.ordinal import Floats

WEEK = 7
PROBABLY_SURE = 0.80
PROBABLY_DAYS = 2


class SkillTracker:
    """Record turns, ask for chances, mastery and advice. Days are whole numbers, never going back.

    `n_levels` is the ladder's length (index 0 the fullest help, the last one alone); `goal` the chaining
    direction; `band` the success wanted; `mastery` = (chance alone, how sure, days). `grades` names the
    materials from easier to harder: a mark with another grade than before then shifts what is believed.
    `leap_ahead`: a backward or forward chain passes over steps that likely go alone already.
    """

    def __init__(
        self,
        n_steps: int,
        n_levels: int = 6,
        goal: str = "whole",
        band: tuple[float, float] = (0.70, 0.90),
        max_new_steps: int | None = None,
        advice_every: str = "day",
        mastery: tuple[float, float, int] = (0.85, 0.90, 3),
        prior: Prior | None = None,
        grades: Sequence[str] = (),
        leap_ahead: bool = False,
    ) -> None:
        self._plan = teaching(goal, band, max_new_steps, advice_every, mastery, leap_ahead)
        self._state = begin(Settings(n_steps, n_levels, prior or SHIPPED, tuple(grades)))
        self._first_day: int | None = None
        self._week: tuple[int, Advice] | None = None
        self._views: dict[int | None, Outlook] = {}

    @property
    def state(self) -> State:
        """The current state: a frozen value."""
        return self._state

    def record(self, day: int, marks: Iterable[object]) -> Entered:
        """One turn on `day`; the reason comes back. A fault leaves the tracker as it was."""
        kept = tuple(marks)
        if self._plan.every is Every.WEEK:
            self._keep_week(day, kept)
        self._state, reason = enter(self._state, day, kept)
        self._views.clear()
        return reason

    def chance(self, step: int, level: int, day: int | None = None) -> Chance:
        """(mean, low90, high90) of success with `level` of help on a typical day."""
        return chance(self._view(day), step, level)

    def count_pmf(self, step: int, level: int, n: int, day: int | None = None) -> Floats:
        """n + 1 probabilities of recorded successes out of n on one day."""
        return count_pmf(self._view(day), step, level, n)

    def mastered(self, day: int | None = None) -> list[bool]:
        """The statistical call for each step."""
        return list(called(self._state, self._view(day), self._plan))

    def probably_ready(self, day: int | None = None) -> list[bool]:
        """The weaker strength for each step: check with a probe."""
        criterion = Criterion(self._plan.mastery.chance, PROBABLY_SURE, PROBABLY_DAYS)
        view = self._view(day)
        steps = range(self._state.settings.n_steps)
        return [standing(self._state, view, step, criterion).met for step in steps]

    def new_steps(self, day: int | None = None) -> list[bool]:
        """The steps that the advice counts as new: neither called nor on their way to it."""
        view = self._view(day)
        known = called(self._state, view, self._plan)
        on_their_way = coming(self._state, means(view), self._plan, tried_steps(self._state))
        return [not (there or nearly) for there, nearly in zip(known, on_their_way, strict=True)]

    def advise(self, day: int | None = None, facts: Facts | None = None) -> Advice:
        """What to do on `day`, and why. With weekly advice the levels stay the same within a week."""
        asked = self._view(day).day
        if self._plan.every is Every.WEEK and facts is None:
            week = self._week_of(asked)
            if self._week is not None and self._week[0] == week:
                return self._week[1]
        return advise(self._state, self._plan, asked, facts, self._view(day))

    def when_done(self, day: int | None = None, days_a_week: float | None = None) -> Horizon:
        """When every step is likely independent, as a range; a fault where the data cannot say."""
        plan = self._plan
        bar, at_once, new_below = plan.mastery.chance, plan.max_new_steps, plan.new_below
        return when_done(self._state, bar, at_once, day, days_a_week, new_below)

    def report_gap(self) -> ReportGap:
        """How far the family's marks run ahead of what was observed; NotEnoughData where none can say."""
        return report_gap(look(unpacked(self._state.recent), self._view(None), self._state.names[0]))

    def change_grade(self, harder: float, steps: Sequence[int] | None = None) -> None:
        """From now on a harder (above 0) or easier material, in grades; belief shifts and widens."""
        self._state = regraded(self._state, harder, steps)
        self._views.clear()

    def use_grade(self, grade: str) -> None:
        """From now on all is about the material `grade`; nothing changes where it was so already."""
        self._state = on_grade(self._state, grade)
        self._views.clear()

    def change_steps(self, origins: Sequence[Sequence[int]]) -> None:
        """A new version of the skill: each new step with the old ones it comes from (none: a new one)."""
        self._state = revised(self._state, origins)
        self._views.clear()
        self._week = None

    def to_text(self) -> str:
        """The whole tracker as JSON text; `from_text` gives one that answers alike."""
        week = None if self._week is None else [self._week[0], advice_value(self._week[1])]
        return json.dumps(
            {
                "state": saved.as_value(self._state),
                "plan": plan_value(self._plan),
                "first_day": self._first_day,
                "week": week,
            }
        )

    @classmethod
    def from_text(cls, text: str) -> Self:
        """A tracker from its text; BadValue where the text is not one of ours."""
        try:
            value = json.loads(text)
            state = saved.from_value(value["state"])
            frame = state.settings
            tracker = cls(frame.n_steps, frame.n_levels, prior=frame.prior, grades=frame.grades)
            tracker._state, tracker._plan = state, plan_from(value["plan"])
            tracker._first_day, week = value["first_day"], value["week"]
            tracker._week = None if week is None else (week[0], advice_from(week[1]))
        except (KeyError, TypeError, ValueError) as error:
            raise BadValue("saved_tracker", name="text", value=str(error), allowed="of to_text") from error
        return tracker

    def _view(self, day: int | None) -> Outlook:
        if day not in self._views:
            self._views = {day: outlook(self._state, day)}
        return self._views[day]

    def _week_of(self, day: int) -> int:
        return 0 if self._first_day is None else (day - self._first_day) // WEEK

    def _keep_week(self, day: int, marks: Iterable[object]) -> None:
        """Before a new week's first turn: keep the advice that stood on its morning.

        Weeks run from the first day of practice: a baseline comes before the plan, and the plan rests on it.
        """
        frame = self._state.settings
        whole = whole_day(day, self._state.day)
        if self._first_day is None:
            told = checked_marks(marks, frame.n_steps, frame.n_levels)
            if all(mark.source in (Source.PROBE, Source.BASELINE) for mark in told):
                return
            self._first_day = whole
        week = self._week_of(whole)
        if self._week is None or self._week[0] != week:
            self._week = (week, advise(self._state, self._plan, whole))
