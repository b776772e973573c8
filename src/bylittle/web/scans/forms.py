"""Forms of sheets: the upload, and the settling of what is open."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils import timezone

from bylittle.web.people.forms import DateInput
from bylittle.web.people.many_files import ManyFilesField, ManyFilesInput
from bylittle.web.scans.models import Scan
from bylittle.web.scans.queries import accepted_sometime, home, page
from bylittle.web.scans.services import RIGHT, difference
from bylittle.web.scans.shown import BLANK, open_rows

LARGEST_FILE = 40_000_000
CHANGED = [(RIGHT, "put them right, with trace"), ("keep", "leave them as they are")]


class UploadForm(forms.Form):
    photos = ManyFilesField(
        largest=LARGEST_FILE,
        allow_empty_file=True,
        label="Photographs or scans of log sheets",
        widget=ManyFilesInput(attrs={"multiple": True, "accept": "image/*,.heic,.pdf"}),
        help_text="JPEG, PNG, WebP, HEIC or PDF; several at once. All four black squares in the picture.",
    )


class SettleForm(forms.Form):
    """A choice for each open row, the first day where it is not printed, who practised."""

    start = forms.DateField(required=False, widget=DateInput(), label="First day on the sheet")
    another_week = forms.BooleanField(
        required=False, label="This is a photocopy used for another week, from the first day given here"
    )
    adult = forms.ChoiceField(required=False, label="Who practised, where it is not ticked")

    def __init__(self, scan: Scan, data: QueryDict | None = None) -> None:
        super().__init__(data, initial={"start": scan.start, "adult": scan.adult})
        assert scan.plan is not None
        self.scan = scan
        self.open = open_rows(scan)
        adults = [(adult, adult) for adult in home(scan.plan).adults]
        self.fields["adult"].choices = [("", "not said yet"), *adults]  # type: ignore[attr-defined]
        if not accepted_sometime(scan) or not self.dated:
            del self.fields["another_week"]
        if (told := difference(scan)) is not None and told.changed:
            self.fields["changed"] = forms.ChoiceField(
                choices=CHANGED,
                required=False,
                widget=forms.RadioSelect,
                label="Rows that read otherwise",
            )
        for each in self.open:
            choices = [(choice.value, choice.word) for choice in each.choices]
            self.fields[f"row:{each.row}"] = forms.ChoiceField(choices=choices, required=False)

    @property
    def dated(self) -> bool:
        """True where the days are printed on the sheet."""
        return page(self.scan).sheet.start is not None

    def clean_start(self) -> date | None:
        start: date | None = self.cleaned_data["start"]
        if start is not None and start > timezone.localdate():
            raise forms.ValidationError(f"{start:%-d %B %Y} is still to come.")
        return start

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("another_week") and not data.get("start"):
            self.add_error("start", "Please say on which day that other week began.")
        return data

    @property
    def week_from(self) -> date | None:
        """The first day, where it is not printed or the sheet was used for another week."""
        data = self.cleaned_data
        return data["start"] if data.get("another_week") or not self.dated else None

    @property
    def rows(self) -> dict[str, str | None]:
        told = {each.row: self.cleaned_data.get(f"row:{each.row}") for each in self.open}
        return {row: None if value == BLANK else value for row, value in told.items() if value}
