"""What every page knows: the service's own name and line."""

from __future__ import annotations

from django.http import HttpRequest
from django.utils.functional import SimpleLazyObject

from bylittle.web.people.models import Service


def service(request: HttpRequest) -> dict[str, object]:
    """The service row, fetched only when a template names it."""
    return {"service": SimpleLazyObject(Service.current)}
