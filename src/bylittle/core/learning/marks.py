"""The door of the tracker: whatever carries the fields of a mark becomes a checked mark."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from enum import StrEnum
from typing import Any

from bylittle.core.faults import BadValue, Contradiction, Fault, raise_all
from bylittle.core.practice.marks import NO_LEVEL, Mark, Source, Status

FAMILY = "family"
_NEEDED = object()


def checked_marks(marks: Iterable[object], n_steps: int, n_levels: int) -> tuple[Mark, ...]:
    """The marks of one turn, checked; all faults are told together.

    A mark is an object or a mapping with step, offered, status, lo, hi and ladder, and perhaps source,
    adult, place and grade. Told twice alike, it counts once; told twice and differing it is a Contradiction.
    """
    found: list[Fault] = []
    kept: dict[tuple[object, ...], Mark] = {}
    for given in marks:
        try:
            mark = as_mark(given, n_steps, n_levels)
        except Fault as fault:
            found.append(fault)
            continue
        identity = (mark.step, mark.source, mark.adult)
        if kept.setdefault(identity, mark) != mark:
            found.append(Contradiction(there=kept[identity], new=mark))
    raise_all(found)
    return tuple(kept.values())


def as_mark(given: object, n_steps: int, n_levels: int) -> Mark:
    """One checked mark; BadValue names the field, its value and what is allowed."""
    top = n_levels - 1
    status = _word(Status, "status", _field(given, "status"))
    mark = Mark(
        step=_whole("step", _field(given, "step"), 0, n_steps - 1),
        offered=_level("offered", _field(given, "offered", NO_LEVEL), top),
        status=status,
        lo=_level("lo", _field(given, "lo", NO_LEVEL), top),
        hi=top if (hi := _level("hi", _field(given, "hi", top), top)) == NO_LEVEL else hi,
        ladder=bool(_field(given, "ladder", False)),
        source=_source(_field(given, "source", Source.HOME)),
        adult=_text(given, "adult"),
        place=_text(given, "place"),
        grade=_text(given, "grade"),
    )
    if status is Status.DONE and mark.lo > mark.hi:
        raise BadValue("interval_reversed", name="lo..hi", value=(mark.lo, mark.hi), allowed="lo <= hi")
    return mark


def _field(given: object, name: str, default: Any = _NEEDED) -> Any:
    if isinstance(given, Mapping):
        value = given.get(name, default)
    else:
        value = getattr(given, name, default)
    if value is _NEEDED:
        raise BadValue("field_missing", name=name, value=given, allowed=f"a mark with {name}")
    return value


def _level(name: str, value: Any, top: int) -> int:
    return NO_LEVEL if value is None else _whole(name, value, NO_LEVEL, top)


def _whole(name: str, value: Any, low: int, high: int) -> int:
    try:
        whole = int(value)
        fits = whole == value and low <= whole <= high and not isinstance(value, (bool, str))
    except (TypeError, ValueError, OverflowError):
        fits = False
    if not fits:
        raise BadValue("out_of_range", name=name, value=value, allowed=(low, high))
    return whole


def _word(kind: type[StrEnum], name: str, value: Any) -> Any:
    try:
        return kind(value)
    except ValueError:
        allowed = tuple(str(word) for word in kind)
        raise BadValue("unknown_word", name=name, value=value, allowed=allowed) from None


def _source(value: Any) -> Source:
    if value is None or value in ("", FAMILY):
        return Source.HOME
    source: Source = _word(Source, "source", value)
    return source


def _text(given: object, name: str) -> str:
    value = _field(given, name, "")
    return "" if value is None else str(value)


def whole_day(day: object, earliest: int | None) -> int:
    """A day as an int, not before `earliest`; BadValue otherwise."""
    try:
        whole = int(day)  # type: ignore[call-overload]
        fits = whole == day and not isinstance(day, (bool, str))
    except (TypeError, ValueError, OverflowError):
        fits = False
    if not fits:
        raise BadValue("day_not_whole", name="day", value=day, allowed="a whole number of days")
    if earliest is not None and whole < earliest:
        raise BadValue("day_before_last_entry", name="day", value=whole, allowed=(earliest, None))
    return int(whole)
