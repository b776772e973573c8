"""Forms of sheets: the upload, the number typed by hand, settling what is open, the days of keeping."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils import timezone

from bylittle.core.sheet import identity
from bylittle.core.sheet.alike import look_again, plain
from bylittle.library.wording.sheet import typed_number
from bylittle.web.people.forms import DateInput
from bylittle.web.people.many_files import ManyFilesField, ManyFilesInput
from bylittle.web.people.models import Service
from bylittle.web.scans import bounds, compared
from bylittle.web.scans.compared import PERSON
from bylittle.web.scans.models import Scan
from bylittle.web.scans.services import ANOTHER, KEEP, PRINTED, RIGHT, Said
from bylittle.web.scans.shown import BLANK, Sheet

CHANGED = [(RIGHT, "Put the record right, with trace"), (KEEP, "Leave the record as it is")]


class UploadForm(forms.Form):
    """Files that passed the bounds; with none at all the form says so."""

    photos = ManyFilesField(
        largest=bounds.LARGEST_FILE,
        most=bounds.MOST_FILES + 1,
        allow_empty_file=True,
        required=False,
        label="Photographs or scans of log sheets",
        widget=ManyFilesInput(attrs={"multiple": True, "accept": "image/*,.heic,.heif,.pdf"}),
        help_text="JPEG, PNG, WebP, HEIC or PDF; several at once. All four black squares in the picture.",
    )


class NumberForm(forms.Form):
    """The number printed under the square code, typed by hand."""

    number = forms.CharField(
        max_length=40,
        label="Number of the sheet",
        help_text="16 letters and digits, printed under the square code. Spaces do not matter.",
        widget=forms.TextInput(
            attrs={"autocomplete": "off", "autocapitalize": "characters", "spellcheck": "false"}
        ),
    )

    def clean_number(self) -> str:
        text = plain(self.cleaned_data["number"])
        try:
            identity.read(text)
        except identity.WrongId as fault:
            strange = ", ".join(sorted({sign for sign in text if sign not in identity.SIGNS}))
            told = typed_number(fault.values["reason"], text, look_again(text), strange)
            raise forms.ValidationError(told) from fault
        return text


class KeepForm(forms.ModelForm):
    """How long the service keeps the pictures of sheets."""

    class Meta:
        model = Service
        fields = ("keep_pictures_days",)
        help_texts = {
            "keep_pictures_days": (
                "From 1 to 3650. Older pictures are deleted; the marks stay. Local rules come first."
            )
        }


class SettleForm(forms.Form):
    """Which days the sheet stands for, and what to do where the record says otherwise.

    The rows and who practised are read from what was sent by `shown.Sheet`.
    """

    week = forms.ChoiceField(required=False)
    start = forms.DateField(required=False, widget=DateInput(), label="First day on the sheet")
    changed = forms.ChoiceField(required=False, choices=CHANGED, widget=forms.RadioSelect)
    free_word = forms.CharField(
        required=False,
        max_length=400,
        label="What is written there, as far as you want to keep it",
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    nothing = forms.BooleanField(required=False)

    def __init__(self, scan: Scan, data: QueryDict | None = None) -> None:
        self.scan, self.sheet = scan, Sheet(scan, data)
        self.against = compared.compared(scan)
        start = scan.start or compared.next_week(scan, timezone.localdate())
        words = compared.words_before(scan) if scan.free_word is None else scan.free_word
        told = {"week": scan.week, "changed": scan.changed, "nothing": scan.free_word == ""}
        super().__init__(data, initial={"start": start, "free_word": words, **told})
        weeks = [(PRINTED, "printed"), (ANOTHER, "another"), (PERSON, "other turns")]
        self.fields["week"].choices = weeks  # type: ignore[attr-defined]

    @property
    def dated(self) -> bool:
        """True where the days are printed on the sheet."""
        return self.sheet.page.sheet.start is not None

    def clean_start(self) -> date | None:
        start: date | None = self.cleaned_data["start"]
        if start is not None and start > timezone.localdate():
            raise forms.ValidationError(f"{start:%-d %B %Y} is still to come.")
        return start

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if self.dated and data.get("week") == ANOTHER and "start" in data:
            if data["start"] is None:
                self.add_error("start", "Please say on which day that other week began.")
            elif data["start"] == self.sheet.page.sheet.start:
                self.add_error("start", "That is the first day as printed. Choose the day of the other week.")
        return data

    @property
    def said(self) -> Said:
        """What the form says, ready to be kept."""
        data, values = self.cleaned_data, self.sheet.values
        another = data.get("week") == ANOTHER or not self.dated
        rows = {name[4:]: value for name, value in values.items() if name.startswith("row:") and value}
        adults = {name[4:]: value for name, value in values.items() if name.startswith("who:") and value}
        return Said(
            rows={row: None if value == BLANK else value for row, value in rows.items()},
            adults={day: name for day, name in adults.items() if name != self.sheet.ticked.get(int(day))},
            start=data["start"] if another else None,
            week=data.get("week", "") if another or (self.against and self.against.clashes) else "",
            changed=data.get("changed", ""),
            free_word=self._words(),
        )

    def _words(self) -> str | None:
        """What was typed; "" for "nothing to keep"; None while nobody said either."""
        typed: str = self.cleaned_data.get("free_word", "").strip()
        return typed or ("" if self.cleaned_data.get("nothing") else None)
