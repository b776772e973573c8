"""The form of a section: who reads, which texts read well, and own words where they are used."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import QueryDict

from bylittle.web.people.models import Person
from bylittle.web.skills.reading import Reading, Told


class ReadingForm(forms.Form):
    """Each text with a tick, and with a line for own words where `own_words` can be used.

    A text is sent with the digest of the words that stood on the page, so that nothing is taken as read
    that has changed meanwhile. A button named `all` stands for every tick.
    """

    speaker = forms.CharField(
        max_length=80,
        required=False,
        label="Who reads, by name",
        help_text="Somebody who speaks the language well.",
    )

    def __init__(self, readings: list[Reading], own_words: bool, data: QueryDict | None) -> None:
        super().__init__(data)
        self.readings = readings
        self.own_words = own_words
        for each in readings:
            self._add(each)

    def _add(self, each: Reading) -> None:
        where = each.line.where
        ok = forms.BooleanField(required=False, initial=each.read, label=f"Reads well: {where}")
        seen = forms.CharField(widget=forms.HiddenInput, required=False, initial=each.line.digest)
        self.fields |= {f"ok_{each.number}": ok, f"seen_{each.number}": seen}
        if self.own_words:
            self.fields[f"own_{each.number}"] = forms.CharField(
                required=False, max_length=each.longest, initial=each.own, label=f"Our words: {where}"
            )

    def rows(self) -> list[dict[str, Any]]:
        """Each text with its fields."""
        return [
            {
                "reading": each,
                "ok": self[f"ok_{each.number}"],
                "seen": self[f"seen_{each.number}"],
                "own": self[f"own_{each.number}"] if self.own_words else None,
            }
            for each in self.readings
        ]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if any(self._new(each) for each in self.as_they_stood) and not data.get("speaker", "").strip():
            self.add_error("speaker", "Say who has read them. What you ticked and wrote is all here.")
        return data

    def _new(self, each: Reading) -> bool:
        return (self._ok(each) and not each.read) or self._own(each) != each.own

    @property
    def as_they_stood(self) -> list[Reading]:
        """The texts whose words are still those that were on the page."""
        data = self.cleaned_data
        return [each for each in self.readings if data.get(f"seen_{each.number}") == each.line.digest]

    def _ok(self, each: Reading) -> bool:
        return "all" in self.data or bool(self.cleaned_data.get(f"ok_{each.number}"))

    def _own(self, each: Reading) -> str:
        return (self.cleaned_data.get(f"own_{each.number}") or "").strip()

    def told(self, by: Person) -> Told:
        """What the speaker said, noted by a member of the team."""
        ticked = {each.line.key for each in self.readings if self._ok(each)}
        own = {each.line.key: self._own(each) for each in self.readings}
        return Told(ticked, own, self.cleaned_data["speaker"].strip(), by)
