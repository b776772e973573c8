"""PLAN.json to a `SheetPlan` and back. Exactly the fields below are known; all faults are told together."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping
from datetime import date
from types import MappingProxyType
from typing import Any

from bylittle.core.faults import BadValue, Fault, raise_all
from bylittle.core.sheet import identity
from bylittle.core.sheet.plan import CHAININGS, FIXED_OFFER, ORDERS_OF_HELP, SheetPlan, SheetStep
from bylittle.core.sheet.shape import ADULTS, DAYS, LEVELS, STEPS, TURNS

LONGEST = 1_000_000  # characters of a file; a plan has a few thousand
MOST_STEPS = 40
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")
_LANGUAGE = re.compile(r"[a-z]{2,3}(-[A-Za-z0-9]{2,8})*")

Check = Callable[[str, Any], Iterator[Fault]]


class WrongJson(Fault):
    """Not JSON at all, or JSON that contradicts itself: `line` and `reason`."""

    code = "wrong_json"


def read_plan(text: str, *, sheet: bool = False) -> SheetPlan:
    """The plan in `text`. Raises `WrongJson`, `BadValue` or, for more than one, `ManyFaults`.

    With `sheet` the narrower bounds of a log sheet hold too: days, turns a day, adults, asked steps.
    """
    data = _parse(text)
    raise_all(_plan_faults(data, _SHEET_FIELDS if sheet else _FIELDS))
    return _plan(data)


def write_plan(plan: SheetPlan) -> str:
    """`plan` as PLAN.json; `read_plan` gives it back equal."""
    data: dict[str, Any] = {
        "plan": plan.plan,
        "version": plan.version,
        "skill": plan.skill,
        "child": plan.child,
        "steps": [_step_data(step) for step in plan.steps],
        "levels": list(plan.levels),
        "days": plan.days,
        "turns_per_day": plan.turns_per_day,
        "language": plan.language,
        "adults": list(plan.adults),
        "start": plan.start.isoformat() if plan.start else None,
        "copy": plan.copy,
        "chaining": plan.chaining,
        "leap_ahead": plan.leap_ahead or None,
        "order_of_help": plan.order_of_help,
        "wait_s": plan.wait_s,
        "stop_signs": list(plan.stop_signs),
        "call": plan.call,
        "second_language": plan.second_language,
    }
    told = {name: value for name, value in data.items() if value is not None}
    return json.dumps(told, ensure_ascii=False, indent=1) + "\n"


def _parse(text: str) -> Any:
    if len(text) > LONGEST:
        raise WrongJson(line=1, reason="too long")
    try:
        return json.loads(
            text.removeprefix("\ufeff"), object_pairs_hook=_no_doubles, parse_constant=_no_constant
        )
    except json.JSONDecodeError as problem:
        raise WrongJson(line=problem.lineno, reason=problem.msg) from problem
    except (RecursionError, ValueError) as problem:
        raise WrongJson(line=1, reason="too deep or a number too long") from problem


def _no_doubles(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    data = dict(pairs)
    if len(data) < len(pairs):
        names = [name for name, _ in pairs]
        raise WrongJson(line=1, reason=f"twice: {next(name for name in names if names.count(name) > 1)}")
    return data


def _no_constant(name: str) -> Any:
    raise WrongJson(line=1, reason=f"not a number: {name}")


def _text(longest: int, *, empty: bool = False) -> Check:
    def check(name: str, value: Any) -> Iterator[Fault]:
        if not isinstance(value, str):
            yield BadValue("not_text", name=name, value=value, allowed="text")
        elif not empty and not value.strip():
            yield BadValue("empty", name=name, value=value, allowed="text")
        elif len(value) > longest or any(ord(sign) < 32 for sign in value):
            yield BadValue("too_long", name=name, value=value[:80], allowed=longest)

    return check


def _whole(low: int, high: int) -> Check:
    def check(name: str, value: Any) -> Iterator[Fault]:
        if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
            yield BadValue("out_of_range", name=name, value=value, allowed=(low, high))

    return check


def _one_of(*allowed: str) -> Check:
    def check(name: str, value: Any) -> Iterator[Fault]:
        if value not in allowed:
            yield BadValue("not_one_of", name=name, value=value, allowed=allowed)

    return check


def _list(item: Check, low: int, high: int, *, different: bool = False) -> Check:
    def check(name: str, value: Any) -> Iterator[Fault]:
        if not isinstance(value, list):
            yield BadValue("not_list", name=name, value=value, allowed="list")
            return
        if not low <= len(value) <= high:
            yield BadValue("out_of_range", name=name, value=len(value), allowed=(low, high))
        for number, part in enumerate(value, 1):
            yield from item(f"{name}[{number}]", part)
        texts = [part.strip().casefold() for part in value if isinstance(part, str)]
        if different and len(set(texts)) < len(texts):
            yield BadValue("repeated", name=name, value=value, allowed="different")

    return check


def _matching(pattern: re.Pattern[str], example: str) -> Check:
    def check(name: str, value: Any) -> Iterator[Fault]:
        if not isinstance(value, str) or not pattern.fullmatch(value):
            yield BadValue("not_one_of", name=name, value=value, allowed=example)

    return check


def _day(name: str, value: Any) -> Iterator[Fault]:
    first, last = identity.STARTS
    try:
        if not _DATE.fullmatch(value):
            raise ValueError
        day = date.fromisoformat(value)
    except (TypeError, ValueError):
        yield BadValue("not_a_date", name=name, value=value, allowed="2026-11-30")
        return
    if not first <= day <= last:
        yield BadValue("out_of_range", name=name, value=value, allowed=(first.isoformat(), last.isoformat()))


def _flag(name: str, value: Any) -> Iterator[Fault]:
    if not isinstance(value, bool):
        yield BadValue("not_one_of", name=name, value=value, allowed=(True, False))


def _or_nothing(check: Check) -> Check:
    def either(name: str, value: Any) -> Iterator[Fault]:
        if value is not None:
            yield from check(name, value)

    return either


_STEP: Mapping[str, Check] = MappingProxyType(
    {"name": _text(80), "cue": _text(40, empty=True), "asked": _flag, "help": _or_nothing(_text(30))}
)
_STEP_NEEDS = ("name", "cue", "asked")


def _step(name: str, value: Any) -> Iterator[Fault]:
    yield from _object_faults(value, _STEP, _STEP_NEEDS, name)
    if isinstance(value, dict) and value.get("asked") is True and value.get("help") is None:
        yield BadValue("missing", name=f"{name}.help", value=None, allowed="a level")


def _needed(days: int, turns: int, adults: int) -> Mapping[str, Check]:
    return MappingProxyType(
        {
            "plan": _text(40),
            "version": _whole(1, identity.VERSIONS[-1]),
            "skill": _text(80),
            "steps": _list(_step, 1, MOST_STEPS),
            "levels": _list(_text(30), LEVELS[0], LEVELS[-1], different=True),
            "days": _whole(1, days),
            "turns_per_day": _whole(1, turns),
            "language": _matching(_LANGUAGE, "en"),
            "adults": _list(_text(12), 0, adults, different=True),
        }
    )


_NEEDED = ("plan", "version", "skill", "steps", "levels", "days", "turns_per_day", "language", "adults")
_OPTIONAL: Mapping[str, Check] = MappingProxyType(
    {
        "child": _or_nothing(_text(40, empty=True)),
        "start": _or_nothing(_day),
        "copy": _matching(re.compile(r"[A-Z]"), "A to Z"),
        "chaining": _or_nothing(_one_of(*CHAININGS)),
        "leap_ahead": _flag,
        "order_of_help": _one_of(*ORDERS_OF_HELP),
        "wait_s": _or_nothing(_whole(0, 60)),
        "stop_signs": _list(_text(60), 0, 12),
        "call": _or_nothing(_text(80)),
        "second_language": _or_nothing(_matching(_LANGUAGE, "es")),
    }
)
_FIELDS = MappingProxyType({**_needed(366, 100, 12), **_OPTIONAL})
_SHEET_FIELDS = MappingProxyType({**_needed(DAYS[-1], TURNS[-1], ADULTS[-1]), **_OPTIONAL})


def _plan_faults(data: Any, known: Mapping[str, Check]) -> Iterator[Fault]:
    yield from _object_faults(data, known, _NEEDED, "")
    if not isinstance(data, dict) or not isinstance(data.get("steps"), list):
        return
    steps = [step for step in data["steps"] if isinstance(step, dict)]
    asked = sum(step.get("asked") is True for step in steps)
    if steps and asked not in STEPS:
        yield BadValue("asked_steps", name="steps", value=asked, allowed=(STEPS[0], STEPS[-1]))
    levels = data.get("levels")
    for number, step in enumerate(data["steps"], 1):
        told = step.get("help") if isinstance(step, dict) else None
        if isinstance(levels, list) and isinstance(told, str) and told not in levels:
            where = f"steps[{number}].help"
            yield BadValue("level_not_on_ladder", name=where, value=told, allowed=tuple(map(str, levels)))


def _object_faults(
    data: Any, known: Mapping[str, Check], needed: tuple[str, ...], where: str
) -> Iterator[Fault]:
    if not isinstance(data, dict):
        yield BadValue("not_object", name=where or "file", value=data, allowed="object")
        return
    lead = f"{where}." if where else ""
    for name in needed:
        if name not in data:
            yield BadValue("missing", name=lead + name, value=None, allowed="a value")
    for name, value in data.items():
        if name in known:
            yield from known[name](lead + name, value)
        else:
            yield BadValue("unknown_field", name=lead + name, value=value, allowed=tuple(known))


def _plan(data: Mapping[str, Any]) -> SheetPlan:
    start = data.get("start")
    return SheetPlan(
        plan=data["plan"].strip(),
        version=data["version"],
        skill=data["skill"].strip(),
        steps=tuple(_step_of(step) for step in data["steps"]),
        levels=tuple(level.strip() for level in data["levels"]),
        days=data["days"],
        turns_per_day=data["turns_per_day"],
        language=data["language"],
        adults=tuple(adult.strip() for adult in data["adults"]),
        child=(data.get("child") or "").strip() or None,
        start=date.fromisoformat(start) if start else None,
        copy=data.get("copy", "A"),
        chaining=data.get("chaining"),
        leap_ahead=data.get("leap_ahead", False),
        order_of_help=data.get("order_of_help", FIXED_OFFER),
        wait_s=data.get("wait_s"),
        stop_signs=tuple(data.get("stop_signs", ())),
        call=data.get("call"),
        second_language=data.get("second_language"),
    )


def _step_of(data: Mapping[str, Any]) -> SheetStep:
    told = data.get("help")
    return SheetStep(data["name"].strip(), data["cue"].strip(), data["asked"], told.strip() if told else None)


def _step_data(step: SheetStep) -> dict[str, Any]:
    data: dict[str, Any] = {"name": step.name, "cue": step.cue, "asked": step.asked}
    return {**data, "help": step.help} if step.help is not None else data
