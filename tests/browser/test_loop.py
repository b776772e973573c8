"""The whole loop as a new user walks it: from a new child to the next printed plan."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from bylittle.web.people.models import Role
from bylittle.web.plans.models import Plan
from bylittle.web.practice.models import Record
from bylittle.web.reviews.models import Review
from bylittle.web.skills.models import Skill
from tests.cast import PASSWORD, person

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

TODAY = date.today()


def sign_in(page: Page, url: str) -> None:
    page.goto(url)
    page.get_by_label("Name").fill("ines")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", name="This week")).to_be_visible()


def make_child(page: Page) -> None:
    page.get_by_role("link", name="New child").first.click()
    page.get_by_label("First name").fill("Wren")
    page.get_by_label("Born on").fill((TODAY - timedelta(days=1130)).isoformat())
    page.get_by_label("Adults who practise").fill("Mum, Dad")
    page.get_by_role("button", name="Save and choose a skill").click()


def choose_and_adjust(page: Page) -> None:
    page.get_by_role("button", name="Pull on a rain boot").click()
    page.get_by_label("Cue words").first.fill("Open up")
    page.get_by_role("button", name="Save the steps").click()
    expect(page.get_by_text("Open up").first).to_be_visible()


def baseline_point(page: Page, day: date, alone: int) -> None:
    rows = page.locator("[data-mark-row]")
    page.get_by_label("Day").fill(day.isoformat())
    for place in range(rows.count()):
        rows.nth(place).get_by_label("alone" if place < alone else "not yet").check()
    page.get_by_role("button", name="Save this point").click()
    expect(page.get_by_role("status")).to_contain_text("Baseline point")


def enter_baseline(page: Page) -> None:
    page.get_by_role("link", name="Baseline").click()
    for number in range(3):
        baseline_point(page, TODAY - timedelta(days=20 - number), alone=1)
    page.get_by_role("link", name="Go on to the plan").click()


def answer_gate_and_sign(page: Page) -> None:
    page.get_by_role("button", name="Safety questions and signature").click()
    for question in page.locator("fieldset").all():
        question.get_by_label("No", exact=True).check()
    for label in ("Precautions", "Allergies and food"):
        box = page.get_by_label(label)
        if not box.input_value():
            box.fill("none known")
    for label, words in (
        ("How the child says stop", "turns away"),
        ("How the child says yes", "reaches"),
        ("Whom the family calls", "Clinic 555-0100"),
    ):
        box = page.get_by_label(label)
        if not box.input_value():
            box.fill(words)
    page.get_by_role("button", name="Sign this plan").click()
    expect(page.get_by_role("status")).to_contain_text("Signed by Ines")


def print_all(page: Page) -> None:
    links = page.locator("a[href*='/print/']")
    expect(links).to_have_count(10)  # the status stands above them and is seen first
    for link in links.all():
        response = page.request.get(page.url.split("/plans/")[0] + link.get_attribute("href"))
        assert response.headers["content-type"] == "application/pdf"
        assert response.body().startswith(b"%PDF")


def practise_two_weeks(page: Page) -> None:
    """One turn a day by keyboard: alone with less and less help."""
    for ago in range(14, 0, -1):
        day = TODAY - timedelta(days=ago)
        page.get_by_label("Day").fill(day.isoformat())
        page.get_by_label("the family told me").check()
        page.get_by_label("Mum").check()
        page.wait_for_load_state("load")  # the keys are a comfort that comes with the script
        page.locator("[data-mark-row] input").first.focus()
        for _ in range(page.locator("[data-mark-row]").count()):
            page.keyboard.press("6" if ago < 11 else "3")
        expect(page.locator("[data-save]")).to_be_focused()
        page.keyboard.press("Enter")
        expect(page.get_by_role("status")).to_contain_text(f"of {day:%-d %B}")


def import_file(page: Page, plan: Plan, folder: Path) -> None:
    step, step_id = plan.version.steps.last().name, plan.version.steps.last().step_id
    rows = [
        f"{TODAY - timedelta(days=ago)},{turn},{step},{level},managed,D,hall,,home,"
        for ago in range(9, 0, -1)
        for turn in (1, 2, 3)
        for level in [plan.levels[plan.steps.get(step_id=step_id).help_level]]
    ]
    file = folder / "log.csv"
    file.write_text("date,turn,step,offered,result,adult,place,grade,source,note\n" + "\n".join(rows) + "\n")
    page.get_by_label("Practice log (CSV file)").set_input_files(file)
    page.get_by_role("button", name="Take it in").click()
    expect(page.get_by_role("status")).to_contain_text("27 marks were added")


def test_from_a_new_child_to_the_next_printed_plan(quiet_page: Page, live_server, tmp_path: Path) -> None:
    page = quiet_page
    person("ines", Role.THERAPIST)
    sign_in(page, live_server.url)
    make_child(page)
    choose_and_adjust(page)
    enter_baseline(page)
    page.get_by_role("button", name="Draft the next plan").click()
    page.get_by_label("Stamp the heel down").select_option(label="Child, with light touch")
    page.get_by_label("First practice day").fill((TODAY - timedelta(days=15)).isoformat())
    answer_gate_and_sign(page)
    print_all(page)

    skill = Skill.objects.get()
    page.goto(f"{live_server.url}/skills/{skill.pk}/turn")
    practise_two_weeks(page)
    page.goto(f"{live_server.url}/skills/{skill.pk}/import")
    import_file(page, Plan.objects.get(), tmp_path)
    asked = Plan.objects.get().steps.filter(asked=True).count()
    assert Record.objects.filter(source="home").count() == 14 * asked + 27

    page.goto(f"{live_server.url}/skills/{skill.pk}/review")
    expect(page.locator("figure.wide svg")).to_have_count(4)
    page.get_by_label("No, none of these").check()
    page.get_by_label("(as advised)").check()
    page.get_by_role("button", name="Keep this decision").click()
    review = Review.objects.get()
    assert review.decided == review.advised

    if not Plan.objects.filter(signed_at=None).exists():
        page.goto(f"{live_server.url}/skills/{skill.pk}/plan")
        page.get_by_role("button", name="Draft the next plan").click()
    answer_gate_and_sign(page)
    print_all(page)
    assert [plan.signed for plan in Plan.objects.order_by("number")] == [True, True]
