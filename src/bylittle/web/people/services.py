"""What is done to people: children made and changed, the first account opened."""

from __future__ import annotations

from collections.abc import Sequence

from django.db import transaction

from bylittle.web.people.models import Caregiver, Child, Person, Role, Service


@transaction.atomic
def add_child(child: Child, adults: Sequence[str], by: Person) -> Child:
    """Save a new child with her adults, on the team of whoever made her."""
    child.save()
    child.team.add(by)
    set_adults(child, adults)
    return child


@transaction.atomic
def set_adults(child: Child, names: Sequence[str]) -> None:
    """Make the child's adults these, in this order; initials are as short as tells them apart."""
    child.caregivers.all().delete()
    for name, short in zip(names, initials(names), strict=True):
        Caregiver.objects.create(child=child, name=name, initials=short)


def initials(names: Sequence[str]) -> list[str]:
    """One to four letters a name, as short as tells them apart; then numbered."""
    shorts: list[str] = []
    for name in names:
        for length in range(1, 5):
            short = name[:length].capitalize()
            if short not in shorts:
                break
        while short in shorts:
            short = f"{name[:1].upper()}{len(shorts) + 1}"
        shorts.append(short)
    return shorts


@transaction.atomic
def open_first_account(person: Person, service_name: str) -> Person:
    """Make the first therapist and the service; the person is saved as a lead who may add others."""
    person.role = Role.LEAD
    person.is_staff = True
    person.save()
    service = Service.current()
    service.name = service_name
    service.save()
    return person
