"""A plan that cannot be signed says everything that is wrong at once."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bylittle.core.faults import BadValue, ManyFaults
from bylittle.core.plan.gate import GateAnswer, SafetyGate, blocks_of
from bylittle.core.plan.goal import Goal
from bylittle.core.plan.home_plan import Dose, HomePlan, PlannedStep

PULL = PlannedStep("pull", "Pull up", "Pull up", asked=True, help_level=1)
OPEN = PlannedStep("open", "Open the boot", "Open it")
PLAN = HomePlan(plan_id="7F3A9C", number=1, skill_name="Pull on a rain boot", steps=(OPEN, PULL))


def codes(faults) -> list[str]:
    return [fault.code for fault in faults]


def test_a_sound_plan_passes_and_knows_its_asked_steps() -> None:
    PLAN.check()
    assert PLAN.asked == (PULL,)


def test_a_plan_without_an_asked_step_is_refused() -> None:
    with pytest.raises(BadValue) as caught:
        replace(PLAN, steps=(OPEN,)).check()
    assert caught.value.code == "no_asked_step"


def test_all_faults_are_told_together() -> None:
    hot = PlannedStep("pour", "Pour the tea", asked=True, help_level=9, adult_only=True)
    with pytest.raises(ManyFaults) as caught:
        replace(PLAN, steps=(OPEN, hot), wait_s=-1, dose=Dose(turns_per_day=0)).check()
    assert set(codes(caught.value.faults)) == {
        "adult_only_step_asked",
        "level_not_on_ladder",
        "out_of_range",
    }
    assert len(caught.value.faults) == 4


GATE = SafetyGate(
    answers=(GateAnswer("lost_skill", False),),
    precautions="none known",
    allergies="none known",
    stop_signs=("turns away",),
    yes_signs=("reaches",),
    call="Clinic 555-0100",
)


def test_a_gate_answered_in_full_blocks_nothing() -> None:
    assert blocks_of(GATE, ["lost_skill"]) == []


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"answers": ()}, "red_flag_not_answered"),
        ({"answers": (GateAnswer("lost_skill", None),)}, "red_flag_not_answered"),
        ({"answers": (GateAnswer("lost_skill", True, " "),)}, "red_flag_needs_action"),
        ({"precautions": None}, "gate_not_answered"),
        ({"allergies": " "}, "gate_not_answered"),
        ({"stop_signs": ()}, "gate_not_answered"),
        ({"yes_signs": ()}, "gate_not_answered"),
        ({"call": ""}, "gate_not_answered"),
    ],
)
def test_each_gap_in_the_gate_blocks(change: dict, code: str) -> None:
    assert codes(blocks_of(replace(GATE, **change), ["lost_skill"])) == [code]


def test_a_yes_with_what_was_done_lets_the_plan_be_signed() -> None:
    acted = replace(GATE, answers=(GateAnswer("lost_skill", True, "Called the doctor on 3 May"),))
    assert blocks_of(acted, ["lost_skill"]) == []


def test_goal_levels_are_all_or_none_and_differ() -> None:
    Goal("Wren pulls on her boot").check()
    with pytest.raises(BadValue) as caught:
        Goal("Wren pulls on her boot", levels=("a", "", "", "", "")).check()
    assert caught.value.code == "goal_levels_missing"
    with pytest.raises(BadValue) as caught:
        Goal("Wren pulls on her boot", levels=("a", "A", "c", "d", "e")).check()
    assert caught.value.code == "goal_levels_alike"
