"""Who may see which child: the one place. Whoever may not, is told the page does not exist.

Every view that shows anything of a child asks here first. A lead sees all children of the service, the
others those of whose team they are. Signing and deciding need a therapist or lead.
"""

from __future__ import annotations

from typing import TypeVar

from django.core.exceptions import PermissionDenied
from django.db.models import Model, QuerySet
from django.http import Http404, HttpRequest
from django.shortcuts import get_object_or_404

from bylittle.web.people.models import Child, Person, Role

M = TypeVar("M", bound=Model)


def person(request: HttpRequest) -> Person:
    """The signed-in member of the team; Http404 for anybody else (who has been sent to sign in)."""
    if not isinstance(request.user, Person):
        raise Http404
    return request.user


def children_of(who: Person) -> QuerySet[Child]:
    """The children whom this member of the team may see."""
    if who.role == Role.LEAD:
        return Child.objects.all()
    return Child.objects.filter(team=who)


def child_or_404(request: HttpRequest, child_id: int) -> Child:
    """The child, for one of her team; for a stranger she does not exist."""
    return get_object_or_404(children_of(person(request)), pk=child_id)


def of_child_or_404(request: HttpRequest, rows: QuerySet[M], row_id: int, path: str = "child") -> M:
    """A row that belongs to a child by `path` ("child", "skill__child", ...), for one of her team."""
    seen = rows.filter(**{f"{path}__in": children_of(person(request))})
    return get_object_or_404(seen, pk=row_id)


def signer(request: HttpRequest) -> Person:
    """The signed-in therapist or lead; PermissionDenied for others of the team."""
    who = person(request)
    if not who.may_sign:
        raise PermissionDenied("A therapist decides and signs.")
    return who
