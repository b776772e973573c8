"""A goal's sentence is proposed from its parts; the therapist changes and keeps it, or not."""

from __future__ import annotations

from html import unescape

import pytest
from django.test import Client
from django.urls import reverse

from bylittle.core.skill.ladder import DEFAULT_LADDER
from bylittle.web.plans.goals import PartsForm
from bylittle.web.plans.models import Goal
from tests.cast import Cast

PARTS = {
    "part-child": "Wren",
    "part-does": "pulls on both rain boots",
    "part-help": "alone",
    "part-routine": "before going out",
    "part-how_often": "on 4 of 5 days",
    "part-by": "2027-03-01",
}
SENTENCE = "Wren pulls on both rain boots before going out, without help, on 4 of 5 days."


def page(client: Client, cast: Cast, **data: str) -> str:
    url = reverse("goal", args=[cast.skill.pk])
    response = client.post(url, data | {"propose": "1"}) if data else client.get(url)
    assert response.status_code == 200
    return unescape(response.content.decode())


def test_the_sentence_is_proposed_with_its_day_and_nothing_is_kept(cast: Cast, as_therapist: Client) -> None:
    told = page(as_therapist, cast, **PARTS)
    assert SENTENCE in told
    assert 'name="by" value="2027-03-01"' in told
    assert not Goal.objects.exists()


def test_what_was_typed_before_stays(cast: Cast, as_therapist: Client) -> None:
    told = page(as_therapist, cast, **PARTS, expected="Both boots on 4 of 5 days", statement="old words")
    assert "Both boots on 4 of 5 days" in told
    assert "old words" not in told


def test_an_empty_part_is_asked_for_and_her_words_stay(cast: Cast, as_therapist: Client) -> None:
    told = page(as_therapist, cast, **PARTS | {"part-does": " "}, statement="my own words")
    assert "No sentence yet" in told
    assert "my own words" in told


def test_the_proposed_sentence_is_kept_only_when_she_keeps_it(cast: Cast, as_therapist: Client) -> None:
    as_therapist.post(reverse("goal", args=[cast.skill.pk]), PARTS | {"statement": "Wren does it her way."})
    assert Goal.objects.get().statement == "Wren does it her way."


@pytest.mark.parametrize("level", DEFAULT_LADDER.names)
def test_every_help_of_the_ladder_makes_a_sentence(level: str, cast: Cast) -> None:
    form = PartsForm(cast.skill, PARTS | {"part-help": level})
    assert form.is_valid(), form.errors
    assert ("without help" if level == "alone" else f"with {level}") in form.proposed()["statement"]


def test_a_stranger_sees_no_goal(cast: Cast, as_stranger: Client) -> None:
    assert (
        as_stranger.post(reverse("goal", args=[cast.skill.pk]), PARTS | {"propose": "1"}).status_code == 404
    )
