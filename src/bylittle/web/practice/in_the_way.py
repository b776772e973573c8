"""What got in the way of practice, ticked or written by families: beside the marks, never for them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from django.db.models import QuerySet
from django.utils import timezone

from bylittle.core.practice.marks import Source
from bylittle.web.people.models import Person
from bylittle.web.plans.models import Plan
from bylittle.web.practice.models import InTheWay
from bylittle.web.skills.models import Skill

#: The kind of a row that holds the family's own words.
WORDS = "their words"


def write(
    plan: Plan,
    what: Iterable[str],
    days: tuple[date, date],
    *,
    by: Person | None,
    source: Source = Source.PAPER,
    photograph: str = "",
) -> int:
    """Note what got in the way on the days from first to last; what stands there already is passed over."""
    first, last = days
    stands = standing(plan.skill).filter(first=first, last=last, source=source)
    fresh = [each for each in what if not stands.filter(what=each).exists()]
    told = {"skill": plan.skill, "plan": plan, "first": first, "last": last, "source": source}
    InTheWay.objects.bulk_create(InTheWay(what=each, photograph=photograph, by=by, **told) for each in fresh)
    return len(fresh)


def write_words(
    plan: Plan, words: str, days: tuple[date, date], *, by: Person | None, photograph: str
) -> int:
    """Note what the family wrote on a log sheet, as somebody typed it; what stands there is passed over."""
    first, last = days
    if not words or standing(plan.skill).filter(first=first, last=last, what=WORDS, words=words).exists():
        return 0
    told = {"skill": plan.skill, "plan": plan, "first": first, "last": last, "source": Source.PAPER}
    InTheWay.objects.create(what=WORDS, words=words, photograph=photograph, by=by, **told)
    return 1


def take_back(skill: Skill, photograph: str, by: Person) -> int:
    """Take back what came of a photograph; the rows stay, with who took them back. How many."""
    rows = standing(skill).filter(photograph=photograph)
    return rows.update(back_by=by, back_at=timezone.now())


def standing(skill: Skill) -> QuerySet[InTheWay]:
    """What stands for a skill, oldest first."""
    return skill.in_the_way.filter(back_at=None)
