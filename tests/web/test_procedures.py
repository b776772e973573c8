"""Ways of helping as choices: consistent with the order of help, spelt out, never put on paper unasked."""

from __future__ import annotations

from dataclasses import replace

import pytest
from django.test import Client
from django.urls import reverse

from bylittle import library
from bylittle.core.faults import BadValue
from bylittle.core.plan.home_plan import Chaining
from bylittle.web.plans import pages, procedures
from bylittle.web.plans import services as plans
from bylittle.web.plans.models import Plan
from bylittle.web.plans.queries import as_home_plan
from bylittle.web.reviews import advice
from bylittle.web.reviews.advice import setting_of
from bylittle.web.skills.queries import latest_version
from bylittle.workflows.advise_log import AdviceSetting, AdvisedLog, advise_log
from tests import cast as people
from tests.cast import Cast


def draft(cast: Cast) -> Plan:
    return plans.draft_for(cast.skill, {latest_version(cast.skill).steps.last().step_id: 1})


def typed(plan: Plan, **changes: str) -> dict[str, str]:
    last = plan.version.steps.last()
    told = {
        "chaining": plan.chaining,
        "order_of_help": plan.order_of_help,
        "turns_per_day": "4",
        "minutes": "5",
        "days": "7",
        "wait_s": "5",
        "band_low": "70",
        "band_high": "90",
        last.step_id: "1",
    }
    return told | changes


def edit(client: Client, cast: Cast, **changes: str) -> str:
    url = reverse("plan_edit", args=[cast.skill.pk])
    return client.post(url, typed(draft(cast), **changes), follow=True).content.decode()


def test_every_way_of_the_library_can_be_chosen() -> None:
    ids = {value for value, _ in procedures.choices()}
    assert {each.id for each in library.procedures() if each.kind == "order of help"} <= ids
    assert {"hand-under-hand", ""} <= ids
    assert "leap-ahead" not in ids


@pytest.mark.parametrize(
    ("way", "order", "wait", "words"),
    [
        ("least-to-most", "fixed offer", 5, "goes with the order “least-to-most”"),
        ("simultaneous-prompting", "least-to-most", 5, "goes with the order “fixed offer”"),
        ("constant-time-delay", "fixed offer", 0, "needs a wait"),
        ("constant-time-delay", "fixed offer", 4, ""),
        ("least-to-most", "least-to-most", 3, ""),
        ("hand-under-hand", "least-to-most", 0, ""),
        ("", "fixed offer", 0, ""),
    ],
)
def test_what_clashes_is_told(way: str, order: str, wait: int, words: str) -> None:
    told = procedures.clash(way, order, wait)
    assert words in told
    assert bool(told) == bool(words)


@pytest.mark.parametrize(
    ("way", "wait", "turns", "words"),
    [
        ("progressive-time-delay", 1, 4, "the longest wait is 2 seconds or more"),
        ("progressive-time-delay", 2, 4, ""),
        ("simultaneous-prompting", 5, 1, "needs 2 turns or more in a sitting"),
        ("simultaneous-prompting", 0, 2, ""),
        ("constant-time-delay", 1, 1, ""),
    ],
)
def test_a_way_has_the_seconds_and_the_turns_it_needs(way: str, wait: int, turns: int, words: str) -> None:
    told = procedures.clash(way, "fixed offer", wait, turns)
    assert words in told
    assert bool(told) == bool(words)


@pytest.mark.parametrize(
    ("way", "level", "words"),
    [
        ("graduated-guidance", 1, ""),
        ("graduated-guidance", 4, "is help by hand, but no step"),
        ("hand-under-hand", 2, "is help by hand, but no step"),
        ("hand-under-hand", 0, ""),
        ("constant-time-delay", 5, "every step of this plan is asked alone"),
        ("constant-time-delay", 4, ""),
        ("least-to-most", 5, ""),
        ("", 5, ""),
    ],
)
def test_a_way_that_has_no_place_with_the_plans_help_is_told(
    cast: Cast, as_therapist: Client, way: str, level: int, words: str
) -> None:
    plan = draft(cast)
    Plan.objects.filter(pk=plan.pk).update(procedure=way)
    plan.steps.filter(asked=True).update(help_level=level)
    page = as_therapist.get(reverse("plan", args=[plan.pk])).content.decode()
    assert ("Change the help or the way." in page) == bool(words)
    assert words in page


def test_a_clash_is_told_at_its_place_and_nothing_is_saved(cast: Cast, as_therapist: Client) -> None:
    page = edit(as_therapist, cast, procedure="least-to-most")
    assert "goes with the order" in page
    assert Plan.objects.get().procedure == ""
    edit(as_therapist, cast, procedure="least-to-most", order_of_help="least-to-most")
    assert Plan.objects.get().procedure == "least-to-most"


def test_the_plan_page_spells_the_way_out_with_the_plans_seconds(cast: Cast, as_therapist: Client) -> None:
    """0 seconds first, then a fixed wait: the definition of constant time delay (Neitzel & Wolery 2009)."""
    edit(as_therapist, cast, procedure="constant-time-delay", wait_s="4")
    page = as_therapist.get(reverse("plan", args=[Plan.objects.get().pk])).content.decode()
    assert "On the first days of a new step help at once. After that, say the words, wait 4 seconds" in page
    assert "Neitzel &amp; Wolery 2009" in page
    assert "(published)" in page


def test_a_family_that_reads_spanish_has_it_in_spanish_too(cast: Cast) -> None:
    plan = draft(cast)
    plan.procedure = "graduated-guidance"
    plan.skill.child.language = "es"
    told = procedures.of_plan(plan)
    assert [each.language for each in told] == ["en", "es", "en", "es"]
    assert told[1].name == "Manos que acompañan"


def test_the_chosen_way_and_the_bad_days_go_on_paper(cast: Cast, as_therapist: Client) -> None:
    edit(as_therapist, cast, procedure="simultaneous-prompting", bad_days="Only the last step.")
    home = as_home_plan(Plan.objects.get())
    assert (home.procedure, home.bad_days) == ("simultaneous-prompting", "Only the last step.")
    assert home.when_it_goes_wrong == ""


def put(client: Client, cast: Cast, words: str, *, script: bool, **changes: str) -> str:
    url = reverse("plan_words", args=[cast.skill.pk, words])
    headers = {"HX-Request": "true"} if script else {}
    return client.post(url, typed(draft(cast), **changes), headers=headers).content.decode()


def test_ready_words_come_after_what_was_typed_and_are_not_saved(cast: Cast, as_therapist: Client) -> None:
    field = put(as_therapist, cast, "slip", script=True, when_it_goes_wrong="Take a breath.")
    assert field.startswith("<textarea")
    assert field.index("Take a breath.") < field.index("Stop it early and stay calm.")
    assert Plan.objects.get().when_it_goes_wrong == ""


def test_without_script_the_page_comes_back_with_all_that_was_typed(cast: Cast, as_therapist: Client) -> None:
    page = put(as_therapist, cast, "bad-day", script=False, praise="Look at you!", minutes="3")
    assert "A blank day is fine. Start again tomorrow." in page.split('id="id_bad_days"')[1]
    assert "Look at you!" in page
    assert 'name="minutes" value="3"' in page


def test_the_same_words_are_not_put_in_twice() -> None:
    once = procedures.put("", "praise", wait_s=5, language="en")
    assert procedures.put(once, "praise", wait_s=5, language="en") == once
    assert procedures.put("Yes!", "song", wait_s=5, language="en") == "Yes!"


def test_words_that_there_are_not_are_no_page(cast: Cast, as_therapist: Client) -> None:
    draft(cast)
    assert as_therapist.post(reverse("plan_words", args=[cast.skill.pk, "song"])).status_code == 404


def test_the_next_draft_carries_the_way_and_the_bad_days(cast: Cast) -> None:
    plan = people.signed_plan(cast)
    Plan.objects.filter(pk=plan.pk).update(procedure="graduated-guidance", bad_days="Skip it.")
    after = draft(cast)
    assert (after.number, after.procedure, after.bad_days) == (2, "graduated-guidance", "Skip it.")


@pytest.mark.parametrize(
    ("known", "leaps"),
    [
        ([True, False, True], True),
        ([False, True, False], True),
        ([True, True, False], False),
        ([False, False, True], False),
        ([], False),
    ],
)
def test_leaping_ahead_is_a_hint_for_a_mixed_chain(known: list[bool], leaps: bool) -> None:
    assert procedures.leaps_ahead(known) is leaps


def test_leaping_ahead_is_a_choice_that_is_signed_carried_on_and_spelt_out(
    cast: Cast, as_therapist: Client
) -> None:
    edit(as_therapist, cast, leap_ahead="on")
    plan = Plan.objects.get()
    assert as_home_plan(plan).leap_ahead
    assert pages.sheet_plan(as_home_plan(plan)).leap_ahead
    page = as_therapist.get(reverse("plan", args=[plan.pk])).content.decode()
    assert "with leap-aheads" in page
    assert "Then we leap to the next hard step." in page
    Plan.objects.filter(pk=people.signed_plan(cast).pk).update(leap_ahead=True)
    assert draft(cast).leap_ahead


def test_leaping_ahead_of_the_whole_task_is_told_at_its_place(cast: Cast, as_therapist: Client) -> None:
    page = edit(as_therapist, cast, leap_ahead="on", chaining="whole")
    assert "The whole task asks every step already." in page
    assert not Plan.objects.get().leap_ahead
    with pytest.raises(BadValue) as told:
        replace(as_home_plan(Plan.objects.get()), chaining=Chaining.WHOLE, leap_ahead=True).check()
    assert told.value.code == "leap_ahead_of_whole"


def test_the_adviser_is_told_of_the_signed_plans_leaping_ahead(cast: Cast) -> None:
    plan = people.signed_plan(cast)
    assert not setting_of(cast.skill, latest_version(cast.skill), plan).leap_ahead
    plan.leap_ahead = True
    assert setting_of(cast.skill, latest_version(cast.skill), plan).leap_ahead


def test_a_drafts_proposal_follows_its_own_leaping_ahead(
    cast: Cast, as_therapist: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    Plan.objects.filter(pk=people.signed_plan(cast).pk).update(leap_ahead=True)
    plan = draft(cast)
    asked: list[tuple[str, bool]] = []

    def noted(log: object, setting: AdviceSetting, on: object) -> AdvisedLog:
        asked.append((setting.chaining.value, setting.leap_ahead))
        return advise_log(log, setting, on)  # type: ignore[arg-type]

    monkeypatch.setattr(advice, "advise_log", noted)
    url = reverse("plan_edit", args=[cast.skill.pk])
    for chaining, leap in (("backward", True), ("backward", False), ("whole", True)):
        Plan.objects.filter(pk=plan.pk).update(chaining=chaining, leap_ahead=leap)
        assert as_therapist.get(url).status_code == 200
    assert asked == [("backward", True), ("backward", False), ("whole", False)]


def test_the_talk_has_its_questions_in_the_familys_language(cast: Cast, as_therapist: Client) -> None:
    url = reverse("talk", args=[cast.child.pk])
    assert "Can you fit this in? What would you drop for it?" in as_therapist.get(url).content.decode()
    cast.child.language = "es"
    cast.child.save()
    assert "¿Qué le encanta hacer?" in as_therapist.get(url).content.decode()


def test_a_plan_for_bad_days_stands_on_the_plan_page(cast: Cast, as_therapist: Client) -> None:
    edit(as_therapist, cast, bad_days="Only the last step, then a cuddle.")
    page = as_therapist.get(reverse("plan", args=[Plan.objects.get().pk])).content.decode()
    assert "Only the last step, then a cuddle." in page


def test_what_was_typed_for_a_page_in_another_language_is_shown_to_the_therapist(
    cast: Cast, as_therapist: Client
) -> None:
    plan = draft(cast)
    ready = procedures.put("", "praise", wait_s=plan.wait_s, language="es")
    Plan.objects.filter(pk=plan.pk).update(praise=ready, when_it_goes_wrong="Take a breath, then help.")
    url = reverse("plan", args=[plan.pk])
    assert "Printed as you typed it" not in as_therapist.get(url).content.decode()
    cast.child.language = "es"
    cast.child.save()
    page = as_therapist.get(url).content.decode()
    listed = page.split("Printed as you typed it")[1].split("</ul>")[0]
    assert "Take a breath, then help." in listed
    assert ready[:20] not in listed


def test_least_to_most_is_proposed_where_every_step_starts_alone(cast: Cast, as_therapist: Client) -> None:
    plan = people.signed_plan(cast, help_level=4)
    people.practised(cast, plan)
    draft(cast)
    address, hint = reverse("plan_edit", args=[cast.skill.pk]), "Every step proposed starts alone."
    assert hint in as_therapist.get(address).content.decode()
    edit(as_therapist, cast, order_of_help="least-to-most")
    assert hint not in as_therapist.get(address).content.decode()


def test_a_fixed_offer_stays_where_help_is_still_needed(cast: Cast, as_therapist: Client) -> None:
    people.practised(cast, people.signed_plan(cast, help_level=1), managed=False)
    draft(cast)
    page = as_therapist.get(reverse("plan_edit", args=[cast.skill.pk])).content.decode()
    assert "Every step proposed starts alone." not in page
