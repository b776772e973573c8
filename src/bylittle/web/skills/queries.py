"""Reading skills and their steps."""

from __future__ import annotations

from bylittle import library
from bylittle.core.skill import steps as core
from bylittle.library.skill import AREAS, Need
from bylittle.library.skill import Skill as ReadySkill
from bylittle.web.skills.models import Skill, SkillVersion


def latest_version(skill: Skill) -> SkillVersion:
    """The newest version of a skill's steps; every skill has one from its making."""
    version = skill.versions.prefetch_related("steps").order_by("-number").first()
    if version is None:
        raise SkillVersion.DoesNotExist(f"skill {skill.pk} has no steps")
    return version


def as_core(version: SkillVersion) -> core.SkillVersion:
    """A version as the core's value."""
    return core.SkillVersion(
        number=version.number,
        name=version.skill.name,
        steps=tuple(row.as_step() for row in version.steps.all()),
        mirrored=version.mirrored,
    )


def ready_skill(library_id: str) -> ReadySkill | None:
    """The ready skill of this name, or None."""
    return next((skill for skill in library.skills() if skill.id == library_id), None)


def ready_skills_by_area() -> list[tuple[str, list[ReadySkill]]]:
    """All ready skills under their area."""
    areas: dict[str, list[ReadySkill]] = {area: [] for area in AREAS}
    for skill in library.skills():
        areas[skill.area].append(skill)
    return [(area, skills) for area, skills in areas.items() if skills]


def readiness_items(skill: Skill) -> tuple[Need, ...]:
    """What helps before starting: the ready skill's own items, else the library's general ones."""
    ready = ready_skill(skill.library_id)
    if ready is not None and ready.readiness:
        return ready.readiness
    return tuple(Need(item.id, item.name, item.adaptation) for item in library.readiness())


def adaptations(skill: Skill) -> list[str]:
    """The adaptations that go with the plan."""
    return [answer.adaptation for answer in skill.readiness.all() if answer.adaptation]
