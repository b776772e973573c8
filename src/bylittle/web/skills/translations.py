"""A skill's words in another language, beside the child's own copy."""

from __future__ import annotations

from collections.abc import Mapping

from django.db import transaction

from bylittle import library
from bylittle.library.skill import Skill as ReadySkill
from bylittle.web.skills.models import Skill, SkillVersion
from bylittle.web.skills.queries import latest_version
from bylittle.web.skills.reading import spoken
from bylittle.web.skills.versions import Setting, rests_on, write_version

#: Languages beside English in which the library speaks.
TRANSLATED = tuple(language for language in library.LANGUAGES if language != "en")


def translate_from(version: SkillVersion, ready: ReadySkill, language: str) -> None:
    """The words in another language beside the child's own copy: the service's own, else the library's."""
    told = spoken(f"skill-{ready.id}", language)
    whole = {
        "name": told(ready.name),
        "routine": told(ready.routine),
        "materials": "\n".join(told(material.name) for material in ready.materials),
        "grades": "\n".join(told(grade.name) for grade in ready.grades),
    }
    steps = {
        step.id: {
            "name": told(step.name),
            "cue": told(step.cue),
            "hazard": told(step.hazard) if step.hazard else "",
        }
        for step in ready.steps
    }
    _write_translation(version, language, whole, steps)


def _write_translation(
    version: SkillVersion, language: str, whole: Mapping[str, str], steps: Mapping[str, Mapping[str, str]]
) -> None:
    version.translations = {**version.translations, language: dict(whole)}
    version.save(update_fields=["translations"])
    for row in version.steps.all():
        row.translations = {**row.translations, language: dict(steps.get(row.step_id, {}))}
        row.save(update_fields=["translations"])


@transaction.atomic
def translate(
    skill: Skill, language: str, whole: Mapping[str, str], steps: Mapping[str, Mapping[str, str]]
) -> SkillVersion:
    """Keep the words of another language: in the newest version, or in the next where a plan rests on it."""
    version = latest_version(skill)
    if rests_on(version):
        version = _copied(version)
    _write_translation(version, language, whole, steps)
    return version


def _copied(version: SkillVersion) -> SkillVersion:
    steps = [row.as_step() for row in version.steps.all()]
    setting = Setting(version.mirrored, version.materials, version.grades, version.usual_grade)
    fresh = write_version(version.skill, version.number + 1, steps, setting)
    carry_translations(version, fresh)
    return fresh


def carry_translations(old: SkillVersion, new: SkillVersion) -> None:
    """A step whose words stayed keeps its translation; a changed one must be translated again."""
    new.translations = old.translations
    new.save(update_fields=["translations"])
    kept = {row.step_id: row for row in old.steps.all()}
    for row in new.steps.all():
        there = kept.get(row.step_id)
        if there is not None and (there.name, there.cue, there.hazard) == (row.name, row.cue, row.hazard):
            row.translations = there.translations
            row.save(update_fields=["translations"])
