"""Facts about a whole record for reports: each a code with its values and the data it can be checked against.

Complements the facts about one skill's change (`core.evidence.report`). What people wrote down is told as
theirs, never as ours. No sentences here, and nothing that the record does not hold.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from bylittle.core.evidence.agreement import same_turns
from bylittle.core.evidence.amount import missing, practised, stops
from bylittle.core.evidence.child_record import ChildRecord, KeptPlan, KeptSkill, Visit
from bylittle.core.evidence.facts import Fact, Material
from bylittle.core.evidence.phases import phases_of
from bylittle.core.evidence.report import report_facts
from bylittle.core.evidence.series import Probe, managed_with_offer, practice_days, probes, series_of
from bylittle.core.evidence.timed_units import units_of
from bylittle.core.faults import Fault
from bylittle.core.plan.home_plan import HomePlan
from bylittle.core.practice.log import Change, Entry, PracticeLog
from bylittle.core.practice.marks import Status
from bylittle.core.stats.attainment import t_score
from bylittle.core.stats.proportions import wilson

MOST_NOTES = 6


class Where(StrEnum):
    """Which part of a record a fact rests on."""

    CHILD = "child"
    STEPS = "steps"
    PLANS = "plans"
    PROBES = "probes"
    PRACTICE = "practice"
    AGREEMENT = "agreement"
    DESIGN = "design"
    GOAL = "goal"
    REVIEWS = "reviews"
    CHECKS = "checks"
    VISITS = "visits"
    COACHING = "coaching"


@dataclass(frozen=True, slots=True)
class Reference:
    """The data a sentence can be checked against: part of the record, skill id, days (both included)."""

    where: Where
    skill: str = ""
    first: date | None = None
    last: date | None = None


@dataclass(frozen=True, slots=True)
class RecordFact:
    """One thing that the record says. `values`: numbers, dates, names and words as they were written."""

    code: str
    values: Mapping[str, object] = field(default_factory=dict)
    refers_to: tuple[Reference, ...] = ()


@dataclass(frozen=True, slots=True)
class Period:
    """The days a report is about, both included."""

    first: date
    last: date

    def holds(self, day: date | None) -> bool:
        """True when a day lies in this period."""
        return day is not None and self.first <= day <= self.last


@dataclass(frozen=True, slots=True)
class Asked:
    """What a report asks of the record: one child, one skill, the days it is about."""

    record: ChildRecord
    skill: KeptSkill
    period: Period

    @property
    def log(self) -> PracticeLog:
        """What is known at the end of the period: later rows are left out, with their corrections."""
        return PracticeLog.of(self._known())

    def _known(self) -> Iterable[Entry | Change]:
        for entry in self.skill.log.entries():
            if entry.day <= self.period.last:
                yield entry

    @property
    def entries(self) -> tuple[Entry, ...]:
        """The rows of the period that stand."""
        return tuple(entry for entry in self.skill.log.entries() if self.period.holds(entry.day))

    @property
    def plan(self) -> KeptPlan | None:
        """The plan that is followed at the end of the period."""
        return self.skill.plan_on(self.period.last)

    def ref(self, where: Where, days: Sequence[date] = ()) -> tuple[Reference, ...]:
        """A reference to this skill's data on these days."""
        return (Reference(where, self.skill.id, min(days, default=None), max(days, default=None)),)


def change_facts(asked: Asked) -> list[RecordFact]:
    """All facts about the skill's course up to the end of the period."""
    skill, log = asked.skill, asked.log
    versions = [(v.since, len(v.steps.steps)) for v in skill.versions if v.since is not None]
    twice = [pair for one, other in skill.twice for pair in same_turns(log, one, other)]
    found = report_facts(
        log, skill.newest.steps, _plans_so_far(asked), skill.ladder.top,
        carry_over_from=carry_over_from(skill), versions=versions, twice=twice,
    )  # fmt: skip
    return [of_skill(fact, skill.id) for fact in found]


def _plans_so_far(asked: Asked) -> list[HomePlan]:
    """The signed plans that began by the end of the period."""
    plans = [kept.plan for kept in asked.skill.signed_plans]
    return [plan for plan in plans if plan.start and plan.start <= asked.period.last]


def material_of(asked: Asked) -> Material:
    """The series and phases that the facts of change rest on, for those who need the probes themselves."""
    skill = asked.skill
    series = series_of(asked.log, skill.newest.steps, skill.ladder.top)
    return Material(series, phases_of(series, _plans_so_far(asked), carry_over_from(skill)))


def of_skill(fact: Fact, skill_id: str) -> RecordFact:
    """A fact about one skill as a fact about the record."""
    refers = tuple(Reference(Where(s.kind.value), skill_id, s.first, s.last) for s in fact.sources)
    return RecordFact(fact.code, fact.values, refers)


def carry_over_from(skill: KeptSkill) -> date | None:
    """The day from which nothing is taught any more: of a skill that lasts, the last review saying done."""
    done = [review.on for review in skill.reviews if review.decided == "done"]
    return max(done, default=None) if skill.state == "lasting" else None


def practice_facts(asked: Asked) -> list[RecordFact]:
    """What was practised in the period, how it went with the plan's help, what is missing, stops."""
    top, skill_id = asked.skill.ladder.top, asked.skill.id
    days = practice_days(asked.entries, top)
    if not days:
        return [RecordFact("nothing_in_period", _days(asked), asked.ref(Where.PRACTICE))]
    told = [practised(days), *missing(days), *stops(days)]
    return [*(of_skill(fact, skill_id) for fact in told), *help_now(asked)]


def _days(asked: Asked) -> dict[str, object]:
    return {"first": asked.period.first, "last": asked.period.last}


def help_now(asked: Asked) -> list[RecordFact]:
    """How often the help of the present plan was enough in the period, step by step, with its interval."""
    kept = asked.plan
    if kept is None or kept.plan.start is None:
        return []
    top, found = kept.plan.ladder.top, []
    entries = [entry for entry in asked.entries if entry.day >= kept.plan.start]
    for step in kept.plan.asked:
        rows = [
            entry for entry in entries if entry.step_id == step.step_id and entry.offered == step.help_level
        ]
        told = [managed_with_offer(e, r, top) for e in rows if (r := e.reach(top)).status is Status.DONE]
        if not told or step.help_level is None:
            continue
        managed, low_high = sum(map(bool, told)), wilson(sum(map(bool, told)), len(told))
        values = {"step": step.name, "help": kept.plan.ladder.name(step.help_level), "managed": managed}
        values |= {"of": len(told), "low": low_high[0], "high": low_high[1]}
        found.append(RecordFact("help_now", values, asked.ref(Where.PRACTICE, [e.day for e in rows])))
    return found


def plan_facts(asked: Asked) -> list[RecordFact]:
    """The plan that is followed now: who does what with which help, how much, since when, signed by whom."""
    kept = asked.plan
    if kept is None or kept.plan.start is None:
        return [RecordFact("no_plan", {}, asked.ref(Where.PLANS))]
    plan, ref = kept.plan, asked.ref(Where.PLANS, [kept.plan.start])
    helps = tuple(_with_help(kept, step.name, step.help_level) for step in plan.asked)
    values: dict[str, object] = {
        "number": plan.number,
        "since": plan.start,
        "asked": helps,
        "by": kept.signed_by,
    }
    dose = {"turns": plan.dose.turns_per_day, "minutes": plan.dose.minutes}
    if plan.dose.routine:
        dose["routine"] = plan.dose.routine  # type: ignore[assignment]
    found = [RecordFact("plan_now", values, ref), RecordFact("plan_dose", dose, ref)]
    if plan.grade:
        found.append(RecordFact("plan_material", {"material": plan.grade}, ref))
    return found


def _with_help(kept: KeptPlan, name: str, level: int | None) -> str:
    return name if level is None else f"{name} ({kept.plan.ladder.name(level)})"


def what_works(asked: Asked) -> list[RecordFact]:
    """Cue words, praise and what is done when it goes wrong, as the newest signed plan has them."""
    kept = asked.plan
    if kept is None:
        return []
    plan, ref = kept.plan, asked.ref(Where.PLANS, [kept.plan.start] if kept.plan.start else [])
    cues = tuple(
        dict.fromkeys(f"“{step.cue}”" for step in plan.steps if step.cue.strip() and not step.adult_only)
    )
    found = [RecordFact("cue_words", {"cues": cues}, ref)] if cues else []
    for code, text in (("praise", plan.praise), ("when_it_goes_wrong", plan.when_it_goes_wrong)):
        if text.strip():
            found.append(RecordFact(code, {"text": text.strip()}, ref))
    chaining = f"{plan.chaining.value} chaining" + " with leap-aheads" * plan.leap_ahead
    values = {"chaining": chaining, "order": plan.order_of_help.value, "wait": plan.wait_s}
    return [*found, RecordFact("way_of_teaching", values, ref)]


def goal_facts(asked: Asked) -> list[RecordFact]:
    """The goal, the level it started from, its last rating, and by when."""
    kept = asked.skill.goal
    if kept is None:
        return [RecordFact("no_goal", {}, asked.ref(Where.GOAL))]
    goal, ref = kept.goal, asked.ref(Where.GOAL, [kept.written_on] if kept.written_on else [])
    values: dict[str, object] = {"statement": goal.statement.strip().rstrip(".")}
    found = [RecordFact("goal", values | ({"by": goal.by} if goal.by else {}), ref)]
    if goal.baseline_level is not None and goal.scaled:
        level = goal.baseline_level
        found.append(RecordFact("goal_baseline", {"level": level, "text": _level(goal.levels, level)}, ref))
    rating = kept.rated_by(asked.period.last)
    starts = [k.plan.start for k in asked.skill.signed_plans if k.plan.start is not None]
    if rating is None or not goal.scaled or rating.on < min(starts, default=rating.on):
        return [*found, RecordFact("goal_not_rated_since", {}, ref)] if goal.scaled else found
    rated: dict[str, object] = {
        "level": rating.level,
        "text": _level(goal.levels, rating.level),
        "on": rating.on,
    }
    rated["by"] = rating.name or rating.by.value
    return [*found, RecordFact("goal_rated", rated, asked.ref(Where.GOAL, [rating.on]))]


def _level(levels: Sequence[str], level: int) -> str:
    return levels[level + 2].strip().rstrip(".")


def set_facts(record: ChildRecord, period: Period) -> list[RecordFact]:
    """The T score of all rated goals together; the levels stand beside it, never the score alone."""
    rated = [
        (skill, skill.goal, rating)
        for skill in record.skills
        if skill.goal and skill.goal.goal.scaled and (rating := skill.goal.rated_by(period.last))
    ]
    if len(rated) < 2:
        return []
    try:
        score = t_score([r.level for _, _, r in rated], [kept.goal.weight for _, kept, _ in rated])
    except Fault:
        return []
    levels = tuple(f"{skill.name} {rating.level:+d}" for skill, _, rating in rated)
    refers = tuple(Reference(Where.GOAL, skill.id, rating.on, rating.on) for skill, _, rating in rated)
    return [RecordFact("goals_together", {"t": round(score, 1), "n": len(rated), "levels": levels}, refers)]


def review_facts(asked: Asked) -> list[RecordFact]:
    """Each review of the period: what was advised and decided, and the reason in the decider's words."""
    found = []
    for review in asked.skill.reviews:
        if not asked.period.holds(review.on):
            continue
        values: dict[str, object] = {"on": review.on, "advised": review.advised, "decided": review.decided}
        values |= {"by": review.by} if review.by else {}
        values |= {"reason": review.reason.strip()} if review.reason.strip() else {}
        ref = asked.ref(Where.REVIEWS, [review.on])
        found.append(RecordFact("review_other" if review.overridden else "review_same", values, ref))
        for flag in review.raised:
            code = "red_flag_acted" if flag.done.strip() else "red_flag_open"
            told = {"question": flag.question, "done": flag.done.strip().rstrip("."), "on": review.on}
            found.append(RecordFact(code, told, ref))
    return found


def check_facts(asked: Asked) -> list[RecordFact]:
    """Carry-over checks done by the end of the period, and those that are due."""
    found = []
    for check in asked.skill.checks:
        values: dict[str, object] = {"due": check.due, "place": check.place}
        values |= {"adult": check.adult} if check.adult.strip() else {}
        if check.done_on is not None and check.done_on <= asked.period.last and check.kept is not None:
            values |= {"on": check.done_on} | ({"note": check.note.strip()} if check.note.strip() else {})
            code = "check_kept" if check.kept else "check_not_kept"
            found.append(RecordFact(code, values, asked.ref(Where.CHECKS, [check.done_on])))
        elif check.done_on is None or check.done_on > asked.period.last:
            code = "check_overdue" if check.due < asked.period.last else "check_due"
            found.append(RecordFact(code, values, asked.ref(Where.CHECKS, [check.due])))
    return found


def visit_facts(record: ChildRecord, period: Period) -> list[RecordFact]:
    """Visits of the period with their minutes, and the units that the timed minutes of a day would make."""
    visits = [visit for visit in record.visits if period.holds(visit.on)]
    if not visits:
        return [
            RecordFact("no_visits", {"first": period.first, "last": period.last}, (Reference(Where.VISITS),))
        ]
    days = [visit.on for visit in visits]
    ref = (Reference(Where.VISITS, "", min(days), max(days)),)
    minutes: dict[str, object] = {"n": len(visits), "minutes": sum(visit.minutes for visit in visits)}
    timed = sum(visit.timed_minutes for visit in visits)
    found = [
        RecordFact(
            "visits" if len(visits) > 1 else "visit_one",
            minutes | {"first": min(days), "last": max(days)},
            ref,
        )
    ]
    if timed:
        found.append(
            RecordFact("timed_units", {"minutes": timed, "units": sum(units_by_day(visits).values())}, ref)
        )
    return found


def units_by_day(visits: Iterable[Visit]) -> dict[date, int]:
    """Timed units of each day: the minutes of a day are added up first."""
    minutes: dict[date, int] = {}
    for visit in visits:
        minutes[visit.on] = minutes.get(visit.on, 0) + visit.timed_minutes
    return {day: units_of(total) for day, total in minutes.items()}


def notes_written(asked: Asked) -> list[RecordFact]:
    """What people wrote beside their marks in the period, the newest last, word for word."""
    noted = [entry for entry in asked.entries if entry.note.strip()]
    found = []
    for entry in noted[-MOST_NOTES:]:
        code = "note_by_team" if entry.source.observed else "note_by_family"
        values: dict[str, object] = {"day": entry.day, "note": entry.note.strip()}
        values |= {"adult": entry.adult} if entry.adult.strip() else {}
        found.append(RecordFact(code, values, asked.ref(Where.PRACTICE, [entry.day])))
    return found


def record_facts(asked: Asked) -> list[RecordFact]:
    """How far the record was corrected, so that a reader knows."""
    changes = [line.record for line in asked.skill.practice if isinstance(line.record, Change)]
    within = [change for change in changes if asked.period.holds(change.of.day)]
    if not within:
        return []
    ref = asked.ref(Where.PRACTICE, [change.of.day for change in within])
    return [RecordFact("corrected", {"n": len(within)}, ref)]


def safety_facts(record: ChildRecord) -> list[RecordFact]:
    """What keeps the child safe, word for word; an unanswered question is told as such."""
    who, ref = record.child, (Reference(Where.CHILD),)
    found = []
    for name, text in (("precautions", who.precautions), ("allergies", who.allergies), ("call", who.call)):
        told = text.strip()
        found.append(
            RecordFact(name, {"text": told.rstrip(".")}, ref) if told else RecordFact(f"no_{name}", {}, ref)
        )
    for name, signs in (("stop_signs", who.stop_signs), ("yes_signs", who.yes_signs)):
        found.append(RecordFact(name, {"signs": signs}, ref) if signs else RecordFact(f"no_{name}", {}, ref))
    return found


def probe_list(asked: Asked) -> tuple[Probe, ...]:
    """Every probe up to the end of the period, for the table beside the words."""
    ids = tuple(step.id for step in asked.skill.newest.steps.steps if not step.adult_only)
    return probes(asked.log.entries(), ids, asked.skill.ladder.top)
