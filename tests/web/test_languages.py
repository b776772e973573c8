"""A family's language on its pages: taken from the library, edited side by side, never silently mixed."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from bylittle.web.plans import pages
from bylittle.web.plans import services as plans
from bylittle.web.skills.models import SkillVersion
from bylittle.web.skills.queries import latest_version
from tests import cast as people
from tests.cast import Cast


@pytest.fixture
def spanish(cast: Cast) -> Cast:
    cast.child.language = "es"
    cast.child.save()
    return cast


def words(version: SkillVersion, **changes: str) -> dict[str, str]:
    data = {f"whole_{key}": text for key, text in version.translations["es"].items()}
    for row in version.steps.all():
        data |= {f"{row.step_id}_{key}": text for key, text in row.translations["es"].items()}
    return {**data, **changes}


def test_the_plan_speaks_the_familys_language(spanish: Cast) -> None:
    plan = people.signed_plan(spanish)
    first, second = pages.spoken(plan)
    assert (first.language, second) == ("es", None)
    assert first.skill_name != plan.skill.name
    assert all(told.name != own.name for told, own in zip(first.steps, pages.home(plan).steps, strict=True))


def test_two_languages_stand_side_by_side(spanish: Cast) -> None:
    spanish.child.second_language = "en"
    spanish.child.save()
    first, second = pages.spoken(people.signed_plan(spanish))
    assert second is not None
    assert (first.language, second.language) == ("es", "en")


def test_a_changed_step_must_be_translated_again(spanish: Cast, as_therapist: Client) -> None:
    version = latest_version(spanish.skill)
    first = version.steps.first()
    url = reverse("skill_words", args=[spanish.skill.pk, "es"])
    as_therapist.post(url, words(version, **{f"{first.step_id}_cue": "Abre ya"}))
    assert latest_version(spanish.skill).steps.first().translations["es"]["cue"] == "Abre ya"
    as_therapist.post(url, words(version, **{f"{first.step_id}_name": ""}))
    home, _ = pages.spoken(people.signed_plan(spanish))
    assert home.language == "en"


def test_words_changed_after_a_plan_are_for_the_next_one(spanish: Cast, as_therapist: Client) -> None:
    plan = people.signed_plan(spanish)
    before, _ = pages.spoken(plan)
    version = latest_version(spanish.skill)
    first = version.steps.first().step_id
    as_therapist.post(
        reverse("skill_words", args=[spanish.skill.pk, "es"]), words(version, **{f"{first}_cue": "Abre ya"})
    )
    assert latest_version(spanish.skill).number == version.number + 1
    assert pages.spoken(plans.Plan.objects.get(pk=plan.pk))[0] == before


def test_unread_pages_must_be_confirmed_at_the_signature(spanish: Cast, as_therapist: Client) -> None:
    last = latest_version(spanish.skill).steps.last()
    plan = plans.draft_for(spanish.skill, {last.step_id: 1})
    answers = {**people.SAFE, **{f"flag_{name}": "no" for name in plans.questions()}}
    url = reverse("plan_gate", args=[plan.pk])
    assert "speaker of the language" in as_therapist.post(url, answers).content.decode()
    plan.refresh_from_db()
    assert not plan.signed
    as_therapist.post(url, {**answers, "language_check": "unread"})
    plan.refresh_from_db()
    assert plan.signed
    assert plan.gate.language_check == "unread"
