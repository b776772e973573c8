"""The nine children come out as told on any day of loading, from a simulator and never from picked marks."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np
import pytest

from bylittle import library
from bylittle.core.plan.home_plan import Chaining
from bylittle.core.practice.log import PracticeLog
from bylittle.core.practice.marks import Source
from bylittle.demo import SEED, DemoChild, caseload
from bylittle.demo.child_record import child_record
from bylittle.demo.load import born
from bylittle.files.csv_head import Against
from bylittle.files.practice_csv import read_log, write_log
from bylittle.workflows.advise_log import AdviceSetting, AdvisedLog, advise_log

DAYS = (date(2026, 1, 1), date(2026, 2, 28), date(2026, 11, 25), date(2028, 2, 29))
NAMES = ("Wren", "Otto", "Juno", "Sol", "Pip", "Ada", "Bram", "Noor", "Teo")
TOLD = {
    "Wren": "move on",
    "Otto": "check fidelity",
    "Juno": "check fidelity",
    "Sol": "pause",
    "Pip": "done",
    "Ada": "refer",
    "Bram": "more data",
    "Noor": "more data",
    "Teo": "change material",
}


def loaded(today: date, seed: int = SEED) -> tuple[DemoChild, ...]:
    return caseload(today, np.random.default_rng(seed))


def setting_of(child: DemoChild) -> AdviceSetting:
    plan = child.present_plan
    if plan is None:
        return AdviceSetting(child.skill, chaining=Chaining.BACKWARD, baseline_wanted=True)
    return AdviceSetting(
        version=child.skill,
        ladder=plan.ladder,
        chaining=plan.chaining,
        plan_since=plan.start,
        red_flags=child.open_red_flags,
        doing_breaks_down=child.breakdown == "doing",
        easier_material=child.easier_material,
        adults_differ=child.adults_differ,
    )


def advised(child: DemoChild, today: date) -> AdvisedLog:
    return advise_log(PracticeLog.of(child.log), setting_of(child), today)


CHILDREN = loaded(DAYS[2])


@pytest.mark.parametrize("today", DAYS, ids=str)
@pytest.mark.parametrize("name", NAMES)
def test_the_adviser_decides_as_told(name: str, today: date) -> None:
    child = next(child for child in loaded(today) if child.name == name)
    assert child.expected == TOLD[name]
    assert advised(child, today).decision == child.expected


def test_the_log_is_the_same_on_any_day_but_for_its_dates() -> None:
    def shape(children: Sequence[DemoChild], today: date) -> list[tuple[object, ...]]:
        return [
            ((row.day - today).days, row.turn, row.step_id, row.outcome)
            for one in children
            for row in one.log
        ]

    assert shape(loaded(DAYS[0]), DAYS[0]) == shape(loaded(DAYS[3]), DAYS[3])


def test_another_seed_gives_other_marks() -> None:
    other = loaded(DAYS[2], SEED + 1)
    assert any(one.log != two.log for one, two in zip(CHILDREN, other, strict=True))


@pytest.mark.parametrize("child", CHILDREN, ids=lambda child: child.name)
class TestEachChild:
    def test_every_plan_could_be_signed(self, child: DemoChild) -> None:
        questions = [flag.id for flag in library.red_flags()]
        for signed in child.plans:
            signed.plan.check()
            signed.gate.check(questions)

    def test_the_goal_has_five_levels(self, child: DemoChild) -> None:
        child.goal.check()
        assert child.goal.scaled

    def test_nothing_lies_in_the_future(self, child: DemoChild) -> None:
        assert all(row.day < DAYS[2] for row in child.log)
        assert all(signed.signed_on < DAYS[2] for signed in child.plans)
        assert all(review.on < DAYS[2] for review in child.reviews)

    def test_the_log_is_sound_and_comes_back_from_a_file(self, child: DemoChild) -> None:
        ladder = setting_of(child).ladder
        data = write_log(child.log, child.skill, ladder).encode()
        assert read_log(data, Against(child.skill, ladder, DAYS[2])).entries == child.log

    def test_practice_is_of_the_plan_then_in_force(self, child: DemoChild) -> None:
        for row in child.log:
            if row.source in (Source.BASELINE, Source.PROBE):
                continue
            plan = [signed.plan for signed in child.plans if signed.signed_on <= row.day][-1]
            step = next(step for step in plan.steps if step.step_id == row.step_id)
            assert (step.asked, step.help_level) == (True, row.offered)
            assert row.adult in plan.adults
            assert row.grade == plan.grade

    def test_the_baseline_stands_before_the_first_plan(self, child: DemoChild) -> None:
        baseline = {row.day for row in child.log if row.source is Source.BASELINE}
        assert len(baseline) >= 3
        if child.plans:
            assert max(baseline) < child.plans[0].signed_on

    def test_each_new_plan_has_its_review(self, child: DemoChild) -> None:
        reviewed = {review.on for review in child.reviews}
        assert {signed.signed_on for signed in child.plans[1:]} <= reviewed


def test_otto_and_juno_have_two_adults() -> None:
    assert all(len(child.adults) == 2 for child in CHILDREN if child.name in ("Otto", "Juno"))


def test_pip_has_a_check_due_at_the_nursery() -> None:
    pip = next(child for child in CHILDREN if child.name == "Pip")
    due = [check for check in pip.checks if check.done_on is None and check.due <= DAYS[2]]
    assert [check.place for check in due] == ["nursery"]


@pytest.mark.parametrize("today", [*DAYS, date(2027, 3, 10), date(2026, 5, 31)], ids=str)
def test_the_ages_are_those_told_and_hold_for_two_weeks(today: date) -> None:
    for later in (today, today + timedelta(days=14)):
        day = born(today, 3, 1)
        months = (later.year - day.year) * 12 + later.month - day.month - (later.day < day.day)
        assert divmod(months, 12) == (3, 1)


def test_who_works_with_an_easier_material_than_that_of_daily_life() -> None:
    easier = {child.name for child in CHILDREN if child.easier_material}
    assert easier == {"Teo", "Bram"}


def test_only_adas_last_review_leaves_a_red_flag_open() -> None:
    assert {child.name: child.open_red_flags for child in CHILDREN if child.open_red_flags} == {
        "Ada": ("lost-skill",)
    }


def test_before_the_first_plan_nothing_is_easier_and_no_flag_is_open() -> None:
    noor = next(child for child in CHILDREN if child.name == "Noor")
    assert (noor.present_plan, noor.easier_material, noor.open_red_flags) == (None, False, ())


def child_named(name: str) -> DemoChild:
    return next(child for child in CHILDREN if child.name == name)


def test_ottos_granddad_was_seen_to_say_other_words_and_to_help_in_another_way() -> None:
    """Two adults, different words: the therapist saw it with the plan's own checklist."""
    checks = child_named("Otto").coaching
    last = {check.adult: check.answers() for check in checks}
    assert (last["Ma"]["cue-words"], last["G"]["cue-words"]) == ("done", "not")
    assert {item.id for item in library.fidelity_items() if item.order != "least-to-most"} == set(last["G"])
    numbers = {signed.plan.number: signed.signed_on for signed in child_named("Otto").plans}
    assert all(check.on >= numbers[check.plan] for check in checks)


def test_ottos_adults_say_different_words_at_steps_that_he_learns() -> None:
    otto = child_named("Otto")
    steps = {step.id for step in otto.skill.steps if not step.adult_only}
    said = {heard.adult: dict(heard.words) for heard in otto.spoken}
    assert all(set(words) <= steps for words in said.values())
    agreed = next(step.cue for step in otto.skill.steps if step.id == "pull")
    assert said["Mama"]["pull"] == agreed != said["Granddad"]["pull"]
    assert {heard.adult for heard in otto.spoken} == {adult.name for adult in otto.adults}


def test_quick_looks_point_where_the_skill_says_that_it_breaks_down() -> None:
    looked = [child for child in CHILDREN if child.looks]
    assert len(looked) >= 2
    for child in looked:
        assert child.looks[-1].kind == child.breakdown
        assert child.looks[-1].strength == "fairly clear"


def test_a_thing_that_is_used_was_never_found_unfit_for_the_child() -> None:
    screens = [screen for child in CHILDREN for screen in child.screens]
    assert {screen.verdict for screen in screens} >= {"warn", "note"}
    assert all(screen.verdict != "block" for screen in screens if screen.left_out_on is None)
    assert any(screen.left_out_on for screen in screens)


def test_what_was_seen_is_part_of_the_childs_record() -> None:
    record = child_record(child_named("Otto"))
    assert len(record.skills[0].spoken) == 2
    (skill,) = record.skills
    assert (len(skill.coaching), len(skill.looks), len(skill.screens)) == (5, 1, 1)
    assert record.child.mouths is False
