"""A form sent after the session has run out is kept, and filled in again after signing in.

Nothing typed is lost and nothing is stored in the record until the person, signed in again, sends it.
"""

from __future__ import annotations

from collections.abc import Callable

from django.conf import settings
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import resolve_url

_KEY = "kept_form"
_LARGEST = 64_000
_OPEN_PATHS = ("sign_in", "sign_out", "first_account", "ready")
_NEVER_KEPT = ("csrfmiddlewaretoken", "password", "password1", "password2")


class SignInMiddleware:
    """Every page but the door asks for a sign-in."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: object, args: object, kwargs: object
    ) -> HttpResponse | None:
        match = request.resolver_match
        if request.user.is_authenticated or (match and match.url_name in _OPEN_PATHS):
            return None
        if request.method == "POST":
            _keep(request)
        response = redirect_to_login(request.get_full_path(), resolve_url(settings.LOGIN_URL))
        if request.headers.get("HX-Request"):
            response.headers["HX-Redirect"] = response.url
        return response


def _keep(request: HttpRequest) -> None:
    typed = request.POST.copy()
    for name in _NEVER_KEPT:
        typed.pop(name, None)
    text = typed.urlencode()
    if text and len(text) <= _LARGEST:
        request.session[_KEY] = {"path": request.path, "typed": text}


def typed(request: HttpRequest) -> QueryDict | None:
    """What to fill a form with: what was sent now, or what was kept for this page; None for a fresh form."""
    if request.method == "POST":
        return request.POST
    kept = request.session.get(_KEY)
    if not kept or kept["path"] != request.path:
        return None
    del request.session[_KEY]
    return QueryDict(kept["typed"])


def has_kept(request: HttpRequest) -> bool:
    """True while a form waits to be filled in again."""
    return _KEY in request.session
