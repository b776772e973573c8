"""What the first comment lines of a practice log say of the skill, its steps and its help levels.

Where the reader brings a plan, the plan stands and the comment lines must agree with it: a file about
another skill, other steps or another order of help is a fault, because its numbers would mean other things.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from bylittle.core.faults import Fault, ManyFaults
from bylittle.core.skill.ladder import ALONE, DEFAULT_LADDER, Ladder
from bylittle.core.skill.steps import SkillVersion, Step
from bylittle.files.csv_cells import folded
from bylittle.files.csv_text import Comment, is_damaged, repaired
from bylittle.files.line_fault import LineFault

SKILL, STEPS, LEVELS = "skill", "steps", "levels"
UNNAMED = "Skill"


@dataclass(frozen=True, slots=True)
class Against:
    """What a file is read against; None where the file must speak for itself.

    `latest`: no row may be later than this day.
    """

    version: SkillVersion | None = None
    ladder: Ladder | None = None
    latest: date | None = None


@dataclass(frozen=True, slots=True)
class Head:
    """The skill, steps and ladder that the rows are read with; `version` None where nothing names steps."""

    version: SkillVersion | None
    ladder: Ladder


def read_head(comments: Iterable[Comment], against: Against) -> tuple[Head, list[LineFault]]:
    """The head of a file, and everything wrong with it."""
    read = [comment for comment in comments if comment.key in (SKILL, STEPS, LEVELS)]
    faults = [
        LineFault("encoding_not_utf8", comment.line, value=repaired(comment.text))
        for comment in read
        if is_damaged(comment.text)
    ]
    said = {comment.key: replace(comment, text=repaired(comment.text)) for comment in read}
    version = _version(said, against.version, faults)
    ladder = _ladder(said.get(LEVELS), against.ladder, faults)
    return Head(version, ladder), faults


def version_of(name: str, steps: Sequence[str]) -> SkillVersion:
    """A skill made of step names alone; each step's id is its number."""
    made = tuple(Step(id=str(number), name=step, cue="") for number, step in enumerate(steps, 1))
    return SkillVersion(1, name, made)


def _version(
    said: dict[str, Comment], known: SkillVersion | None, faults: list[LineFault]
) -> SkillVersion | None:
    skill, steps = said.get(SKILL), said.get(STEPS)
    if known is not None:
        names = tuple(step.name for step in known.steps)
        faults.extend(_differs("skill_differs", skill, (skill.text,) if skill else (), (known.name,)))
        faults.extend(_differs("steps_differ", steps, _parts(steps), names))
        return known
    if steps is None:
        return None
    names = _parts(steps)
    if len({folded(name) for name in names}) != len(names):
        faults.append(LineFault("step_names_repeat", steps.line, value=names))
        return None
    try:
        return version_of(skill.text if skill and skill.text else UNNAMED, names)
    except Fault as fault:
        faults.extend(_at(steps.line, fault))
        return None


def _ladder(levels: Comment | None, known: Ladder | None, faults: list[LineFault]) -> Ladder:
    if levels is None:
        return known or DEFAULT_LADDER
    names = _parts(levels)
    if known is not None:
        faults.extend(_differs("levels_differ", levels, names, known.names))
        return known
    if ALONE in (at := [folded(name) for name in names]) and at[-1] != ALONE:
        faults.append(LineFault("levels_order", levels.line, value=names, allowed=ALONE))
    try:
        return Ladder(names)
    except Fault as fault:
        faults.extend(_at(levels.line, fault))
        return DEFAULT_LADDER


def _differs(
    code: str, comment: Comment | None, said: Sequence[str], known: Sequence[str]
) -> list[LineFault]:
    if comment is None or [folded(name) for name in said] == [folded(name) for name in known]:
        return []
    return [LineFault(code, comment.line, value=tuple(said), allowed=tuple(known))]


def _parts(comment: Comment | None) -> tuple[str, ...]:
    return tuple(part.strip() for part in comment.text.split("|")) if comment else ()


def _at(line: int, fault: Fault) -> list[LineFault]:
    faults = fault.faults if isinstance(fault, ManyFaults) else (fault,)
    return [LineFault.at(line, "", each) for each in faults]
