"""Trade knowledge as data files with a loader, and every sentence meant for people.

Each call reads its files on first use and keeps the values. A faulty file stops the call with every
fault told together: file, key, and how to mend it (`bylittle.library.faults.FileFault`).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import TypeVar

from bylittle.core.faults import raise_all
from bylittle.library import catalogue, coaching, pack
from bylittle.library.breakdown import Finder, read_breakdown
from bylittle.library.catalogue import CueWords, ReadinessItem, Source, Warmup
from bylittle.library.coaching import FidelityItem, Procedure, Prompt
from bylittle.library.faults import FileFault
from bylittle.library.milestones import Milestones, read_milestones
from bylittle.library.redflags import RedFlag, read_red_flags
from bylittle.library.screening import ScreenWords, read_screen_words
from bylittle.library.skill import Hazard, Skill
from bylittle.library.skillfile import Known, read_skill
from bylittle.library.text import LANGUAGES, Text

__all__ = [
    "LANGUAGES",
    "Text",
    "breakdown",
    "cue_words",
    "fidelity_items",
    "hazards",
    "milestones",
    "procedures",
    "readiness",
    "red_flags",
    "screen_words",
    "skill",
    "skills",
    "sources",
    "talk",
    "teach_back",
    "warmups",
]

Read = TypeVar("Read")


def _checked(read: Callable[[list[FileFault]], Read]) -> Read:
    faults: list[FileFault] = []
    made = read(faults)
    raise_all(faults)
    return made


@cache
def sources() -> dict[str, Source]:
    """Every source of the library by id. Only the mark "published" may be shown as a cited fact."""
    return {source.id: source for source in _checked(catalogue.read_sources)}


@cache
def hazards() -> dict[str, Hazard]:
    """Every hazard by code, with the caution for the adult."""
    known = tuple(sources())
    return {hazard.code: hazard for hazard in _checked(lambda faults: catalogue.read_hazards(known, faults))}


@cache
def readiness() -> tuple[ReadinessItem, ...]:
    """What helps before starting, each with a quick look and an adaptation."""
    return _checked(catalogue.read_readiness)


@cache
def cue_words() -> CueWords:
    """Verbs, small words and negative words by language, for the cue checks."""
    return _checked(catalogue.read_words)


@cache
def _warmups_alone() -> tuple[Warmup, ...]:
    return _checked(catalogue.read_warmups)


@cache
def known() -> Known:
    """What a skill file may point to."""
    return Known(
        hazards=hazards(),
        needs={item.id: item.name for item in readiness()},
        marks={source.id: source.mark for source in sources().values()},
        warmups=frozenset(warmup.id for warmup in _warmups_alone()),
        words=cue_words().words,
    )


def _read_skills(faults: list[FileFault]) -> tuple[Skill, ...]:
    files = [name for name in pack.file_names() if name.startswith("skills/")]
    return tuple(read_skill(pack.table(name, faults), name, known(), faults) for name in files)


@cache
def skills() -> tuple[Skill, ...]:
    """Every ready skill, by id. Each is a starter: a therapist adapts a copy of it to the child."""
    return _checked(_read_skills)


def skill(name: str) -> Skill:
    """The ready skill with this id; `KeyError` where there is none."""
    for one in skills():
        if one.id == name:
            return one
    raise KeyError(name)


@cache
def warmups() -> tuple[Warmup, ...]:
    """Short body-awareness games, each with the ids of the skills that it prepares."""
    return tuple(
        replace(game, prepares=tuple(one.id for one in skills() if game.id in one.warmups))
        for game in _warmups_alone()
    )


@cache
def red_flags() -> tuple[RedFlag, ...]:
    """The questions of the safety gate, in the order asked."""
    return _checked(read_red_flags)


@cache
def breakdown() -> Finder:
    """The breakdown finder: quick looks and what they point to. Clinical reasoning, not a test."""
    return _checked(read_breakdown)


@cache
def fidelity_items() -> tuple[FidelityItem, ...]:
    """What to look for when an adult practises; the plan decides which items apply."""
    return _checked(coaching.read_fidelity)


@cache
def teach_back() -> tuple[Prompt, ...]:
    """What the adult is asked to say or show back."""
    return _checked(coaching.read_teach_back)


@cache
def talk() -> tuple[Prompt, ...]:
    """The talk before the plan, and the honest close."""
    return _checked(coaching.read_talk)


@cache
def procedures() -> tuple[Procedure, ...]:
    """Ways to help and to chain, and what to do at slips, stops and on bad days."""
    return _checked(coaching.read_procedures)


@cache
def milestones() -> Milestones:
    """What most children do by an age, with basis, caveat, source and mark."""
    marks = {source.id: source.mark for source in sources().values()}
    return _checked(lambda faults: read_milestones(marks, faults))


@cache
def screen_words() -> ScreenWords:
    """The sentences of the materials screen, by code."""
    return _checked(read_screen_words)
