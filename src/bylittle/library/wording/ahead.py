"""When the whole skill may be done, and how reported compares with observed, in words for the therapist."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any, Protocol

from bylittle.core.faults import Fault
from bylittle.library.wording import best, book, faults


class Ahead(Protocol):
    """A range of `workflows.foresight.WholeSkill`."""

    @property
    def early(self) -> date | None: ...

    @property
    def middle(self) -> date | None: ...

    @property
    def late(self) -> date | None: ...

    @property
    def days_a_week(self) -> float: ...

    @property
    def at_once(self) -> int: ...

    @property
    def bar(self) -> float: ...

    @property
    def chance_now(self) -> float: ...

    @property
    def silent(self) -> str: ...

    @property
    def values(self) -> Mapping[str, object]: ...


class Compared(Protocol):
    """A gap of `workflows.foresight.Gap`."""

    @property
    def gap(self) -> float | None: ...

    @property
    def low(self) -> float | None: ...

    @property
    def high(self) -> float | None: ...

    @property
    def reported(self) -> float | None: ...

    @property
    def reported_n(self) -> int: ...

    @property
    def observed(self) -> float | None: ...

    @property
    def observed_n(self) -> int: ...

    @property
    def silent(self) -> str: ...

    @property
    def values(self) -> Mapping[str, object]: ...


SURE = 0.9  # of the range's last day: where it is so likely already there is nothing to wait for


def whole_skill(found: Ahead, language: str = "en") -> tuple[str, ...]:
    """The range and what it assumes, or why nothing is said of it."""
    if found.silent:
        return _silence("ahead", found.silent, found.values, language)
    if found.chance_now >= SURE:
        return (_said("ahead", "now", {"bar": found.bar, "chance_now": found.chance_now}, language),)
    days = {"early": found.early, "middle": found.middle, "late": found.late}
    told = {name: day for name, day in days.items() if day is not None}
    assumed = {"days_a_week": found.days_a_week, "at_once": found.at_once}
    # Even odds on the first day of the range: it is the day of asking, and what is left may be little.
    which = "perhaps" if found.early is not None and found.early == found.middle else "range"
    return (
        _said("ahead", which, {"bar": found.bar, **told}, language),
        _said("ahead", "assumes", assumed, language),
    )


def gap(found: Compared, language: str = "en") -> tuple[str, ...]:
    """Reported against observed with the gap's interval, or what is needed to compare them."""
    low, high = found.low, found.high
    if found.silent or found.gap is None or low is None or high is None:
        return _silence("gap", found.silent, found.values, language)
    which = "ahead" if low > 0 else "behind" if high < 0 else "none"
    lower, upper = (-high, -low) if which == "behind" else (low, high)
    shares = {"reported": found.reported, "observed": found.observed, "size": abs(found.gap)}
    counts = {"reported_n": found.reported_n, "observed_n": found.observed_n}
    return (_said("gap", which, {**shares, **counts, "low": lower, "high": upper}, language),)


def _silence(topic: str, code: str, values: Mapping[str, object], language: str) -> tuple[str, ...]:
    if code in book("advice")[topic]:
        return (_said(topic, code, values, language),)
    told = faults.sentence(Fault(code, **dict(values)))
    return (f"{told.what} {told.mend}",)


def _said(topic: str, name: str, values: Mapping[str, Any], language: str) -> str:
    return best(book("advice")[topic][name][language], values, language)
