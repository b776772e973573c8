"""The materials screen: sizes are never guessed, the strictest rule wins, and a block stands by the plan."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.core.exceptions import ValidationError
from django.test import Client
from django.urls import reverse

from bylittle.core.skill.materials import Thing
from bylittle.web.people.models import Child
from bylittle.web.plans.models import Plan
from bylittle.web.skills import screening
from bylittle.web.skills.measures import read_measure
from bylittle.web.skills.models import MaterialScreen
from tests import cast as people
from tests.cast import Cast

BALL = {"name": "Felt ball", "shape": "sphere", "diameter_mm": "31"}
SMALL = Thing(shape="sphere", sizes_mm={"diameter_mm": 31.0})


def mouths(child: Child, told: bool | None) -> None:
    child.mouths = told
    child.save(update_fields=["mouths"])


def screen(client: Client, cast: Cast, **told: str) -> str:
    url = reverse("materials", args=[cast.skill.pk])
    return client.post(url, told, follow=True).content.decode()


@pytest.mark.parametrize(("text", "amount"), [("31.5", 31.5), ("31.5 mm", 31.5), (" .5 ", 0.5), ("", None)])
def test_a_plain_size_is_read(text: str, amount: float | None) -> None:
    assert read_measure(text, "mm") == amount


@pytest.mark.parametrize(
    ("text", "mend"),
    [
        ("31,5", "31.5"),
        ("1,250", "1250"),
        ("1.25 in", "31.75 mm"),  # 1 inch is 25.4 mm exactly (international yard and pound agreement, 1959)
        ('1 1/4"', "31.75 mm"),
        ("3 cm", "30 mm"),
        ("-4", "above 0"),
        ("0", "above 0"),
        ("thumb", "Write a number in mm"),
        ("12 hands", "Write millimetres"),
        ("nan", "Write a number"),
        ("999999", "look at the number again"),
    ],
)
def test_a_size_that_is_not_plain_is_told_how_to_mend(text: str, mend: str) -> None:
    with pytest.raises(ValidationError) as told:
        read_measure(text, "mm")
    assert mend in told.value.messages[0]


def test_a_comma_on_the_page_is_told_and_what_was_typed_stays(cast: Cast, as_therapist: Client) -> None:
    page = screen(as_therapist, cast, **{**BALL, "diameter_mm": "31,5"})
    assert "has a comma" in page
    assert 'value="31,5"' in page
    assert not MaterialScreen.objects.exists()


def test_the_page_names_the_published_rule_the_limit_and_no_compliance(
    cast: Cast, as_therapist: Client
) -> None:
    """16 CFR 1501.4: what fits the cylinder 31.75 mm wide is a small part; not for a child under 3."""
    mouths(cast.child, True)
    page = screen(as_therapist, cast, **BALL)
    kept = MaterialScreen.objects.get()
    assert (kept.verdict, kept.on, kept.by) == ("block", date.today(), cast.therapist)
    assert kept.findings[0]["code"] == "small_part"
    assert "16 CFR 1501.4" in page
    assert "31.75 mm" in page
    assert "no compliance test" in page


def test_every_finding_on_the_page_names_its_rule_and_its_limit(cast: Cast, as_therapist: Client) -> None:
    mouths(cast.child, True)
    page = screen(as_therapist, cast, **BALL, ball="on", coin_cell="on", heat="on", water="on", food="on")
    found = MaterialScreen.objects.get().findings
    assert len(found) >= 7
    assert page.count(">Limit: ") == len(found)
    assert "16 CFR 1263" in page
    assert "44.45 mm (1.75 in) across or less" in page
    assert "no number: whatever can burn" in page


def test_a_slide_is_ordinary_on_a_playground_and_a_chair_of_that_height_is_not(
    cast: Cast, as_therapist: Client
) -> None:
    """762 mm is 30 in (US CPSC playground handbook, read in a secondary copy: shown as common practice)."""
    page = screen(as_therapist, cast, name="Slide", height_mm="1000", made_to_climb="on")
    assert MaterialScreen.objects.latest("pk").verdict == "warn"
    assert "over 762 mm (30 in) high" in page
    assert "local playground rules come first" in page
    page = screen(as_therapist, cast, name="Chair", height_mm="1000")
    assert MaterialScreen.objects.latest("pk").verdict == "block"
    assert "Is it a slide or a climbing frame?" in page


def test_findings_stand_strictest_first(cast: Cast, as_therapist: Client) -> None:
    mouths(cast.child, True)
    screen(as_therapist, cast, **BALL, cord_mm="100", water="on")
    verdicts = [finding["verdict"] for finding in MaterialScreen.objects.get().findings]
    assert verdicts == ["block", "warn", "note"]


def test_mouthing_that_nobody_asked_about_counts_as_yes_and_is_said(cast: Cast, as_therapist: Client) -> None:
    page = screen(as_therapist, cast, **BALL)
    assert "Nobody has said whether Wren puts things into the mouth" in page
    assert MaterialScreen.objects.get().verdict == "block"
    mouths(cast.child, False)
    screen(as_therapist, cast, **BALL)
    assert MaterialScreen.objects.latest("pk").verdict == "warn"


def test_age_is_corrected_for_an_early_birth(cast: Cast) -> None:
    """Common practice: weeks early are taken off until the second birthday, for birth before 36 weeks."""
    child, today = cast.child, date.today()
    child.born = today - timedelta(days=600)
    child.due = child.born + timedelta(weeks=10)
    age = screening.age_of(child, today)
    assert age.by_birthday - age.counts == pytest.approx(70 / (365.25 / 12))
    assert age.weeks_early == 10
    child.due = child.born + timedelta(weeks=3)
    assert not screening.age_of(child, today).corrected


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"shape": "box", "x_mm": "10", "y_mm": "10"}, "This shape needs this size"),
        ({"shape": "", "diameter_mm": "20"}, "choose the shape"),
        ({"shape": "box", "x_mm": "9", "y_mm": "9", "z_mm": "9", "marble": "on"}, "measured as a ball"),
        ({"shape": "ring", "outer_mm": "20", "thickness_mm": "15"}, "10 mm thick at most"),
        ({"magnet_flux": "60"}, "counts for a loose magnet"),
        ({"cell_locked": "on"}, "Tick the coin or button cell"),
        ({"made_to_climb": "on"}, "Say how high"),
    ],
)
def test_what_does_not_go_together_is_told(
    told: dict[str, str], words: str, cast: Cast, as_therapist: Client
) -> None:
    assert words in screen(as_therapist, cast, name="Thing", **told)
    assert not MaterialScreen.objects.exists()


def test_a_block_stands_on_the_plan_the_draft_and_the_gate(cast: Cast, as_therapist: Client) -> None:
    people.screened(cast, SMALL, "Felt ball")
    signed = people.signed_plan(cast)
    as_therapist.post(reverse("plan_start", args=[cast.skill.pk]))
    draft = Plan.objects.latest("pk")
    pages = [
        reverse("plan", args=[signed.pk]),
        reverse("plan_edit", args=[cast.skill.pk]),
        reverse("plan_gate", args=[draft.pk]),
    ]
    words = "Felt ball: a material was screened as not for this child"
    assert all(words in as_therapist.get(url).content.decode() for url in pages)
    as_therapist.post(reverse("screen_leave_out", args=[MaterialScreen.objects.get().pk]))
    assert not any(words in as_therapist.get(url).content.decode() for url in pages)


def test_a_screen_is_looked_at_again_when_more_is_known(cast: Cast) -> None:
    mouths(cast.child, False)
    row = people.screened(cast, SMALL, "Felt ball")
    assert row.verdict == "warn"
    assert screening.barred(cast.skill, date.today()) == []
    mouths(cast.child, True)
    cast.skill.refresh_from_db()
    assert [each.pk for each in screening.barred(cast.skill, date.today())] == [row.pk]


def test_the_last_screen_of_a_thing_stands(cast: Cast) -> None:
    people.screened(cast, SMALL, "Felt ball")
    last = people.screened(cast, Thing(shape="sphere", sizes_mm={"diameter_mm": 70.0}), "felt ball")
    assert screening.of_skill(cast.skill) == [last]
    assert MaterialScreen.objects.count() == 2


def test_a_prize_of_food_is_screened_as_food(cast: Cast, as_therapist: Client) -> None:
    screen(as_therapist, cast, name="Raisins", food_is_reward="on", food_allergy="True")
    codes = [finding["code"] for finding in MaterialScreen.objects.get().findings]
    assert {"food_reward", "food_allergy", "swallow_not_asked"} <= set(codes)


def test_what_is_barred_stands_before_what_needs_care(cast: Cast) -> None:
    barred = people.screened(cast, SMALL, "Felt ball")
    lace = people.screened(cast)
    assert screening.of_skill(cast.skill) == [barred, lace]


def test_a_rule_taken_further_by_usual_practice_is_not_cited_as_published(
    cast: Cast, as_therapist: Client
) -> None:
    page = screen(as_therapist, cast, name="Lace", cord_mm="100")
    told = page.split("No one has said if this child mouths things")[1].split("</aside>")[0]
    assert "Taken further from: 16 CFR 1501.4" in told
    assert "(common practice, no source)" in told


def test_a_due_date_that_does_not_fit_is_asked_about_and_breaks_no_page(
    cast: Cast, as_therapist: Client
) -> None:
    people.screened(cast, SMALL, "Felt ball")
    plan = people.signed_plan(cast)
    cast.child.due = cast.child.born + timedelta(weeks=60)
    cast.child.save()
    page = screen(as_therapist, cast, **{**BALL, "name": "Other ball"})
    assert "does not fit the birthday" in page
    assert MaterialScreen.objects.count() == 1
    assert as_therapist.get(reverse("plan", args=[plan.pk])).status_code == 200
