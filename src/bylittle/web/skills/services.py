"""Making a skill from a ready one or blank, and changing its steps without touching what was practised."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from django.db import transaction
from django.db.models import Max

from bylittle.core.skill import steps as core
from bylittle.library.skill import Skill as ReadySkill
from bylittle.web.people.models import Child
from bylittle.web.skills.models import (
    Breakdown,
    FitsIn,
    Readiness,
    ReadinessAnswer,
    Skill,
    SkillState,
    SkillVersion,
)
from bylittle.web.skills.queries import latest_version
from bylittle.web.skills.translations import TRANSLATED, carry_translations, translate_from
from bylittle.web.skills.versions import Origins, Setting, joined_origins, rests_on, write_version


@transaction.atomic
def start_from_ready(child: Child, ready: ReadySkill) -> Skill:
    """A child's own copy of a ready skill: it never changes when the library does."""
    skill = _new(child, str(ready.name), ready.id, str(ready.routine)[:120])
    steps = [
        core.Step(
            id=step.id,
            name=str(step.name),
            cue=str(step.cue),
            done_when=str(step.done_when),
            adult_only=step.by == "adult",
            hazard=str(step.hazard or ""),
        )
        for step in ready.steps
    ]
    setting = Setting(
        mirrored=child.left_handed,
        materials="\n".join(str(material.name) for material in ready.materials),
        grades="\n".join(str(grade.name) for grade in ready.grades),
        usual_grade=next((str(grade.name) for grade in ready.grades if grade.usual), "")[:80],
    )
    version = write_version(skill, 1, steps, setting)
    for language in TRANSLATED:
        translate_from(version, ready, language)
    return skill


@transaction.atomic
def start_blank(child: Child, name: str) -> Skill:
    """A skill with one empty-handed first step, to be filled in the editor."""
    skill = _new(child, name, "", "")
    write_version(
        skill, 1, [core.Step(id="step-1", name="First step", cue="")], Setting(mirrored=child.left_handed)
    )
    return skill


def _new(child: Child, name: str, library_id: str, routine: str) -> Skill:
    """One skill at a time: a second one waits, parked."""
    busy = child.skills.filter(state=SkillState.ACTIVE).exists()
    state = SkillState.PARKED if busy else SkillState.ACTIVE
    return Skill.objects.create(
        child=child,
        name=name,
        library_id=library_id,
        routine=routine,
        state=state,
        waits_at=_last_place(child) if state == SkillState.PARKED else 0,
    )


def _last_place(child: Child) -> int:
    """The place behind every skill that waits."""
    last = child.skills.filter(state=SkillState.PARKED).aggregate(last=Max("waits_at"))["last"]
    return (last or 0) + 1


@transaction.atomic
def change_steps(
    skill: Skill, name: str, steps: Sequence[core.Step], setting: Setting, origins: Origins | None = None
) -> SkillVersion:
    """Write the steps: into the newest version while nothing rests on it, else as the next version.

    `origins`: where new steps come from, if they were split off or put together from those there are.
    Faults of the core (an over-long cue, no step at all) come out before anything is written.
    """
    latest = latest_version(skill)
    core.SkillVersion(number=latest.number, name=name, steps=tuple(steps), mirrored=setting.mirrored)
    if skill.name != name:
        skill.name = name
        skill.save(update_fields=["name"])
    if _same(latest, steps, setting):
        return latest
    stays = rests_on(latest)
    told = (origins or {}) if stays else joined_origins(latest, steps, origins or {})
    fresh = write_version(skill, latest.number + 1, steps, setting, told)
    carry_translations(latest, fresh)
    if not stays:
        latest.delete()
        fresh.number -= 1
        fresh.save(update_fields=["number"])
    return fresh


def set_circumstances(skill: Skill, values: Mapping[str, Any]) -> None:
    """Keep what was seen around a skill: its routine, where it breaks down, whether the adults differ."""
    skill.routine = values["routine"]
    skill.breakdown = values["breakdown"] or Breakdown.UNKNOWN
    skill.fits_in = values["fits_in"] or FitsIn.NOT_ASKED
    skill.fits_in_note = values["fits_in_note"]
    skill.adults_differ = values["adults_differ"]
    skill.save(update_fields=["routine", "breakdown", "fits_in", "fits_in_note", "adults_differ"])


@transaction.atomic
def keep_readiness(skill: Skill, answers: Mapping[str, tuple[str, str]]) -> None:
    """Keep what was seen of each readiness item; an item no longer answered is forgotten."""
    skill.readiness.all().delete()
    ReadinessAnswer.objects.bulk_create(
        ReadinessAnswer(
            skill=skill, item=item, answer=answer, adaptation=text if answer != Readiness.READY else ""
        )
        for item, (answer, text) in answers.items()
    )


def make_active(skill: Skill) -> None:
    """Make this the one skill that is being learned; another one that was is parked."""
    with transaction.atomic():
        for other in skill.child.skills.filter(state=SkillState.ACTIVE).exclude(pk=skill.pk):
            set_state(other, SkillState.PARKED)
        set_state(skill, SkillState.ACTIVE)


def set_state(skill: Skill, state: SkillState) -> None:
    """Change what a skill is doing: one that is parked waits last, and only a parked one comes next."""
    if skill.state != state:
        skill.waits_at = _last_place(skill.child) if state == SkillState.PARKED else 0
        skill.next_because = ""
    skill.state = state
    skill.save(update_fields=["state", "waits_at", "next_because"])


def step_id(name: str, taken: Sequence[str]) -> str:
    """A stable id for a new step, from its name."""
    stem = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40] or "step"
    found, count = stem, 2
    while found in taken:
        found, count = f"{stem}-{count}", count + 1
    return found


def _same(version: SkillVersion, steps: Sequence[core.Step], setting: Setting) -> bool:
    there = Setting(version.mirrored, version.materials, version.grades, version.usual_grade)
    return [row.as_step() for row in version.steps.all()] == list(steps) and there == setting
