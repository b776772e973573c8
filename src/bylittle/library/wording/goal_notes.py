"""The goal in words: a statement put together from its parts, and the questions about it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bylittle.core.faults import BadValue, Fault, raise_all
from bylittle.core.plan.goal_checks import GoalNote
from bylittle.core.skill.ladder import ALONE
from bylittle.library.wording import book, say


@dataclass(frozen=True, slots=True)
class GoalParts:
    """What a goal's statement is made of: who does what, in which routine, with which help, how often.

    `does` begins with its verb ("puts on her sun hat"); `routine` and `how_often` with their small word
    ("before she goes out", "on 4 of 5 days"); `help` is a level of the plan's ladder.
    """

    child: str
    does: str
    routine: str
    help: str
    how_often: str


def statement(parts: GoalParts, language: str = "en") -> str:
    """The parts as one sentence; BadValue or ManyFaults for the parts that are empty."""
    told = {name: getattr(parts, name).strip().rstrip(".") for name in GoalParts.__slots__}
    empty: list[Fault] = [
        BadValue("empty", name=name, value="", allowed="text") for name, words in told.items() if not words
    ]
    raise_all(empty)
    alone = told["help"].casefold() == ALONE
    key = "alone" if alone else "with_help"
    told["help"] = say("goal_notes", "smart", key, language=language, help=told["help"])
    return say("goal_notes", "smart", "statement", language=language, **told)


def questions(notes: Iterable[GoalNote], language: str = "en") -> list[str]:
    """A question for each note, in their order."""
    return [question(note, language) for note in notes]


def question(note: GoalNote, language: str = "en") -> str:
    """One note as a question to the writer."""
    level = {} if note.level is None else {"level": f"{note.level:+d}" if note.level else "0"}
    return say("goal_notes", "note", note.code, language=language, **{**note.values, **level})


def codes() -> tuple[str, ...]:
    """Every note that has words here."""
    return tuple(book("goal_notes")["note"])
