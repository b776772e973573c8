"""What a therapist sees of the advice: what it rests on, each chance, what-if, the band, when done."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from datetime import date, timedelta

import pypdfium2
import pytest
from django.test import Client
from django.urls import reverse

from bylittle.core.advice import Pattern, PatternKind, Why
from bylittle.core.plan.home_plan import MOST_ASKED_STEPS
from bylittle.core.practice.log import Entry
from bylittle.core.practice.marks import Outcome
from bylittle.core.skill.steps import Step
from bylittle.web.caseload import queries as week
from bylittle.web.plans.models import Plan
from bylittle.web.practice import services as practice
from bylittle.web.reviews import services, shown
from bylittle.web.reviews.advice import advised, proposed_for
from bylittle.web.skills import services as skills
from bylittle.web.skills.models import Skill
from bylittle.web.skills.versions import Setting
from bylittle.workflows.advise_log import AdvisedLog
from tests import cast as people
from tests.cast import Cast

TODAY = date.today()


def fresh(cast: Cast) -> Skill:
    return week.skills_with_all().get(pk=cast.skill.pk)


def steady(cast: Cast) -> AdvisedLog:
    people.baseline(cast)
    people.practised(cast, people.signed_plan(cast, days_ago=14), days=10)
    return advised(fresh(cast), TODAY)


def text_of(client: Client, name: str, *args: object) -> str:
    page = client.get(reverse(name, args=args)).content.decode()
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).replace("\u00a0", " ").split())


def plain(cell: str) -> str:
    return cell.replace("\u00a0", " ")


def drafted(cast: Cast) -> Plan:
    steady(cast)
    return services.start_draft(fresh(cast), TODAY)


def choices(plan: Plan, **asked: str) -> dict[str, str]:
    """The form of a draft as a browser would send it: every field, with these choices of help."""
    told = {
        field: getattr(plan, field) for field in ("chaining", "order_of_help", "turns_per_day", "minutes")
    }
    told |= {"days": plan.days, "wait_s": plan.wait_s, "band_low": 70, "band_high": 90}
    steps = {row.step_id: "" for row in plan.version.steps.all()}
    return {name: str(value) for name, value in {**told, **steps, **asked}.items()}


def test_the_review_tells_what_the_advice_rests_on(cast: Cast, as_therapist: Client) -> None:
    found = steady(cast)
    page = text_of(as_therapist, "review", cast.skill.pk)
    assert "What this advice rests on" in page
    assert f"{found.marks} marks on {found.practice_days} days (" in page
    assert "in the baseline" in page
    assert "70 % to 90 % chance of success" in page
    assert "85 % alone, 90 % sure, seen on 3 days or more" in page
    assert "simulated children" in page
    assert "nothing that changes the advice" in page


def test_what_people_told_stands_among_what_it_rests_on(cast: Cast, as_therapist: Client) -> None:
    steady(cast)
    Skill.objects.filter(pk=cast.skill.pk).update(adults_differ=True, breakdown="doing")
    page = text_of(as_therapist, "review", cast.skill.pk)
    assert "it is the doing that breaks down and the adults help in different ways" in page


def test_every_step_and_level_has_its_chance_with_a_range(cast: Cast, as_therapist: Client) -> None:
    found = steady(cast)
    table = shown.level_table(found)
    assert table.head == ("Step", *found.ladder.names[1:])
    assert len(table.rows) == sum(not step.by_adult for step in found.steps)
    page = text_of(as_therapist, "review", cast.skill.pk)
    for row in table.rows:
        for cell in row:
            assert plain(cell) in page
    share = r"(over |under )?\d+"
    told = [plain(cell) for row in table.rows for cell in row[1:]]
    assert all(re.fullmatch(rf"{share} %( \({share} to {share}\))?", cell) for cell in told)
    assert not any(re.search(r"\b(100|0)\b", cell) for cell in told), "no chance is quite 0 or 1"


def test_the_review_says_what_would_change_it_and_when_the_skill_may_be_done(
    cast: Cast, as_therapist: Client
) -> None:
    steady(cast)
    page = text_of(as_therapist, "review", cast.skill.pk)
    assert "What would change this advice" in page
    assert "When the whole skill may be done" in page
    assert "even odds" in page or "cannot be said" in page or "is not told" in page
    assert "cannot be compared yet" in page


def test_the_drawing_of_belief_says_of_which_step_and_help(cast: Cast, as_therapist: Client) -> None:
    steady(cast)
    step = cast.skill.plans.get().steps.get(asked=True)
    name = cast.skill.versions.get().steps.get(step_id=step.step_id).name
    assert f"How sure we were, day by day: {name}, alone" in text_of(as_therapist, "review", cast.skill.pk)


def test_a_pattern_is_told_once_and_with_what_would_end_it(cast: Cast) -> None:
    found = steady(cast)
    values = {"reported": 0.9, "reported_n": 20, "observed": 0.4, "observed_n": 10}
    values |= {"gap": 0.5, "low": 0.2, "high": 0.7, "level": 0.01}
    ahead = Pattern(PatternKind.REPORTED_AHEAD, (0,), 0.001, values)
    swings = Pattern(PatternKind.SWINGS, (), 0.001, {})
    found = replace(found, patterns=(ahead, swings), why=(Why("reported_ahead_of_observed", values),))
    told = shown.advice(found, cast.child)
    assert [seen.title for seen in told.patterns] == ["Good days and bad days"]
    assert told.patterns[0].change.endswith(".")
    assert told.gap == ()
    other = shown.advice(replace(found, why=(Why("nothing_logged", {}),)), cast.child)
    assert len(other.patterns) == 2


def test_what_if_works_without_script_and_saves_nothing(cast: Cast, as_therapist: Client) -> None:
    plan = drafted(cast)
    before = {step.step_id: (step.asked, step.help_level) for step in plan.steps.all()}
    three = [row.step_id for row in plan.version.steps.all()][:3]
    sent = choices(plan, **dict.fromkeys(three, "4")) | {"what_if": "1"}
    page = as_therapist.post(reverse("plan_edit", args=[cast.skill.pk]), sent).content.decode()
    fragment = page[page.index('id="what-if"') :]
    told = " ".join(html.unescape(re.sub(r"<[^>]+>", " ", fragment)).split())
    assert told.count("with words:") == 3
    known = [step for step in advised(fresh(cast), TODAY).steps if step.step_id in three and not step.new]
    assert [step.number for step in known] == [1], "alone in the baseline, on more days than one"
    assert "The load: 3 steps asked in each turn, 2 of them still new" in told
    assert f"{3 * plan.turns_per_day} goes a day" in told
    assert "That is a lot to take in: at most 1 new step at once" in told
    plan.refresh_from_db()
    assert {step.step_id: (step.asked, step.help_level) for step in plan.steps.all()} == before


def test_what_if_follows_the_band_as_it_is_typed(cast: Cast, as_therapist: Client) -> None:
    plan = drafted(cast)
    first = plan.version.steps.first()
    assert first is not None
    said = {}
    for low, high in (("1", "2"), ("98", "99"), ("90", "10"), ("no", "")):
        sent = choices(plan, **{first.step_id: "3"}) | {"band_low": low, "band_high": high}
        page = as_therapist.post(reverse("plan_what_if", args=[cast.skill.pk]), sent)
        assert page.status_code == 200
        said[low] = page.content.decode()
    assert "likely easy" in said["1"]
    assert "likely too hard" in said["98"]
    for kept in ("90", "no"):
        assert "Just right here: 70 % to 90 %, that is 7 to 9 goes in ten" in said[kept]


def test_the_proposal_follows_the_band_of_the_draft(cast: Cast) -> None:
    plan = drafted(cast)
    found = advised(fresh(cast), TODAY)
    assert proposed_for(fresh(cast), plan, found) is found
    plan.band_low, plan.band_high = 0.05, 0.10
    harder = proposed_for(fresh(cast), plan, found)
    plan.band_low, plan.band_high = 0.97, 0.99
    easier = proposed_for(fresh(cast), plan, found)
    assert sum(step.level for step in easier.proposed) < sum(step.level for step in harder.proposed)
    assert (easier.decision, easier.steps) == (found.decision, found.steps)


def test_the_paper_has_all_that_the_screen_has(cast: Cast, as_therapist: Client) -> None:
    plan = drafted(cast)
    content = as_therapist.get(reverse("summary_pdf", args=[cast.skill.pk, "a4"])).content
    pages = [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(content)]
    told = " ".join(" ".join(pages).replace("\u00a0", " ").split())
    for heading in (
        "What would change it",
        "What it rests on",
        "Chance of managing each step",
        "With each help level",
        "How sure we were, day by day",
        "What the next challenge would mean",
        "When the whole skill may be done",
        "Reported and observed",
    ):
        assert heading in told
    found = advised(fresh(cast), TODAY)
    for row in shown.level_table(found).rows:
        assert plain(row[1]) in told
    assert f"{plan.steps.filter(asked=True).count()} step" in told
    assert "goes a day" in told


@pytest.mark.parametrize("n_levels", [2, 8])
def test_twenty_steps_on_any_ladder_are_shown_and_twelve_of_them_asked(
    n_levels: int, cast: Cast, as_therapist: Client
) -> None:
    steps = [Step(f"s{number}", f"Step number {number}", f"Go {number}") for number in range(1, 21)]
    skills.change_steps(cast.skill, "A long one", steps, Setting())
    people.signed_plan(cast, help_level=0, days_ago=14)
    names = [*(f"help {number}" for number in range(1, n_levels)), "alone"]
    Plan.objects.update(levels=names, chaining="whole")
    plan = cast.skill.plans.get()
    for ago in range(10, 0, -1):
        day = TODAY - timedelta(days=ago)
        marks = [
            Entry(day, 1, each.id, Outcome.MANAGED, adult="M", offered=n_levels - 1)
            for number, each in enumerate(steps)
            if number != 3
        ]
        practice.write(cast.skill, plan.version, marks, by=cast.therapist, plan=plan)
    found = advised(fresh(cast), TODAY)
    assert (len(found.steps), len(found.ladder.names)) == (20, n_levels)
    assert len(found.proposed) > MOST_ASKED_STEPS
    for name in ("review", "plan_edit"):
        assert as_therapist.get(reverse(name, args=[cast.skill.pk])).status_code == 200
    draft = services.start_draft(fresh(cast), TODAY)
    asked = set(draft.steps.filter(asked=True).values_list("step_id", flat=True))
    assert len(asked) == MOST_ASKED_STEPS
    assert "s4" in asked  # the one that is not there yet
    assert as_therapist.get(reverse("plan_edit", args=[cast.skill.pk])).status_code == 200
    paper = as_therapist.get(reverse("summary_pdf", args=[cast.skill.pk, "letter"]))
    assert paper["Content-Type"] == "application/pdf"
