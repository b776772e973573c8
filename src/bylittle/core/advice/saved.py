"""A plan's frame and an advice as JSON values and back."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from bylittle.core.advice.adviser import Advice
from bylittle.core.advice.if_then import IfThen
from bylittle.core.advice.patterns import Pattern, PatternKind
from bylittle.core.advice.plan import Teaching
from bylittle.core.advice.words import Decision, Every, Goal, Why
from bylittle.core.learning.mastery import Criterion


def plan_value(plan: Teaching) -> dict[str, Any]:
    """A teaching frame as JSON values."""
    return asdict(plan)


def plan_from(value: dict[str, Any]) -> Teaching:
    """The teaching frame from its JSON values."""
    low, high = value["band"]
    return Teaching(
        goal=Goal(value["goal"]),
        band=(low, high),
        max_new_steps=value["max_new_steps"],
        every=Every(value["every"]),
        mastery=Criterion(**value["mastery"]),
        aim=value["aim"],
        aim_in_a_week=value["aim_in_a_week"],
        alone_margin=value["alone_margin"],
        coming_at=value["coming_at"],
        coming_whole=value["coming_whole"],
        coming_in_a_week=value["coming_in_a_week"],
        leap_ahead=value.get("leap_ahead", False),
    )


def advice_value(advice: Advice) -> dict[str, Any]:
    """An advice as JSON values."""
    return asdict(advice)


def advice_from(value: dict[str, Any]) -> Advice:
    """The advice from its JSON values."""
    return Advice(
        day=value["day"],
        levels=tuple(value["levels"]),
        predicted=tuple(value["predicted"]),
        decision=Decision(value["decision"]),
        why=tuple(Why(each["code"], _frozen(each["values"])) for each in value["why"]),
        patterns=tuple(_pattern(each) for each in value["patterns"]),
        ladder=value["ladder"],
        rules=tuple(IfThen(**rule) for rule in value["rules"]),
    )


def _pattern(value: dict[str, Any]) -> Pattern:
    kind = PatternKind(value["kind"])
    return Pattern(kind, tuple(value["steps"]), value["p"], _frozen(value["values"]))


def _frozen(values: dict[str, Any]) -> dict[str, Any]:
    return {name: tuple(each) if isinstance(each, list) else each for name, each in values.items()}
