"""Writing down what one adult says: a name, a language, and the words that differ from the agreed ones."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import QueryDict

from bylittle.web.skills.models import Skill, SpokenWords, StepRow
from bylittle.web.skills.spoken import LANGUAGE_NAMES, agreed_cue

LONGEST_SAID = 60


class SpokenForm(forms.Form):
    """One adult. Nothing that was not told is filled in."""

    adult = forms.CharField(max_length=40, label="Who says it")
    language = forms.ChoiceField(choices=list(LANGUAGE_NAMES.items()), label="Speaks with the child in")
    at_visit = forms.BooleanField(required=False, label="I heard it myself, at a visit")
    same = forms.BooleanField(
        required=False, label="At the steps that I leave empty, the agreed words are said"
    )

    def __init__(
        self,
        skill: Skill,
        steps: list[StepRow],
        adult: str,
        there: SpokenWords | None,
        data: QueryDict | None,
    ) -> None:
        super().__init__(data)
        self.steps = steps
        self.fields["adult"].initial = adult
        self.fields["language"].initial = there.language if there else skill.child.language
        for row in steps:
            self.fields[f"said_{row.step_id}"] = forms.CharField(
                required=False,
                max_length=LONGEST_SAID,
                label=f"{row.position + 1}. {row.name}",
                initial=there.words.get(row.step_id, "") if there else "",
                widget=forms.TextInput(attrs={"aria-describedby": f"agreed-{row.step_id}"}),
                error_messages={
                    "max_length": "The words that are said each time, %(limit_value)d letters at most."
                },
            )

    @property
    def shown_language(self) -> str:
        """The language whose agreed words stand beside the fields."""
        told = self["language"].value()
        return str(told or "en")

    def rows(self) -> list[tuple[StepRow, Any]]:
        """Each step with its field."""
        return [(row, self[f"said_{row.step_id}"]) for row in self.steps]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not self.errors and not self.words:
            raise forms.ValidationError(
                "Nothing was kept: write the words of a step, or tick that the agreed words are said."
            )
        return data

    @property
    def words(self) -> dict[str, str]:
        """{step id: words}: what was typed, and the agreed words where it was said so."""
        data = self.cleaned_data
        told = {row.step_id: data.get(f"said_{row.step_id}", "").strip() for row in self.steps}
        if data.get("same"):
            agreed = {row.step_id: agreed_cue(row, data["language"]) for row in self.steps}
            told = {step: words or agreed[step] for step, words in told.items()}
        return {step: words for step, words in told.items() if words}
