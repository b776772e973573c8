"""A child's whole record as one value of the core: what reports tell and exports carry."""

from __future__ import annotations

from collections.abc import Iterable

from django.utils import timezone

from bylittle.core.evidence.child_record import ChildRecord, DayRoutine, FamilyAdult, Visit, Who
from bylittle.core.evidence.kept_parts import KeptFile, KeptReport
from bylittle.web.people.models import Child, Service
from bylittle.web.plans.queries import lines
from bylittle.web.reports import kept_files
from bylittle.web.reports.hands import Told, typed
from bylittle.web.reports.models import KeptReport as ReportRow
from bylittle.web.reports.own_pictures import consents_of, files_of
from bylittle.web.reports.record_of_skill import skill_of
from bylittle.web.skills.models import Skill


def record_of(child: Child, *, files: bool = False) -> ChildRecord:
    """Everything that is kept of a child, with every correction; `files`: with the pictures themselves."""
    hands = Told()
    skills = list(child.skills.select_related("child").order_by("pk"))
    return ChildRecord(
        id=str(child.pk),
        child=_who(child),
        adults=tuple(FamilyAdult(adult.name, adult.initials) for adult in child.caregivers.all()),
        team=tuple(hands.adult(person) for person in child.team.order_by("pk")),
        skills=tuple(skill_of(skill, hands) for skill in skills),
        visits=tuple(_visits(child, hands)),
        service=Service.current().name,
        routines=tuple(
            DayRoutine(row.what, row.who, row.place, row.minutes, row.mood) for row in child.routines.all()
        ),
        reports=tuple(_reports(child, hands)),
        consents=tuple(consents_of(child, hands)),
        hands=hands.all,
        files=tuple(_files(skills)) if files else (),
    )


def _who(child: Child) -> Who:
    signs = {"stop_signs": lines(child.stop_signs), "yes_signs": lines(child.yes_signs)}
    return Who(
        name=child.name,
        born=child.born,
        due=child.due,
        left_handed=child.left_handed,
        language=child.language,
        precautions=child.precautions,
        allergies=child.allergies,
        stop_signs=signs["stop_signs"],
        yes_signs=signs["yes_signs"],
        call=child.call,
        second_language=child.second_language,
        loves=child.loves,
        finds_hard=child.finds_hard,
        wears=child.wears,
        mouths=child.mouths,
        text_size=child.text_size,
        noted_at=child.created,
        typed=typed({name: getattr(child, name) for name in signs}, signs),
    )


def _visits(child: Child, hands: Told) -> Iterable[Visit]:
    for row in child.visits.select_related("by"):
        yield Visit(row.on, row.minutes, row.timed_minutes, row.place, hands.name(row.by), row.done)


def _reports(child: Child, hands: Told) -> Iterable[KeptReport]:
    """The reports as they stand, oldest first."""
    for row in ReportRow.objects.filter(child=child).select_related("made_by", "signed_by").order_by("pk"):
        yield KeptReport(
            kind=row.kind,
            content=row.content,
            made_by=hands.name(row.made_by),
            made_at=row.made_at,
            signed_by=hands.name(row.signed_by),
            signed_at=row.signed_at,
        )


def _files(skills: Iterable[Skill]) -> Iterable[KeptFile]:
    """The pictures of log sheets that are still kept, and those of the child's own things."""
    for skill in skills:
        yield from files_of(skill, timezone.localdate())
        for plan in skill.plans.all():
            for scan in plan.scans.order_by("pk"):
                if (found := kept_files.read(kept_files.SCANS, scan.picture)) is not None:
                    yield found
