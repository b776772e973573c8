"""Taking a child's record into the database: all of it or nothing, as a child of her own."""

from __future__ import annotations

from django.db import DataError, IntegrityError, transaction

from bylittle.core.evidence.child_record import ChildRecord
from bylittle.core.evidence.record_checks import check_record
from bylittle.core.faults import BadValue
from bylittle.web.people.models import Caregiver, Child, Person, Routine
from bylittle.web.practice.models import Visit
from bylittle.web.reports import sound
from bylittle.web.reports.hands import Found, as_typed
from bylittle.web.reports.models import KeptReport
from bylittle.web.reports.own_pictures import take_consents, take_pictures, take_plan_pictures
from bylittle.web.reports.taking_skill import take_skill

USUAL_TEXT_SIZE = 14


def take_in(record: ChildRecord, by: Person | None) -> Child:
    """Make the child of an archive, on the team of whoever takes her in (None: at the command line).

    Faults for parts that point nowhere and values that no field may hold; nothing is kept then.
    """
    check_record(record)
    try:
        with transaction.atomic():
            return written(record, by)
    except (IntegrityError, DataError, OverflowError) as problem:
        raise BadValue("archive_unreadable", name="file", value=str(problem)[:80], allowed="") from problem


def written(record: ChildRecord, by: Person | None) -> Child:
    """The record's rows, inside the caller's transaction. `by`: None where nobody is to join the team."""
    people = Found(record, by)
    child = _child(record)
    child.team.add(*([by] if by else []), *(people.somebody(adult.name) for adult in record.team))
    _around(child, record, people)
    files = {file.name: file for file in record.files}
    consents = take_consents(child, record.consents, people)
    for told in record.skills:
        skill = take_skill(child, told, people, files)
        pictures = take_pictures(skill, told.pictures, consents, people, files)
        take_plan_pictures(skill, told.plan_pictures, pictures, people)
    _reports(child, record, people)
    return child


def _child(record: ChildRecord) -> Child:
    who = record.child
    signs = as_typed(who.typed, {"stop_signs": who.stop_signs, "yes_signs": who.yes_signs})
    child = sound.kept(
        Child(
            name=who.name,
            born=who.born,
            due=who.due,
            left_handed=who.left_handed,
            language=who.language,
            second_language=who.second_language,
            precautions=who.precautions,
            allergies=who.allergies,
            call=who.call,
            loves=who.loves,
            finds_hard=who.finds_hard,
            wears=who.wears,
            mouths=who.mouths,
            text_size=USUAL_TEXT_SIZE if who.text_size is None else who.text_size,
            **signs,
        )
    )
    if who.noted_at is not None:
        Child.objects.filter(pk=child.pk).update(created=who.noted_at)
        child.created = who.noted_at
    return child


def _around(child: Child, record: ChildRecord, people: Found) -> None:
    for adult in record.adults:
        sound.kept(Caregiver(child=child, name=adult.name, initials=adult.initials))
    for day in record.routines:
        told = {"what": day.what, "who": day.who, "place": day.place, "mood": day.mood}
        sound.kept(Routine(child=child, minutes=day.minutes, **told))
    for visit in record.visits:
        sound.kept(
            Visit(
                child=child,
                on=visit.on,
                minutes=visit.minutes,
                timed_minutes=visit.timed_minutes,
                place=visit.place,
                done=visit.done,
                by=people.named(visit.by),
            )
        )


def _reports(child: Child, record: ChildRecord, people: Found) -> None:
    for told in record.reports:
        sound.kept(
            KeptReport(
                child=child,
                kind=told.kind,
                content=told.content,
                made_by=people.somebody(told.made_by),
                made_at=told.made_at,
                signed_by=people.named(told.signed_by),
                signed_at=told.signed_at,
            )
        )
