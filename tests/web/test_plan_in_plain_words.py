"""A draft tells which of its sentences a family would stumble over, and how they might be said."""

from __future__ import annotations

from django.test import Client
from django.urls import reverse

from bylittle.web.plans import services as plans
from bylittle.web.skills.queries import latest_version
from tests import cast as people
from tests.cast import Cast

HARD = "Facilitate bilateral coordination and gradually terminate physical assistance."


def shown(client: Client, plan_id: int) -> str:
    return client.get(reverse("plan", args=[plan_id])).content.decode()


def test_a_hard_sentence_is_shown_with_a_simpler_one(cast: Cast, as_therapist: Client) -> None:
    plan = plans.draft_for(cast.skill, {latest_version(cast.skill).steps.last().step_id: 1})
    plan.when_it_goes_wrong = HARD
    plan.save()
    page = shown(as_therapist, plan.pk)
    assert "1 sentence for the family to look at once more" in page
    assert "help with your hands" in page


def test_plain_words_and_signed_plans_are_left_alone(cast: Cast, as_therapist: Client) -> None:
    plan = people.signed_plan(cast)
    assert "to look at once more" not in shown(as_therapist, plan.pk)
