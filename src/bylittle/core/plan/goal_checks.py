"""Is a goal complete, and do its five levels make a scale? Questions to the writer, never a refusal.

Complete: who, does what, in which routine, with which help, how well or how often, by when. A scale: one
thing changes from level to level, in one direction, in steps alike (Kiresuk & Sherman 1968 ask for one
variable a scale; equal steps and one variable: common practice). Words are matched in English; anything
unclear is asked about, nothing is guessed.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from bylittle.core.plan.goal import ATTAINMENT_LEVELS, Goal

LONGEST_STATEMENT_WORDS = 40
_NUMBER = re.compile(r"(?<![\w.])\d+(?:\.\d+)?")
_OF = re.compile(r"(\d+)\s*(?:of|out of|/)\s*(?:every\s+)?(\d+)", re.IGNORECASE)
_WORDS = {
    "one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "seven": "7", "eight": "8",
    "nine": "9", "ten": "10",
}  # fmt: skip
_HOW_OFTEN = re.compile(
    r"\b(of|out of|times?|days?|percent|every|each|daily|weekly|always|both|turns?)\b|%", re.IGNORECASE
)
_HELP = re.compile(
    r"\b(alone|by (?:him|her|them)sel(?:f|ves)|without|independently|on (?:his|her|their) own|"
    r"hand over hand|light touch|showing|pointing|words|help|touch|shown|told|reminder)\b",
    re.IGNORECASE,
)
_ROUTINE = re.compile(
    r"\b(before|after|when|while|during|at|in the|on the way|for|bedtime|breakfast|lunch|dinner|snack|bath|"
    r"morning|evening|nursery|school|home|outside|mealtimes?)\b",
    re.IGNORECASE,
)
_VAGUE = re.compile(
    r"\b(improve[sd]?|better|increase[sd]?|understand[s]?|know[s]?|appropriate(?:ly)?|try|tries|participate[s]?|"
    r"tolerate[s]?|enhance[sd]?|skills?)\b",
    re.IGNORECASE,
)
_NEGATIVE = re.compile(r"\b(not|never|stop|no longer|won't|doesn't)\b", re.IGNORECASE)
_FILLER = frozenset(
    {
        *("a", "an", "and", "the", "she", "he", "they", "it", "her", "him", "his", "their", "them", "with"),
        *("of", "on", "in", "at", "to", "for", "is", "does", "do", "all", "both"),
    }
)


@dataclass(frozen=True, slots=True)
class GoalNote:
    """One question about a goal: a code, the level it is about (-2..+2, None: the whole) and its values."""

    code: str
    level: int | None = None
    values: Mapping[str, object] = field(default_factory=dict)


def notes_of(goal: Goal, child: str = "") -> tuple[GoalNote, ...]:
    """Every question about the statement and then about the levels; none for a complete goal."""
    return (*statement_notes(goal, child), *level_notes(goal))


def statement_notes(goal: Goal, child: str = "") -> tuple[GoalNote, ...]:
    """What the statement does not say yet: who, the help, how often, the routine, the day; vague words."""
    text = goal.statement
    if not text.strip():
        return (GoalNote("goal_not_written"),)
    found = [GoalNote("who_missing", values={"child": child})] if child and not _names(text, child) else []
    for code, pattern in (
        ("help_missing", _HELP),
        ("how_often_missing", _HOW_OFTEN),
        ("routine_missing", _ROUTINE),
    ):
        if not pattern.search(text):
            found.append(GoalNote(code))
    if goal.by is None:
        found.append(GoalNote("by_missing"))
    if vague := _VAGUE.search(text):
        found.append(GoalNote("word_vague", values={"word": vague.group()}))
    if len(text.split()) > LONGEST_STATEMENT_WORDS:
        found.append(GoalNote("too_long", values={"words": len(text.split())}))
    return tuple(found)


def _names(text: str, child: str) -> bool:
    return re.search(rf"\b{re.escape(child)}\b", text, re.IGNORECASE) is not None


def level_notes(goal: Goal) -> tuple[GoalNote, ...]:
    """What keeps the five levels from being a scale; nothing where no level is written."""
    if not any(text.strip() for text in goal.levels):
        return ()
    empty = [GoalNote("level_empty", level) for level, text in _by_level(goal) if not text.strip()]
    if empty:
        return tuple(empty)
    negative = [
        GoalNote("level_negative", level) for level, text in _by_level(goal) if _NEGATIVE.search(text)
    ]
    return (*_number_notes(goal.levels), *_jumps(goal.levels), *negative, *_baseline(goal))


def _by_level(goal: Goal) -> list[tuple[int, str]]:
    return list(zip(ATTAINMENT_LEVELS, goal.levels, strict=True))


def numbers_of(text: str) -> tuple[float, ...]:
    """The numbers in a text, written in digits or as words from one to ten."""
    plain = " ".join(_WORDS.get(word.casefold().strip(",.;"), word) for word in text.split())
    return tuple(float(number) for number in _NUMBER.findall(plain))


def changing(levels: Sequence[str]) -> tuple[int, ...] | None:
    """Places of the numbers that change over the levels; None where the levels hold unequal counts."""
    found = [numbers_of(text) for text in levels]
    if len({len(numbers) for numbers in found}) != 1 or not found[0]:
        return None
    return tuple(place for place, column in enumerate(zip(*found, strict=True)) if len(set(column)) > 1)


def _number_notes(levels: Sequence[str]) -> list[GoalNote]:
    """Where numbers make the scale: one of them changes, one way, in steps alike, in reach."""
    places = changing(levels)
    if places is None or not places:
        return []
    if len(places) > 1:
        return [GoalNote("several_numbers_change", values={"n": len(places)})]
    values = [numbers_of(text)[places[0]] for text in levels]
    gaps = [later - earlier for earlier, later in pairwise(values)]
    if any(gap == 0 for gap in gaps):
        same = next(level for level, gap in zip(ATTAINMENT_LEVELS[1:], gaps, strict=True) if gap == 0)
        return [GoalNote("levels_equal", same, {"value": values[ATTAINMENT_LEVELS.index(same)]})]
    if min(gaps) < 0 < max(gaps):
        turn = next(
            level for level, gap in zip(ATTAINMENT_LEVELS[1:], gaps, strict=True) if gap * gaps[0] < 0
        )
        return [GoalNote("direction_turns", turn)]
    found = []
    if max(map(abs, gaps)) >= 2 * min(map(abs, gaps)):
        wide = max(range(len(gaps)), key=lambda place: abs(gaps[place]))
        values_told = {"gap": abs(gaps[wide]), "least": min(map(abs, gaps))}
        found.append(GoalNote("gap_uneven", ATTAINMENT_LEVELS[wide + 1], values_told))
    return found + _beyond(levels)


def _beyond(levels: Sequence[str]) -> list[GoalNote]:
    """A level that asks for more than there is: 6 of 5 days."""
    found = []
    for level, text in zip(ATTAINMENT_LEVELS, levels, strict=True):
        told = _OF.search(text)
        if told and int(told[1]) > int(told[2]):
            found.append(GoalNote("more_than_all", level, {"n": int(told[1]), "of": int(told[2])}))
    return found


def _jumps(levels: Sequence[str]) -> list[GoalNote]:
    """Neighbouring levels that share next to nothing: is it still one variable?"""
    found = []
    for level, (earlier, later) in zip(ATTAINMENT_LEVELS[1:], pairwise(levels), strict=True):
        one, other = _content(earlier), _content(later)
        if one and other and not one & other:
            found.append(GoalNote("another_thing", level))
    return found


def _content(text: str) -> frozenset[str]:
    """The words of a level that carry meaning, without their endings."""
    words = re.findall(r"[^\W\d_]+", text.casefold())
    return frozenset(_stem(word) for word in words if word not in _FILLER)


def _stem(word: str) -> str:
    for ending in ("ing", "es", "s", "ed"):
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            return word.removesuffix(ending)
    return word


def _baseline(goal: Goal) -> list[GoalNote]:
    """No room below or above: where the child stands now should leave both."""
    if goal.baseline_level is None:
        return [GoalNote("baseline_level_missing")]
    if goal.baseline_level >= 0:
        return [GoalNote("already_there", goal.baseline_level)]
    return []
