"""One child's record as a FHIR R4 (4.0.1) collection bundle: Patient, Goal, CarePlan, Observation.

Patient holds the first name and the birthday alone. Each practice day of each witness is one Observation
with a component for every step and turn; a step that was not tried carries the reason and never a value.
Goals with five levels carry them, and their ratings, after the HL7 US Person-Centered Outcomes guide.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterator, Mapping
from datetime import date
from itertools import groupby
from typing import Any

from bylittle.core.evidence.child_record import ChildRecord, KeptGoal, KeptPlan, KeptSkill, Rating
from bylittle.core.plan.goal import ATTAINMENT_LEVELS
from bylittle.core.plan.home_plan import PlannedStep
from bylittle.core.practice.log import Entry
from bylittle.core.practice.marks import Outcome, Source
from bylittle.core.skill.ladder import Ladder
from bylittle.core.stats.attainment import t_score
from bylittle.files.fhir_codes import (
    ABSENT,
    ACHIEVEMENT,
    CATEGORY,
    GAS_EXTENSION,
    GAS_LEVELS,
    HELP_ANSWERS,
    LOINC,
    OURS,
    Codes,
)

Resource = dict[str, Any]
R4 = "http://hl7.org/fhir/StructureDefinition/Bundle|4.0.1"
_SPACE = uuid.UUID("5b0f6b1e-6c1d-5e0a-9a3e-6f1f0a7d2c11")
_LIFECYCLE = {
    "active": "active",
    "parked": "planned",
    "paused": "on-hold",
    "lasting": "active",
    "closed": "completed",
}
_ACHIEVEMENT = {
    "done": "achieved",
    "move on": "improving",
    "fade help": "improving",
    "hold": "no-change",
    "step back": "worsening",
}
_ABSENT = {Outcome.STOPPED: "asked-declined", Outcome.BY_ADULT: "not-asked", Outcome.MISSING: "unknown"}
_WITNESS = {
    Source.HOME: "reported by the family",
    Source.PAPER: "reported by the family on paper",
    Source.VISIT: "seen at a visit",
    Source.PROBE: "probe without help",
    Source.BASELINE: "baseline probe without help",
}


def fhir_bundle(record: ChildRecord, on: date, codes: Codes | None = None) -> Resource:
    """The bundle as JSON data, as of the day `on`. The same record gives the same bundle.

    Draft plans are left out: only what a therapist signed is a care plan.
    """
    codes = codes or Codes()
    child = _ref("Patient", record.id)
    resources = [_patient(record)]
    for skill in record.skills:
        resources.extend(_skill(record, skill, child, on, codes))
    resources.extend(_t_score(record, child, on))
    return {
        "resourceType": "Bundle",
        "meta": {"profile": [R4]},
        "type": "collection",
        "timestamp": f"{on.isoformat()}T00:00:00Z",
        "entry": [{"fullUrl": f"urn:uuid:{each['id']}", "resource": each} for each in resources],
    }


def _id(kind: str, *parts: object) -> str:
    """An id that stays the same each time the same thing is exported."""
    return str(uuid.uuid5(_SPACE, "/".join(map(str, (kind, *parts)))))


def _ref(kind: str, *parts: object) -> Resource:
    return {"reference": f"urn:uuid:{_id(kind, *parts)}"}


def _patient(record: ChildRecord) -> Resource:
    who = record.child
    return {
        "resourceType": "Patient",
        "id": _id("Patient", record.id),
        "name": [{"given": [who.name]}],
        "birthDate": who.born.isoformat(),
    }


def _skill(
    record: ChildRecord, skill: KeptSkill, child: Resource, on: date, codes: Codes
) -> Iterator[Resource]:
    if skill.goal is not None:
        yield _goal(record, skill, skill.goal, child, codes)
        yield from _ratings(record, skill, skill.goal, child, codes)
    plans = [plan for plan in skill.signed_plans if plan.plan.start is not None]
    for place, plan in enumerate(plans):
        following = plans[place + 1].plan.start if place + 1 < len(plans) else None
        yield _care_plan(record, skill, plan, child, following)
    yield from _days(record, skill, child, on, codes)


def _goal(record: ChildRecord, skill: KeptSkill, kept: KeptGoal, child: Resource, codes: Codes) -> Resource:
    goal = kept.goal
    told: Resource = {
        "resourceType": "Goal",
        "id": _id("Goal", record.id, skill.id),
        "lifecycleStatus": _LIFECYCLE.get(skill.state, "active"),
        "achievementStatus": {"coding": [{"system": ACHIEVEMENT, "code": achievement(skill)}]},
        "description": {"text": goal.statement},
        "subject": child,
    }
    if goal.scaled:
        told["extension"] = [
            _level(level, text) for level, text in zip(ATTAINMENT_LEVELS, goal.levels, strict=True)
        ]
    if kept.written_on is not None:
        told["startDate"] = kept.written_on.isoformat()
    target: Resource = {"measure": _loinc(codes.measure)} if goal.scaled else {}
    if goal.by is not None:
        target["dueDate"] = goal.by.isoformat()
    return {**told, "target": [target]} if target else told


def achievement(skill: KeptSkill) -> str:
    """The achievement status: kept skills are sustaining; else the last decision says how it goes."""
    if skill.state == "lasting":
        return "sustaining"
    last = skill.reviews[-1].decided if skill.reviews else ""
    if skill.state == "closed" and last != "done":
        return "not-achieved"
    return _ACHIEVEMENT.get(last, "in-progress")


def _level(level: int, text: str) -> Resource:
    code, display = GAS_LEVELS[level]
    coding = {"system": LOINC, "code": code, "display": display}
    parts = [{"url": "level", "valueCoding": coding}, {"url": "progressText", "valueString": text}]
    return {"url": GAS_EXTENSION, "extension": parts}


def _loinc(code: str) -> Resource:
    return {"coding": [{"system": LOINC, "code": code}]}


def _ratings(
    record: ChildRecord, skill: KeptSkill, kept: KeptGoal, child: Resource, codes: Codes
) -> Iterator[Resource]:
    starts = [plan.plan.start for plan in skill.signed_plans if plan.plan.start is not None]
    taught = min(starts, default=None)
    for number, rating in enumerate(kept.ratings, 1):
        before = taught is None or rating.on < taught
        code = codes.baseline if before else codes.follow_up[rating.by]
        yield _rating(rating, code, _id("rating", record.id, skill.id, number), child) | {
            "focus": [_ref("Goal", record.id, skill.id)]
        }


def _rating(rating: Rating, code: str, name: str, child: Resource) -> Resource:
    answer, display = GAS_LEVELS[rating.level]
    told: Resource = {
        "resourceType": "Observation",
        "id": name,
        "status": "final",
        "category": [_category("survey")],
        "code": _loinc(code),
        "subject": child,
        "effectiveDateTime": rating.on.isoformat(),
        "valueCodeableConcept": {"coding": [{"system": LOINC, "code": answer, "display": display}]},
    }
    if rating.name:
        told["performer"] = [{"display": rating.name}]
    return {**told, "note": [{"text": rating.note}]} if rating.note else told


def _category(code: str) -> Resource:
    return {"coding": [{"system": CATEGORY, "code": code}]}


def _care_plan(
    record: ChildRecord, skill: KeptSkill, kept: KeptPlan, child: Resource, following: date | None
) -> Resource:
    plan, running = kept.plan, following is None and skill.state != "closed"
    assert plan.start is not None
    period = {"start": plan.start.isoformat()}
    if following is not None:
        period["end"] = max(plan.start, following).isoformat()
    paused = running and skill.state in ("paused", "parked")
    told: Resource = {
        "resourceType": "CarePlan",
        "id": _id("CarePlan", record.id, skill.id, plan.plan_id, plan.number),
        "status": "on-hold" if paused else "active" if running else "completed",
        "intent": "plan",
        "title": f"{plan.skill_name}, home plan {plan.number}",
        "description": f"{plan.dose.turns_per_day} turns a sitting, {plan.dose.minutes} minutes at most",
        "subject": child,
        "period": period,
        "author": {"display": kept.signed_by},
        "activity": [_activity(kept, step, "in-progress" if running else "completed") for step in plan.asked],
    }
    return {**told, "goal": [_ref("Goal", record.id, skill.id)]} if skill.goal else told


def _activity(kept: KeptPlan, step: PlannedStep, status: str) -> Resource:
    level = "" if step.help_level is None else f": {kept.plan.ladder.name(step.help_level)}"
    return {"detail": {"status": status, "description": step.name + level}}


def _days(
    record: ChildRecord, skill: KeptSkill, child: Resource, on: date, codes: Codes
) -> Iterator[Resource]:
    names = {step.id: step.name for version in skill.versions for step in version.steps.steps}
    entries = sorted((entry for entry in skill.log.entries() if entry.day <= on), key=_witness)
    for (day, source, adult), rows in groupby(entries, key=_witness):
        told: Resource = {
            "resourceType": "Observation",
            "id": _id("day", record.id, skill.id, day, source, adult),
            "status": "final",
            "category": [_category("activity")],
            "code": {"coding": [_ours("observation", _kind(Source(source)))], "text": skill.name},
            "subject": child,
            "effectiveDateTime": day.isoformat(),
            "method": {"text": _WITNESS[Source(source)]},
        }
        marks = list(rows)
        if adult:
            told["performer"] = [{"display": adult}]
        if notes := [{"text": entry.note} for entry in marks if entry.note.strip()]:
            told["note"] = notes
        if skill.goal is not None:
            told["focus"] = [_ref("Goal", record.id, skill.id)]
        told["component"] = [_component(entry, names, skill.ladder, codes) for entry in marks]
        yield told


def _witness(entry: Entry) -> tuple[date, str, str]:
    return entry.day, entry.source.value, entry.adult


def _kind(source: Source) -> str:
    return "probe" if source in (Source.PROBE, Source.BASELINE) else "practice-day"


def _ours(kind: str, code: str) -> Resource:
    return {"system": OURS + kind, "code": code}


def _component(entry: Entry, names: Mapping[str, str], ladder: Ladder, codes: Codes) -> Resource:
    name = names.get(entry.step_id, entry.step_id)
    code = {
        "coding": [_ours("step", entry.step_id), _ours("turn", str(entry.turn))],
        "text": f"{name}, turn {entry.turn}",
    }
    if entry.outcome in _ABSENT:
        reason = {"coding": [{"system": ABSENT, "code": _ABSENT[entry.outcome]}], "text": entry.outcome.value}
        return {"code": code, "dataAbsentReason": reason}
    return {"code": code, "valueCodeableConcept": _mark(entry, ladder, codes)}


def _mark(entry: Entry, ladder: Ladder, codes: Codes) -> Resource:
    """What was seen with which help: the result and the level as codes of ours, and both in words."""
    level = entry.needed if entry.outcome is Outcome.NEEDED else entry.offered
    if level is None:
        return {
            "coding": [_ours("result", entry.outcome.value.replace(" ", "-"))],
            "text": entry.outcome.value,
        }
    name = ladder.name(level)
    coding = [
        _ours("result", entry.outcome.value.replace(" ", "-")),
        {**_ours("help-level", str(level)), "display": name},
    ]
    if codes.help_answers and entry.outcome is not Outcome.NOT_MANAGED and name in HELP_ANSWERS:
        coding.append({"system": LOINC, "code": HELP_ANSWERS[name][0]})
    between = " " if entry.outcome is Outcome.NEEDED else " with "
    return {"coding": coding, "text": f"{entry.outcome.value}{between}{name}"}


def _last_rating(kept: KeptGoal) -> int:
    """The place of the newest rating; among ratings of one day, the one given last."""
    return max(range(len(kept.ratings)), key=lambda place: (kept.ratings[place].on, place))


def _t_score(record: ChildRecord, child: Resource, on: date) -> Iterator[Resource]:
    """One T score for the set of rated goals, with the rating of each goal as its member."""
    rated = [
        (skill, skill.goal, _last_rating(skill.goal))
        for skill in record.skills
        if skill.goal is not None and skill.goal.goal.scaled and skill.goal.ratings
    ]
    if not rated:
        return
    levels = [kept.ratings[place].level for _, kept, place in rated]
    weights = [kept.goal.weight for _, kept, _ in rated]
    yield {
        "resourceType": "Observation",
        "id": _id("t-score", record.id),
        "status": "final",
        "category": [_category("survey")],
        "code": {
            "coding": [_ours("observation", "goal-attainment-t-score")],
            "text": "Goal attainment T score; read it with the level of each goal",
        },
        "subject": child,
        "effectiveDateTime": max(kept.ratings[place].on for _, kept, place in rated).isoformat(),
        "valueQuantity": {"value": round(t_score(levels, weights), 2)},
        "hasMember": [_ref("rating", record.id, skill.id, place + 1) for skill, _, place in rated],
    }
