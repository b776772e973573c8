"""Forms of people: the first account, and a child with her adults."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.contrib.auth.forms import UserCreationForm
from django.utils import timezone

from bylittle.web.people.models import Child, Person, Routine, Service

OLDEST_YEARS = 21


class DateInput(forms.DateInput):
    """A date field as the browser draws it, always in ISO form."""

    input_type = "date"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(format="%Y-%m-%d", **kwargs)


class FirstAccountForm(UserCreationForm):
    """The first therapist of a new installation, and the service's name."""

    service_name = forms.CharField(max_length=120, label="Name of your service")

    class Meta:
        model = Person
        fields = ("username", "first_name", "last_name")

    def clean_first_name(self) -> str:
        name = self.cleaned_data["first_name"].strip()
        if not name:
            raise forms.ValidationError("Please give a first name: it stands on the plans you sign.")
        return name


class ServiceForm(forms.ModelForm):
    class Meta:
        model = Service
        fields = ("name", "call", "paper")
        labels = {"call": "Whom families call", "paper": "Paper"}


YES_NO_UNKNOWN = [("", "Not asked yet"), ("True", "Yes"), ("False", "No")]


class TalkForm(forms.ModelForm):
    """The talk before the plan: in the family's own words."""

    class Meta:
        model = Child
        fields = ("loves", "finds_hard", "wears", "mouths")
        widgets = {
            "loves": forms.Textarea(attrs={"rows": 2}),
            "finds_hard": forms.Textarea(attrs={"rows": 2}),
            "mouths": forms.Select(choices=YES_NO_UNKNOWN),
        }
        labels = {
            "loves": "What does the child love?",
            "finds_hard": "What is hard, and wanted?",
            "wears": "Splints, glasses, shoes: on or off for practice?",
            "mouths": "Does the child still put things into the mouth?",
        }


class RoutineForm(forms.ModelForm):
    """One routine of the day. An empty row is not used."""

    class Meta:
        model = Routine
        fields = ("what", "who", "place", "minutes", "mood")
        labels = {
            "what": "When in the day",
            "who": "With whom",
            "place": "Where",
            "minutes": "Minutes there are",
            "mood": "How it usually is",
        }


RoutineFormSet = forms.inlineformset_factory(
    Child, Routine, form=RoutineForm, extra=3, can_delete=True, max_num=12
)


class ChildForm(forms.ModelForm):
    """A child: the first name is enough for a name; what is safe to do is asked before the first plan."""

    adults = forms.CharField(
        required=False,
        max_length=200,
        label="Adults who practise",
        help_text="With a comma between them: Mum, Dad, Nana. Their first letters go on the log sheet.",
    )

    class Meta:
        model = Child
        fields = ("name", "born", "due", "left_handed", "language", "second_language", "text_size")
        widgets = {"born": DateInput(), "due": DateInput()}
        labels = {"language": "The family reads", "second_language": "and, side by side"}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk:
            self.fields["adults"].initial = ", ".join(adult.name for adult in self.instance.caregivers.all())

    def clean_born(self) -> date:
        born = self.cleaned_data["born"]
        today = timezone.localdate()
        if born > today:
            raise forms.ValidationError(f"{born:%-d %B %Y} is still to come. Please give the day of birth.")
        if born.year < today.year - OLDEST_YEARS:
            raise forms.ValidationError("This would be a grown-up. Please look at the year again.")
        return born

    def clean_adults(self) -> list[str]:
        names = [" ".join(name.split()) for name in self.cleaned_data["adults"].split(",")]
        kept = [name for name in names if name]
        if any(len(name) > 40 for name in kept):
            raise forms.ValidationError("A name has 40 letters at most. Put a comma between two names.")
        return list(dict.fromkeys(kept))
