"""Goals: a sentence put together from its parts, questions about it, and the T-score of a child's set."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django import forms
from django.http import QueryDict

from bylittle.core.faults import Fault
from bylittle.core.plan.goal import Goal as CoreGoal
from bylittle.core.plan.goal_checks import notes_of
from bylittle.core.skill.ladder import DEFAULT_LADDER
from bylittle.core.stats.attainment import t_score
from bylittle.library.wording.goal_notes import GoalParts, questions, statement
from bylittle.web.people.forms import DateInput
from bylittle.web.people.models import Child
from bylittle.web.plans.forms import GoalForm
from bylittle.web.plans.models import Goal
from bylittle.web.plans.queries import plans_of, signed_plan
from bylittle.web.skills.models import Skill


class PartsForm(forms.Form):
    """What a goal's sentence is made of; the sentence is proposed and hers to change."""

    child = forms.CharField(label="Who", max_length=40)
    does = forms.CharField(label="Does what, one thing you can see", max_length=80)
    does.widget.attrs["placeholder"] = "pulls on both rain boots"
    help = forms.ChoiceField(label="With which help")
    routine = forms.CharField(label="In which routine, where", max_length=60)
    routine.widget.attrs["placeholder"] = "before going out"
    how_often = forms.CharField(label="How well or how often", max_length=40)
    how_often.widget.attrs["placeholder"] = "on 4 of 5 days"
    by = forms.DateField(label="By when", required=False, widget=DateInput())

    def __init__(self, skill: Skill, data: QueryDict | None = None) -> None:
        first = {"child": skill.child.name, "help": DEFAULT_LADDER.names[-1]}
        super().__init__(data, prefix="part", initial=first)
        plan = signed_plan(plans_of(skill))
        names = plan.ladder.names if plan else DEFAULT_LADDER.names
        helps = self.fields["help"]
        assert isinstance(helps, forms.ChoiceField)
        helps.choices = [(name, name) for name in reversed(names)]
        for field in self.fields.values():
            field.widget.use_required_attribute = lambda initial: False

    def proposed(self) -> dict[str, Any]:
        """The sentence, and the day where one is given, as the goal's fields."""
        data = self.cleaned_data
        told = statement(GoalParts(**{name: data[name] for name in GoalParts.__slots__}))
        return {"statement": told} | ({"by": data["by"]} if data["by"] else {})


def with_proposal(goal: Goal, typed: Mapping[str, str], parts: PartsForm) -> GoalForm:
    """The goal's form as typed so far, with the proposed sentence in it: nothing is kept yet."""
    written = {name: typed.get(name, "") for name in GoalForm.Meta.fields}
    return GoalForm(instance=goal, initial=written | (parts.proposed() if parts.is_valid() else {}))


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
