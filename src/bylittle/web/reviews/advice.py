"""The advice of a skill for today: worked out from the log, kept for the day so that pages are quick.

What is kept is derived and never edited; it is made again whenever the record, the plan or the day changes.
"""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import asdict, replace
from datetime import date
from itertools import pairwise
from typing import Any

from bylittle import library
from bylittle.core.advice import Decision, IfThen, Pattern, PatternKind, Why
from bylittle.core.advice import LowFidelity as LowHelp
from bylittle.core.plan.home_plan import MOST_ASKED_STEPS, Chaining
from bylittle.core.practice.marks import Source
from bylittle.core.skill.ladder import Ladder
from bylittle.web.plans import waiting
from bylittle.web.plans.models import Plan
from bylittle.web.plans.queries import signed_plan
from bylittle.web.practice import fidelity
from bylittle.web.practice.coaching import coaching_of
from bylittle.web.practice.fidelity import LowFidelity
from bylittle.web.practice.models import Record
from bylittle.web.practice.queries import log_from, log_of
from bylittle.web.reviews.models import KeptAdvice, Review
from bylittle.web.reviews.own_prior import own_prior, which
from bylittle.web.skills.models import Breakdown, Skill, SkillVersion
from bylittle.web.skills.queries import as_core, ready_skill
from bylittle.workflows.advise_log import AdviceSetting, AdvisedLog, NextStep, StepOutlook, advise_log
from bylittle.workflows.foresight import Gap, WholeSkill
from bylittle.workflows.replay import StepChange

#: Raised when what is kept changes shape or the calculation changes: old keepings are then stale.
FORM = "6"
PROBES = (Source.PROBE, Source.BASELINE)


def setting_of(
    skill: Skill, version: SkillVersion, plan: Plan | None, red_flags: tuple[str, ...] = ()
) -> AdviceSetting:
    """What the adviser is told beside the log."""
    if plan is None:
        ready = ready_skill(skill.library_id)
        chaining = Chaining(ready.chaining.direction) if ready else Chaining.BACKWARD
        return AdviceSetting(
            version=as_core(version),
            chaining=chaining,
            baseline_wanted=True,
            prior=own_prior(),
            changes=changes_of(skill, version),
        )
    return AdviceSetting(
        version=as_core(version),
        ladder=plan.ladder,
        chaining=Chaining(plan.chaining),
        leap_ahead=plan.leap_ahead and Chaining(plan.chaining).can_leap,
        band=(plan.band_low, plan.band_high),
        plan_since=plan.start,
        red_flags=red_flags,
        doing_breaks_down=skill.breakdown == Breakdown.DOING,
        easier_material=version.is_easier(plan.grade),
        adults_differ=adults_differ(skill),
        grades=tuple(version.grade_names),
        grade=plan.grade,
        low_fidelity=_low(skill, plan),
        prior=own_prior(),
        changes=changes_of(skill, version),
    )


def changes_of(skill: Skill, version: SkillVersion) -> tuple[StepChange, ...]:
    """Where steps were split or put together on the way to this version, oldest first."""
    versions = sorted(skill.versions.all(), key=lambda each: each.number)
    pairs = [(old, new) for old, new in pairwise(versions) if new.origins and new.number <= version.number]
    return tuple(
        StepChange(
            tuple(row.step_id for row in old.steps.all() if not row.adult_only),
            {step_id: tuple(ids) for step_id, ids in new.origins.items()},
        )
        for old, new in pairs
    )


def adults_differ(skill: Skill) -> bool:
    """True where the therapist noted it, or where the last checks of two adults show it."""
    return skill.adults_differ or coaching_of(skill).differ


def _low(skill: Skill, plan: Plan) -> LowHelp | None:
    low = low_fidelity(skill, plan)
    return LowHelp(low.name, low.share, low.turns, low.all_turns) if low else None


def low_fidelity(skill: Skill, plan: Plan | None) -> LowFidelity | None:
    """The adult whose last check lies lowest under the usual bar, with the turns that rest on this adult.

    Turns are those of practice since the plan began, as they stand in the log; a probe is nobody's practice.
    None where every adult reached the bar or none was watched. The log is read only where there is one.
    """
    shown = coaching_of(skill)
    if shown.lowest is None:
        return None
    since = plan.start if plan else None
    practice = [entry for entry in log_of(skill).entries() if entry.source not in PROBES]
    turns = {
        (entry.adult, entry.day, entry.source, entry.turn)
        for entry in practice
        if since is None or entry.day >= since
    }
    return fidelity.low_fidelity(shown, Counter(adult for adult, *_ in turns))


def open_red_flags(reviews: list[Review]) -> tuple[str, ...]:
    """The questions answered yes at the last review about which nothing was done yet."""
    told = reviews[-1].red_flags if reviews else {}
    questions = {flag.id: str(flag.question).rstrip("?") for flag in library.red_flags()}
    return tuple(
        questions.get(name, name) for name, it in told.items() if it.get("yes") and not it.get("done")
    )


def flags_of(skill: Skill) -> tuple[str, ...]:
    """The safety questions that stand answered yes: what was done may be written at a review or in a plan."""
    if not open_red_flags(list(skill.reviews.all())):
        return ()
    return tuple(words.rstrip("?") for words in waiting.questions_of(waiting.open_flags(skill)))


def proposed_for(skill: Skill, draft: Plan, found: AdvisedLog) -> AdvisedLog:
    """The advice with the challenge that the draft's own band and direction give.

    The band of a draft rules nothing but its own proposal until it is signed; where both are those that the
    advice rests on already, nothing is worked out again.
    """
    plan = signed_plan(list(skill.plans.all()))
    setting = setting_of(skill, draft.version, plan, flags_of(skill))
    band, chaining = (draft.band_low, draft.band_high), Chaining(draft.chaining)
    leap = draft.leap_ahead and chaining.can_leap
    there = (setting.band, setting.chaining, setting.leap_ahead)
    if there == (band, chaining, leap) or not 0 < band[0] < band[1] < 1:
        return found
    own = replace(setting, band=band, chaining=chaining, leap_ahead=leap, ladder=found.ladder)
    return replace(found, proposed=advise_log(log_of(skill), own, found.on).proposed)


def advised(skill: Skill, today: date) -> AdvisedLog:
    """Today's advice for a skill.

    Reads `versions` (with `steps`), `plans` (with `steps`), `reviews` and `kept_advice` of the skill: fetch
    them beforehand for many skills. Only where the kept advice is stale is the log read and replayed.
    """
    versions = list(skill.versions.all())
    plans = list(skill.plans.all())
    plan = signed_plan(plans)
    basis = _basis(skill, versions[-1], plan, today)
    kept: KeptAdvice | None = getattr(skill, "kept_advice", None)
    if kept is not None and kept.basis == basis:
        return from_json(kept.content)
    setting = setting_of(skill, versions[-1], plan, flags_of(skill))
    found = advise_log(log_from(skill.records.order_by("pk")), setting, today)
    KeptAdvice.objects.update_or_create(skill=skill, defaults={"basis": basis, "content": as_json(found)})
    return found


def _basis(skill: Skill, version: SkillVersion, plan: Plan | None, today: date) -> str:
    told = (
        FORM,
        last_record(skill),
        version.pk,
        plan.pk if plan else 0,
        len(list(skill.reviews.all())),
        skill.breakdown,
        int(adults_differ(skill)),
        _lowest(skill),
        which(),
        today.isoformat(),
    )
    return ":".join(str(part) for part in told)


def _lowest(skill: Skill) -> str:
    lowest = coaching_of(skill).lowest
    return f"{lowest.latest.adult} {lowest.latest.share:.3f}" if lowest else ""


def last_record(skill: Skill) -> int:
    """The newest row of the record: `last_record` where a query brought it along."""
    told = getattr(skill, "last_record", None)
    if told is not None:
        return int(told)
    newest = Record.objects.filter(skill=skill).order_by("-pk").values_list("pk", flat=True).first()
    return newest or 0


def as_json(found: AdvisedLog) -> dict[str, Any]:
    """The advice as plain values for the database."""
    text = json.dumps(asdict(found) | {"ladder": list(found.ladder.names)}, default=_plain)
    return json.loads(text)


def _plain(value: object) -> object:
    if isinstance(value, date):
        return value.isoformat()
    if hasattr(value, "item"):
        return value.item()
    if isinstance(value, set | frozenset):
        return sorted(value)
    if hasattr(value, "items"):
        return dict(value.items())
    raise TypeError(f"{type(value)} has no plain form")


def from_json(content: dict[str, Any]) -> AdvisedLog:
    """The advice from its plain values."""
    ladder = Ladder(tuple(content["ladder"]))
    return AdvisedLog(
        **{
            **content,
            "on": date.fromisoformat(content["on"]),
            "ladder": ladder,
            "steps": tuple(
                StepOutlook(**{**step, "chances": tuple(tuple(chance) for chance in step["chances"])})
                for step in content["steps"]
            ),
            "decision": Decision(content["decision"]),
            "why": tuple(Why(**why) for why in content["why"]),
            "patterns": tuple(
                Pattern(**{**found, "kind": PatternKind(found["kind"]), "steps": tuple(found["steps"])})
                for found in content["patterns"]
            ),
            "proposed": tuple(NextStep(**step) for step in content["proposed"]),
            "rules": tuple(IfThen(**rule) for rule in content["rules"]),
            "ahead": _ahead(content["ahead"]),
            "gap": Gap(**content["gap"]),
        }
    )


def _ahead(content: dict[str, Any]) -> WholeSkill:
    days = {name: content[name] for name in ("early", "middle", "late")}
    return WholeSkill(
        **{**content, **{name: date.fromisoformat(day) if day else None for name, day in days.items()}}
    )


def challenge_of(found: AdvisedLog) -> dict[str, int]:
    """The proposed challenge as {step id: help level}.

    A plan asks at most `MOST_ASKED_STEPS` steps: of more the surest are left out, the child does them anyway.
    """
    alone = {step.step_id: step.chances[-1][0] for step in found.steps if step.chances}
    least_sure = sorted(found.proposed, key=lambda step: alone[step.step_id])[:MOST_ASKED_STEPS]
    return {step.step_id: step.level for step in found.proposed if step in least_sure}
