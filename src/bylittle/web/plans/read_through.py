"""Whether a speaker has read every word that a plan's page says in another language than English."""

from __future__ import annotations

from collections.abc import Iterator

from bylittle import library
from bylittle.core.plan.home_plan import HomePlan
from bylittle.library import translation
from bylittle.library.coaching import Procedure
from bylittle.printing.help_words import way_rule
from bylittle.web.plans.models import Plan
from bylittle.web.plans.procedures import words
from bylittle.web.plans.queries import lines
from bylittle.web.skills.reading import Reading, readings

EVERY_PAGE = ("pages", "log-sheet")


def wholly_read(plan: Plan, home: HomePlan) -> bool:
    """True where the page's own sentences, and all that the plan says, are words that a speaker has read.

    `home`: the plan in that language. What the family itself told (stop signs, precautions, whom to call)
    is in the family's own words and is not asked about here.
    """
    if home.language not in translation.TRANSLATED:
        return False
    if not all(each.read for name in EVERY_PAGE for each in _readings(name, home.language)):
        return False
    known = set(_known(plan, home.language))
    return all(text in known for text in _said(home))


def typed_for_family(home: HomePlan) -> list[str]:
    """What a therapist wrote for this family, text by text."""
    told = [home.dose.routine, home.when_it_goes_wrong, home.praise, home.bad_days]
    return [text for text in (*told, *(step.hazard for step in home.steps)) if text]


def typed_in_one_language(plan: Plan, language: str) -> list[str]:
    """What a therapist typed and the page in `language` prints as it stands, ready words aside."""
    if language == "en":
        return []
    ready = {
        line for way in library.procedures() if way.speaks(language) for line in _rule(way, plan, language)
    }
    told = (plan.praise, plan.when_it_goes_wrong, plan.bad_days)
    return [text for text in told if text.strip() and not set(lines(text)) <= ready]


def _rule(way: Procedure, plan: Plan, language: str) -> tuple[str, ...]:
    return lines(words(way, plan.wait_s, language))


def _readings(name: str, language: str) -> list[Reading]:
    there = translation.section(name, language)
    return readings(there, language) if there else []


def _said(home: HomePlan) -> Iterator[str]:
    """What the plan says beside the page's own sentences, line by line."""
    yield from (home.skill_name, *home.materials)
    yield from lines(way_rule(home, home.language))
    for text in (home.dose.routine, home.grade, home.when_it_goes_wrong, home.praise, home.bad_days):
        yield from lines(text)
    for step in home.steps:
        yield from (text for text in (step.name, step.cue, step.hazard) if text)


def _known(plan: Plan, language: str) -> Iterator[str]:
    """The lines that a speaker has read: of the ready skill and of the ways of helping."""
    yield from (each.spoken for each in _readings(f"skill-{plan.skill.library_id}", language) if each.read)
    read = {each.line.key for each in _readings("procedures", language) if each.read}
    for way in library.procedures():
        if f"procedures.{way.id}.rule" in read:
            yield from lines(words(way, plan.wait_s, language))
