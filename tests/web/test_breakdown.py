"""The breakdown finder: looks are kept, the suggestion is graded, and nothing is taken over unasked."""

from __future__ import annotations

from django.test import Client
from django.urls import reverse

from bylittle import library
from bylittle.web.skills.models import BreakdownLook
from tests.cast import Cast

CLEAR = {"copy": "copy-clumsy", "guided-once": "guided-no-change", "easier": "easier-large"}


def look(client: Client, cast: Cast, seen: dict[str, str]) -> str:
    url = reverse("breakdown", args=[cast.skill.pk])
    return client.post(url, seen, follow=True).content.decode()


def test_looks_are_kept_with_day_and_person_and_told_with_their_strength(
    cast: Cast, as_therapist: Client
) -> None:
    page = look(as_therapist, cast, CLEAR)
    kept = BreakdownLook.objects.get()
    assert (kept.kind, kept.strength, kept.by) == ("doing", "fairly clear", cast.therapist)
    assert kept.seen == list(CLEAR.values())
    assert "points one way fairly clearly" in page
    lever = next(kind.lever for kind in library.breakdown().kinds if kind.id == "doing")
    assert lever in page
    assert "Try an easier thing: larger, slower, held still <strong>A large gain.</strong>" in page
    assert "Clinical reasoning, not a test" in page


def test_a_suggestion_is_taken_over_only_when_asked(cast: Cast, as_therapist: Client) -> None:
    look(as_therapist, cast, CLEAR)
    cast.skill.refresh_from_db()
    assert cast.skill.breakdown == "unknown"
    as_therapist.post(reverse("breakdown_use", args=[cast.skill.pk]))
    cast.skill.refresh_from_db()
    assert cast.skill.breakdown == "doing"


def test_one_look_is_too_little_to_lean_on(cast: Cast, as_therapist: Client) -> None:
    page = look(as_therapist, cast, {"copy": "copy-clumsy"})
    assert "Too little was seen" in page
    assert "Use this" not in page
    as_therapist.post(reverse("breakdown_use", args=[cast.skill.pk]))
    cast.skill.refresh_from_db()
    assert cast.skill.breakdown == "unknown"


def test_mixed_sights_give_no_kind(cast: Cast, as_therapist: Client) -> None:
    page = look(as_therapist, cast, {"copy": "copy-clumsy", "free-play": "few-ideas"})
    assert "points several ways" in page
    assert BreakdownLook.objects.get().kind == ""


def test_nothing_ticked_is_said_and_nothing_is_kept(cast: Cast, as_therapist: Client) -> None:
    assert "Nothing is ticked yet" in look(as_therapist, cast, {"copy": ""})
    assert not BreakdownLook.objects.exists()


def test_a_look_of_an_older_finder_still_stands(cast: Cast, as_therapist: Client) -> None:
    BreakdownLook.objects.create(skill=cast.skill, seen=["no-longer-asked"], strength="leans", kind="plan")
    page = as_therapist.get(reverse("breakdown", args=[cast.skill.pk])).content.decode()
    assert "no-longer-asked" in page
