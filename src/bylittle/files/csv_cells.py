"""What each cell of a practice log may say: text in, core value out, or a fault that says what may stand.

A reading that could mean two things is a fault that names both; it is never guessed.
"""

from __future__ import annotations

import re
from datetime import date, timedelta
from enum import StrEnum
from types import MappingProxyType
from typing import TypeVar

from bylittle.core.faults import BadValue
from bylittle.core.practice.marks import Outcome
from bylittle.core.skill.ladder import Ladder
from bylittle.core.skill.steps import SkillVersion

LONGEST = MappingProxyType({"adult": 40, "place": 60, "grade": 80, "note": 400})
"""Signs of each free text, as the records keep them."""
_ISO = re.compile(r"\d{4}-\d{2}-\d{2}")
_ISO_AND_TIME = re.compile(r"(\d{4}-\d{2}-\d{2})[T ]\d{1,2}:\d{2}.*")
_NUMBERS = re.compile(r"(\d{1,4})[./\-\s]+(\d{1,2})[./\-\s]+(\d{1,4})\.?")
_DAY_NUMBER = re.compile(r"[345]\d{4}(\.\d+)?")
_SPREADSHEET_ZERO = date(1899, 12, 30)
_NEEDED = "needed"
_FORMULA_SIGNS = "=+-@"
_Word = TypeVar("_Word", bound=StrEnum)


def day_of(cell: str, latest: date | None) -> date:
    """An ISO date, not after `latest`; BadValue names the ISO dates that another form could mean."""
    if not cell:
        raise BadValue("date_empty", name="date", value="", allowed="YYYY-MM-DD")
    if not _ISO.fullmatch(cell):
        raise BadValue("date_form", name="date", value=cell, allowed="YYYY-MM-DD", could_be=_could_be(cell))
    try:
        day = date.fromisoformat(cell)
    except ValueError:
        raise BadValue("date_impossible", name="date", value=cell, allowed="YYYY-MM-DD") from None
    if latest is not None and day > latest:
        raise BadValue("date_future", name="date", value=cell, allowed=latest.isoformat())
    return day


def _could_be(cell: str) -> tuple[str, ...]:
    """The ISO dates that a date in another form could mean; more than one where it is unclear."""
    if with_time := _ISO_AND_TIME.fullmatch(cell):
        return (with_time[1],)
    if _DAY_NUMBER.fullmatch(cell):
        return ((_SPREADSHEET_ZERO + timedelta(days=int(float(cell)))).isoformat(),)
    if not (parts := _NUMBERS.fullmatch(cell)):
        return ()
    a, b, c = (int(part) for part in parts.groups())
    if a > 31:
        orders = [(a, b, c)]
    else:
        year = c if c > 99 else 2000 + c
        orders = [(year, b, a), (year, a, b)]
    possible = [_iso(*order) for order in orders]
    return tuple(dict.fromkeys(day for day in possible if day))


def _iso(year: int, month: int, day: int) -> str | None:
    try:
        return date(year, month, day).isoformat()
    except ValueError:
        return None


def turn_of(cell: str) -> int:
    """A turn's number, from 1."""
    if not (cell.isascii() and cell.isdecimal() and len(cell) <= 4 and int(cell) >= 1):
        raise BadValue("turn_number", name="turn", value=cell, allowed="1 or more")
    return int(cell)


def step_of(cell: str, version: SkillVersion) -> str:
    """The id of a step told by its number from 1 or its name."""
    names = tuple(step.name for step in version.steps)
    if not cell:
        raise BadValue("step_empty", name="step", value="", allowed=names)
    alike = [number for number, name in enumerate(names, 1) if folded(name) == folded(cell)]
    if len(alike) > 1:
        raise BadValue("step_unclear", name="step", value=cell, allowed=tuple(alike))
    if len(alike) == 1:
        return version.steps[alike[0] - 1].id
    return version.steps[version.find(cell)].id


def level_of(cell: str, ladder: Ladder) -> int | None:
    """The index of a help level, None for an empty cell."""
    return ladder.index(cell) if cell else None


def result_of(cell: str, ladder: Ladder) -> tuple[Outcome, int | None]:
    """What was seen, and the level for `needed <level>`."""
    told = folded(cell)
    if told == _NEEDED:
        raise BadValue("needed_level_missing", name="result", value=cell, allowed=ladder.names)
    if told.startswith(_NEEDED + " "):
        return Outcome.NEEDED, ladder.index(told.removeprefix(_NEEDED))
    for outcome in Outcome:
        if told == outcome.value:
            return outcome, None
    raise BadValue("result_unknown", name="result", value=cell, allowed=RESULTS)


RESULTS = tuple(f"{one} <level>" if one is Outcome.NEEDED else one.value for one in Outcome)


def word_of(cell: str, words: type[_Word], column: str) -> _Word:
    """One of a fixed set of words, whatever its case."""
    for word in words:
        if folded(cell) == word.value:
            return word
    raise BadValue("word_unknown", name=column, value=cell, allowed=tuple(word.value for word in words))


def text_of(cell: str, column: str) -> str:
    """Free text, without the sign that keeps a spreadsheet program from taking it for a formula."""
    plain = cell[1:] if cell[:1] == "'" and cell[1:2] in ("'", *_FORMULA_SIGNS) else cell
    if len(plain) > LONGEST[column]:
        raise BadValue("text_too_long", name=column, value=plain, allowed=LONGEST[column])
    return plain


def guarded(text: str) -> str:
    """Free text written so that a spreadsheet program never runs it: read back by `text_of`."""
    return f"'{text}" if text[:1] and text[0] in ("'", *_FORMULA_SIGNS) else text


def folded(text: str) -> str:
    """How names are compared: spaces joined, case put aside, and no bar, which parts the names."""
    return plain_name(text).casefold()


def plain_name(text: str) -> str:
    """A name as it can stand in a comment line: on one line, its bars broken."""
    return " ".join(text.split()).replace("|", "¦")
