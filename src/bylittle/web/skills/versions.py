"""Versions of a skill's steps: written once, never changed once something rests on them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bylittle.core.skill import steps as core
from bylittle.web.skills.models import Skill, SkillVersion, StepRow


@dataclass(frozen=True, slots=True)
class Setting:
    """What a version says beside its steps."""

    mirrored: bool = False
    materials: str = ""
    grades: str = ""
    usual_grade: str = ""


def rests_on(version: SkillVersion) -> bool:
    """True once anything but its own steps points to this version: a plan, a mark, whatever comes later."""
    return any(
        relation.related_model._base_manager.filter(**{relation.field.name: version}).exists()
        for relation in SkillVersion._meta.related_objects
        if relation.related_model is not StepRow
    )


def write_version(skill: Skill, number: int, steps: Sequence[core.Step], setting: Setting) -> SkillVersion:
    """Write a version with its steps, in their order."""
    version = SkillVersion.objects.create(
        skill=skill,
        number=number,
        mirrored=setting.mirrored,
        materials=setting.materials,
        grades=setting.grades,
        usual_grade=setting.usual_grade,
    )
    StepRow.objects.bulk_create(
        StepRow(
            version=version,
            position=position,
            step_id=step.id,
            name=step.name,
            cue=step.cue,
            done_when=step.done_when,
            hazard=step.hazard,
            adult_only=step.adult_only,
        )
        for position, step in enumerate(steps)
    )
    return version
