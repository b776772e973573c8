"""The door of the tracker: whatever carries the fields of a mark becomes a checked mark."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from enum import StrEnum
from functools import lru_cache
from operator import attrgetter
from typing import Any

from bylittle.core.faults import BadValue, Contradiction, Fault, raise_all
from bylittle.core.practice.marks import NO_LEVEL, Mark, Source, Status

FAMILY = "family"
MISSING = "a field that every mark has"
FIELDS = (
    ("step", MISSING),
    ("offered", None),
    ("status", MISSING),
    ("lo", None),
    ("hi", None),
    ("ladder", False),
    ("source", None),
    ("adult", ""),
    ("place", ""),
    ("grade", ""),
)
_FIELDS_OF = attrgetter(*(name for name, _ in FIELDS))


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
    if isinstance(given, Mark):
        told = _FIELDS_OF(given)
    elif isinstance(given, Mapping):
        told = tuple(given.get(name, default) for name, default in FIELDS)
    else:
        told = tuple(getattr(given, name, default) for name, default in FIELDS)
    try:
        return _checked(n_steps, n_levels, *told)
    except TypeError:  # a value that cannot even be looked up, a list say
        return _checked.__wrapped__(n_steps, n_levels, *told)


# Marks repeat themselves: looking a known one up is ten times quicker than checking it again.
@lru_cache(maxsize=8192, typed=True)
def _checked(
    n_steps: int,
    n_levels: int,
    step: Any,
    offered: Any,
    status: Any,
    lo: Any,
    hi: Any,
    ladder: Any,
    source: Any,
    adult: Any,
    place: Any,
    grade: Any,
) -> Mark:
    top = n_levels - 1
    high = _level("hi", hi, top)
    mark = Mark(
        step=_whole("step", step, 0, n_steps - 1),
        offered=_level("offered", offered, top),
        status=_word(Status, "status", status),
        lo=_level("lo", lo, top),
        hi=top if high == NO_LEVEL else high,
        ladder=bool(ladder),
        source=_source(source),
        adult=_text(adult),
        place=_text(place),
        grade=_text(grade),
    )
    if mark.status is Status.DONE and mark.lo > mark.hi:
        raise BadValue("interval_reversed", name="lo..hi", value=(mark.lo, mark.hi), allowed="lo <= hi")
    return mark


def _level(name: str, value: Any, top: int) -> int:
    return NO_LEVEL if value is None else _whole(name, value, NO_LEVEL, top)


def _whole(name: str, value: Any, low: int, high: int) -> int:
    if value is MISSING:
        raise BadValue("field_missing", name=name, value=None, allowed=(low, high))
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


def _text(value: Any) -> str:
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
