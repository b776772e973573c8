"""Ready words come into the draft's text at a press, after what was typed, and the page stays as it is."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from bylittle.web.plans import services as plans
from bylittle.web.plans.models import Plan
from tests import cast as people
from tests.browser.test_loop import sign_in

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_a_press_puts_the_words_in_and_saves_nothing(quiet_page: Page, live_server) -> None:
    page, cast = quiet_page, people.gather()
    plan = people.signed_plan(cast)
    plans.draft_for(cast.skill, {plan.version.steps.last().step_id: 1})
    sign_in(page, live_server.url)
    page.goto(f"{live_server.url}/skills/{cast.skill.pk}/plan")
    text = page.get_by_label("When it goes wrong")
    text.fill("Take a breath.")
    page.get_by_label("Minutes at most").fill("3")
    page.get_by_role("button", name=re.compile("Put this in.*When it goes wrong")).click()
    expect(text).to_have_value(re.compile("^Take a breath.\nStop it early and stay calm."))
    expect(page.get_by_label("Minutes at most")).to_have_value("3")
    assert Plan.objects.latest("pk").when_it_goes_wrong == ""


def test_only_the_sizes_of_the_chosen_shape_are_asked(quiet_page: Page, live_server) -> None:
    page, cast = quiet_page, people.gather()
    sign_in(page, live_server.url)
    page.goto(f"{live_server.url}/skills/{cast.skill.pk}/materials")
    expect(page.get_by_label("Thick (mm)")).to_be_hidden()
    page.get_by_label("a ring").check()
    expect(page.get_by_label("Thick (mm)")).to_be_visible()
    expect(page.get_by_label("Long (mm)")).to_be_hidden()
    page.get_by_label("What it is").fill("Ring")
    page.get_by_label("Thick (mm)").fill("12,5")
    page.get_by_label("a box or flat thing").check()
    page.get_by_role("button", name="Screen it").click()
    expect(page.get_by_text("has a comma")).to_be_visible()
