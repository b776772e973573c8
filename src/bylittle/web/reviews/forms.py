"""The form of a review: red flags first, then accept the advice or decide otherwise with a reason."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import QueryDict

from bylittle import library
from bylittle.core.advice import Decision
from bylittle.library.wording import advice as words


class ReviewForm(forms.Form):
    """Nothing is filled in beforehand: not the red flags, not the decision."""

    any_flag = forms.ChoiceField(
        choices=[("no", "No, none of these"), ("yes", "Yes")],
        widget=forms.RadioSelect,
        label="Has any of these come up since the last time?",
        error_messages={"required": "Please answer: it is asked at each review and never filled in for you."},
    )
    flags = forms.MultipleChoiceField(
        required=False, widget=forms.CheckboxSelectMultiple, label="If yes: which"
    )
    done = forms.CharField(required=False, max_length=400, label="If yes: what was done about it")
    decided = forms.ChoiceField(
        widget=forms.RadioSelect,
        label="Your decision",
        error_messages={"required": "Please choose: the advice, or what you decide instead."},
    )
    reason = forms.CharField(
        required=False,
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 2}),
        label="Why (needed when you decide otherwise)",
    )

    def __init__(self, advised: Decision, data: QueryDict | None) -> None:
        super().__init__(data)
        self.advised = advised
        self.flag_rows = library.red_flags()
        self.fields["flags"].choices = [(flag.id, str(flag.question)) for flag in self.flag_rows]  # type: ignore[attr-defined]
        first = [(advised.value, f"{words.decision_title(advised)} (as advised)")]
        rest = [(each.value, words.decision_title(each)) for each in Decision if each is not advised]
        self.fields["decided"].choices = [*first, *rest]  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("any_flag") == "yes" and not data.get("flags"):
            self.add_error("flags", "Please tick which.")
        if data.get("any_flag") == "no" and data.get("flags"):
            self.add_error("any_flag", "A sign is ticked below: please answer yes, or untick it.")
        if data.get("decided") and data["decided"] != self.advised and not data.get("reason", "").strip():
            self.add_error(
                "reason", "You decide otherwise than advised: a short reason is kept beside the advice."
            )
        return data

    @property
    def red_flags(self) -> dict[str, dict[str, Any]]:
        data = self.cleaned_data
        return {
            flag.id: {
                "yes": flag.id in data["flags"],
                "done": data["done"].strip() if flag.id in data["flags"] else "",
            }
            for flag in self.flag_rows
        }

    @property
    def open_flags(self) -> list[str]:
        """Signs answered yes about which nothing was done yet."""
        return [name for name, told in self.red_flags.items() if told["yes"] and not told["done"]]


class CarryoverForm(forms.Form):
    """What a carry-over check showed."""

    place = forms.CharField(max_length=60, label="Where")
    adult = forms.CharField(max_length=40, label="With whom")
    kept = forms.ChoiceField(
        choices=[("yes", "Yes, alone"), ("no", "Not alone")],
        widget=forms.RadioSelect,
        label="Is the skill still there?",
    )
    note = forms.CharField(max_length=200, required=False, label="A word about it")
