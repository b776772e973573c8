"""What is wrong in a practice log and how to mend it, in a sentence each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from bylittle.library import wording

_TOPIC = "csv_faults"
_LONGEST_SHOWN = 120
_NOTHING = {"en": "(nothing)"}
_RANGE = {"en": "{} to {}"}
_ANY = {"en": "at least {}"}
_COULD_BE = {"en": ": {} perhaps", "or": " or "}


@dataclass(frozen=True, slots=True)
class Told:
    """A fault in words: what is wrong, and what to do about it."""

    fault: str
    mend: str


def told(code: str, values: Mapping[str, Any], *, column: str = "", language: str = "en") -> Told:
    """The words for one fault of a practice log; BadValue (`no_words`) for a code that has none."""
    shown = {name: _shown(value, language) for name, value in values.items()}
    shown["column"] = column
    shown["could_be"] = _could_be(values.get("could_be", ()), language)
    allowed = values.get("allowed")
    if isinstance(allowed, tuple) and allowed:
        shown["count"], shown["first"] = str(len(allowed)), str(allowed[0])
    fault, mend = (
        wording.fill(wording.phrase(_TOPIC, code, part, language), shown, language)
        for part in ("fault", "mend")
    )
    return Told(fault, mend)


def codes() -> tuple[str, ...]:
    """Every fault that has words here."""
    return tuple(wording.book(_TOPIC))


def _shown(value: Any, language: str) -> str:
    if isinstance(value, tuple) and len(value) == 2 and all(isinstance(part, int) for part in value):
        return _RANGE[language].format(*value)
    if isinstance(value, tuple | list):
        return ", ".join(str(part) for part in value) or _NOTHING[language]
    text = " ".join(str(value).split())
    return (text if len(text) <= _LONGEST_SHOWN else f"{text[:_LONGEST_SHOWN]}...") or _NOTHING[language]


def _could_be(days: tuple[str, ...], language: str) -> str:
    return _COULD_BE[language].format(_COULD_BE["or"].join(days)) if days else ""
