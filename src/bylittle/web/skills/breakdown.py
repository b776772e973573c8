"""Where a skill breaks down: what the quick looks showed and what they point to. Reasoning, not a test."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.http import QueryDict

from bylittle import library
from bylittle.library.finder import Look, Suggestion
from bylittle.web.people.models import Person
from bylittle.web.skills.models import Breakdown, BreakdownLook, Skill

NOT_LOOKED = ("", "not looked at")

#: How strongly the looks point one way, for the page.
STRENGTH_WORDS = {
    "too little seen": "Too little was seen to lean either way: two looks at least, better three or more.",
    "mixed": "What was seen points several ways. Look again on another day, or with another thing.",
    "leans": "What was seen leans one way.",
    "fairly clear": "What was seen points one way fairly clearly.",
}


class LooksForm(forms.Form):
    """One choice a look: what was seen, or not looked at."""

    def __init__(self, looks: Sequence[Look], data: QueryDict | None) -> None:
        super().__init__(data)
        self.looks = looks
        for look in looks:
            self.fields[look.id] = forms.ChoiceField(
                choices=[*((sight.id, sight.says) for sight in look.sights), NOT_LOOKED],
                required=False,
                widget=forms.RadioSelect,
                label=look.ask,
            )

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not self.errors and not any(data.values()):
            raise forms.ValidationError("Nothing is ticked yet: choose what was seen at one look at least.")
        return data

    @property
    def seen(self) -> list[str]:
        """The ids of what was seen, in the order of the looks."""
        return [told for look in self.looks if (told := self.cleaned_data.get(look.id))]


@dataclass(frozen=True, slots=True)
class Told:
    """A look kept earlier with what it points to by today's finder; None where the finder has changed."""

    look: BreakdownLook
    says: tuple[str, ...]
    suggestion: Suggestion | None
    strength: str

    @property
    def because(self) -> list[tuple[str, str]]:
        """What points there: [(what was asked at the look, what was seen)]."""
        pointing = self.suggestion.because if self.suggestion else ()
        asked = {sight.id: look.ask for look in library.breakdown().looks for sight in look.sights}
        seen = zip(self.look.seen, self.says, strict=True)
        return [(asked[name], says) for name, says in seen if says in pointing]


def keep(skill: Skill, seen: Sequence[str], by: Person) -> BreakdownLook:
    """Keep what was seen with the day, the person and what it pointed to."""
    found = library.breakdown().suggest(seen)
    return BreakdownLook.objects.create(
        skill=skill,
        by=by,
        seen=list(seen),
        strength=found.strength,
        kind=found.kind.id if found.kind else "",
    )


def use(look: BreakdownLook) -> str:
    """Take the suggestion over into the skill; returns its words."""
    skill = look.skill
    skill.breakdown = look.kind
    skill.save(update_fields=["breakdown"])
    return str(Breakdown(look.kind).label)


def newest(skill: Skill) -> BreakdownLook | None:
    """The last look kept."""
    return skill.breakdown_looks.order_by("-pk").first()


def told(looks: Iterable[BreakdownLook]) -> list[Told]:
    """Kept looks in words."""
    finder = library.breakdown()
    says = {sight.id: sight.says for look in finder.looks for sight in look.sights}
    found = []
    for look in looks:
        known = all(name in says for name in look.seen)
        found.append(
            Told(
                look,
                tuple(says.get(name, name) for name in look.seen),
                finder.suggest(look.seen) if known else None,
                STRENGTH_WORDS.get(look.strength, look.strength),
            )
        )
    return found
