"""Wrong and strange practice through the pages: a right answer, or a refusal that takes nothing in."""

from __future__ import annotations

import html
import re
from datetime import date, timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from bylittle.web.caseload import queries as week
from bylittle.web.practice.models import Record
from bylittle.web.reviews.advice import advised
from bylittle.workflows.advise_log import AdvisedLog
from tests import cast as people
from tests.cast import Cast

TODAY = date.today()
HEADER = "date,turn,step,offered,result,adult,place,grade,source,note\n"


def row(ago: int, turn: int = 1, result: str = "managed", offered: str = "light touch") -> str:
    return f"{TODAY - timedelta(days=ago)},{turn},6,{offered},{result},M,hall,,home,\n"


def told(response) -> str:
    words = html.unescape(re.sub(r"<[^>]+>", " ", response.content.decode()))
    return " ".join(words.replace("\u00a0", " ").split())


def upload(client: Client, cast: Cast, *rows: str) -> str:
    file = SimpleUploadedFile("log.csv", (HEADER + "".join(rows)).encode(), content_type="text/csv")
    return told(client.post(reverse("import_file", args=[cast.skill.pk]), {"file": file}, follow=True))


def review(client: Client, cast: Cast) -> str:
    response = client.get(reverse("review", args=[cast.skill.pk]))
    assert response.status_code == 200
    return told(response)


def found(cast: Cast) -> AdvisedLog:
    return advised(week.skills_with_all().get(pk=cast.skill.pk), TODAY)


@pytest.mark.parametrize("mark", ["6", "-1", "9", "words", "2.5"])
def test_a_level_that_is_not_on_the_ladder_is_not_written_down(
    mark: str, cast: Cast, as_therapist: Client
) -> None:
    plan = people.signed_plan(cast)
    asked = plan.steps.get(asked=True).step_id
    sent = {"day": TODAY.isoformat(), "source": "visit", "adult": "Ines", f"mark_{asked}": mark}
    page = told(as_therapist.post(reverse("turn_new", args=[cast.skill.pk]), sent))
    assert "Select a valid choice" in page
    assert not Record.objects.exists()


def test_a_file_that_contradicts_the_record_shows_both_and_adds_nothing(
    cast: Cast, as_therapist: Client
) -> None:
    people.signed_plan(cast)
    upload(as_therapist, cast, row(2), row(1))
    page = upload(as_therapist, cast, row(1, result="not managed"), row(0))
    assert "othing was taken in" in page
    assert "not managed" in page
    assert Record.objects.count() == 2


def test_unordered_days_give_the_same_advice_as_ordered_ones(cast: Cast, as_therapist: Client) -> None:
    people.signed_plan(cast)
    turns = [(ago, turn) for ago in range(9, 0, -1) for turn in (1, 2)]
    rows = [row(ago, turn, "managed" if (ago + turn) % 4 else "not managed") for ago, turn in turns]
    upload(as_therapist, cast, *rows[1::2], *reversed(rows[::2]))
    mixed = found(cast)
    Record.objects.all()._raw_delete("default")
    upload(as_therapist, cast, *rows)
    ordered = found(cast)
    assert mixed.steps == ordered.steps
    assert (mixed.decision, mixed.proposed) == (ordered.decision, ordered.proposed)


def test_one_turn_only_asks_for_more(cast: Cast, as_therapist: Client) -> None:
    people.baseline(cast)
    people.signed_plan(cast)
    upload(as_therapist, cast, row(1))
    page = review(as_therapist, cast)
    assert "1 mark on 1 day since the plan began; 6 marks on 3 days are the least" in page
    assert "More data." in page


def test_two_years_without_a_mark_ask_how_it_is_going(cast: Cast, as_therapist: Client) -> None:
    people.signed_plan(cast, days_ago=760)
    upload(as_therapist, cast, *(row(ago, turn) for ago in range(750, 740, -1) for turn in (1, 2)))
    page = review(as_therapist, cast)
    assert "Nothing was written down for 741 days" in page
    assert "is not told while practice rests" in page
    before = found(cast)
    upload(as_therapist, cast, *(row(ago, turn) for ago in (3, 2, 1) for turn in (1, 2)))
    after = found(cast)
    assert after.decision is not before.decision
    last = len(after.steps) - 1
    assert after.steps[last].chances[1][0] > before.steps[last].chances[1][0]


def test_ten_thousand_turns_come_in_and_are_advised_on(cast: Cast, as_therapist: Client) -> None:
    people.signed_plan(cast, days_ago=1001)
    results = ["managed"] * 8 + ["not managed"] * 2
    rows = (row(1000 - number // 10, number % 10 + 1, results[number % 10]) for number in range(10_000))
    assert "10000 marks were added" in upload(as_therapist, cast, *rows)
    assert found(cast).marks == 10_000
    assert "10000 marks on 1000 days" in review(as_therapist, cast)
