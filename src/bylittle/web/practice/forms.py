"""Forms of practice: one turn by thumb or keyboard, a probe, a correction, a file."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils import timezone

from bylittle.core.plan.order_of_help import OrderOfHelp
from bylittle.core.practice.log import Entry
from bylittle.core.practice.marks import Outcome, ProbeKind, Source
from bylittle.core.skill.ladder import Ladder
from bylittle.web.people.forms import DateInput
from bylittle.web.people.models import Child
from bylittle.web.plans.models import Plan
from bylittle.web.practice.models import Visit
from bylittle.web.skills.models import SkillVersion, StepRow

STOPPED = "stopped"
LARGEST_FILE = 2_000_000

TURN_SOURCES = [
    (Source.VISIT.value, "I saw it, at a visit"),
    (Source.HOME.value, "the family told me"),
    (Source.PAPER.value, "typed from the log sheet"),
]


def past_day(day: date) -> date:
    """The day, unless it is still to come."""
    if day > timezone.localdate():
        raise forms.ValidationError(
            f"{day:%-d %B %Y} is still to come. Practice is written down once it has happened."
        )
    return day


class _DayForm(forms.Form):
    """What a turn and a probe have in common: the day, the adult, the place."""

    day = forms.DateField(label="Day", widget=DateInput())
    adult = forms.CharField(label="Who practised", max_length=40, required=False)
    place = forms.CharField(label="Where", max_length=60, required=False)
    note = forms.CharField(label="A word about it", max_length=400, required=False)

    def __init__(self, child: Child, data: QueryDict | None, *, adults: list[str], **kwargs: Any) -> None:
        super().__init__(data, **kwargs)
        known = [(adult.initials, adult.name) for adult in child.caregivers.all()]
        own = [(name, name) for name in adults if name not in dict(known)]
        self.fields["adult"] = forms.ChoiceField(
            choices=[*known, *own],
            label="Who practised",
            widget=forms.RadioSelect,
            initial=(own or known)[0][0],
        )
        self.fields["day"].initial = timezone.localdate()

    def clean_day(self) -> date:
        return past_day(self.cleaned_data["day"])


class TurnForm(_DayForm):
    """One turn: for each asked step, which help did it take?"""

    source = forms.ChoiceField(choices=TURN_SOURCES, label="How I know", widget=forms.RadioSelect)

    field_order = ("day", "source", "adult", "place", "note")

    def __init__(self, plan: Plan, child: Child, data: QueryDict | None, **kwargs: Any) -> None:
        super().__init__(child, data, **kwargs)
        self.plan = plan
        self.fields["source"].initial = Source.VISIT.value
        asked = {step.step_id: step for step in plan.steps.all() if step.asked}
        self.rows = [(row, asked[row.step_id]) for row in plan.version.steps.all() if row.step_id in asked]
        marks = [*((str(level), name) for level, name in enumerate(plan.levels)), (STOPPED, "child stopped")]
        for row, _ in self.rows:
            self.fields[f"mark_{row.step_id}"] = forms.ChoiceField(
                choices=marks, required=False, widget=forms.RadioSelect, label=row.name
            )

    def mark_rows(self) -> list[dict[str, Any]]:
        """The asked steps with their choices, the key that marks each, and the help offered."""
        return [
            {
                "row": row,
                "field": self[f"mark_{row.step_id}"],
                "offered": step.help_level,
                "keys": [*(str(level + 1) for level in range(len(self.plan.levels))), "s"],
            }
            for row, step in self.rows
        ]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not any(data.get(f"mark_{row.step_id}") for row, _ in self.rows):
            raise forms.ValidationError(
                "Mark at least one step. A step left blank stays unknown; it is never a no."
            )
        return data

    def entries(self, turn: int) -> list[Entry]:
        """The marks of this turn; a blank step gives none."""
        data = self.cleaned_data
        found = []
        for row, step in self.rows:
            told = data.get(f"mark_{row.step_id}")
            if not told:
                continue
            found.append(
                Entry(
                    day=data["day"],
                    turn=turn,
                    step_id=row.step_id,
                    outcome=Outcome.STOPPED if told == STOPPED else Outcome.NEEDED,
                    needed=None if told == STOPPED else int(told),
                    source=Source(data["source"]),
                    adult=data["adult"],
                    offered=step.help_level,
                    order=OrderOfHelp(self.plan.order_of_help),
                    place=data["place"],
                    grade=self.plan.grade,
                    note=data["note"],
                )
            )
        return found


PROBE_MARKS = [
    (Outcome.MANAGED.value, "alone"),
    (Outcome.NOT_MANAGED.value, "not yet"),
    (STOPPED, "child stopped"),
]


class ProbeForm(_DayForm):
    """A probe or baseline: from alone, no help, no praise for being right."""

    kind = forms.ChoiceField(
        label="How",
        widget=forms.RadioSelect,
        initial=ProbeKind.MULTIPLE.value,
        choices=[
            (ProbeKind.MULTIPLE.value, "every step: what is not managed I do, then the next"),
            (ProbeKind.SINGLE.value, "up to the first step not managed"),
        ],
    )
    field_order = ("day", "kind", "adult", "place", "note")

    def __init__(self, version: SkillVersion, child: Child, data: QueryDict | None, **kwargs: Any) -> None:
        super().__init__(child, data, **kwargs)
        self.rows: list[StepRow] = [row for row in version.steps.all() if not row.adult_only]
        for row in self.rows:
            self.fields[f"mark_{row.step_id}"] = forms.ChoiceField(
                choices=PROBE_MARKS, required=False, widget=forms.RadioSelect, label=row.name
            )

    def mark_rows(self) -> list[dict[str, Any]]:
        return [
            {"row": row, "field": self[f"mark_{row.step_id}"], "keys": ["1", "2", "s"]} for row in self.rows
        ]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not any(data.get(f"mark_{row.step_id}") for row in self.rows):
            raise forms.ValidationError(
                "Mark at least one step. A step not tried stays unknown; it is never a no."
            )
        return data

    def entries(self, turn: int, source: Source, ladder: Ladder) -> list[Entry]:
        """The marks of the probe. In a single-opportunity probe nothing after the first miss counts."""
        data = self.cleaned_data
        found: list[Entry] = []
        for row in self.rows:
            told = data.get(f"mark_{row.step_id}")
            if not told:
                continue
            outcome = Outcome.STOPPED if told == STOPPED else Outcome(told)
            found.append(
                Entry(
                    day=data["day"],
                    turn=turn,
                    step_id=row.step_id,
                    outcome=outcome,
                    source=source,
                    adult=data["adult"],
                    offered=ladder.top,
                    place=data["place"],
                    note=data["note"],
                    probe=ProbeKind(data["kind"]),
                )
            )
            if data["kind"] == ProbeKind.SINGLE and outcome is not Outcome.MANAGED:
                break
        return found


class CorrectionForm(forms.Form):
    """What a row should say, or that it does not belong here; and why."""

    mark = forms.ChoiceField(label="It should say", widget=forms.RadioSelect)
    reason = forms.CharField(label="Why", max_length=200)

    def __init__(self, levels: list[str], data: QueryDict | None) -> None:
        super().__init__(data)
        self.fields["mark"].choices = [  # type: ignore[attr-defined]
            *(
                (str(level), f"needed {name}" if level < len(levels) - 1 else name)
                for level, name in enumerate(levels)
            ),
            (STOPPED, "child stopped"),
            ("not here", "it does not belong here: take it out, with trace"),
        ]


class ImportForm(forms.Form):
    file = forms.FileField(label="Practice log (CSV file)", allow_empty_file=True)

    def clean_file(self) -> Any:
        file = self.cleaned_data["file"]
        if file.size > LARGEST_FILE:
            raise forms.ValidationError(
                f"This file has {file.size / 1e6:.1f} MB; a log has {LARGEST_FILE / 1e6:.0f} MB at most. "
                "Please check that it is the right file, or split it by month. Nothing was taken in."
            )
        return file


class VisitForm(forms.ModelForm):
    """A visit written down."""

    class Meta:
        model = Visit
        fields = ("on", "minutes", "timed_minutes", "place", "done")
        widgets = {"on": DateInput(), "done": forms.Textarea(attrs={"rows": 3})}
        labels = {
            "on": "Day",
            "minutes": "Minutes",
            "timed_minutes": "Of these, minutes that count as timed",
            "place": "Where",
            "done": "What was done",
        }

    def clean_on(self) -> date:
        return past_day(self.cleaned_data["on"])

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if (data.get("timed_minutes") or 0) > (data.get("minutes") or 0):
            self.add_error(
                "timed_minutes", "This is more than the whole visit. Please look at the two numbers."
            )
        return data
