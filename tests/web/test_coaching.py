"""Coaching: the checklist comes from the signed plan, and fidelity is looked at before the plan is blamed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from django.test import Client
from django.urls import reverse

from bylittle.web.plans.models import Plan
from bylittle.web.plans.queries import as_home_plan
from bylittle.web.practice import fidelity
from bylittle.web.practice.coaching import coaching_of
from bylittle.web.practice.models import FidelityCheck
from bylittle.web.reviews.advice import advised, low_fidelity, setting_of
from bylittle.web.skills.models import Skill
from bylittle.web.skills.queries import latest_version
from tests import cast as people
from tests.cast import TODAY, Cast


def ids(plan: Plan) -> list[str]:
    return [planned.item.id for planned in fidelity.checklist(as_home_plan(plan))]


def checked(cast: Cast, plan: Plan, adult: str, answer: str = "done", ago: int = 0, **other: str) -> None:
    seen = {**dict.fromkeys(ids(plan), answer), **other}
    on = TODAY - timedelta(days=ago)
    FidelityCheck.objects.create(skill=cast.skill, plan=plan, adult=adult, on=on, seen=seen)


def fresh(cast: Cast) -> Skill:
    return Skill.objects.get(pk=cast.skill.pk)


def test_the_checklist_is_that_of_the_plan(cast: Cast) -> None:
    plan = people.signed_plan(cast)
    assert "fixed-offer" in ids(plan)
    assert "least-to-most" not in ids(plan)
    plan.order_of_help = "least-to-most"
    assert "least-to-most" in ids(plan)
    assert "fixed-offer" not in ids(plan)
    assert "wait" in ids(plan)
    plan.wait_s = 0
    assert "wait" not in ids(plan)


def test_the_checklist_says_what_the_plan_says(cast: Cast) -> None:
    plan = people.signed_plan(cast)
    plan.praise = "You pulled it up!"
    said = {each.item.part: each.planned for each in fidelity.checklist(as_home_plan(plan))}
    assert said["praise"] == "You pulled it up!"
    assert said["wait"] == "5 seconds"
    assert said["order_of_help"] == "fixed offer: light touch"
    assert said["stop_sign"] == "turns away"


@pytest.mark.parametrize(
    ("seen", "share"),
    [
        ({"a": "done", "b": "not"}, 0.5),
        ({"a": "done", "b": "partly"}, 0.75),
        ({"a": "done", "b": "not seen"}, 1.0),
        ({"a": "not seen"}, None),
        ({}, None),
    ],
)
def test_what_was_not_seen_does_not_count_and_partly_counts_half(
    seen: dict[str, str], share: float | None
) -> None:
    assert fidelity.share(seen) == share


def test_a_check_is_kept_and_told_in_percent(cast: Cast, as_therapist: Client) -> None:
    plan = people.signed_plan(cast)
    data = {**dict.fromkeys(ids(plan), "done"), "on": TODAY.isoformat(), "adult": "M", "wait": "not"}
    url = reverse("coaching", args=[cast.skill.pk])
    page = as_therapist.post(url, data, follow=True).content.decode()
    kept = FidelityCheck.objects.get()
    assert (kept.adult, kept.by, kept.plan, kept.seen["wait"]) == ("M", cast.therapist, plan, "not")
    share = (len(ids(plan)) - 1) / len(ids(plan))
    assert f"{round(100 * share)} % of what was seen" in page
    assert "Show me one turn with your child" in page


def test_a_check_without_anything_seen_or_of_tomorrow_is_not_kept(cast: Cast, as_therapist: Client) -> None:
    people.signed_plan(cast)
    url = reverse("coaching", args=[cast.skill.pk])
    page = as_therapist.post(url, {"on": TODAY.isoformat(), "adult": "M"}).content.decode()
    assert "Mark at least one thing" in page
    later = (date.today() + timedelta(days=2)).isoformat()
    page = as_therapist.post(url, {"on": later, "adult": "M", "set-up": "done"}).content.decode()
    assert "still to come" in page
    assert not FidelityCheck.objects.exists()


def test_without_a_signed_plan_there_is_no_checklist(cast: Cast, as_therapist: Client) -> None:
    page = as_therapist.get(reverse("coaching", args=[cast.skill.pk]), follow=True).content.decode()
    assert "The checklist is made from the signed plan" in page


def test_the_trend_is_told_per_adult(cast: Cast) -> None:
    plan = people.signed_plan(cast)
    checked(cast, plan, "M", "partly", ago=7)
    checked(cast, plan, "M", "done")
    checked(cast, plan, "D", "done")
    mum, dad = coaching_of(fresh(cast)).adults
    assert fidelity.trend(mum) == "50 %, 100 %: up over 2 checks"
    assert fidelity.trend(dad) == "100 %"


def test_two_adults_who_help_differently_reach_the_advice(cast: Cast) -> None:
    plan = people.signed_plan(cast)
    version = latest_version(cast.skill)
    checked(cast, plan, "M")
    checked(cast, plan, "D")
    assert not setting_of(fresh(cast), version, plan).adults_differ
    checked(cast, plan, "D", **{"cue-words": "not"})
    assert setting_of(fresh(cast), version, plan).adults_differ
    checked(cast, plan, "D")
    assert not setting_of(fresh(cast), version, plan).adults_differ


def test_a_wide_gap_counts_as_helping_differently(cast: Cast) -> None:
    plan = people.signed_plan(cast)
    checked(cast, plan, "M")
    checked(cast, plan, "D", "partly")
    found = coaching_of(fresh(cast))
    assert (found.apart, found.differ) == ((), True)


def test_one_below_the_usual_bar_beside_one_above_helps_differently(cast: Cast) -> None:
    plan = people.signed_plan(cast)
    most = dict.fromkeys(ids(plan)[:4], "partly")
    checked(cast, plan, "M", **dict.fromkeys(ids(plan)[:5], "partly"))
    checked(cast, plan, "D", **most)
    found = coaching_of(fresh(cast))
    assert [adult.name for adult in found.below] == ["Mum"]
    assert found.gap < fidelity.GAP
    assert found.differ
    FidelityCheck.objects.filter(adult="D").delete()
    alone = coaching_of(fresh(cast))
    assert ([adult.name for adult in alone.below], alone.differ) == (["Mum"], False)


def test_kept_advice_is_made_again_when_a_check_changes_it(cast: Cast) -> None:
    plan = people.signed_plan(cast)
    people.practised(cast, plan, managed=False, days=12)
    checked(cast, plan, "M")
    advised(fresh(cast), TODAY)
    before = fresh(cast).kept_advice.basis
    checked(cast, plan, "D", "not")
    advised(fresh(cast), TODAY)
    assert fresh(cast).kept_advice.basis != before


def test_low_fidelity_stands_before_the_plan_is_blamed(cast: Cast, as_therapist: Client) -> None:
    plan = people.signed_plan(cast)
    url = reverse("review", args=[cast.skill.pk])
    checked(cast, plan, "M")
    words = "Look at fidelity before blaming the plan"
    page = as_therapist.get(url).content.decode()
    assert "Mum practised 100 % as planned" in page
    assert words not in page
    checked(cast, plan, "M", "partly")
    page = as_therapist.get(url).content.decode()
    assert words in page
    assert "Mum: 50 % as planned" in page


def test_the_lowest_adult_is_told_with_the_turns_that_rest_on_this_adult(
    cast: Cast, as_therapist: Client
) -> None:
    """Both adults checked, Mum lowest; her turns since the plan began, and nobody's probes."""
    plan = people.signed_plan(cast)
    people.baseline(cast)
    people.practised(cast, plan, days=3, turns=2)
    assert low_fidelity(fresh(cast), plan) is None
    checked(cast, plan, "D", **dict.fromkeys(ids(plan)[:4], "not"))
    checked(cast, plan, "M", **dict.fromkeys(ids(plan)[:5], "not"))
    found = low_fidelity(fresh(cast), plan)
    assert found is not None
    practised = {(row.adult, row.day, row.turn) for row in cast.skill.records.filter(plan=plan)}
    assert (found.name, found.things) == ("Mum", len(ids(plan)))
    assert found.share == pytest.approx((len(ids(plan)) - 5) / len(ids(plan)))
    assert found.turns == sum(adult == "M" for adult, *_ in practised) > 0
    assert found.all_turns == len(practised)
    page = as_therapist.get(reverse("review", args=[cast.skill.pk])).content.decode()
    assert f"Mum made {found.turns} of the {found.all_turns} turns written down" in page


def test_turns_before_the_plan_do_not_count_for_it(cast: Cast) -> None:
    plan = people.signed_plan(cast)
    people.practised(cast, plan, days=3, turns=2)
    checked(cast, plan, "M", "not")
    plan.start = TODAY + timedelta(days=1)
    found = low_fidelity(fresh(cast), plan)
    assert found is not None
    assert (found.turns, found.all_turns) == (0, 0)


def test_a_check_below_the_bar_makes_the_kept_advice_again(cast: Cast) -> None:
    plan = people.signed_plan(cast)
    people.practised(cast, plan, days=2)
    advised(fresh(cast), TODAY)
    before = fresh(cast).kept_advice.basis
    checked(cast, plan, "M", "not")
    advised(fresh(cast), TODAY)
    assert fresh(cast).kept_advice.basis != before


def test_the_trend_is_drawn_with_its_table(cast: Cast, as_therapist: Client) -> None:
    plan = people.signed_plan(cast)
    url = reverse("coaching", args=[cast.skill.pk])
    assert "<svg" not in as_therapist.get(url).content.decode()
    checked(cast, plan, "M", "partly", ago=7)
    checked(cast, plan, "M")
    page = as_therapist.get(url).content.decode().replace("\u00a0", " ")
    assert page.count('class="chart"') == 2
    assert "Usual bar: 80 % (common practice, no source)" in page
    assert "The checks of each adult" in page
    assert 'style="' not in page.split("<svg")[1]


def test_the_checklist_names_the_chosen_way_and_asks_for_no_wait_that_there_is_not(cast: Cast) -> None:
    plan = people.signed_plan(cast)
    home = as_home_plan(plan)
    assert "wait" in ids(plan)
    home = replace(home, procedure="simultaneous-prompting")
    told = {each.item.part: each.planned for each in fidelity.checklist(home)}
    assert "wait" not in told
    assert told["order_of_help"].startswith("fixed offer, First try alone, then always help: ")


def test_a_note_has_the_width_of_the_table_under_its_check(cast: Cast, as_therapist: Client) -> None:
    """In a column of its own a note stood one word a line on a phone."""
    people.coached(cast, people.signed_plan(cast))
    FidelityCheck.objects.update(note="Waits longer now.")
    page = as_therapist.get(reverse("coaching", args=[cast.skill.pk])).content.decode()
    table = page.split('aria-label="All checks"')[1].split("</table>")[0]
    columns = table.count("<th>") + table.count("<th ")
    assert f'<td colspan="{columns}" class="note">Waits longer now.' in table
