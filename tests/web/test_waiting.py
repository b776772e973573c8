"""A sign answered yes at a review holds the plan until a therapist writes what was done about it."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from bylittle.core.advice import Decision
from bylittle.core.faults import Fault
from bylittle.web.plans import services as plans
from bylittle.web.plans import waiting
from bylittle.web.plans.models import Plan
from bylittle.web.reviews import services as reviews
from bylittle.web.reviews.advice import advised
from bylittle.web.skills.models import Skill
from bylittle.web.skills.queries import latest_version
from tests import cast as people
from tests.cast import TODAY, Cast

FLAG = "lost-skill"


def reviewed(cast: Cast, done: str = "") -> None:
    flags = {name: {"yes": name == FLAG, "done": done if name == FLAG else ""} for name in plans.questions()}
    reviews.decide(cast.skill, Decision.HOLD, "first the doctor", flags, by=cast.therapist, today=TODAY)


def draft(cast: Cast) -> Plan:
    return plans.draft_for(cast.skill, {latest_version(cast.skill).steps.last().step_id: 1})


def test_a_new_plan_is_not_signed_with_a_plain_no(cast: Cast) -> None:
    people.signed_plan(cast)
    reviewed(cast)
    plan = draft(cast)
    plans.answer_gate(plan, people.SAFE, people.no_red_flags(), cast.therapist)
    with pytest.raises(Fault) as caught:
        plans.sign(plan, cast.therapist)
    assert "red_flag_open_since_review" in str(caught.value)
    plan.refresh_from_db()
    assert not plan.signed


def test_what_was_done_may_be_written_at_the_safety_questions(cast: Cast) -> None:
    people.signed_plan(cast)
    reviewed(cast)
    plan = draft(cast)
    assert advised(Skill.objects.get(pk=cast.skill.pk), TODAY).decision is Decision.REFER
    told = {**people.no_red_flags(), FLAG: {"yes": True, "done": "Seen by the doctor on Monday; go on."}}
    plans.answer_gate(plan, people.SAFE, told, cast.assistant)
    assert waiting.open_flags(cast.skill) == (FLAG,)
    plans.answer_gate(plan, people.SAFE, told, cast.therapist)
    assert plans.sign(plan, cast.therapist).signed
    assert waiting.open_flags(cast.skill) == ()
    assert advised(Skill.objects.get(pk=cast.skill.pk), TODAY).decision is not Decision.REFER


def test_what_was_done_may_be_written_at_a_new_review(cast: Cast) -> None:
    people.signed_plan(cast)
    reviewed(cast)
    reviewed(cast, "Seen by the doctor on Monday; go on.")
    assert waiting.open_flags(cast.skill) == ()


@pytest.mark.parametrize("kind", ["home-plan", "log-sheet"])
def test_the_plan_at_home_waits_too(cast: Cast, as_therapist: Client, kind: str) -> None:
    plan = people.signed_plan(cast)
    url = reverse("plan_page", args=[plan.pk, kind, "a4"])
    assert as_therapist.get(url).headers["Content-Type"] == "application/pdf"
    reviewed(cast)
    page = as_therapist.get(url, follow=True).content.decode()
    assert "The page was not made." in page
    assert "This plan waits." in page
    assert "lost something they could do before" in page
    assert "Please see your doctor about what has been lost." in page
    asked = as_therapist.get(reverse("review", args=[cast.skill.pk])).content.decode()
    assert "Please see your doctor about what has been lost." in asked
    reviewed(cast, "Seen; go on.")
    assert as_therapist.get(url).headers["Content-Type"] == "application/pdf"
