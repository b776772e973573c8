"""A child's practice for sharing: day numbers for dates, numbers for people, places and steps, no free text.

Left out: names, birthday, every date, every note, reason and goal text, custom names of skills, steps,
materials and help levels, who signed. Kept: the age in whole years on the first day, ids of ready skills of
the library, ladder positions. Day 1 is the first day on which anything is kept. Removing identifiers lowers
the risk of being known again and does not end it: whoever shares decides by the local rules.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from datetime import date
from typing import Any

from bylittle.core.evidence.child_record import ChildRecord, KeptCheck, KeptPlan, KeptReview, KeptSkill
from bylittle.core.faults import BadValue
from bylittle.core.practice.log import Entry
from bylittle.files.single_case_csv import value_of
from bylittle.files.values_json import dumped

FORMAT, VERSION = "bylittle de-identified", 1
_ID = re.compile(r"[A-Z0-9]{6,32}")
STATES = ("active", "parked", "paused", "lasting", "closed")
DECISIONS = (
    "refer", "pause", "more data", "done", "move on", "step back", "check fidelity", "change material",
    "fade help", "hold",
)  # fmt: skip


def write_deidentified(record: ChildRecord, random_id: str, ready: Collection[str] = ()) -> str:
    """The record as JSON text under `random_id` (6 to 32 letters A-Z and digits), which must tell nothing.

    `ready`: ids of the library's ready skills, which may stand by name; other skills stand as a number.
    BadValue for an id of another form, or one that holds the child's name or birthday.
    """
    _check_id(random_id, record)
    return dumped(
        {
            "format": FORMAT,
            "version": VERSION,
            "id": random_id,
            "age_years": record.child.age_on(first)[0] if (first := first_day(record)) else None,
            "skills": [_skill(n, skill, first, ready) for n, skill in enumerate(record.skills, 1)],
        }
    )


def _check_id(random_id: str, record: ChildRecord) -> None:
    told = {
        record.child.name.upper(),
        record.child.born.strftime("%Y%m%d"),
        record.child.born.strftime("%d%m%Y"),
    }
    if not _ID.fullmatch(random_id) or any(word and word in random_id for word in told):
        raise BadValue("not_one_of", name="id", value=random_id, allowed="6 to 32 random letters and digits")


def first_day(record: ChildRecord) -> date | None:
    """The first day on which anything was practised, planned, reviewed, rated or checked."""
    days = [*record.days]
    for skill in record.skills:
        days += [plan.plan.start for plan in skill.signed_plans if plan.plan.start is not None]
        days += [check.done_on for check in skill.checks if check.done_on is not None]
        days += [rating.on for rating in skill.goal.ratings] if skill.goal else []
    return min(days, default=None)


class _Numbers:
    """People and places by the order in which they appear."""

    def __init__(self, kind: str) -> None:
        self._kind = kind
        self._known: dict[str, int] = {}

    def of(self, told: str) -> str:
        if not told.strip():
            return ""
        return f"{self._kind} {self._known.setdefault(told.strip().casefold(), len(self._known) + 1)}"


def _skill(number: int, skill: KeptSkill, first: date | None, ready: Collection[str]) -> dict[str, Any]:
    people, places, grades = _Numbers("adult"), _Numbers("place"), _Numbers("material")
    steps = _step_numbers(skill)
    return {
        "skill": skill.library_id if skill.library_id in ready else f"skill {number}",
        "state": skill.state if skill.state in STATES else "",
        "steps": len(skill.newest.steps.steps),
        "steps_of_the_adult": [steps[s.id] for s in skill.newest.steps.steps if s.adult_only],
        "levels": len(skill.ladder),
        "plans": [_plan(kept, steps, first, grades) for kept in skill.signed_plans],
        "marks": [_mark(e, skill, steps, first, (people, places, grades)) for e in skill.log.entries()],
        "reviews": [_review(review, first) for review in skill.reviews],
        "checks": [_check(check, first, places) for check in skill.checks],
        "ratings": [
            {"day": _day(rating.on, first), "level": rating.level, "by": rating.by.value}
            for rating in (skill.goal.ratings if skill.goal else ())
        ],
    }


def _check(check: KeptCheck, first: date | None, places: _Numbers) -> dict[str, Any]:
    due, done = _day(check.due, first), _day(check.done_on, first)
    return {"due": due, "done": done, "kept": check.kept, "place": places.of(check.place)}


def _step_numbers(skill: KeptSkill) -> dict[str, int]:
    """A number for each step that ever was, the newest version's first, from 1."""
    newest_first: Iterable[str] = (s.id for version in reversed(skill.versions) for s in version.steps.steps)
    practised = (entry.step_id for entry in skill.log.entries())
    return {step: n for n, step in enumerate(dict.fromkeys((*newest_first, *practised)), 1)}


def _day(day: date | None, first: date | None) -> int | None:
    return None if day is None or first is None else (day - first).days + 1


def _plan(kept: KeptPlan, steps: dict[str, int], first: date | None, grades: _Numbers) -> dict[str, Any]:
    plan = kept.plan
    return {
        "number": plan.number,
        "from": _day(plan.start, first),
        "chaining": plan.chaining.value,
        "leap_ahead": plan.leap_ahead,
        "order_of_help": plan.order_of_help.value,
        "asked": [{"step": steps.get(step.step_id), "help": step.help_level} for step in plan.asked],
        "turns": plan.dose.turns_per_day,
        "material": grades.of(plan.grade),
    }


def _mark(
    entry: Entry,
    skill: KeptSkill,
    steps: dict[str, int],
    first: date | None,
    numbers: tuple[_Numbers, _Numbers, _Numbers],
) -> dict[str, Any]:
    people, places, grades = numbers
    return {
        "day": _day(entry.day, first),
        "turn": entry.turn,
        "step": steps[entry.step_id],
        "result": entry.outcome.value,
        "offered": entry.offered,
        "needed": entry.needed,
        "value": value_of(entry, skill.ladder.top),
        "order_of_help": entry.order.value,
        "probe": entry.probe.value if entry.probe else "",
        "source": entry.source.value,
        "observer": people.of(entry.adult),
        "place": places.of(entry.place),
        "material": grades.of(entry.grade),
    }


def _review(review: KeptReview, first: date | None) -> dict[str, Any]:
    known = {word: word if word in DECISIONS else "" for word in (review.advised, review.decided)}
    return {
        "day": _day(review.on, first),
        "advised": known[review.advised],
        "decided": known[review.decided],
        "red_flags": len(review.raised),
    }
