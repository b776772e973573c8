"""The translator's view: each text of a skill side by side in two languages."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import QueryDict

from bylittle.core.skill.steps import LONGEST_CUE, LONGEST_NAME
from bylittle.web.skills.models import SkillVersion

WHOLE = (
    ("name", "The skill", LONGEST_NAME),
    ("routine", "When in the day", 120),
    ("materials", "Materials", 400),
    ("grades", "Material from easier to harder", 600),
)
TALL = ("materials", "grades")
PARTS = (
    ("name", "what the child does", LONGEST_NAME),
    ("cue", "cue words", LONGEST_CUE),
    ("hazard", "caution", 200),
)


class WordsForm(forms.Form):
    """The other language's words. A blank one is missing, and the page at home says so."""

    def __init__(self, version: SkillVersion, language: str, data: QueryDict | None) -> None:
        super().__init__(data)
        self.version, self.language = version, language
        self.lines: list[tuple[str, str, str]] = []
        there = version.translations.get(language, {})
        own = {
            "name": version.skill.name,
            "routine": version.skill.routine,
            "materials": version.materials,
            "grades": version.grades,
        }
        for key, label, longest in WHOLE:
            self._add(f"whole_{key}", label, own[key], there.get(key, ""), longest, key in TALL)
        for number, row in enumerate(version.steps.all(), start=1):
            there = row.translations.get(language, {})
            for key, label, longest in PARTS:
                label = f"Step {number}, {label}"
                self._add(f"{row.step_id}_{key}", label, getattr(row, key), there.get(key, ""), longest)

    def _add(self, name: str, label: str, own: str, there: str, longest: int, tall: bool = False) -> None:
        if not own:
            return
        widget = forms.Textarea(attrs={"rows": 3}) if tall else forms.TextInput()
        self.fields[name] = forms.CharField(
            label=label, required=False, max_length=longest, initial=there, widget=widget
        )
        self.lines.append((name, label, own))

    def rows(self) -> list[tuple[str, str, Any]]:
        """Each text: its label, the English words, the field of the other language."""
        return [(label, own, self[name]) for name, label, own in self.lines]

    @property
    def whole(self) -> dict[str, str]:
        return {key: self.cleaned_data.get(f"whole_{key}", "") for key, _, _ in WHOLE}

    @property
    def steps(self) -> dict[str, dict[str, str]]:
        return {
            row.step_id: {key: self.cleaned_data.get(f"{row.step_id}_{key}", "") for key, _, _ in PARTS}
            for row in self.version.steps.all()
        }
