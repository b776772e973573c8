"""Forms of reports: which one, and the editing of a draft."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import QueryDict

from bylittle.core.evidence.record_facts import Where
from bylittle.library.wording.reports import KINDS, Report, Section, reference_words, title
from bylittle.web.people.forms import DateInput

LARGEST_ARCHIVE = 50_000_000
# Parts of a record whose lines stand on the page of all practice.
MARKS = (Where.PRACTICE, Where.PROBES)


class NewReportForm(forms.Form):
    kind = forms.ChoiceField(choices=[(kind, title(kind)) for kind in KINDS], label="Which report")
    first = forms.DateField(
        required=False,
        widget=DateInput(),
        label="From",
        help_text="Left empty: as far back as this kind of report usually looks.",
    )


class ArchiveForm(forms.Form):
    file = forms.FileField(label="Archive of a child (zip file)")

    def clean_file(self) -> Any:
        file = self.cleaned_data["file"]
        if file.size > LARGEST_ARCHIVE:
            raise forms.ValidationError(
                "This file is larger than any archive of a child. Nothing was taken in."
            )
        return file


class ReportForm(forms.Form):
    """Each sentence as it stands, to change or empty; and room for the therapist's own words."""

    def __init__(self, report: Report, data: QueryDict | None = None) -> None:
        super().__init__(data)
        self.report = report
        for section in report.sections:
            for number, line in enumerate(section.lines):
                self.fields[f"line:{section.code}:{number}"] = forms.CharField(
                    required=False,
                    max_length=2000,
                    initial=line.text,
                    label=f"Sentence {number + 1}",
                    widget=forms.Textarea(attrs={"rows": 2}),
                )
            if section.ask:
                self.fields[f"own:{section.code}"] = forms.CharField(
                    required=False,
                    max_length=6000,
                    initial=section.written,
                    label=section.ask,
                    widget=forms.Textarea(attrs={"rows": 4}),
                )

    def sections(self) -> list[dict[str, Any]]:
        """Each section with its sentences (and what they rest on) and its field for own words."""
        return [self._section(section) for section in self.report.sections]

    def _section(self, section: Section) -> dict[str, Any]:
        lines = [
            {
                "line": line,
                "rests_on": reference_words(line.refers_to),
                "marks": next((each for each in line.refers_to if each.where in MARKS and each.first), None),
                "field": self[f"line:{section.code}:{number}"],
            }
            for number, line in enumerate(section.lines)
        ]
        own = self[f"own:{section.code}"] if section.ask else None
        return {"section": section, "lines": lines, "own": own}

    @property
    def written(self) -> dict[str, str]:
        return {name[4:]: text for name, text in self.cleaned_data.items() if name.startswith("own:")}

    @property
    def changed_lines(self) -> dict[tuple[str, int], str]:
        """Only the sentences that read otherwise than before."""
        found = {}
        for section in self.report.sections:
            for number, line in enumerate(section.lines):
                told = self.cleaned_data[f"line:{section.code}:{number}"].strip()
                if told != line.text:
                    found[section.code, number] = told
        return found
