"""Every sentence for people, made from the core's codes and numbers; one data file a topic.

A phrase stands in a TOML file beside this module and names the values it needs in braces. After a colon
stands how a value is written: `{chance:pct}` as a percentage, `{days:day|days}` as a count with its noun,
`{names:and}` as a list, `{day:date}` as a date. A phrase or a value that is missing is a fault, never a
blank on a page.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from enum import Enum
from functools import cache
from pathlib import Path
from string import Formatter
from typing import Any

from bylittle.core.faults import BadValue

_HERE = Path(__file__).parent
AND = {"en": "and", "es": "y"}
OVER = {"en": "over", "es": "más de"}
TO = {"en": "to", "es": "a"}
UNDER = {"en": "under", "es": "menos de"}
MONTHS = {
    "en": ["Jan", "Feb", "Mar", "Apr", "May", "June", "July", "Aug", "Sept", "Oct", "Nov", "Dec"],
    "es": ["ene", "feb", "mar", "abr", "may", "jun", "jul", "ago", "sept", "oct", "nov", "dic"],
}
NO_BREAK = "\u00a0"


@cache
def book(name: str) -> Mapping[str, Any]:
    """The phrases of one topic (the file `name.toml`)."""
    return tomllib.loads((_HERE / f"{name}.toml").read_text(encoding="utf-8"))


def phrase(name: str, *keys: str) -> str:
    """The phrase under `keys` in one topic; BadValue (`no_words`) where there is none."""
    found: Any = book(name)
    for key in keys:
        found = found.get(key) if isinstance(found, Mapping) else None
    if not isinstance(found, str):
        raise BadValue("no_words", name=name, value=".".join(keys), allowed="a phrase of this topic")
    return found


def say(name: str, *keys: str, language: str = "en", **values: Any) -> str:
    """The phrase under `keys` and then `language`, with its values filled in."""
    return fill(phrase(name, *keys, language), values, language)


def fill(template: str, values: Mapping[str, Any], language: str = "en") -> str:
    """A phrase with its values; BadValue (`no_value`) names the value that is missing."""
    try:
        return _Filler(language).vformat(template, (), values)
    except KeyError as missing:
        allowed = tuple(values)
        raise BadValue("no_value", name=str(missing.args[0]), value=template, allowed=allowed) from missing


def best(phrases: str | Sequence[str], values: Mapping[str, Any], language: str = "en") -> str:
    """The first of several phrases whose values are all there; BadValue where even the last lacks one."""
    several = [phrases] if isinstance(phrases, str) else list(phrases)
    for words in several[:-1]:
        try:
            return fill(words, values, language)
        except BadValue:
            continue
    return fill(several[-1], values, language)


def told_day(day: date, language: str = "en") -> str:
    """A date as people write it: 3 Mar 2026."""
    return f"{short_day(day, language)}{NO_BREAK}{day.year}"


def short_day(day: date, language: str = "en") -> str:
    """Day and month: 3 Mar."""
    return f"{day.day}{NO_BREAK}{MONTHS[language][day.month - 1]}"


def told_list(items: Iterable[Any], language: str = "en") -> str:
    """A list in words: a, b and c."""
    words = [_plain(item) for item in items]
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {AND[language]} {words[-1]}"


def percent(share: float, language: str = "en") -> str:
    """A share 0..1 as a whole percentage; never 0 % or 100 % for a share that is neither."""
    whole = round(share * 100)
    if share < 1 and whole == 100:
        return f"{OVER[language]}{NO_BREAK}99{NO_BREAK}%"
    if share > 0 and whole == 0:
        return f"{UNDER[language]}{NO_BREAK}1{NO_BREAK}%"
    return f"{whole}{NO_BREAK}%"


def percent_range(low: float, high: float, language: str = "en") -> str:
    """An interval of shares without the sign: 50 to 90; never 0 or 100 for a share that is neither.

    Empty where both ends read the same: the share itself then says it all.
    """
    ends = [percent(share, language).removesuffix(f"{NO_BREAK}%") for share in (low, high)]
    return "" if ends[0] == ends[1] else f"{ends[0]}{NO_BREAK}{TO[language]}{NO_BREAK}{ends[1]}"


def chance(mean: float, low: float, high: float, language: str = "en") -> str:
    """A chance with its interval: 72 % (50 to 90)."""
    between = percent_range(low, high, language)
    return f"{percent(mean, language)} ({between})" if between else percent(mean, language)


class _Filler(Formatter):
    """Writes values the way people read them."""

    def __init__(self, language: str) -> None:
        self.language = language

    def format_field(self, value: Any, spec: str) -> str:
        if spec == "pct":
            return percent(float(value), self.language)
        if spec == "date":
            return told_day(value, self.language)
        if spec == "and":
            return told_list(value, self.language)
        if "|" in spec:
            one, many = spec.split("|")
            return f"{_plain(value)}{NO_BREAK}{one if value == 1 else many}"
        return _plain(value) if not spec else str(format(value, spec))


def _plain(value: Any) -> str:
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, date):
        return told_day(value)
    if isinstance(value, float):
        return f"{value:.2f}".rstrip("0").rstrip(".")
    return str(value)
