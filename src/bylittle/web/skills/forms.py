"""The skill editor's forms: one row a step."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.http import QueryDict

from bylittle.core.skill import steps as core
from bylittle.library.skill import Need
from bylittle.web.skills.models import Breakdown, FitsIn, Readiness, Skill, SkillVersion
from bylittle.web.skills.services import step_id
from bylittle.web.skills.versions import Setting

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
    fits_in = forms.ChoiceField(choices=FitsIn.choices, required=False, label="Can the family fit this in?")
    fits_in_note = forms.CharField(max_length=200, required=False, label="What would make it fit")
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
    comes_from = forms.MultipleChoiceField(
        required=False,
        widget=forms.CheckboxSelectMultiple,
        label="It is a part of this step, or these steps put together",
    )

    def __init__(self, *args: Any, earlier: Sequence[tuple[str, str]] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["comes_from"].choices = list(earlier)  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        told = data.get("cue") or data.get("done_when") or data.get("hazard")
        if told and not data.get("name") and "name" not in self.errors and not data.get("remove"):
            self.add_error("name", 'Say what the child does, or tick "Take this step out".')
        return data


class _StepFormSet(forms.BaseFormSet):
    def kept_steps(self) -> list[core.Step]:
        """The steps in the order of their places; new ones get an id of their own."""
        return [step for step, _ in self._kept()]

    def origins(self) -> dict[str, list[str]]:
        """Where new steps come from, by their ids, as far as it was told."""
        return {step.id: origin for step, origin in self._kept() if origin}

    def _kept(self) -> list[tuple[core.Step, list[str]]]:
        rows = [form.cleaned_data for form in self.forms if form.cleaned_data.get("name")]
        rows = [row for row in rows if not row["remove"]]
        order = sorted(range(len(rows)), key=lambda index: (rows[index]["place"] or 99, index))
        taken = [row["step_id"] for row in rows if row["step_id"]]
        steps: list[tuple[core.Step, list[str]]] = []
        for index in order:
            row = rows[index]
            own = row["step_id"] or step_id(row["name"], taken)
            taken.append(own)
            texts = {key: " ".join(row[key].split()) for key in ("name", "cue", "done_when", "hazard")}
            origin = [] if row["step_id"] else list(row["comes_from"])
            steps.append((core.Step(id=own, adult_only=row["adult_only"], **texts), origin))
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
        "fits_in": skill.fits_in,
        "fits_in_note": skill.fits_in_note,
        "mirrored": version.mirrored,
        "materials": version.materials,
        "grades": version.grades,
        "usual_grade": version.usual_grade,
    }
    earlier = [(row["step_id"], row["name"]) for row in rows]
    formset = StepFormSet(data, initial=rows, prefix="steps", form_kwargs={"earlier": earlier})
    return SkillForm(data, initial=about), formset


class ReadinessForm(forms.Form):
    """Each readiness item: ready, ready with an adaptation, not yet; a blank one was not looked at."""

    def __init__(self, skill: Skill, items: Sequence[Need], data: QueryDict | None) -> None:
        super().__init__(data)
        self.items = items
        there = {answer.item: answer for answer in skill.readiness.all()}
        for item in items:
            told = there.get(item.id)
            self.fields[f"answer_{item.id}"] = forms.ChoiceField(
                choices=Readiness.choices,
                required=False,
                widget=forms.RadioSelect,
                label=str(item.name),
                initial=told.answer if told else None,
            )
            self.fields[f"adaptation_{item.id}"] = forms.CharField(
                required=False,
                max_length=200,
                label="Adaptation for the plan",
                initial=told.adaptation if told else str(item.adaptation)[:200],
            )

    def rows(self) -> list[tuple[Need, Any, Any]]:
        """Each item with its two fields."""
        return [(item, self[f"answer_{item.id}"], self[f"adaptation_{item.id}"]) for item in self.items]

    @property
    def answers(self) -> dict[str, tuple[str, str]]:
        """{item: (answer, adaptation)} of what was looked at."""
        data = self.cleaned_data
        answered = [item.id for item in self.items if data[f"answer_{item.id}"]]
        return {item: (data[f"answer_{item}"], data[f"adaptation_{item}"].strip()) for item in answered}
