"""From "new child" to a signed, printed home plan in at most 25 interactions, starting from a ready skill.

A filled field and a press count one each. The safety answers are not counted: they are never filled in.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from playwright.sync_api import Locator, Page, expect

from bylittle.web.people.models import Role
from bylittle.web.plans.models import Plan
from tests.browser.test_loop import answer_gate_and_sign, sign_in
from tests.cast import person

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

MOST = 25


class Hands:
    """Counts what a person does."""

    def __init__(self) -> None:
        self.count = 0

    def press(self, where: Locator) -> None:
        self.count += 1
        where.click()

    def fill(self, where: Locator, words: str) -> None:
        self.count += 1
        where.fill(words)


def test_a_new_child_has_a_printed_plan_in_few_steps(quiet_page: Page, live_server) -> None:
    page, hands = quiet_page, Hands()
    person("ines", Role.THERAPIST)
    sign_in(page, live_server.url)
    hands.press(page.get_by_role("link", name="New child").first)
    hands.fill(page.get_by_label("First name"), "Wren")
    hands.fill(page.get_by_label("Born on"), (date.today() - timedelta(days=1130)).isoformat())
    hands.fill(page.get_by_label("Adults who practise"), "Mum, Dad")
    hands.press(page.get_by_role("button", name="Save and choose a skill"))
    hands.press(page.get_by_role("button", name="Pull on a rain boot"))
    hands.press(page.get_by_role("button", name="Save the steps"))
    hands.press(page.get_by_role("button", name="Draft the first plan"))
    expect(page.get_by_text("baseline").first).to_be_visible()
    hands.count += 2  # to the safety questions, and the signature
    answer_gate_and_sign(page)
    link = page.locator("a[href*='/print/home-plan-a4']")
    address = live_server.url + str(link.get_attribute("href"))
    hands.count += 1
    assert page.request.get(address).headers["content-type"] == "application/pdf"
    assert Plan.objects.get().signed
    assert hands.count <= MOST
