"""A ready skill as plain lists, and back: the form in which checked skills are kept in the pack.

The order of a list is the order of the value's fields. Only what `skillfile` found whole is ever kept, so
nothing is checked again on the way back.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bylittle.library.skill import Age, Chaining, Grade, Hazard, Material, Need, Skill, Slip, Step
from bylittle.library.text import Text

Plain = list[Any]


def plain(value: Any) -> Any:
    """A value of a skill as lists, strings and numbers; a hazard by its code."""
    if isinstance(value, Text):
        return [str(value), value.es]
    if isinstance(value, Hazard):
        return value.code
    if isinstance(value, tuple):
        return [plain(part) for part in value]
    return fields(value) if hasattr(type(value), "__dataclass_fields__") else value


def fields(value: Any) -> Plain:
    """The fields of a value in their order."""
    return [plain(getattr(value, name)) for name in type(value).__dataclass_fields__]


def hazard_of(row: Plain) -> Hazard:
    """The hazard that `fields` made this list of."""
    code, name, caution, source = row
    return Hazard(code, Text(*name), Text(*caution), source)


def skill_of(row: Plain, hazards: Mapping[str, Hazard]) -> Skill:
    """The skill that `plain` made these lists of."""
    name, version, area, *texts = row[:7]
    steps, materials, grades, needs, slips, dangers, ages, chaining, warmups, status = row[7:]
    title, why, routine, start = (Text(*words) for words in texts)
    return Skill(
        name,
        version,
        area,
        title,
        why,
        routine,
        start,
        tuple(_step(part) for part in steps),
        tuple(Material(one, Text(*words), shape, _sizes(size)) for one, words, shape, size in materials),
        tuple(
            Grade(one, Text(*words), lever, usual, _sizes(size)) for one, words, lever, usual, size in grades
        ),
        tuple(Need(one, Text(*words), Text(*adapt)) for one, words, adapt in needs),
        tuple(Slip(Text(*seen), step, Text(*cue)) for seen, step, cue in slips),
        tuple(hazards[code] for code in dangers),
        tuple(Age(*part) for part in ages),
        Chaining(*chaining),
        tuple(warmups),
        status,
    )


def _step(row: Plain) -> Step:
    name, *texts, hands, order, by, hazard = row
    title, cue, starts_when, done_when = (Text(*words) for words in texts)
    caution = None if hazard is None else Text(*hazard)
    return Step(name, title, cue, starts_when, done_when, hands, order, by, caution)


def _grade(one: str, words: Plain, lever: str, usual: bool, size: Plain) -> Grade:
    return Grade(one, Text(*words), lever, usual, _sizes(size))


def _sizes(rows: Plain) -> tuple[tuple[str, float], ...]:
    return tuple((name, size) for name, size in rows)
