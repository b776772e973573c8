"""The door (sign in, first account) and the making of a child."""

from __future__ import annotations

import secrets
from pathlib import Path

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.views import LoginView
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from bylittle import library
from bylittle.web.people import access, kept_forms, services
from bylittle.web.people.forms import ChildForm, FirstAccountForm, RoutineFormSet, TalkForm
from bylittle.web.people.models import Person


class SignIn(LoginView):
    """Sign in; says so when a half-filled form waits."""

    template_name = "people/sign_in.html"
    redirect_authenticated_user = True

    def get_context_data(self, **kwargs: object) -> dict[str, object]:
        return {**super().get_context_data(**kwargs), "kept": kept_forms.has_kept(self.request)}


@require_GET
def ready(request: HttpRequest) -> HttpResponse:
    """Answers as soon as the program does."""
    return HttpResponse("ready", content_type="text/plain")


def form_too_old(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form sent from another session: nothing was taken in; the page to go back to is told."""
    return render(request, "people/form_too_old.html", {"path": request.path}, status=403)


def first_account_key(data_dir: Path) -> Path:
    """Where the one-time key of the first account lies."""
    return data_dir / "first-account"


@require_http_methods(["GET", "POST"])
def first_account(request: HttpRequest, key: str) -> HttpResponse:
    """The one-time link of a new installation; gone once an account exists."""
    held = first_account_key(settings.DATA_DIR)
    known = held.read_text(encoding="utf-8").strip() if held.exists() else ""
    if Person.objects.exists() or not known or not secrets.compare_digest(known, key):
        raise Http404
    form = FirstAccountForm(request.POST or None)
    if form.is_valid():
        person = services.open_first_account(form.save(commit=False), form.cleaned_data["service_name"])
        held.unlink(missing_ok=True)
        login(request, person)
        return redirect("this_week")
    return render(request, "people/first_account.html", {"form": form})


@require_http_methods(["GET", "POST"])
def child_new(request: HttpRequest) -> HttpResponse:
    """A new child: a first name, a birthday, and the adults who practise."""
    form = ChildForm(kept_forms.typed(request))
    if request.method == "POST" and form.is_valid():
        by = access.person(request)
        child = services.add_child(form.save(commit=False), form.cleaned_data["adults"], by)
        return redirect("skill_choose", child.pk)
    return render(request, "people/child_form.html", {"form": form})


@require_http_methods(["GET", "POST"])
def child_edit(request: HttpRequest, child_id: int) -> HttpResponse:
    """Change what is known of a child."""
    child = access.child_or_404(request, child_id)
    form = ChildForm(kept_forms.typed(request), instance=child)
    if request.method == "POST" and form.is_valid():
        services.set_adults(form.save(), form.cleaned_data["adults"])
        messages.success(request, "Saved.")
        return redirect("child", child.pk)
    return render(request, "people/child_form.html", {"form": form, "child": child})


@require_http_methods(["GET", "POST"])
def talk(request: HttpRequest, child_id: int) -> HttpResponse:
    """The talk before the plan: what the child loves and finds hard, and the routines of the day."""
    child = access.child_or_404(request, child_id)
    typed = kept_forms.typed(request)
    form, rows = TalkForm(typed, instance=child), RoutineFormSet(typed, instance=child)
    if request.method == "POST" and form.is_valid() and rows.is_valid():
        form.save()
        rows.save()
        messages.success(request, "Kept.")
        return redirect("child", child.pk)
    context = {"child": child, "form": form, "rows": rows, "asked": _talk_questions(child.language)}
    return render(request, "people/talk.html", context)


def _talk_questions(language: str) -> dict[str, list[str]]:
    """The questions of the talk by part, in the family's language."""
    asked: dict[str, list[str]] = {}
    for question in library.talk():
        asked.setdefault(question.part, []).append(question.name.text(language))
    return asked
