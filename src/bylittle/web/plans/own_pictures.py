"""Which own pictures a plan is printed with: a draft with the newest, a signed one with its own.

A picture whose consent ended or was withdrawn is never printed, whichever plan it stands on.
"""

from __future__ import annotations

from datetime import date

from bylittle.web.people.models import Person
from bylittle.web.pictures import places, queries
from bylittle.web.pictures.models import Picture
from bylittle.web.plans.models import Plan, PlanPicture


def chosen(plan: Plan) -> dict[str, Picture]:
    """The picture of each place for this plan, whether or not it may be printed today."""
    return recorded(plan) if plan.signed else queries.current(plan.skill)


def recorded(plan: Plan) -> dict[str, Picture]:
    """What the newest edition of a signed plan's pictures says."""
    rows = list(PlanPicture.objects.filter(plan=plan).select_related("picture__consent"))
    newest = max((row.edition for row in rows), default=0)
    return {row.place: row.picture for row in rows if row.edition == newest}


def shown(plan: Plan, today: date) -> list[places.Place]:
    """Each place of the plan's steps with what is printed there today."""
    return places.places(plan.version, chosen(plan), today)


def record(plan: Plan, by: Person, today: date) -> None:
    """Keep with a plan the pictures that may be printed today."""
    edition = (PlanPicture.objects.filter(plan=plan).values_list("edition", flat=True).last() or 0) + 1
    there = set(places.keys(plan.version))
    PlanPicture.objects.bulk_create(
        PlanPicture(plan=plan, edition=edition, place=place, picture=picture, by=by)
        for place, picture in queries.current(plan.skill).items()
        if place in there and picture.usable_on(today)
    )


def newer(plan: Plan, today: date) -> int:
    """How many places of a signed plan have a newer picture that could be printed; 0 for a draft."""
    if not plan.signed:
        return 0
    there, known = set(places.keys(plan.version)), recorded(plan)
    return sum(
        place in there and picture.usable_on(today) and known.get(place) != picture
        for place, picture in queries.current(plan.skill).items()
    )
