"""An honest close: the reason and what was tried are kept, nothing is lost, and it is never for good."""

from __future__ import annotations

from django.test import Client
from django.urls import reverse

from bylittle import library
from bylittle.web.skills import services as skills
from bylittle.web.skills.models import Closing, Skill
from tests import cast as people
from tests.cast import TODAY, Cast


def close(client: Client, cast: Cast, **told: str) -> str:
    url = reverse("skill_close", args=[cast.skill.pk])
    return client.post(url, told, follow=True).content.decode()


def state(cast: Cast) -> str:
    return Skill.objects.get(pk=cast.skill.pk).state


def test_a_skill_is_closed_with_its_reason_and_what_was_tried(cast: Cast, as_therapist: Client) -> None:
    people.signed_plan(cast)
    page = close(as_therapist, cast, reason="not moved", tried="Two plans, a softer boot.")
    kept = Closing.objects.get()
    assert (kept.on, kept.by, kept.reason) == (TODAY, cast.therapist, "not moved")
    assert state(cast) == "closed"
    assert "it did not move after honest changes" in page
    assert "Two plans, a softer boot." in page
    assert cast.skill.plans.count() == 1


def test_not_moved_asks_what_was_tried_and_no_reason_is_filled_in(cast: Cast, as_therapist: Client) -> None:
    assert "Please choose a reason" in close(as_therapist, cast)
    assert "Say what was changed honestly" in close(as_therapist, cast, reason="not moved")
    assert state(cast) == "active"
    close(as_therapist, cast, reason="enough")
    assert state(cast) == "closed"


def test_the_page_shows_what_was_planned_and_words_for_the_family(cast: Cast, as_therapist: Client) -> None:
    people.signed_plan(cast)
    page = as_therapist.get(reverse("skill_close", args=[cast.skill.pk])).content.decode()
    assert "Plan 1" in page
    assert "with light touch" in page
    assert "That is no one&#x27;s fault" in page


def test_an_assistant_does_not_close_or_reopen(cast: Cast, client: Client) -> None:
    client.force_login(cast.assistant)
    assert client.post(reverse("skill_close", args=[cast.skill.pk]), {"reason": "enough"}).status_code == 403
    assert state(cast) == "active"
    assert "Close this skill" not in client.get(reverse("child", args=[cast.child.pk])).content.decode()


def test_a_closed_skill_is_taken_up_again_and_both_stand_in_the_history(
    cast: Cast, as_therapist: Client
) -> None:
    close(as_therapist, cast, reason="priority", tried="Toilet first.")
    as_therapist.post(reverse("skill_reopen", args=[cast.skill.pk]))
    assert state(cast) == "active"
    kept = Closing.objects.get()
    assert (kept.reopened_on, kept.reopened_by) == (TODAY, cast.therapist)
    page = as_therapist.get(reverse("history", args=[cast.skill.pk])).content.decode()
    assert "Something else matters more now." in page
    assert "Tried: Toilet first." in page
    assert page.index("Taken up again") < page.index("Closed</h2>")
    assert "Closed " not in as_therapist.get(reverse("child", args=[cast.child.pk])).content.decode()


def test_taken_up_again_beside_another_skill_it_waits(cast: Cast, as_therapist: Client) -> None:
    close(as_therapist, cast, reason="enough")
    other = skills.start_from_ready(cast.child, library.skill("wash-hands"))
    assert other.state == "active"
    page = as_therapist.post(reverse("skill_reopen", args=[cast.skill.pk]), follow=True).content.decode()
    assert state(cast) == "parked"
    assert "another one is learned now" in page


def test_only_a_closed_skill_is_reopened(cast: Cast, as_therapist: Client) -> None:
    skills.set_state(cast.skill, "paused")
    as_therapist.post(reverse("skill_reopen", args=[cast.skill.pk]))
    assert state(cast) == "paused"


def test_a_closed_skill_is_no_line_of_the_week(cast: Cast, as_therapist: Client) -> None:
    people.signed_plan(cast)
    close(as_therapist, cast, reason="enough")
    page = as_therapist.get(reverse("this_week")).content.decode()
    assert "No skill is being learned yet." in page


def test_a_closed_skill_is_not_taken_up_or_parked_past_the_therapist(cast: Cast, client: Client) -> None:
    skills.set_state(cast.skill, "closed")
    client.force_login(cast.assistant)
    for name in ("skill_activate", "skill_park"):
        page = client.post(reverse(name, args=[cast.skill.pk]), follow=True).content.decode()
        assert "A therapist takes it up again" in page
    assert state(cast) == "closed"


def test_plans_that_changed_nothing_are_told_before_it_is_said_that_nothing_moved(
    cast: Cast, as_therapist: Client
) -> None:
    url, words = reverse("skill_close", args=[cast.skill.pk]), "No change stands in the signed plans yet"
    people.signed_plan(cast)
    assert "there was one plan" in as_therapist.get(url).content.decode()
    people.signed_plan(cast, days_ago=7)
    assert "the same steps with the same help" in as_therapist.get(url).content.decode()
    people.signed_plan(cast, help_level=0, days_ago=3)
    page = as_therapist.get(url).content.decode()
    assert words not in page
    assert "Plan 3" in page
