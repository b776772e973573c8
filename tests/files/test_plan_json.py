"""PLAN.json: exactly the known fields, all faults told together, nothing lost on the way there and back."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bylittle.core.faults import BadValue, Fault, ManyFaults
from bylittle.core.sheet.plan import SheetPlan, SheetStep
from bylittle.files.plan_json import WrongJson, read_plan, write_plan

PLAN: dict[str, Any] = {
    "plan": "7F3A9C",
    "version": 3,
    "skill": "Pull on a rain boot",
    "child": "Wren",
    "steps": [
        {"name": "Open the boot", "cue": "Open it", "asked": False},
        {"name": "Pull up", "cue": "Pull up", "asked": True, "help": "light touch"},
    ],
    "levels": ["hand over hand", "light touch", "showing", "pointing", "words", "alone"],
    "days": 7,
    "turns_per_day": 4,
    "language": "en",
    "adults": ["M", "D", "Nana"],
    "start": "2026-11-30",
    "copy": "A",
    "chaining": "backward",
    "order_of_help": "fixed offer",
    "wait_s": 5,
    "stop_signs": ["turns away"],
    "call": "Clinic 555-0100",
    "second_language": "es",
}
OPTIONAL = ["start", "copy", "chaining", "order_of_help", "wait_s", "stop_signs", "call", "second_language"]


def faults(data: Any, *, sheet: bool = True) -> list[Fault]:
    text = data if isinstance(data, str) else json.dumps(data)
    with pytest.raises(Fault) as told:
        read_plan(text, sheet=sheet)
    problem = told.value
    return list(problem.faults) if isinstance(problem, ManyFaults) else [problem]


def names(data: Any, *, sheet: bool = True) -> list[str]:
    return [fault.values["name"] for fault in faults(data, sheet=sheet)]


def test_a_plan_is_read_field_by_field() -> None:
    plan = read_plan(json.dumps(PLAN))
    assert plan.plan == "7F3A9C"
    assert plan.asked == (SheetStep("Pull up", "Pull up", True, "light touch"),)
    assert plan.start is not None
    assert plan.start.isoformat() == "2026-11-30"
    assert (plan.wait_s, plan.call, plan.second_language) == (5, "Clinic 555-0100", "es")


def test_fields_after_adults_may_be_left_out() -> None:
    plan = read_plan(json.dumps({name: value for name, value in PLAN.items() if name not in OPTIONAL}))
    assert plan.start is None
    assert plan.copy == "A"
    assert plan.order_of_help == "fixed offer"


@pytest.mark.parametrize("child", [None, "", "  "])
def test_no_name_means_no_name(child: str | None) -> None:
    assert read_plan(json.dumps(PLAN | {"child": child})).child is None


@pytest.mark.parametrize(
    "name", ["plan", "version", "skill", "steps", "levels", "days", "language", "adults"]
)
def test_a_needed_field_that_is_missing_is_named(name: str) -> None:
    assert names({key: value for key, value in PLAN.items() if key != name}) == [name]


@pytest.mark.parametrize(
    ("change", "where"),
    [
        ({"days": 8}, "days"),
        ({"days": True}, "days"),
        ({"days": 2.0}, "days"),
        ({"turns_per_day": 6}, "turns_per_day"),
        ({"turns_per_day": 0}, "turns_per_day"),
        ({"version": 0}, "version"),
        ({"levels": ["alone"]}, "levels"),
        ({"levels": [*PLAN["levels"], "Alone"]}, "levels"),
        ({"adults": ["A", "B", "C", "D", "E"]}, "adults"),
        ({"start": "30.11.2026"}, "start"),
        ({"start": "2026-02-30"}, "start"),
        ({"copy": "AB"}, "copy"),
        ({"chaining": "sideways"}, "chaining"),
        ({"order_of_help": "any"}, "order_of_help"),
        ({"wait_s": -1}, "wait_s"),
        ({"stop_signs": "turns away"}, "stop_signs"),
        ({"skill": ""}, "skill"),
        ({"skill": 5}, "skill"),
        ({"language": "English"}, "language"),
        ({"colour": "plum"}, "colour"),
        ({"steps": []}, "steps"),
        ({"steps": [{"name": "Pull", "cue": "Pull", "asked": False}]}, "steps"),
        ({"steps": [{"name": "Pull", "cue": "Pull", "asked": True}]}, "steps[1].help"),
        ({"steps": [{"name": "P", "cue": "P", "asked": True, "help": "magic"}]}, "steps[1].help"),
        ({"steps": [{"name": "P", "cue": "P", "asked": 1, "help": "alone"}]}, "steps[1].asked"),
        ({"steps": [{"name": "P", "cue": "P", "asked": True, "help": "alone"}] * 13}, "steps"),
    ],
)
def test_a_wrong_value_is_told_with_its_place(change: dict[str, Any], where: str) -> None:
    assert where in names(PLAN | change)


def test_all_faults_are_told_together() -> None:
    assert set(names(PLAN | {"days": 9, "copy": "a", "colour": 1})) == {"days", "copy", "colour"}


def test_a_longer_course_is_a_plan_but_not_a_sheet() -> None:
    longer = PLAN | {"days": 14, "turns_per_day": 8}
    assert read_plan(json.dumps(longer)).turns_per_day == 8
    assert set(names(longer)) == {"days", "turns_per_day"}


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[1, 2",
        '{"days": 1, "days": 2}',
        '{"days": NaN}',
        "[" * 100_000,
        '{"days": ' + "9" * 5000 + "}",
    ],
    ids=["empty", "cut", "twice", "nan", "deep", "long number"],
)
def test_what_is_not_json_is_told_with_its_line(text: str) -> None:
    (fault,) = faults(text)
    assert isinstance(fault, WrongJson)
    assert fault.values["line"] >= 1


@pytest.mark.parametrize("value", [[], '"plan"', 5, None])
def test_json_that_is_no_plan_is_told(value: Any) -> None:
    (fault,) = faults(value)
    assert isinstance(fault, BadValue)


words = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1, max_size=12)


@st.composite
def plans(draw: st.DrawFn) -> SheetPlan:
    levels = tuple(draw(st.lists(words, min_size=2, max_size=8, unique_by=lambda word: word.casefold())))
    help_levels = draw(st.lists(st.sampled_from(levels), min_size=1, max_size=4))
    steps = tuple(SheetStep(draw(words), draw(words), True, level) for level in help_levels)
    return SheetPlan(
        plan=draw(words),
        version=draw(st.integers(1, 4095)),
        skill=draw(words),
        steps=(*steps, SheetStep(draw(words), "", False)),
        levels=levels,
        days=draw(st.integers(1, 7)),
        turns_per_day=draw(st.integers(1, 5)),
        language="en",
        adults=tuple(draw(st.lists(words, max_size=4, unique_by=lambda word: word.casefold()))),
        child=draw(st.none() | words),
        wait_s=draw(st.none() | st.integers(0, 60)),
        stop_signs=tuple(draw(st.lists(words, max_size=3))),
    )


@given(plans())
@settings(max_examples=60)
def test_what_was_written_is_read_back(plan: SheetPlan) -> None:
    assert read_plan(write_plan(plan), sheet=True) == plan


def test_leaping_ahead_goes_out_and_comes_back_and_is_not_written_where_it_is_off() -> None:
    plan = read_plan(json.dumps(PLAN | {"chaining": "backward"}))
    assert "leap_ahead" not in write_plan(plan)
    leaping = replace(plan, leap_ahead=True)
    assert json.loads(write_plan(leaping))["leap_ahead"] is True
    assert read_plan(write_plan(leaping)) == leaping
