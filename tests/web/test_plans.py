"""A plan is a draft until a therapist signs it; the gate holds; a signed plan never changes."""

from __future__ import annotations

import re

import pytest
from django.test import Client
from django.urls import reverse

from bylittle.core.faults import BadValue, Fault
from bylittle.web.plans import pages
from bylittle.web.plans import services as plans
from bylittle.web.plans.models import Gate, Plan
from bylittle.web.plans.queries import as_home_plan
from bylittle.web.skills import services as skills
from bylittle.web.skills.queries import as_core, latest_version
from bylittle.web.skills.versions import Setting
from tests import cast as people
from tests.cast import Cast


def draft(cast: Cast) -> Plan:
    last = latest_version(cast.skill).steps.last()
    return plans.draft_for(cast.skill, {last.step_id: 1})


def gate_answers(**changes: str) -> dict[str, str]:
    answers = {f"flag_{name}": "no" for name in plans.questions()}
    return {**people.SAFE, **answers, **changes}


def test_the_gate_is_never_filled_in_beforehand(cast: Cast, as_therapist: Client) -> None:
    page = as_therapist.get(reverse("plan_gate", args=[draft(cast).pk])).content.decode()
    assert 'type="radio"' in page
    assert not re.search(r"<input[^>]*checked", page)


def test_answered_and_signed(cast: Cast, as_therapist: Client) -> None:
    plan = draft(cast)
    as_therapist.post(reverse("plan_gate", args=[plan.pk]), gate_answers())
    plan.refresh_from_db()
    assert plan.signed_by == cast.therapist
    home = as_home_plan(plan)
    assert home.stop_rule.call == "Clinic 555-0100"
    assert home.stop_rule.stop_signs == ("turns away",)


@pytest.mark.parametrize("missing", ["precautions", "stop_signs", "call"])
def test_a_gap_in_the_gate_keeps_the_plan_a_draft_and_what_was_typed(
    missing: str, cast: Cast, as_therapist: Client
) -> None:
    plan = draft(cast)
    answers = gate_answers(**{missing: "", "yes_signs": "smiles at me"})
    page = as_therapist.post(reverse("plan_gate", args=[plan.pk]), answers).content.decode()
    plan.refresh_from_db()
    assert not plan.signed
    assert "smiles at me" in page
    assert 'role="alert"' in page


def test_a_yes_holds_the_plan_until_it_says_what_was_done(cast: Cast, as_therapist: Client) -> None:
    plan, flag = draft(cast), plans.questions()[0]
    url = reverse("plan_gate", args=[plan.pk])
    as_therapist.post(url, gate_answers(**{f"flag_{flag}": "yes"}))
    plan.refresh_from_db()
    assert not plan.signed
    done = {f"flag_{flag}": "yes", f"done_{flag}": "Rang the doctor on Monday; seen, go on."}
    as_therapist.post(url, gate_answers(**done))
    plan.refresh_from_db()
    assert plan.signed
    assert Gate.objects.get(plan=plan).answers[flag]["done"].startswith("Rang")


def test_an_assistant_does_not_sign(cast: Cast, client: Client) -> None:
    plan = draft(cast)
    client.force_login(cast.assistant)
    client.post(reverse("plan_gate", args=[plan.pk]), gate_answers())
    plan.refresh_from_db()
    assert not plan.signed


def test_nothing_changes_a_signed_plan(cast: Cast) -> None:
    plan = people.signed_plan(cast)
    for change in (lambda: plans.save_draft(plan, {"wait_s": 9}, {}), lambda: plans.sign(plan, cast.lead)):
        with pytest.raises(BadValue) as caught:
            change()
        assert caught.value.code == "plan_is_signed"


def test_a_plan_without_an_asked_step_is_not_signed(cast: Cast) -> None:
    plan = plans.draft_for(cast.skill, {})
    plans.answer_gate(plan, people.SAFE, people.no_red_flags(), cast.therapist)
    with pytest.raises(Fault) as caught:
        plans.sign(plan, cast.therapist)
    assert caught.value.code == "no_asked_step"


def test_the_next_plan_carries_on_and_keeps_its_code(cast: Cast) -> None:
    first = people.signed_plan(cast)
    second = draft(cast)
    assert (second.number, second.code, second.wait_s) == (first.number + 1, first.code, first.wait_s)


def test_the_editor_keeps_what_was_typed_when_no_step_is_asked(cast: Cast, as_therapist: Client) -> None:
    plan = draft(cast)
    data = {
        "chaining": "forward", "order_of_help": "fixed offer", "turns_per_day": 4, "days": 7, "minutes": 5,
        "wait_s": 7, "band_low": "70", "band_high": "90", "praise": "You did it!",
    }  # fmt: skip
    page = as_therapist.post(reverse("plan_edit", args=[cast.skill.pk]), data).content.decode()
    assert "Ask at least one step" in page
    assert "You did it!" in page
    plan.refresh_from_db()
    assert plan.praise == ""


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [
        ("0.7", "90", "Type per cent: 70 for 7 goes in ten."),
        ("70", "120", "From 1 to 99 per cent."),
        ("90", "70", "for example 70 and 90"),
        ("often", "90", "Type a number of per cent"),
    ],
)
def test_a_band_that_is_no_band_is_told_and_stays_as_typed(
    cast: Cast, as_therapist: Client, low: str, high: str, said: str
) -> None:
    plan = draft(cast)
    last = plan.version.steps.last()
    data = {
        "chaining": "forward", "order_of_help": "fixed offer", "turns_per_day": 4, "days": 7, "minutes": 5,
        "wait_s": 7, "band_low": low, "band_high": high, "praise": "You did it!", last.step_id: "1",
    }  # fmt: skip
    page = as_therapist.post(reverse("plan_edit", args=[cast.skill.pk]), data).content.decode()
    assert said in page
    assert f'name="band_low" value="{low}"' in page
    assert f'name="band_high" value="{high}"' in page
    assert "You did it!" in page
    plan.refresh_from_db()
    assert (plan.band_low, plan.band_high) == (0.7, 0.9)


def test_a_band_is_typed_as_per_cent(cast: Cast, as_therapist: Client) -> None:
    plan = draft(cast)
    url = reverse("plan_edit", args=[cast.skill.pk])
    page = as_therapist.get(url).content.decode()
    assert 'name="band_low" value="70"' in page
    assert "7 to 9 goes in ten" in page
    last = plan.version.steps.last()
    data = {
        "chaining": "forward", "order_of_help": "fixed offer", "turns_per_day": 4, "days": 7, "minutes": 5,
        "wait_s": 7, "band_low": "65", "band_high": "85", last.step_id: "1",
    }  # fmt: skip
    as_therapist.post(url, data)
    plan.refresh_from_db()
    assert (plan.band_low, plan.band_high) == (0.65, 0.85)


def test_a_draft_says_so_and_has_no_log_sheet(cast: Cast, as_therapist: Client) -> None:
    plan = draft(cast)
    assert "A draft" in as_therapist.get(reverse("plan", args=[plan.pk])).content.decode()
    response = as_therapist.get(reverse("plan_page", args=[plan.pk, "log-sheet", "a4"]), follow=True)
    assert "draft" in response.content.decode()
    assert response["Content-Type"].startswith("text/html")


@pytest.mark.parametrize("kind", [kind for kind, _ in pages.KINDS])
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_signed_plan_prints(kind: str, paper: str, cast: Cast, as_therapist: Client) -> None:
    plan = people.signed_plan(cast)
    response = as_therapist.get(reverse("plan_page", args=[plan.pk, kind, paper]))
    assert response["Content-Type"] == "application/pdf"
    assert response.content.startswith(b"%PDF")


def test_changed_steps_are_a_new_version_and_the_signed_plan_stays(cast: Cast) -> None:
    plan = people.signed_plan(cast)
    version = latest_version(cast.skill)
    steps = list(as_core(version).steps)[:-1]
    after = skills.change_steps(cast.skill, cast.skill.name, steps, Setting())
    assert after.number == version.number + 1
    assert len(as_home_plan(Plan.objects.get(pk=plan.pk)).steps) == len(steps) + 1
