"""One skill of a child with all that was ever planned, practised, seen and decided, as the core's value."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from django.utils import timezone

from bylittle.core.evidence.agreement import Scorer
from bylittle.core.evidence.child_record import (
    KeptCheck,
    KeptGoal,
    KeptPlan,
    KeptReview,
    KeptSkill,
    RatedBy,
    Rating,
    ReadinessSeen,
    ReasonGiven,
    RedFlag,
    TaughtVersion,
    Written,
)
from bylittle.core.evidence.kept_parts import (
    KeptClosing,
    KeptFidelity,
    KeptHindrance,
    KeptImport,
    KeptLook,
    KeptScan,
    KeptScreen,
    KeptSpoken,
)
from bylittle.core.plan.goal import Goal as CoreGoal
from bylittle.core.practice.log import Change
from bylittle.core.practice.marks import Source
from bylittle.web.plans.models import Gate, Goal, Plan
from bylittle.web.plans.queries import as_gate, as_home_plan, lines, plans_of
from bylittle.web.practice.models import Record
from bylittle.web.practice.queries import records_from
from bylittle.web.reports import kept_files
from bylittle.web.reports.hands import Told, typed
from bylittle.web.reports.own_pictures import pictures_of, plan_pictures_of
from bylittle.web.reviews.models import Review
from bylittle.web.skills.models import Skill, SkillVersion
from bylittle.web.skills.queries import as_core


def skill_of(skill: Skill, hands: Told) -> KeptSkill:
    """The skill; people by the names in `hands`."""
    imports = list(skill.imports.select_related("by").order_by("pk"))
    records = list(skill.records.select_related("by", "version", "plan", "imported").order_by("pk"))
    plans = plans_of(skill)
    return KeptSkill(
        id=str(skill.pk),
        name=skill.name,
        versions=tuple(_versions(skill)),
        library_id=skill.library_id,
        state=skill.state,
        routine=skill.routine,
        breakdown=skill.breakdown,
        adults_differ=skill.adults_differ,
        plans=tuple(_plan(plan, hands) for plan in plans),
        goal=_goal(Goal.objects.filter(skill=skill).prefetch_related("ratings").first()),
        practice=tuple(_practice(records, [row.pk for row in imports], hands)),
        reviews=tuple(_review(row, hands) for row in skill.reviews.select_related("by", "plan")),
        checks=tuple(
            KeptCheck(check.due, check.place, check.adult, check.done_on, check.kept, check.note)
            for check in skill.carryovers.order_by("due", "pk")
        ),
        twice=tuple(
            (
                Scorer(Source(pair.first_source), pair.first_adult),
                Scorer(Source(pair.second_source), pair.second_adult),
            )
            for pair in skill.scored_twice.order_by("pk")
        ),
        fits_in=skill.fits_in,
        fits_in_note=skill.fits_in_note,
        readiness=tuple(ReadinessSeen(row.item, row.answer, row.adaptation) for row in skill.readiness.all()),
        made_at=skill.created,
        looks=tuple(_looks(skill, hands)),
        screens=tuple(_screens(skill, hands)),
        closings=tuple(_closings(skill, hands)),
        coaching=tuple(_coaching(skill, hands)),
        imports=tuple(
            KeptImport(row.name, row.digest, row.rows, hands.name(row.by), row.at) for row in imports
        ),
        pictures=tuple(pictures_of(skill, hands)),
        plan_pictures=tuple(plan_pictures_of(skill, hands)),
        scans=tuple(_scans(plans, [row.pk for row in records], hands)),
        in_the_way=tuple(_hindrances(skill, hands)),
        spoken=tuple(_spoken(skill, hands)),
        waits_at=skill.waits_at,
        next_because=skill.next_because,
    )


def _versions(skill: Skill) -> Iterable[TaughtVersion]:
    for version in skill.versions.select_related("skill").prefetch_related("steps"):
        held = {"materials": lines(version.materials), "grades": tuple(version.grade_names)}
        yield TaughtVersion(
            steps=as_core(version),
            materials=held["materials"],
            grades=held["grades"],
            usual_grade=version.usual_grade,
            since=timezone.localdate(version.created),
            translations=_translations(version),
            origins=_json(version.origins) if version.origins else "",
            made_at=version.created,
            typed=typed({name: getattr(version, name) for name in held}, held),
        )


def _translations(version: SkillVersion) -> str:
    steps = {row.step_id: row.translations for row in version.steps.all() if row.translations}
    told = {"whole": version.translations, "steps": steps}
    return _json(told) if steps or version.translations else ""


def _json(told: Any) -> str:
    return json.dumps(told, ensure_ascii=False, sort_keys=True)


def _plan(plan: Plan, hands: Told) -> KeptPlan:
    gate: Gate | None = getattr(plan, "gate", None)
    kept = KeptPlan(
        plan=as_home_plan(plan),
        version=plan.version.number,
        band=(plan.band_low, plan.band_high),
        signed_by=hands.name(plan.signed_by),
        signed_on=timezone.localdate(plan.signed_at) if plan.signed_at else None,
        procedure=plan.procedure,
        bad_days=plan.bad_days,
        initials=tuple(plan.initials),
        copies_json=_json(plan.copies),
        made_at=plan.created,
        signed_at=plan.signed_at,
    )
    return _with_gate(kept, gate, hands) if gate else kept


def _with_gate(kept: KeptPlan, gate: Gate, hands: Told) -> KeptPlan:
    told = as_gate(gate)
    held = {"stop_signs": told.stop_signs, "yes_signs": told.yes_signs}
    return replace(
        kept,
        gate=told,
        language_check=gate.language_check,
        gate_by=hands.name(gate.answered_by),
        gate_at=gate.answered_at,
        typed=typed({name: getattr(gate, name) for name in held}, held),
    )


def _goal(goal: Goal | None) -> KeptGoal | None:
    if goal is None:
        return None
    ratings = tuple(
        Rating(row.on, row.level, RatedBy(row.rated_by), row.name, row.note) for row in goal.ratings.all()
    )
    told = CoreGoal(goal.statement, goal.levels, goal.baseline_level, goal.by)
    return KeptGoal(told, goal.written_on, ratings)


def _practice(rows: list[Record], imports: list[int], hands: Told) -> Iterable[Written]:
    """Every line as it was written; who corrected it goes by name, as everywhere in a record."""
    for row, record in zip(rows, records_from(rows), strict=True):
        by = hands.name(row.by)
        yield Written(
            record=replace(record, by=by) if isinstance(record, Change) else record,
            version=row.version.number,
            plan=row.plan.number if row.plan else None,
            by=by,
            at=row.at,
            file=row.imported.name if row.imported else "",
            imported=imports.index(row.imported.pk) + 1 if row.imported else None,
        )


def _review(review: Review, hands: Told) -> KeptReview:
    return KeptReview(
        on=review.on,
        advised=review.advised,
        decided=review.decided,
        reason=review.reason,
        why=tuple(ReasonGiven(why["code"], _json(why.get("values", {}))) for why in review.advised_why),
        red_flags=tuple(
            RedFlag(name, told.get("done", ""), told.get("yes")) for name, told in review.red_flags.items()
        ),
        plan=review.plan.number if review.plan else None,
        by=hands.name(review.by),
        at=review.at,
    )


def _looks(skill: Skill, hands: Told) -> Iterable[KeptLook]:
    for row in skill.breakdown_looks.select_related("by"):
        yield KeptLook(row.on, tuple(row.seen), row.strength, row.kind, hands.name(row.by))


def _screens(skill: Skill, hands: Told) -> Iterable[KeptScreen]:
    for row in skill.screens.select_related("by"):
        yield KeptScreen(
            name=row.name,
            on=row.on,
            thing_json=_json(row.thing),
            age_months=row.age_months,
            strict=row.strict,
            food_allergy=row.food_allergy,
            swallow_concern=row.swallow_concern,
            mouths=row.mouths,
            verdict=row.verdict,
            findings_json=_json(row.findings),
            left_out_on=row.left_out_on,
            by=hands.name(row.by),
        )


def _closings(skill: Skill, hands: Told) -> Iterable[KeptClosing]:
    for row in skill.closings.select_related("by", "reopened_by"):
        again = row.reopened_on, hands.name(row.reopened_by)
        yield KeptClosing(row.on, row.reason, row.tried, hands.name(row.by), *again)


def _spoken(skill: Skill, hands: Told) -> Iterable[KeptSpoken]:
    for row in skill.spoken_words.select_related("by"):
        words = tuple(sorted(row.words.items()))
        yield KeptSpoken(row.on, row.adult, row.language, words, row.at_visit, hands.name(row.by))


def _coaching(skill: Skill, hands: Told) -> Iterable[KeptFidelity]:
    for row in skill.fidelity_checks.select_related("by", "plan"):
        seen = tuple(sorted(row.seen.items()))
        yield KeptFidelity(row.on, row.adult, row.plan.number, seen, row.note, hands.name(row.by))


def _scans(plans: list[Plan], records: list[int], hands: Told) -> Iterable[KeptScan]:
    """The photographed pages that were read for one of the skill's plans, oldest first."""
    at = {key: number for number, key in enumerate(records, 1)}
    rows = [row for plan in plans for row in plan.scans.select_related("by", "accepted_by")]
    for row in sorted(rows, key=lambda row: row.pk):
        yield KeptScan(
            at=row.at,
            by=hands.name(row.by),
            name=row.name,
            digest=row.digest,
            state=row.state,
            plan=next(plan.number for plan in plans if plan.pk == row.plan_id),
            part=row.part,
            why=row.why,
            sheet=row.sheet,
            page=row.page,
            ink_json=_json(row.ink),
            places_json=_json(row.places),
            rows_json=_json(row.rows),
            picture=f"{kept_files.SCANS}/{row.picture}" if row.picture else "",
            width=row.width,
            height=row.height,
            start=row.start,
            adults_json=_json(row.adults),
            changed=row.changed,
            records=tuple((name, at[key]) for name, key in sorted(row.records.items()) if key in at),
            put_right=tuple(row.put_right),
            accepted_by=hands.name(row.accepted_by),
            accepted_at=row.accepted_at,
            refusal=row.refusal,
            week=row.week,
            initials=tuple(row.initials),
            trail_json=_json(row.trail),
            free_word=row.free_word,
        )


def _hindrances(skill: Skill, hands: Told) -> Iterable[KeptHindrance]:
    for row in skill.in_the_way.select_related("by", "back_by", "plan").order_by("pk"):
        yield KeptHindrance(
            first=row.first,
            last=row.last,
            what=row.what,
            source=row.source,
            plan=row.plan.number if row.plan else None,
            photograph=row.photograph,
            by=hands.name(row.by),
            at=row.at,
            back_by=hands.name(row.back_by),
            back_at=row.back_at,
            words=row.words,
        )
