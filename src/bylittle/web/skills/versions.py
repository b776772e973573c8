"""Versions of a skill's steps: written once, never changed once something rests on them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
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


Origins = Mapping[str, Sequence[str]]
"""Id of a new step -> ids of the steps before that it was split off or put together from."""


def joined_origins(latest: SkillVersion, steps: Sequence[core.Step], origins: Origins) -> Origins:
    """The origins of a version that takes the place of `latest`: told of the steps before that one."""
    before: Origins = latest.origins
    found = {}
    for step in steps:
        ids = [old for each in origins.get(step.id, [step.id]) for old in before.get(each, [each])]
        if step.id in origins or step.id in before:
            found[step.id] = list(dict.fromkeys(ids))
    return found


def write_version(
    skill: Skill, number: int, steps: Sequence[core.Step], setting: Setting, origins: Origins | None = None
) -> SkillVersion:
    """Write a version with its steps, in their order."""
    version = SkillVersion.objects.create(
        skill=skill,
        number=number,
        mirrored=setting.mirrored,
        materials=setting.materials,
        grades=setting.grades,
        usual_grade=setting.usual_grade,
        origins={step_id: list(ids) for step_id, ids in (origins or {}).items()},
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
