"""Closing a skill honestly, and taking it up again: the reason and what was tried are kept."""

from __future__ import annotations

from datetime import date

from django import forms
from django.db import transaction

from bylittle.web.people.models import Person
from bylittle.web.skills.models import Closing, ClosingReason, Skill, SkillState
from bylittle.web.skills.services import set_state


class CloseForm(forms.Form):
    """Why, and what was tried. The reason is never filled in beforehand."""

    reason = forms.ChoiceField(
        choices=ClosingReason.choices,
        widget=forms.RadioSelect,
        label="Why it is closed",
        error_messages={"required": "Please choose a reason: it stands in the record."},
    )
    tried = forms.CharField(
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        label="What was tried, and what would be worth trying another time",
        help_text="Asked where it did not move: the next therapist begins from it.",
    )

    def clean(self) -> dict[str, object]:
        data = super().clean() or {}
        if data.get("reason") == ClosingReason.NOT_MOVED and not data.get("tried", "").strip():
            self.add_error(
                "tried", "Say what was changed honestly before closing: the next therapist begins from it."
            )
        return data


@transaction.atomic
def close(skill: Skill, reason: str, tried: str, *, by: Person, today: date) -> Closing:
    """Close a skill; nothing of it is lost."""
    set_state(skill, SkillState.CLOSED)
    return Closing.objects.create(skill=skill, on=today, by=by, reason=reason, tried=tried.strip())


@transaction.atomic
def reopen(skill: Skill, *, by: Person, today: date) -> SkillState:
    """Take a closed skill up again: as the one being learned, or parked while another one is."""
    skill.closings.filter(reopened_on=None).update(reopened_on=today, reopened_by=by)
    busy = skill.child.skills.filter(state=SkillState.ACTIVE).exclude(pk=skill.pk).exists()
    state = SkillState.PARKED if busy else SkillState.ACTIVE
    set_state(skill, state)
    return state


def latest(skill: Skill) -> Closing | None:
    """The closing that stands: None while the skill is not closed."""
    if skill.state != SkillState.CLOSED:
        return None
    return max(skill.closings.all(), key=lambda closing: closing.pk, default=None)
