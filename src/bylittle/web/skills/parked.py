"""The skills that wait: their order, and which one comes next and why. A therapist decides both."""

from __future__ import annotations

from collections.abc import Iterable

from django.db import transaction

from bylittle.web.people.models import Child
from bylittle.web.skills.models import Skill, SkillState


def place(skill: Skill) -> tuple[bool, int, int]:
    """What the waiting skills are ordered by: the one that comes next first, then by their places."""
    return not skill.next_because, skill.waits_at, skill.pk or 0


def waiting(child: Child) -> list[Skill]:
    """The parked skills of a child in their order."""
    return sorted(child.skills.filter(state=SkillState.PARKED), key=place)


def next_of(skills: Iterable[Skill]) -> Skill | None:
    """The skill that comes next: None where none is marked."""
    return next((skill for skill in skills if skill.next_because and skill.state == SkillState.PARKED), None)


@transaction.atomic
def move(skill: Skill, up: bool) -> None:
    """Let a parked skill wait one place earlier or later; at the end of the line nothing happens.

    The skill that comes next stands first and is not passed.
    """
    line = [each for each in waiting(skill.child) if not each.next_because]
    at = next((n for n, each in enumerate(line) if each.pk == skill.pk), None)
    if at is None:
        return
    to = at - 1 if up else at + 1
    if 0 <= to < len(line):
        line[at], line[to] = line[to], line[at]
    for number, each in enumerate(line, start=1):
        each.waits_at = number
    Skill.objects.bulk_update(line, ["waits_at"])


@transaction.atomic
def mark_next(skill: Skill, because: str) -> None:
    """Let this parked skill come next, and no other; an empty reason takes the mark away."""
    skill.child.skills.exclude(next_because="").update(next_because="")
    skill.next_because = " ".join(because.split()) if skill.state == SkillState.PARKED else ""
    skill.save(update_fields=["next_because"])
