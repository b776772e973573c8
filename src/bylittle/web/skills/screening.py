"""Materials held against the safety rules for this child. A caution, no compliance test."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from bylittle import library
from bylittle.core.skill import materials
from bylittle.core.skill.materials import TERM_WEEKS, Finding, Thing
from bylittle.web.people.models import Child, Person
from bylittle.web.skills.models import MaterialScreen, Skill

DAYS_A_MONTH = 365.25 / 12
#: A due date that makes it earlier than this does not fit the birthday (from memory: births at 22 weeks).
MOST_WEEKS_EARLY = 18.0
VERDICT_WORDS = {
    "block": "Not for this child",
    "warn": "Only with care",
    "note": "To know",
    "": "Nothing found",
}


@dataclass(frozen=True, slots=True)
class Age:
    """The child's age in months by the birthday and as it counts; `weeks_early`: 0 for a birth at term.

    `doubtful`: the due date does not fit the birthday, so that the age cannot be worked out.
    """

    by_birthday: float
    counts: float
    weeks_early: float
    doubtful: bool = False

    @property
    def corrected(self) -> bool:
        return self.counts < self.by_birthday


def age_of(child: Child, today: date) -> Age:
    """Age on a day, corrected for an early birth as the core does."""
    months = (today - child.born).days / DAYS_A_MONTH
    counts = materials.corrected_age(months, _weeks(child))
    return Age(months, counts, TERM_WEEKS - _weeks(child), _early(child) > MOST_WEEKS_EARLY)


def _early(child: Child) -> float:
    return max(0.0, (child.due - child.born).days / 7 if child.due else 0.0)


def _weeks(child: Child) -> float:
    """Weeks at birth. A due date that does not fit counts as the earliest birth: the stricter reading."""
    return TERM_WEEKS - min(_early(child), MOST_WEEKS_EARLY)


def _facts(child: Child, today: date, allergy: bool | None, swallowing: bool | None) -> materials.Child:
    months = (today - child.born).days / DAYS_A_MONTH
    return materials.Child(months, _weeks(child), child.mouths, allergy, swallowing)


def keep(
    skill: Skill,
    name: str,
    thing: Thing,
    *,
    allergy: bool | None,
    swallowing: bool | None,
    by: Person,
    today: date,
) -> MaterialScreen:
    """Screen a thing for the skill's child and keep the findings. Faults of the core come out unkept."""
    found = materials.screen(thing, _facts(skill.child, today, allergy, swallowing))
    return MaterialScreen.objects.create(
        skill=skill,
        name=" ".join(name.split()),
        on=today,
        by=by,
        thing=asdict(thing),
        food_allergy=allergy,
        swallow_concern=swallowing,
        mouths=skill.child.mouths,
        age_months=found.age_months,
        strict=found.strict,
        verdict=found.verdict or "",
        findings=[asdict(finding) for finding in found.findings],
    )


def standing(rows: Iterable[MaterialScreen]) -> list[MaterialScreen]:
    """The last screen of each thing still in use, newest first; `rows` oldest first."""
    last = {row.name.casefold(): row for row in rows}
    return [row for row in reversed(last.values()) if row.left_out_on is None]


def of_skill(skill: Skill) -> list[MaterialScreen]:
    """What stands for a skill, the strictest verdict first, with who screened it."""
    rows = standing(skill.screens.select_related("by", "skill__child"))
    return sorted(rows, key=lambda row: list(VERDICT_WORDS).index(row.verdict))


def verdict_on(row: MaterialScreen, today: date) -> str:
    """The verdict with what is known of the child today: mouthing may have been asked, months gone by."""
    child = _facts(row.skill.child, today, row.food_allergy, row.swallow_concern)
    return materials.screen(Thing(**row.thing), child).verdict or ""


def barred(skill: Skill, today: date) -> list[MaterialScreen]:
    """Things that were screened as not for this child, or would be today."""
    return [row for row in of_skill(skill) if "block" in (row.verdict, verdict_on(row, today))]


def leave_out(row: MaterialScreen, today: date) -> None:
    """The thing is no longer used; its screen stays in the record."""
    row.left_out_on = today
    row.save(update_fields=["left_out_on"])


@dataclass(frozen=True, slots=True)
class Told:
    """A screen in words: the verdict, and each finding with its rule, limit and mark."""

    row: MaterialScreen
    verdict: str
    now: str
    findings: tuple[dict[str, Any], ...]


def told(row: MaterialScreen, today: date) -> Told:
    """A kept screen for the page. `now` says so where today's verdict is another one."""
    today_verdict = verdict_on(row, today)
    changed = VERDICT_WORDS[today_verdict] if today_verdict != row.verdict else ""
    return Told(row, VERDICT_WORDS[row.verdict], changed, tuple(_finding(each) for each in row.findings))


def _rule(finding: Finding) -> str:
    """The rule behind a finding; a published one that usual practice takes further is no cited fact here."""
    source = library.sources().get(finding.source)
    title = source.title if source else finding.source
    if finding.mark == materials.PUBLISHED:
        return f"Rule: {title}"
    return f"Taken further from: {title}" if source and source.mark == materials.PUBLISHED else title


def _finding(kept: dict[str, Any]) -> dict[str, Any]:
    finding = Finding(**kept)
    return {
        "verdict": VERDICT_WORDS[finding.verdict],
        "bars": finding.verdict == materials.BLOCK,
        "says": library.screen_words().told(finding, "en"),
        "rule": _rule(finding),
        "mark": finding.mark,
        "limit": library.screen_words().limit(finding.code),
    }
