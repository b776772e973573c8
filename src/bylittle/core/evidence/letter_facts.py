"""Facts for the family's letter: the same data in fewer numbers, each that can be said in short words."""

from __future__ import annotations

from math import ceil, floor

from bylittle.core.evidence.change import median_of
from bylittle.core.evidence.record_facts import Asked, RecordFact, Reference, Where, material_of
from bylittle.core.evidence.series import practice_days


def letter_facts(asked: Asked) -> list[RecordFact]:
    """In the order of the letter: practice, then and now, what comes next, when to stop, whom to call."""
    return [*practised(asked), *then_and_now(asked), *now_asked(asked), *stopping(asked)]


def practised(asked: Asked) -> list[RecordFact]:
    """On how many days the family practised; a quiet time is told without blame."""
    top, skill = asked.skill.ladder.top, asked.skill.name
    days = [day for day in practice_days(asked.entries, top) if not day.observed]
    ref = asked.ref(Where.PRACTICE, [day.day for day in days])
    if not days:
        return [RecordFact("letter_no_practice", {"skill": skill}, ref)]
    values = {"days": len({day.day for day in days}), "turns": sum(day.turns for day in days), "skill": skill}
    stopped = sum(day.stopped for day in days)
    found = [RecordFact("letter_practice", values, ref)]
    return [*found, RecordFact("letter_stops", {"n": stopped}, ref)] if stopped else found


def then_and_now(asked: Asked) -> list[RecordFact]:
    """Steps alone before teaching (the median, as in reports) and in the last probe, as they were counted.

    `then_told`: the median in whole steps; one that lies between two is told as the one or the other.
    """
    material = material_of(asked)
    if not material.after:
        return [RecordFact("letter_no_probe", {}, asked.ref(Where.PROBES))]
    now = material.after[-1]
    values: dict[str, object] = {"now": now.alone, "steps": now.steps, "on": now.day}
    if not material.before:
        return [RecordFact("letter_now", values, asked.ref(Where.PROBES, [now.day]))]
    then = median_of(material.before)
    values |= {"then": then, "then_told": tuple(map(str, sorted({floor(then), ceil(then)})))}
    days = [probe.day for probe in (*material.before, now)]
    code = _course(then, now.alone, now.steps)
    return [RecordFact(f"letter_{code}", values, asked.ref(Where.PROBES, days))]


def _course(then: float, now: int, steps: int) -> str:
    if now == steps:
        return "all_still" if then == steps else "all"
    return "more" if now > then else "same" if now == then else "fewer"


def now_asked(asked: Asked) -> list[RecordFact]:
    """What the child does in the plan that is followed now, and with which help."""
    kept = asked.plan
    if kept is None or kept.plan.start is None or not kept.plan.asked or asked.skill.state == "closed":
        return []
    plan, ref = kept.plan, asked.ref(Where.PLANS, [kept.plan.start])
    steps = tuple(step.name for step in plan.asked)
    everything = len(plan.asked) == sum(not step.adult_only for step in plan.steps)
    offers = {step.help_level for step in plan.asked}
    alone = offers == {plan.ladder.top}
    values: dict[str, object] = {"steps": steps, "step_ids": tuple(step.step_id for step in plan.asked)}
    if len(offers) == 1 and (level := offers.pop()) is not None and not alone:
        values["help"] = plan.ladder.name(level)
    code = "letter_asked_all" if everything and alone else "letter_asked_alone" if alone else "letter_asked"
    return [RecordFact(code, values, ref), RecordFact("letter_dose", {"minutes": plan.dose.minutes}, ref)]


def stopping(asked: Asked) -> list[RecordFact]:
    """The child's own stop signs, and whom to call."""
    who, ref = asked.record.child, (Reference(Where.CHILD),)
    found = [RecordFact("letter_stop", {"signs": who.stop_signs}, ref)] if who.stop_signs else []
    return [*found, RecordFact("letter_call", {"call": who.call}, ref)] if who.call.strip() else found
