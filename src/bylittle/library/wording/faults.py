"""Faults in words: what is wrong, and how to mend it. One sentence source for pages and command line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Any

from bylittle.core.faults import Fault
from bylittle.library.wording import NO_BREAK, book, csv_faults, fill, phrase, told_day

LONGEST = 80
OPEN_ENDED = "{} or more"
RANGE = "{} to {}"


@dataclass(frozen=True, slots=True)
class Told:
    """A fault in words: `what` is wrong, and how to `mend` it."""

    what: str
    mend: str


def sentence(fault: Fault, language: str = "en") -> Told:
    """The words of a fault. A code that nobody has written words for is told as such, never hidden."""
    if fault.code in csv_faults.codes() and not knows(fault.code):
        told = csv_faults.told(fault.code, fault.values, column=str(getattr(fault, "column", "")))
        return Told(told.fault, told.mend)
    code = fault.code if knows(fault.code) else "unnamed"
    values = prepared(fault, language)
    what, mend = (phrase("faults", "fault", code, part, language) for part in ("what", "mend"))
    return Told(_capital(fill(what, values, language)), _capital(fill(mend, values, language)))


def knows(code: str) -> bool:
    """Whether a code has its words here."""
    return code in book("faults")["fault"]


def prepared(fault: Fault, language: str) -> dict[str, Any]:
    """The values as the phrases name them.

    Added: `code`, `most` (the upper end of what is allowed) and `value_name` (the name as it was given).
    """
    told: dict[str, Any] = {name: _shown(value, language) for name, value in fault.values.items()}
    allowed = fault.values.get("allowed", "")
    told |= {
        "code": fault.code,
        "allowed": allowed_words(allowed),
        "value_name": fault.values.get("name", ""),
    }
    if isinstance(allowed, Sequence) and allowed:
        told["most"] = allowed[-1]
    if shorten := fault.values.get("shorten"):
        told["shorten"] = ", ".join(str(what) for what, *_ in shorten[:3])
    told["name"] = name_of(str(fault.values.get("name", "")))
    told.setdefault("value", "")
    return told


def name_of(name: str) -> str:
    """A field's name for people."""
    return str(book("faults")["names"].get(name, name.replace("_", " "))) or "this"


def allowed_words(allowed: object) -> str:
    """What is permitted, in words: a range, a list, or a text as it stands."""
    if isinstance(allowed, str) or not isinstance(allowed, Sequence):
        return (
            {True: "yes", False: "no"}.get(allowed, str(allowed))
            if isinstance(allowed, bool)
            else str(allowed)
        )
    if len(allowed) == 2 and isinstance(allowed[0], int | float):
        low, high = allowed
        return OPEN_ENDED.format(low) if high is None else RANGE.format(low, high)
    words = [str(item.value if isinstance(item, Enum) else item) for item in allowed]
    return f"{', '.join(words[:-1])} or {words[-1]}" if len(words) > 1 else "".join(words)


def _shown(value: object, language: str) -> object:
    """A value as it was given: numbers plain, texts in quotes, records by what they say."""
    if value is None or value == "":
        return "empty"
    if isinstance(value, bool | int):
        return value
    if isinstance(value, float):
        return f"{value:.3g}"
    if isinstance(value, date):
        return told_day(value, language)
    if isinstance(value, str):
        return f"“{value if len(value) <= LONGEST else value[:LONGEST] + '…'}”"
    if isinstance(value, Mapping | Sequence):
        return allowed_words(list(value))
    return _record(value, language)


def _record(value: object, language: str) -> str:
    """A practice entry in a line: the day, the turn and what was seen; anything else as it prints."""
    day, turn, outcome = (getattr(value, name, None) for name in ("day", "turn", "outcome"))
    if not isinstance(day, date) or outcome is None:
        return str(value)[:LONGEST]
    adult = getattr(value, "adult", "")
    who = f", {adult}" if adult else ""
    return f"{told_day(day, language)}, turn{NO_BREAK}{turn}{who}: {getattr(outcome, 'value', outcome)}"


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
