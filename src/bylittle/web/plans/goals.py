"""Goals: questions about how one is written, and the T-score of a child's set with each goal beside it."""

from __future__ import annotations

from dataclasses import dataclass

from bylittle.core.faults import Fault
from bylittle.core.plan.goal import Goal as CoreGoal
from bylittle.core.plan.goal_checks import notes_of
from bylittle.core.stats.attainment import t_score
from bylittle.library.wording.goal_notes import questions
from bylittle.web.people.models import Child
from bylittle.web.plans.models import Goal


def goal_questions(goal: Goal, child: str) -> list[str]:
    """Questions to the writer; none is a block."""
    told = CoreGoal(goal.statement, goal.levels, goal.baseline_level, goal.by)
    return questions(notes_of(told, child))


@dataclass(frozen=True, slots=True)
class Attained:
    """One goal with its level at the start and its last rating."""

    goal: Goal
    start: int | None
    last: int | None


@dataclass(frozen=True, slots=True)
class GoalSet:
    """All goals of a child, and the T-score of those that were rated (None: none was)."""

    goals: tuple[Attained, ...]
    t: float | None

    @property
    def rated(self) -> int:
        return sum(each.last is not None for each in self.goals)


def goal_set(child: Child) -> GoalSet:
    """The child's goals with their T-score (Kiresuk & Sherman 1968, equal weights, rho .3)."""
    rows = Goal.objects.filter(skill__child=child).select_related("skill").prefetch_related("ratings")
    goals = tuple(Attained(goal, goal.baseline_level, _last(goal)) for goal in rows)
    levels = [each.last for each in goals if each.last is not None]
    try:
        return GoalSet(goals, t_score(levels) if levels else None)
    except Fault:
        return GoalSet(goals, None)


def _last(goal: Goal) -> int | None:
    ratings = list(goal.ratings.all())
    return ratings[-1].level if ratings else None
