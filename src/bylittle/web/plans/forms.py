"""Forms of the plan: what is agreed, who does which step, and the safety gate."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from django import forms
from django.http import QueryDict

from bylittle import library
from bylittle.core.plan.home_plan import MOST_ASKED_STEPS, Chaining
from bylittle.web.people.forms import DateInput
from bylittle.web.plans import procedures
from bylittle.web.plans.models import LANGUAGE_CHECKS, Gate, Goal, GoalRating, Plan

YES_NO = [("no", "No"), ("yes", "Yes")]


class FieldGroup:
    """Some fields of a form, shown by themselves."""

    hidden_fields: tuple[Any, ...] = ()
    non_field_errors: tuple[str, ...] = ()

    def __init__(self, form: forms.BaseForm, names: Sequence[str]) -> None:
        self.visible_fields = [form[name] for name in names]


class PercentField(forms.FloatField):
    """A share 0..1, typed and shown as per cent. What is no per cent is told, and stays as typed."""

    LEAST, MOST = 1, 99

    def __init__(self, **more: Any) -> None:
        widget = forms.NumberInput(attrs={"min": self.LEAST, "max": self.MOST, "step": 1})
        super().__init__(widget=widget, **more)

    def prepare_value(self, value: Any) -> Any:
        return f"{100 * value:.4g}" if isinstance(value, float) else value

    def to_python(self, value: Any) -> float | None:  # type: ignore[override]  # the stubs copy whole numbers
        try:
            number = super().to_python(str(value).replace("%", "") if value is not None else value)
        except forms.ValidationError as fault:
            raise forms.ValidationError("Type a number of per cent, for example 70.") from fault
        return None if number is None else number / 100

    def validate(self, value: float | None) -> None:
        forms.Field.validate(self, value)
        if value is not None and not math.isfinite(value):
            raise forms.ValidationError("Type a number of per cent, for example 70.")
        if value is not None and 0 < value < self.LEAST / 100:
            told = f"Type per cent: {10_000 * value:.4g} for {1000 * value:.3g} goes in ten."
            raise forms.ValidationError(told)
        if value is not None and not self.LEAST / 100 <= value <= self.MOST / 100:
            raise forms.ValidationError(f"From {self.LEAST} to {self.MOST} per cent.")


class PlanForm(forms.ModelForm):
    """What is agreed beside the steps."""

    class Meta:
        model = Plan
        fields = (
            "chaining", "leap_ahead", "order_of_help", "procedure", "grade", "routine", "turns_per_day",
            "minutes", "days", "wait_s", "start", "praise", "when_it_goes_wrong", "bad_days", "band_low",
            "band_high",
        )  # fmt: skip
        widgets = {
            "start": DateInput(),
            "praise": forms.Textarea(attrs={"rows": 2}),
            "when_it_goes_wrong": forms.Textarea(attrs={"rows": 3}),
            "bad_days": forms.Textarea(attrs={"rows": 2}),
        }
        labels = {
            "chaining": "Which step first",
            "leap_ahead": "Leap ahead over steps that go alone already",
            "order_of_help": "How help is given",
            "start": "First practice day",
        }

    band_low = PercentField(label="Just right from (per cent)")
    band_high = PercentField(label="Just right up to (per cent)")

    #: Texts for the family, each with ready words beside it.
    TEXTS = ("praise", "when_it_goes_wrong", "bad_days")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["procedure"] = forms.ChoiceField(
            choices=procedures.choices(), required=False, label="Way of helping"
        )
        grades = self.instance.version.grade_names
        if grades:
            here = self.instance.grade
            own = [here] if here and here not in grades else []
            choices = [("", "as usual"), *((grade, grade) for grade in [*own, *grades])]
            self.fields["grade"] = forms.ChoiceField(
                choices=choices, required=False, label="Material", initial=here
            )

    def settings(self) -> FieldGroup:
        """All but the texts."""
        return FieldGroup(self, [name for name in self.fields if name not in self.TEXTS])

    def texts(self) -> list[tuple[str, FieldGroup]]:
        """The texts for the family, each by itself."""
        return [(name, FieldGroup(self, [name])) for name in self.TEXTS]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("leap_ahead") and data.get("chaining") == Chaining.WHOLE:
            told = "The whole task asks every step already. Choose backward or forward, or no leaping ahead."
            self.add_error("leap_ahead", told)
        way, order = data.get("procedure", ""), data.get("order_of_help", "")
        if told := procedures.clash(way, order, data.get("wait_s") or 0, data.get("turns_per_day") or 0):
            self.add_error("procedure", told)
        low, high = data.get("band_low"), data.get("band_high")
        if low is not None and high is not None and low >= high:
            self.add_error("band_high", "The upper end must be above the lower one, for example 70 and 90.")
        return data


class ChallengeForm(forms.Form):
    """Who does which step, and with what help: one choice a step."""

    def __init__(self, plan: Plan, data: QueryDict | None = None) -> None:
        super().__init__(data)
        self.rows = list(plan.version.steps.all())
        said = {step.step_id: step for step in plan.steps.all()}
        help_choices = [
            ("", "Done by adult"),
            *((str(n), f"Child, with {name}") for n, name in enumerate(plan.levels)),
        ]
        help_choices[-1] = (help_choices[-1][0], "Child, alone")
        for row in self.rows:
            step = said.get(row.step_id)
            self.fields[row.step_id] = forms.ChoiceField(
                choices=help_choices[:1] if row.adult_only else help_choices,
                required=False,
                initial=str(step.help_level) if step and step.asked and step.help_level is not None else "",
                label=row.name,
            )

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if len(self.challenge) > MOST_ASKED_STEPS:
            raise forms.ValidationError(
                f"At most {MOST_ASKED_STEPS} steps can be asked. Let an adult do some."
            )
        if not self.errors and not self.challenge:
            raise forms.ValidationError("Ask at least one step of the child: choose a help level for it.")
        return data

    @property
    def challenge(self) -> dict[str, int]:
        return {row.step_id: int(told) for row in self.rows if (told := self.cleaned_data.get(row.step_id))}


class GateForm(forms.ModelForm):
    """The safety gate. The red-flag answers are never filled in beforehand."""

    class Meta:
        model = Gate
        fields = ("precautions", "allergies", "stop_signs", "yes_signs", "call")
        labels = {
            "precautions": "Precautions",
            "allergies": "Allergies and food",
            "stop_signs": "How the child says stop, one sign a line",
            "yes_signs": "How the child says yes, one sign a line",
            "call": "Whom the family calls",
        }
        widgets = {name: forms.Textarea(attrs={"rows": 2}) for name in fields[:4]}
        help_texts = {
            "precautions": "Seizures, swallowing, skin, hips, splints ... or write: none known.",
            "allergies": "Food, latex, creams ... or write: none known.",
            "stop_signs": "For example: turns away, pushes it off, goes stiff, goes quiet.",
            "yes_signs": "For example: reaches, smiles, comes closer.",
            "call": "A name and a number.",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in self.Meta.fields:
            self.fields[name].required = True
            self.fields[name].error_messages["required"] = (
                'This stands on every page that goes home. Please write it, or "none known".'
            )
        self._ask_language()
        self.flags = library.red_flags()
        for flag in self.flags:
            self.fields[f"flag_{flag.id}"] = forms.ChoiceField(
                choices=YES_NO,
                widget=forms.RadioSelect,
                label=str(flag.question),
                error_messages={"required": "Please answer: the plan cannot be signed without it."},
            )
            self.fields[f"done_{flag.id}"] = forms.CharField(
                required=False, max_length=400, label="If yes: what was done"
            )

    def _ask_language(self) -> None:
        child = self.instance.plan.skill.child
        if {child.language, child.second_language} <= {"", "en"}:
            return
        for name in ("precautions", "allergies", "stop_signs", "yes_signs"):
            said = f"{self.fields[name].help_text} The family reads it as you write it: use its language."
            self.fields[name].help_text = said
        self.fields["language_check"] = forms.ChoiceField(
            choices=LANGUAGE_CHECKS,
            widget=forms.RadioSelect,
            label="The pages in the family's language",
            error_messages={"required": "Please say whether a speaker of the language has read the pages."},
        )

    def flag_rows(self) -> list[tuple[Any, Any, Any]]:
        """Each red flag with its two fields."""
        return [(flag, self[f"flag_{flag.id}"], self[f"done_{flag.id}"]) for flag in self.flags]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        for flag in self.flags:
            if data.get(f"flag_{flag.id}") == "yes" and not data.get(f"done_{flag.id}", "").strip():
                self.add_error(
                    f"done_{flag.id}", "A yes holds the plan back until a therapist writes what was done."
                )
        return data

    @property
    def answers(self) -> dict[str, dict[str, Any]]:
        data = self.cleaned_data
        return {
            flag.id: {"yes": data[f"flag_{flag.id}"] == "yes", "done": data[f"done_{flag.id}"].strip()}
            for flag in self.flags
        }

    @property
    def facts(self) -> dict[str, str]:
        return {name: self.cleaned_data[name].strip() for name in self.Meta.fields}

    @property
    def language_check(self) -> str:
        return str(self.cleaned_data.get("language_check", ""))


class GoalForm(forms.ModelForm):
    """The goal and its five attainment levels: all five or none."""

    class Meta:
        model = Goal
        fields = ("statement", "much_less", "less", "expected", "more", "much_more", "baseline_level", "by")
        widgets = {"by": DateInput(), "statement": forms.Textarea(attrs={"rows": 2})}
        labels = {
            "statement": "Goal: who does what, where, with which help, by when",
            "baseline_level": "Level at the start",
        }

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        levels = [
            data.get(name, "").strip() for name in ("much_less", "less", "expected", "more", "much_more")
        ]
        written = [level.casefold() for level in levels if level]
        if 0 < len(written) < 5:
            raise forms.ValidationError(
                f"{len(written)} of five levels are written. Please write all five, or none yet."
            )
        if len(set(written)) < len(written):
            raise forms.ValidationError("Two levels read the same. Change one thing from level to level.")
        return data


class RatingForm(forms.ModelForm):
    """A rating of the goal on a day."""

    class Meta:
        model = GoalRating
        fields = ("on", "level", "rated_by", "note")
        widgets = {
            "on": DateInput(),
            "level": forms.RadioSelect(choices=[(n, f"{n:+d}" if n else "0") for n in range(-2, 3)]),
        }
        labels = {"on": "Day", "level": "Level reached", "rated_by": "Who says so", "note": "A word about it"}
