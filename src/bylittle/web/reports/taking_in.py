"""Taking a child's archive into the records: all of it or nothing, as a child of her own."""

from __future__ import annotations

import json
from datetime import date, datetime, time

from django.db import transaction
from django.utils import timezone

from bylittle.core.evidence import child_record as kept
from bylittle.core.practice.log import Change, Entry
from bylittle.web.people.models import Caregiver, Child, Person, Role, Routine
from bylittle.web.plans.models import Gate, Goal, GoalRating, Plan, PlanStep
from bylittle.web.practice.models import Import, Record, RecordKind, ScoredTwice, Visit
from bylittle.web.reviews.models import Carryover, Review
from bylittle.web.skills.models import ReadinessAnswer, Skill, SkillVersion
from bylittle.web.skills.versions import Setting, write_version

_NOON = time(12, 0)


class _People:
    """The members of the team by the name they go by; one who is not here any more is kept without a key."""

    def __init__(self, record: kept.ChildRecord, by: Person) -> None:
        self._by = by
        self._known = {person.shown_name: person for person in Person.objects.all()}
        self._roles = {adult.name: adult.role for adult in record.team}

    def named(self, name: str) -> Person | None:
        return self.somebody(name) if name else None

    def somebody(self, name: str) -> Person:
        if not name:
            return self._by
        if name not in self._known:
            self._known[name] = self._gone(name)
        return self._known[name]

    def _gone(self, name: str) -> Person:
        person = Person(username=f"archive-{Person.objects.count() + 1}", first_name=name[:150])
        person.role, person.is_active = self._roles.get(name, Role.ASSISTANT), False
        person.set_unusable_password()
        person.save()
        return person


@transaction.atomic
def take_in(record: kept.ChildRecord, by: Person) -> Child:
    """Make the child of an archive, on the team of whoever takes her in."""
    who, people = record.child, _People(record, by)
    child = Child.objects.create(
        name=who.name,
        born=who.born,
        due=who.due,
        left_handed=who.left_handed,
        language=who.language,
        second_language=who.second_language,
        precautions=who.precautions,
        allergies=who.allergies,
        stop_signs="\n".join(who.stop_signs),
        yes_signs="\n".join(who.yes_signs),
        call=who.call,
        loves=who.loves,
        finds_hard=who.finds_hard,
        wears=who.wears,
        mouths=who.mouths,
    )
    child.team.add(by, *(people.somebody(adult.name) for adult in record.team))
    _around(child, record, people)
    for skill in record.skills:
        _skill(child, skill, people)
    return child


def _around(child: Child, record: kept.ChildRecord, people: _People) -> None:
    for adult in record.adults:
        Caregiver.objects.create(child=child, name=adult.name, initials=adult.initials)
    for day in record.routines:
        told = {"what": day.what, "who": day.who, "place": day.place, "mood": day.mood}
        Routine.objects.create(child=child, minutes=day.minutes, **told)
    for visit in record.visits:
        Visit.objects.create(
            child=child,
            on=visit.on,
            minutes=visit.minutes,
            timed_minutes=visit.timed_minutes,
            place=visit.place,
            done=visit.done,
            by=people.named(visit.by),
        )


def _skill(child: Child, told: kept.KeptSkill, people: _People) -> None:
    skill = Skill.objects.create(
        child=child,
        name=told.name,
        library_id=told.library_id,
        state=told.state,
        routine=told.routine,
        breakdown=told.breakdown,
        adults_differ=told.adults_differ,
        fits_in=told.fits_in,
        fits_in_note=told.fits_in_note,
    )
    versions = {version.steps.number: _version(skill, version) for version in told.versions}
    plans = {plan.plan.number: _plan(skill, versions[plan.version], plan, people) for plan in told.plans}
    _goal(skill, told.goal)
    _practice(skill, told.practice, versions, plans, people)
    for review in told.reviews:
        _review(skill, review, plans, people)
    for check in told.checks:
        _check(skill, check)
    for one, other in told.twice:
        pair = {"first_source": one.source, "first_adult": one.adult}
        ScoredTwice.objects.create(skill=skill, second_source=other.source, second_adult=other.adult, **pair)
    for seen in told.readiness:
        answer = {"item": seen.item, "answer": seen.answer, "adaptation": seen.adaptation}
        ReadinessAnswer.objects.create(skill=skill, **answer)


def _version(skill: Skill, told: kept.TaughtVersion) -> SkillVersion:
    setting = Setting(
        told.steps.mirrored, "\n".join(told.materials), "\n".join(told.grades), told.usual_grade
    )
    version = write_version(skill, told.steps.number, told.steps.steps, setting)
    words = json.loads(told.translations) if told.translations else {"whole": {}, "steps": {}}
    version.translations = words["whole"]
    if told.since is not None:
        version.created = _at(told.since)
    version.save()
    for row in version.steps.all():
        row.translations = words["steps"].get(row.step_id, {})
        row.save(update_fields=["translations"])
    return version


def _at(day: date) -> datetime:
    return timezone.make_aware(datetime.combine(day, _NOON))


def _plan(skill: Skill, version: SkillVersion, told: kept.KeptPlan, people: _People) -> Plan:
    home = told.plan
    plan = Plan.objects.create(
        skill=skill,
        version=version,
        number=home.number,
        code=home.plan_id,
        chaining=home.chaining,
        order_of_help=home.order_of_help,
        levels=list(home.ladder.names),
        grade=home.grade,
        routine=home.dose.routine,
        turns_per_day=home.dose.turns_per_day,
        days=home.dose.days,
        minutes=home.dose.minutes,
        wait_s=home.wait_s,
        when_it_goes_wrong=home.when_it_goes_wrong,
        praise=home.praise,
        start=home.start,
        band_low=told.band[0],
        band_high=told.band[1],
        signed_by=people.somebody(told.signed_by) if told.signed else None,
        signed_at=_at(told.signed_on) if told.signed and told.signed_on else None,
        initials=list(home.adults) if told.signed else [],
    )
    PlanStep.objects.bulk_create(
        PlanStep(plan=plan, step_id=step.step_id, asked=step.asked, help_level=step.help_level)
        for step in home.steps
    )
    if told.gate is not None:
        _gate(plan, told, people)
    return plan


def _gate(plan: Plan, told: kept.KeptPlan, people: _People) -> None:
    gate = told.gate
    assert gate is not None
    Gate.objects.create(
        plan=plan,
        answers={answer.question: {"yes": bool(answer.yes), "done": answer.done} for answer in gate.answers},
        precautions=gate.precautions or "",
        allergies=gate.allergies or "",
        stop_signs="\n".join(gate.stop_signs),
        yes_signs="\n".join(gate.yes_signs),
        call=gate.call,
        language_check=told.language_check,
        answered_by=people.somebody(told.signed_by),
        answered_at=plan.signed_at or timezone.now(),
    )


def _goal(skill: Skill, told: kept.KeptGoal | None) -> None:
    if told is None:
        return
    names = ("much_less", "less", "expected", "more", "much_more")
    goal = Goal.objects.create(
        skill=skill,
        statement=told.goal.statement,
        baseline_level=told.goal.baseline_level,
        by=told.goal.by,
        written_on=told.written_on or timezone.localdate(),
        **dict(zip(names, told.goal.levels, strict=True)),
    )
    for rating in told.ratings:
        said = {"rated_by": rating.by, "name": rating.name, "note": rating.note}
        GoalRating.objects.create(goal=goal, on=rating.on, level=rating.level, **said)


def _practice(
    skill: Skill,
    lines: tuple[kept.Written, ...],
    versions: dict[int, SkillVersion],
    plans: dict[int, Plan],
    people: _People,
) -> None:
    """The record line by line. What a later word is about is the line that stands under its identity."""
    standing: dict[object, Record] = {}
    files: dict[str, Import] = {}
    for line in lines:
        record = line.record
        entry = record if isinstance(record, Entry) else record.entry
        about = standing.pop(record.of, None) if isinstance(record, Change) else None
        row = _row(skill, entry, about)
        row.version = versions[line.version]
        row.plan = plans.get(line.plan) if line.plan else None
        row.by, row.imported = people.named(line.by), _file(skill, line.file, files, people)
        if line.at is not None:
            row.at = line.at
        if isinstance(record, Change):
            row.kind, row.about, row.reason = RecordKind(record.kind.value), about, record.reason
        row.save()
        if entry is not None:
            standing[entry.identity] = row


def _row(skill: Skill, entry: Entry | None, about: Record | None) -> Record:
    """A row with the content of an entry; one that takes a row out repeats what it takes out."""
    if entry is None:
        assert about is not None
        names = (
            "day", "turn", "step_id", "outcome", "source", "adult", "offered", "needed", "order", "place",
            "grade", "note", "probe",
        )  # fmt: skip
        return Record(skill=skill, **{name: getattr(about, name) for name in names})
    return Record(
        skill=skill,
        day=entry.day,
        turn=entry.turn,
        step_id=entry.step_id,
        outcome=entry.outcome,
        source=entry.source,
        adult=entry.adult,
        offered=entry.offered,
        needed=entry.needed,
        order=entry.order,
        place=entry.place,
        grade=entry.grade,
        note=entry.note,
        probe=entry.probe or "",
    )


def _file(skill: Skill, name: str, files: dict[str, Import], people: _People) -> Import | None:
    if not name:
        return None
    if name not in files:
        files[name] = Import.objects.create(skill=skill, name=name, digest="", rows=0, by=people.named(""))
    return files[name]


def _review(skill: Skill, told: kept.KeptReview, plans: dict[int, Plan], people: _People) -> None:
    review = Review(
        skill=skill,
        plan=plans.get(told.plan) if told.plan else None,
        on=told.on,
        advised=told.advised,
        advised_why=[{"code": why.code, "values": json.loads(why.values)} for why in told.why],
        decided=told.decided,
        reason=told.reason,
        red_flags={flag.question: {"yes": True, "done": flag.done} for flag in told.red_flags},
        by=people.somebody(told.by),
    )
    if told.at is not None:
        review.at = told.at
    review.save()


def _check(skill: Skill, told: kept.KeptCheck) -> None:
    Carryover.objects.create(
        skill=skill,
        due=told.due,
        place=told.place,
        adult=told.adult,
        done_on=told.done_on,
        kept=told.kept,
        note=told.note,
    )
