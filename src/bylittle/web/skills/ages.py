"""Usual ages, for talking: of a ready skill, and what most children do about the child's age.

Rough, with source and mark, and never a reason to start or to stop a service. Nothing is claimed past the
last age of the checklists.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from bylittle import library
from bylittle.library.by_age import Milestone
from bylittle.library.skill import Age as SkillAge
from bylittle.web.people.models import Child
from bylittle.web.skills.models import Skill
from bylittle.web.skills.queries import ready_skill
from bylittle.web.skills.screening import age_of


@dataclass(frozen=True, slots=True)
class Sourced:
    """Something said, with the title of its source and how far that can be leaned on."""

    says: str
    source: str
    mark: str


def told_months(months: int) -> str:
    """An age in words: 18 months, 2 years, 3½ years, 2 years 3 months."""
    years, rest = divmod(months, 12)
    if months < 24:
        return f"{months} months"
    if rest in (0, 6):
        return f"{years}{'½' if rest else ''} years"
    return f"{years} years {rest} month{'' if rest == 1 else 's'}"


def told_range(ages: Iterable[SkillAge]) -> str:
    """The widest range that the sources of a skill give; empty where none gives one."""
    there = list(ages)
    if not there:
        return ""
    low, high = min(age.low_months for age in there), max(age.high_months for age in there)
    return f"{told_months(low)} to {told_months(high)}" if low < high else told_months(low)


def of_skill(skill: Skill) -> list[Sourced]:
    """The usual ages of the ready skill that this one began from, one for each source."""
    ready = ready_skill(skill.library_id)
    return [_age(age) for age in ready.ages] if ready else []


def _age(age: SkillAge) -> Sourced:
    note = f" ({age.note.rstrip('.')})" if age.note else ""
    return Sourced(f"{told_range([age])}{note}", library.sources()[age.source].title, age.mark)


@dataclass(frozen=True, slots=True)
class ByAge:
    """What most children do by an age; `title` says which, `reached` whether the child is that old."""

    title: str
    reached: bool
    items: tuple[Milestone, ...]


@dataclass(frozen=True, slots=True)
class Around:
    """The checklist ages before and after the child's own, with what goes with every use of them."""

    groups: tuple[ByAge, ...]
    basis: Sourced
    items: Sourced
    caveat: str


def around(child: Child, today: date) -> Around | None:
    """What most children do about the age that counts for this child; None past the last checklist."""
    told = library.milestones()
    counts = age_of(child, today).counts
    past = [age for age in told.ages_months if age <= counts][-1:]
    next_ = [age for age in told.ages_months if age > counts][:1]
    if not next_:
        return None
    groups = tuple(
        ByAge(told_months(age), age <= counts, tuple(item for item in told if item.months == age))
        for age in (*past, *next_)
    )
    basis = library.sources()[told.basis_source]
    source = library.sources()[groups[0].items[0].source]
    return Around(
        groups,
        Sourced(f"{told.basis_percent} % of children or more", basis.title, basis.mark),
        Sourced("", source.title, source.mark),
        str(told.caveat),
    )
