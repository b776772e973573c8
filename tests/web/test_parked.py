"""The skills that wait: a therapist orders them, marks the next one with a reason, and starts it in time."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from bylittle import library
from bylittle.core.advice import Decision
from bylittle.web.reviews.services import decide
from bylittle.web.skills import closing, parked
from bylittle.web.skills import services as skills
from bylittle.web.skills.models import Skill, SkillState
from tests import cast as people
from tests.cast import TODAY, Cast

WANTED = "she asks for it at the puddles"


@pytest.fixture
def waiting(cast: Cast) -> list[Skill]:
    """Three skills behind the one being learned, in the order in which they were chosen."""
    return [
        skills.start_from_ready(cast.child, library.skill(name))
        for name in ("wash-hands", "put-on-sun-hat", "snip-paper")
    ]


def line(cast: Cast) -> list[str]:
    return [skill.library_id for skill in parked.waiting(cast.child)]


def move(client: Client, skill: Skill, way: str) -> None:
    client.post(reverse("skill_move", args=[skill.pk]), {"way": way})


def mark(client: Client, skill: Skill, **told: str) -> str:
    url = reverse("skill_next", args=[skill.pk])
    return client.post(url, told, follow=True).content.decode()


def childs_page(client: Client, cast: Cast) -> str:
    return client.get(reverse("child", args=[cast.child.pk])).content.decode()


def test_a_new_skill_waits_last_and_buttons_change_the_order(
    cast: Cast, waiting: list[Skill], as_therapist: Client
) -> None:
    assert line(cast) == ["wash-hands", "put-on-sun-hat", "snip-paper"]
    move(as_therapist, waiting[2], "up")
    assert line(cast) == ["wash-hands", "snip-paper", "put-on-sun-hat"]
    move(as_therapist, waiting[0], "down")
    assert line(cast) == ["snip-paper", "wash-hands", "put-on-sun-hat"]


def test_at_the_ends_of_the_line_nothing_happens(
    cast: Cast, waiting: list[Skill], as_therapist: Client
) -> None:
    move(as_therapist, waiting[0], "up")
    move(as_therapist, waiting[2], "down")
    move(as_therapist, cast.skill, "up")
    assert line(cast) == ["wash-hands", "put-on-sun-hat", "snip-paper"]
    assert Skill.objects.get(pk=cast.skill.pk).state == SkillState.ACTIVE


def test_one_skill_comes_next_with_its_reason_and_stands_first(
    cast: Cast, waiting: list[Skill], as_therapist: Client
) -> None:
    mark(as_therapist, waiting[1], because=WANTED)
    assert line(cast) == ["put-on-sun-hat", "wash-hands", "snip-paper"]
    shown = childs_page(as_therapist, cast)
    assert f"Next: {waiting[1].name}." in shown
    assert WANTED in shown
    mark(as_therapist, waiting[2], because="scissors at nursery")
    assert [skill.next_because for skill in parked.waiting(cast.child)] == ["scissors at nursery", "", ""]
    mark(as_therapist, waiting[2], clear="1")
    assert parked.next_of(parked.waiting(cast.child)) is None


def test_a_mark_without_a_reason_is_not_made_and_says_so(
    cast: Cast, waiting: list[Skill], as_therapist: Client
) -> None:
    shown = mark(as_therapist, waiting[1], because="  ")
    assert "Please say why" in shown
    assert parked.next_of(parked.waiting(cast.child)) is None


def test_only_a_parked_skill_comes_next(cast: Cast, waiting: list[Skill], as_therapist: Client) -> None:
    assert "does not wait" in mark(as_therapist, cast.skill, because=WANTED)
    assert Skill.objects.get(pk=cast.skill.pk).next_because == ""


def test_a_closed_skill_makes_room_and_the_page_offers_the_next(
    cast: Cast, waiting: list[Skill], as_therapist: Client
) -> None:
    mark(as_therapist, waiting[1], because=WANTED)
    offer = f"Start “{waiting[1].name}” now"
    assert offer not in childs_page(as_therapist, cast)
    told = {"reason": "not moved", "tried": "Two plans, a softer boot."}
    closed = as_therapist.post(reverse("skill_close", args=[cast.skill.pk]), told, follow=True)
    assert offer in closed.content.decode()
    as_therapist.post(reverse("skill_activate", args=[waiting[1].pk]))
    started = Skill.objects.get(pk=waiting[1].pk)
    assert (started.state, started.next_because, started.waits_at) == (SkillState.ACTIVE, "", 0)
    assert "Next:" not in childs_page(as_therapist, cast)


def test_a_skill_that_is_done_makes_room_too(cast: Cast, waiting: list[Skill], as_therapist: Client) -> None:
    people.signed_plan(cast)
    parked.mark_next(waiting[0], WANTED)
    decide(cast.skill, Decision.DONE, "kept at the probe", {}, by=cast.therapist, today=TODAY)
    assert f"Start “{waiting[0].name}” now" in childs_page(as_therapist, cast)


def test_this_week_names_the_next_skill_once_nothing_is_being_learned(
    cast: Cast, waiting: list[Skill], as_therapist: Client
) -> None:
    parked.mark_next(waiting[0], WANTED)
    words = f"{waiting[0].name}: {WANTED}"
    week = reverse("this_week")
    assert words not in as_therapist.get(week).content.decode()
    closing.close(cast.skill, "enough", "", by=cast.therapist, today=TODAY)
    assert words in as_therapist.get(week).content.decode()


def test_where_none_is_marked_the_page_asks_to_choose(
    cast: Cast, waiting: list[Skill], as_therapist: Client
) -> None:
    closing.close(cast.skill, "enough", "", by=cast.therapist, today=TODAY)
    assert "Choose what comes next" in childs_page(as_therapist, cast)


def test_the_skill_that_was_learned_waits_last_when_another_is_taken_up(
    cast: Cast, waiting: list[Skill]
) -> None:
    skills.make_active(waiting[1])
    assert line(cast) == ["wash-hands", "snip-paper", "pull-on-rain-boot"]


def test_an_assistant_sees_the_line_and_does_not_change_it(
    cast: Cast, waiting: list[Skill], client: Client
) -> None:
    client.force_login(cast.assistant)
    shown = client.get(reverse("parked", args=[cast.child.pk])).content.decode()
    assert waiting[0].name in shown
    assert "Earlier" not in shown
    assert client.post(reverse("skill_move", args=[waiting[1].pk]), {"way": "up"}).status_code == 403
    assert client.post(reverse("skill_next", args=[waiting[1].pk]), {"because": WANTED}).status_code == 403
    assert line(cast) == ["wash-hands", "put-on-sun-hat", "snip-paper"]


def test_without_a_second_skill_nothing_is_said_of_a_next_one(cast: Cast, as_therapist: Client) -> None:
    assert "What comes next" not in childs_page(as_therapist, cast)
    shown = as_therapist.get(reverse("parked", args=[cast.child.pk])).content.decode()
    assert "No skill waits" in shown
