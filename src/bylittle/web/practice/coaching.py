"""Coaching the adults: a check at a visit written down, and what the checks of a skill show."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db.models import prefetch_related_objects
from django.http import QueryDict
from django.utils import timezone

from bylittle.web.people.forms import DateInput
from bylittle.web.people.models import Child, Person
from bylittle.web.plans.models import Plan
from bylittle.web.practice import fidelity
from bylittle.web.practice.fidelity import ANSWERS, NOT_SEEN, Check, Coaching, PlannedItem
from bylittle.web.practice.forms import past_day
from bylittle.web.practice.models import FidelityCheck
from bylittle.web.skills.models import Skill


class CheckForm(forms.Form):
    """One adult at one visit: each item of the plan's checklist. Nothing is filled in beforehand."""

    on = forms.DateField(label="Day", widget=DateInput())
    adult = forms.CharField(label="Who practised", max_length=40)
    note = forms.CharField(label="What to praise, and one thing to try", max_length=400, required=False)

    def __init__(self, items: tuple[PlannedItem, ...], child: Child, data: QueryDict | None) -> None:
        super().__init__(data)
        self.items = items
        self.fields["on"].initial = timezone.localdate()
        known = [(adult.initials, adult.name) for adult in child.caregivers.all()]
        if known:
            self.fields["adult"] = forms.ChoiceField(
                choices=known, label="Who practised", widget=forms.RadioSelect
            )
        for planned in items:
            self.fields[planned.item.id] = forms.ChoiceField(
                choices=ANSWERS, required=False, widget=forms.RadioSelect, label=str(planned.item.name)
            )

    def rows(self) -> list[tuple[PlannedItem, Any]]:
        """Each item with its choice."""
        return [(planned, self[planned.item.id]) for planned in self.items]

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


def keep(skill: Skill, plan: Plan, form: CheckForm, by: Person) -> FidelityCheck:
    """Keep a check of a valid form against the plan it was made from."""
    data = form.cleaned_data
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
