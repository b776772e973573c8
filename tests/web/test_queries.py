"""Pages ask the database the same number of questions however long the history is."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from bylittle.core.advice import Decision
from bylittle.web.reviews import services as reviews
from tests import cast as people
from tests.cast import Cast

PAGES = ("review", "history", "record", "turn_new", "probe_new", "plan_edit", "skill_steps")


def questions(client: Client, url: str) -> int:
    client.get(url)
    with CaptureQueriesContext(connection) as asked:
        assert client.get(url).status_code == 200
    return len(asked)


@pytest.mark.parametrize("name", PAGES)
def test_a_longer_history_asks_no_more(name: str, cast: Cast, as_therapist: Client) -> None:
    people.baseline(cast)
    people.practised(cast, people.signed_plan(cast, help_level=1, days_ago=14), days=4)
    reviews.decide(cast.skill, Decision.HOLD, "x", {}, by=cast.therapist, today=people.TODAY)
    url = reverse(name, args=[cast.skill.pk])
    before = questions(as_therapist, url)
    for level in (2, 3):
        people.signed_plan(cast, help_level=level, days_ago=10 - level)
        reviews.decide(cast.skill, Decision.HOLD, "x", {}, by=cast.therapist, today=people.TODAY)
    assert questions(as_therapist, url) == before


def test_a_childs_page_asks_no_more_for_more_plans(cast: Cast, as_therapist: Client) -> None:
    url = reverse("child", args=[cast.child.pk])
    people.signed_plan(cast)
    before = questions(as_therapist, url)
    people.signed_plan(cast, help_level=2)
    assert questions(as_therapist, url) == before
