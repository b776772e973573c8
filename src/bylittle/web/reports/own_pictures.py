"""Pictures of a child's own things, with the consents for them: out with a record and in again.

A photograph goes along only while a consent for it stands; of the others it is told that they were there.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from django.utils import timezone

from bylittle.core.evidence.kept_parts import KeptConsent, KeptFile, KeptPicture, KeptPlanPicture
from bylittle.web.people.models import Child
from bylittle.web.pictures.models import Consent, Picture
from bylittle.web.plans.models import PlanPicture
from bylittle.web.reports import sound
from bylittle.web.reports.hands import Found, Told
from bylittle.web.reports.kept_files import PICTURES
from bylittle.web.skills.models import Skill


def consents_of(child: Child, hands: Told) -> Iterable[KeptConsent]:
    """The consents, oldest first."""
    rows = list(_consents(child))
    number = {row.pk: place for place, row in enumerate(rows, 1)}
    for row in rows:
        yield KeptConsent(
            purpose=row.purpose,
            given_by=row.given_by,
            relation=row.relation,
            given_on=row.given_on,
            until=row.until,
            noted_by=hands.name(row.noted_by),
            noted_at=row.noted_at,
            withdrawn_on=row.withdrawn_on,
            withdrawn_by=hands.name(row.withdrawn_by),
            renews=number[row.renews_id] if row.renews_id else None,
        )


def _consents(child: Child) -> Iterable[Consent]:
    return child.picture_consents.select_related("noted_by", "withdrawn_by").order_by("pk")


def pictures_of(skill: Skill, hands: Told) -> Iterable[KeptPicture]:
    """The pictures of a skill, oldest first; the photographs themselves stand under the record's files."""
    rows = list(skill.pictures.select_related("consent", "kept_by", "deleted_by").order_by("pk"))
    number = {row.pk: place for place, row in enumerate(_consents(skill.child), 1)} if rows else {}
    today = timezone.localdate()
    for row in rows:
        file = _file(row, today)
        yield KeptPicture(
            place=row.place,
            consent=number[row.consent_id] if row.consent_id else None,
            kept_by=hands.name(row.kept_by),
            kept_at=row.kept_at,
            shows=tuple(sorted(row.shows.items())),
            photo=file.name if file else "",
            thing=row.thing,
            from_clip=row.from_clip,
            deleted_on=row.deleted_on,
            deleted_by=hands.name(row.deleted_by),
        )


def plan_pictures_of(skill: Skill, hands: Told) -> Iterable[KeptPlanPicture]:
    """Which pictures the skill's plans are printed with, oldest first."""
    number = {key: place for place, key in enumerate(_numbers(skill), 1)}
    rows = PlanPicture.objects.filter(plan__skill=skill).select_related("plan", "by").order_by("pk")
    for row in rows:
        printed = row.plan.number, row.edition, row.place, number[row.picture_id]
        yield KeptPlanPicture(*printed, hands.name(row.by), row.at)


def _numbers(skill: Skill) -> Iterable[int]:
    return skill.pictures.order_by("pk").values_list("pk", flat=True)


def files_of(skill: Skill, today: date) -> Iterable[KeptFile]:
    """The photographs for which a consent stands on that day, each once."""
    found = (_file(row, today) for row in skill.pictures.select_related("consent").order_by("pk"))
    return {file.name: file for file in found if file is not None}.values()


def _file(row: Picture, today: date) -> KeptFile | None:
    """A photograph named by its content; None where there is none or it may not leave."""
    if row.photo is None or not row.usable_on(today):
        return None
    content = bytes(row.photo)
    return KeptFile(f"{PICTURES}/{hashlib.sha256(content).hexdigest()}.jpg", content)


def take_consents(child: Child, told: Sequence[KeptConsent], people: Found) -> list[Consent]:
    """The consents, in their order."""
    rows: list[Consent] = []
    for each in told:
        row = Consent(child=child, noted_by=people.somebody(each.noted_by))
        row.withdrawn_by = people.named(each.withdrawn_by)
        row.renews = rows[each.renews - 1] if each.renews is not None else None
        for name in ("purpose", "given_by", "relation", "given_on", "until", "noted_at", "withdrawn_on"):
            setattr(row, name, getattr(each, name))
        rows.append(sound.kept(row))
    return rows


def take_pictures(
    skill: Skill,
    told: Sequence[KeptPicture],
    consents: Sequence[Consent],
    people: Found,
    files: Mapping[str, KeptFile],
) -> list[Picture]:
    """The pictures of a skill; one whose photograph did not come along counts as deleted here."""
    rows = []
    for each in told:
        file = files.get(each.photo)
        gone = timezone.localdate() if file is None and not each.thing else None
        row = Picture(
            skill=skill,
            place=each.place,
            shows=dict(each.shows),
            photo=file.content if file else None,
            thing=each.thing,
            from_clip=each.from_clip,
            consent=consents[each.consent - 1] if each.consent is not None else None,
            kept_by=people.somebody(each.kept_by),
            kept_at=each.kept_at,
            deleted_on=each.deleted_on or gone,
            deleted_by=people.named(each.deleted_by),
        )
        rows.append(sound.kept(row))
    return rows


def take_plan_pictures(
    skill: Skill, told: Sequence[KeptPlanPicture], pictures: Sequence[Picture], people: Found
) -> None:
    """Which pictures the skill's plans are printed with."""
    plans = {plan.number: plan for plan in skill.plans.all()}
    for each in told:
        where = {"plan": plans[each.plan], "edition": each.edition, "place": each.place}
        by = people.somebody(each.by)
        sound.kept(PlanPicture(picture=pictures[each.picture - 1], by=by, at=each.at, **where))
