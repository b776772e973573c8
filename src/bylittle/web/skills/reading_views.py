"""The library in two languages, for whoever checks the translation."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from bylittle.library import translation
from bylittle.library.wording.family import right_to_left
from bylittle.web.people import access, kept_forms
from bylittle.web.people.models import Person
from bylittle.web.skills import reading
from bylittle.web.skills.reading_forms import ReadingForm

#: The languages by their names in English, the language of these pages.
NAMES = {"es": "Spanish", "ar": "Arabic"}


def _language_or_404(language: str) -> str:
    """The name of a language into which the library is translated."""
    if language not in translation.TRANSLATED:
        raise Http404
    return NAMES[language]


def _shown(language: str) -> dict[str, object]:
    """How a language is shown: its name, its direction, and the others to choose from."""
    others = [(code, NAMES[code]) for code in translation.TRANSLATED if code != language]
    way = "rtl" if right_to_left(language) else "ltr"
    return {"language": language, "name": _language_or_404(language), "direction": way, "others_too": others}


def _unread_only(request: HttpRequest) -> bool:
    return "unread" in request.GET


@require_GET
def library_words(request: HttpRequest, language: str) -> HttpResponse:
    """Every part of the library with how much of it a speaker has read."""
    _language_or_404(language)
    every = reading.counts(language)
    unread = sum(each.unread for each in every)
    shown = [each for each in every if each.unread or not _unread_only(request)]
    context = {
        **_shown(language),
        "skills": [each for each in shown if each.section.skill],
        "others": [each for each in shown if not each.section.skill],
        "texts": sum(each.texts for each in every),
        "unread": unread,
        "only": _unread_only(request),
    }
    return render(request, "skills/library_words.html", context)


@require_http_methods(["GET", "POST"])
def library_section(request: HttpRequest, language: str, section: str) -> HttpResponse:
    """One part side by side. A therapist or lead keeps what a named speaker has read."""
    _language_or_404(language)
    part = translation.section(section, language)
    if part is None:
        raise Http404
    only = _unread_only(request)
    every = reading.readings(part, language)
    shown = [each for each in every if not each.read or not only]
    form = ReadingForm(shown, bool(part.skill), kept_forms.typed(request))
    if request.method == "POST":
        by = access.signer(request)
        if form.is_valid():
            _keep(request, form, language, by)
            here = reverse("library_section", args=[language, section])
            return redirect(f"{here}?unread" if only else here)
    context = {
        **_shown(language),
        "section": part,
        "form": form,
        "only": only,
        "unread": sum(not each.read for each in every),
        "texts": len(every),
    }
    return render(request, "skills/library_section.html", context)


def _keep(request: HttpRequest, form: ReadingForm, language: str, by: Person) -> None:
    """Keep what was read, and say what was not because its words had changed."""
    seen = form.as_they_stood
    changed = reading.keep(seen, language, form.told(by))
    if len(seen) < len(form.readings):
        messages.error(request, "Some words of the library changed meanwhile: please read those again.")
    messages.success(request, f"Kept: {changed} text{'' if changed == 1 else 's'} changed.")
