"""The advice on the page, the decision kept beside it, and what follows."""

from __future__ import annotations

import html
import re
from datetime import date, timedelta

import pypdfium2
import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from bylittle.core.advice import Decision
from bylittle.core.faults import BadValue
from bylittle.core.practice.log import Entry
from bylittle.core.practice.marks import Outcome
from bylittle.web.caseload import queries as week
from bylittle.web.people.models import Child
from bylittle.web.practice import services as practice
from bylittle.web.reviews import services
from bylittle.web.reviews.advice import advised, as_json, from_json
from bylittle.web.reviews.models import KeptAdvice, Review
from bylittle.web.skills.models import Skill
from tests import cast as people
from tests.cast import Cast

TODAY = date.today()
NONE = {"any_flag": "no"}


def fresh(cast: Cast) -> Skill:
    return week.skills_with_all().get(pk=cast.skill.pk)


def steady(cast: Cast) -> None:
    people.baseline(cast)
    people.practised(cast, people.signed_plan(cast, days_ago=14), days=10)


def test_kept_advice_reads_back_as_it_was(cast: Cast) -> None:
    steady(cast)
    found = advised(fresh(cast), TODAY)
    assert as_json(from_json(as_json(found))) == as_json(found)


def test_advice_is_kept_for_the_day_and_made_again_when_practice_comes(cast: Cast) -> None:
    steady(cast)
    advised(fresh(cast), TODAY)
    first = KeptAdvice.objects.get().basis
    advised(fresh(cast), TODAY)
    assert KeptAdvice.objects.get().basis == first
    plan = cast.skill.plans.get()
    step = plan.steps.get(asked=True)
    entry = Entry(day=TODAY, turn=1, step_id=step.step_id, outcome=Outcome.STOPPED, adult="D")
    practice.write(cast.skill, plan.version, [entry], by=cast.therapist, plan=plan)
    advised(fresh(cast), TODAY)
    assert KeptAdvice.objects.get().basis != first


def test_the_review_shows_graph_chances_and_reason(cast: Cast, as_therapist: Client) -> None:
    steady(cast)
    page = as_therapist.get(reverse("review", args=[cast.skill.pk])).content.decode()
    assert page.count('class="chart"') == 8  # four drawings, each for a wide and a narrow screen
    assert "90 % interval" in page
    assert "progress monitoring, not proof" in page


def test_the_decision_and_the_red_flags_are_never_filled_in(cast: Cast, as_therapist: Client) -> None:
    steady(cast)
    page = as_therapist.get(reverse("review", args=[cast.skill.pk])).content.decode()
    assert " checked" not in page


def test_to_decide_otherwise_needs_a_reason_and_both_are_kept(cast: Cast, as_therapist: Client) -> None:
    steady(cast)
    found = advised(fresh(cast), TODAY)
    other = next(each for each in (Decision.HOLD, Decision.MORE_DATA) if each is not found.decision)
    url = reverse("review", args=[cast.skill.pk])
    page = as_therapist.post(url, {**NONE, "decided": other.value}).content.decode()
    assert "a short reason" in page
    assert not Review.objects.exists()
    as_therapist.post(url, {**NONE, "decided": other.value, "reason": "A new baby came"})
    review = Review.objects.get()
    assert (review.advised, review.decided, review.reason) == (found.decision, other, "A new baby came")


def test_red_flags_must_be_answered_at_each_review(cast: Cast, as_therapist: Client) -> None:
    steady(cast)
    as_therapist.post(reverse("review", args=[cast.skill.pk]), {"decided": "hold", "reason": "x"})
    assert not Review.objects.exists()


def test_a_flag_answered_yes_without_action_makes_the_next_advice_refer(
    cast: Cast, as_therapist: Client
) -> None:
    steady(cast)
    flags = {"any_flag": "yes", "flags": ["lost-skill"], "decided": "hold", "reason": "see the doctor first"}
    as_therapist.post(reverse("review", args=[cast.skill.pk]), flags)
    assert advised(fresh(cast), TODAY).decision is Decision.REFER


def test_a_decision_to_go_on_drafts_the_next_plan(cast: Cast, as_therapist: Client) -> None:
    steady(cast)
    data = {**NONE, "decided": "fade help", "reason": "as I saw it"}
    response = as_therapist.post(reverse("review", args=[cast.skill.pk]), data)
    assert response.url == reverse("plan_edit", args=[cast.skill.pk])
    draft = cast.skill.plans.latest("number")
    assert (draft.number, draft.signed) == (2, False)
    assert draft.steps.filter(asked=True).exists()


def test_pause_pauses_and_done_schedules_checks(cast: Cast) -> None:
    steady(cast)
    services.decide(cast.skill, Decision.PAUSE, "stops", {}, by=cast.therapist, today=TODAY)
    cast.skill.refresh_from_db()
    assert cast.skill.state == "paused"
    services.decide(cast.skill, Decision.DONE, "seen alone", {}, by=cast.therapist, today=TODAY)
    due = [check.due for check in cast.skill.carryovers.all()]
    assert due == [TODAY + timedelta(weeks=weeks) for weeks in (1, 2, 4, 8, 12)]


def test_an_assistant_does_not_decide(cast: Cast) -> None:
    steady(cast)
    with pytest.raises(BadValue) as caught:
        services.decide(cast.skill, Decision.HOLD, "x", {}, by=cast.assistant, today=TODAY)
    assert caught.value.code == "may_not_sign"


def test_what_if_tells_each_asked_step(cast: Cast, as_therapist: Client) -> None:
    steady(cast)
    services.start_draft(fresh(cast), TODAY)
    steps = [step.step_id for step in advised(fresh(cast), TODAY).steps]
    url = reverse("plan_what_if", args=[cast.skill.pk])
    page = as_therapist.post(url, {steps[-1]: "0", steps[-2]: "5"}).content.decode()
    assert page.count("<li>") == 2


def test_the_week_asks_the_same_number_of_questions_for_any_caseload(
    cast: Cast, as_therapist: Client, django_assert_num_queries
) -> None:
    steady(cast)
    url = reverse("this_week")
    as_therapist.get(url)
    with CaptureQueriesContext(connection) as asked:
        as_therapist.get(url)
    questions = len(asked)
    for number in range(3):
        child = Child.objects.create(name=f"Child {number}", born=TODAY - timedelta(days=900))
        child.team.add(cast.therapist)
    as_therapist.get(url)
    with django_assert_num_queries(questions):
        as_therapist.get(url)


def test_the_week_is_empty_with_a_way_to_begin(cast: Cast, as_stranger: Client) -> None:
    page = as_stranger.get(reverse("this_week")).content.decode()
    assert "No children yet" in page
    assert reverse("child_new") in page


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_page_of_progress_prints(paper: str, cast: Cast, as_therapist: Client) -> None:
    steady(cast)
    response = as_therapist.get(reverse("summary_pdf", args=[cast.skill.pk, paper]))
    assert response["Content-Type"] == "application/pdf"
    pages = pypdfium2.PdfDocument(response.content)
    text, behind = (pages[number].get_textpage().get_text_range() for number in (0, 1))
    assert "Wren: Pull on a rain boot" in text
    assert "not proof of cause" in text
    assert behind.lstrip().startswith("Behind the advice")  # all that tells progress is one page


def test_a_skill_without_practice_prints_too(cast: Cast, as_therapist: Client) -> None:
    response = as_therapist.get(reverse("summary_pdf", args=[cast.skill.pk, "a4"]))
    assert response["Content-Type"] == "application/pdf"


def test_each_sentence_leads_to_the_days_it_rests_on(cast: Cast, as_therapist: Client) -> None:
    steady(cast)
    page = as_therapist.get(reverse("review", args=[cast.skill.pk])).content.decode()
    links = re.findall(r'href="(/skills/\d+/record\?first=[^"]+)"', page)
    assert links
    pages = [as_therapist.get(html.unescape(link)).content.decode() for link in links]
    assert all("Only " in shown for shown in pages)
    assert sum("<td" in shown for shown in pages) >= len(pages) / 2
