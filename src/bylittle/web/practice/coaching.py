"""Coaching the adults: a check at a visit written down, and what the checks of a skill show."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.db import transaction
from django.db.models import prefetch_related_objects
from django.http import QueryDict
from django.utils import timezone

from bylittle.core.plan.home_plan import PlannedStep
from bylittle.web.people.forms import DateInput
from bylittle.web.people.models import Child, Person
from bylittle.web.plans.models import Plan
from bylittle.web.practice import fidelity
from bylittle.web.practice.fidelity import ANSWERS, NOT_SEEN, Check, Coaching, PlannedItem
from bylittle.web.practice.forms import past_day
from bylittle.web.practice.models import FidelityCheck
from bylittle.web.skills import spoken
from bylittle.web.skills.models import Skill
from bylittle.web.skills.spoken_forms import LONGEST_SAID


class CheckForm(forms.Form):
    """One adult at one visit: each item of the plan's checklist. Nothing is filled in beforehand."""

    on = forms.DateField(label="Day", widget=DateInput())
    adult = forms.CharField(label="Who practised", max_length=40)
    note = forms.CharField(label="What to praise, and one thing to try", max_length=400, required=False)

    def __init__(
        self,
        items: tuple[PlannedItem, ...],
        child: Child,
        data: QueryDict | None,
        asked: Sequence[PlannedStep] = (),
    ) -> None:
        super().__init__(data)
        self.items = items
        self.fields["on"].initial = timezone.localdate()
        known = [(adult.initials, adult.name) for adult in child.caregivers.all()]
        if known:
            self.fields["adult"] = forms.ChoiceField(
                choices=known, label="Who practised", widget=forms.RadioSelect
            )
        self.asked = heard_steps(items, asked)
        for step in self.asked:
            self.fields[f"heard_{step.step_id}"] = forms.CharField(
                required=False, max_length=LONGEST_SAID, label=f"Heard at “{step.cue}”"
            )
        for planned in items:
            self.fields[planned.item.id] = forms.ChoiceField(
                choices=ANSWERS, required=False, widget=forms.RadioSelect, label=str(planned.item.name)
            )

    def rows(self) -> list[tuple[PlannedItem, Any]]:
        """Each item with its choice."""
        return [(planned, self[planned.item.id]) for planned in self.items]

    def heard_rows(self) -> list[Any]:
        """The fields for the words that were heard at each asked step."""
        return [self[f"heard_{step.step_id}"] for step in self.asked]

    @property
    def heard(self) -> dict[str, str]:
        """{step: the words heard}; an empty one was not noted."""
        return {step.step_id: self.cleaned_data[f"heard_{step.step_id}"] for step in self.asked}

    def clean_on(self) -> Any:
        return past_day(self.cleaned_data["on"])

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not self.errors and fidelity.share(self.seen) is None:
            raise forms.ValidationError(
                "Mark at least one thing that you saw. What is left blank was not seen."
            )
        return data

    @property
    def seen(self) -> dict[str, str]:
        """{item: answer}; a blank one was not seen."""
        data = self.cleaned_data
        return {planned.item.id: data.get(planned.item.id) or NOT_SEEN for planned in self.items}


def heard_steps(items: Sequence[PlannedItem], asked: Sequence[PlannedStep]) -> list[PlannedStep]:
    """The asked steps whose words can be heard, where the checklist asks about cue words at all."""
    looked_at = any(planned.item.part == "cue_words" for planned in items)
    return [step for step in asked if step.cue] if looked_at else []


@transaction.atomic
def keep(skill: Skill, plan: Plan, form: CheckForm, by: Person) -> FidelityCheck:
    """Keep a check of a valid form against the plan it was made from, and the words that were heard."""
    data = form.cleaned_data
    names = {adult.initials: adult.name for adult in skill.child.caregivers.all()}
    spoken.heard(skill, names.get(data["adult"], data["adult"]), form.heard, by=by, on=data["on"])
    return FidelityCheck.objects.create(
        skill=skill,
        plan=plan,
        on=data["on"],
        adult=data["adult"],
        note=data["note"],
        seen=form.seen,
        by=by,
    )


def coaching_of(skill: Skill) -> Coaching:
    """What the checks of a skill show; what was fetched beforehand is not fetched again."""
    prefetch_related_objects([skill], "fidelity_checks__plan", "fidelity_checks__by", "child__caregivers")
    names = {adult.initials: adult.name for adult in skill.child.caregivers.all()}
    return fidelity.coaching([_check(row) for row in skill.fidelity_checks.all()], names)


def _check(row: FidelityCheck) -> Check:
    by = row.by.shown_name if row.by else ""
    return Check(row.on, row.adult, row.plan.number, row.seen, row.note, by)
