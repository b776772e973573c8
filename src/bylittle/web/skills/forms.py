"""The skill editor's forms: one row a step."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import QueryDict

from bylittle.core.skill import steps as core
from bylittle.web.skills.models import Breakdown, SkillVersion
from bylittle.web.skills.services import Setting, step_id

BLANK_ROWS = 3


class BlankSkillForm(forms.Form):
    name = forms.CharField(max_length=core.LONGEST_NAME, label="What the child wants to do")


class SkillForm(forms.Form):
    """What stands beside the steps."""

    name = forms.CharField(max_length=core.LONGEST_NAME, label="Skill")
    routine = forms.CharField(max_length=120, required=False, label="When in the day")
    breakdown = forms.ChoiceField(
        choices=Breakdown.choices, required=False, label="Where it breaks down, as far as you have seen"
    )
    adults_differ = forms.BooleanField(required=False, label="The adults help or speak in different ways")
    mirrored = forms.BooleanField(required=False, label="Mirrored for the left hand")
    materials = forms.CharField(
        widget=forms.Textarea(attrs={"rows": 3}), required=False, label="Materials, one a line"
    )
    grades = forms.CharField(
        widget=forms.Textarea(attrs={"rows": 4}),
        required=False,
        label="Material from easier to harder, one a line",
        help_text="Change one thing at a time: size, stiffness, contrast, place ...",
    )

    usual_grade = forms.CharField(
        max_length=80,
        required=False,
        label="Which of these is the one of daily life",
        help_text="Word for word as above.",
    )

    @property
    def setting(self) -> Setting:
        data = self.cleaned_data
        return Setting(
            data["mirrored"], _lines(data["materials"]), _lines(data["grades"]), data["usual_grade"].strip()
        )


def _lines(text: str) -> str:
    return "\n".join(line.strip() for line in text.splitlines() if line.strip())


class StepForm(forms.Form):
    """One step. An empty name means that the row is not used."""

    step_id = forms.CharField(required=False, widget=forms.HiddenInput)
    place = forms.IntegerField(min_value=1, max_value=99, label="Place", required=False)
    name = forms.CharField(
        max_length=core.LONGEST_NAME,
        required=False,
        label="What the child does",
        error_messages={
            "max_length": "%(limit_value)d letters at most: one action a step. This has %(show_value)d."
        },
    )
    cue = forms.CharField(
        max_length=core.LONGEST_CUE,
        required=False,
        label="Cue words",
        error_messages={
            "max_length": "Use one to three words, %(limit_value)d letters at most. This has %(show_value)d."
        },
    )
    done_when = forms.CharField(max_length=200, required=False, label="Done when")
    hazard = forms.CharField(max_length=200, required=False, label="Caution")
    adult_only = forms.BooleanField(required=False, label="Always done by the adult")
    remove = forms.BooleanField(required=False, label="Take this step out")

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        told = data.get("cue") or data.get("done_when") or data.get("hazard")
        if told and not data.get("name") and "name" not in self.errors and not data.get("remove"):
            self.add_error("name", 'Say what the child does, or tick "Take this step out".')
        return data


class _StepFormSet(forms.BaseFormSet):
    def kept_steps(self) -> list[core.Step]:
        """The steps in the order of their places; new ones get an id of their own."""
        rows = [form.cleaned_data for form in self.forms if form.cleaned_data.get("name")]
        rows = [row for row in rows if not row["remove"]]
        order = sorted(range(len(rows)), key=lambda index: (rows[index]["place"] or 99, index))
        taken = [row["step_id"] for row in rows if row["step_id"]]
        steps: list[core.Step] = []
        for index in order:
            row = rows[index]
            own = row["step_id"] or step_id(row["name"], taken)
            taken.append(own)
            texts = {key: " ".join(row[key].split()) for key in ("name", "cue", "done_when", "hazard")}
            steps.append(core.Step(id=own, adult_only=row["adult_only"], **texts))
        return steps

    def clean(self) -> None:
        if any(self.errors):
            return
        if not self.kept_steps():
            raise forms.ValidationError("A skill needs at least one step. Nothing was changed.")


StepFormSet = forms.formset_factory(StepForm, formset=_StepFormSet, extra=BLANK_ROWS, max_num=core.MOST_STEPS)


def editor_forms(data: QueryDict | None, version: SkillVersion) -> tuple[SkillForm, Any]:
    """The two forms of the editor, filled from a version or from what was sent."""
    rows = [
        {
            "step_id": row.step_id,
            "place": number,
            "name": row.name,
            "cue": row.cue,
            "done_when": row.done_when,
            "hazard": row.hazard,
            "adult_only": row.adult_only,
        }
        for number, row in enumerate(version.steps.all(), start=1)
    ]
    skill = version.skill
    about = {
        "name": skill.name,
        "routine": skill.routine,
        "breakdown": skill.breakdown,
        "adults_differ": skill.adults_differ,
        "mirrored": version.mirrored,
        "materials": version.materials,
        "grades": version.grades,
        "usual_grade": version.usual_grade,
    }
    return SkillForm(data, initial=about), StepFormSet(data, initial=rows, prefix="steps")
