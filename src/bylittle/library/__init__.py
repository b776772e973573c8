"""Trade knowledge as data files with a loader, and every sentence meant for people.

Each call reads its files on first use and keeps the values. A faulty file stops the call with every
fault told together: file, key, and how to mend it (`bylittle.library.faults.FileFault`).
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, TypeVar

from bylittle.library import pack
from bylittle.library.skill import Hazard, Skill  # before our own `skill`, which is another thing
from bylittle.library.text import LANGUAGES, Text

if TYPE_CHECKING:  # each call fetches its own reader, so that opening the library costs a blink
    from collections.abc import Callable

    from bylittle.library.by_age import Milestones
    from bylittle.library.catalogue import CueWords, ReadinessItem, Source, Warmup
    from bylittle.library.coaching import FidelityItem, Procedure, Prompt
    from bylittle.library.faults import FileFault
    from bylittle.library.finder import Finder
    from bylittle.library.redflags import RedFlag
    from bylittle.library.screening import ScreenWords
    from bylittle.library.skillfile import Known

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
    from bylittle.core.faults import raise_all

    faults: list[FileFault] = []
    made = read(faults)
    raise_all(faults)
    return made


@cache
def sources() -> dict[str, Source]:
    """Every source of the library by id. Only the mark "published" may be shown as a cited fact."""
    from bylittle.library.catalogue import read_sources

    return {source.id: source for source in _checked(read_sources)}


def _read_hazards() -> tuple[Hazard, ...]:
    from bylittle.library.catalogue import read_hazards

    known = tuple(sources())
    return _checked(lambda faults: read_hazards(known, faults))


@cache
def hazards() -> dict[str, Hazard]:
    """Every hazard by code, with the caution for the adult."""
    from bylittle.library.kept_skills import hazard_of

    rows = pack.kept_hazards() if pack.shared_is_current() else None
    made = [hazard_of(row) for row in rows] if rows else _read_hazards()
    return {hazard.code: hazard for hazard in made}


@cache
def readiness() -> tuple[ReadinessItem, ...]:
    """What helps before starting, each with a quick look and an adaptation."""
    from bylittle.library.catalogue import read_readiness

    return _checked(read_readiness)


@cache
def cue_words() -> CueWords:
    """Verbs, small words and negative words by language, for the cue checks."""
    from bylittle.library.catalogue import read_words

    return _checked(read_words)


@cache
def _warmups_alone() -> tuple[Warmup, ...]:
    from bylittle.library.catalogue import read_warmups

    return _checked(read_warmups)


@cache
def known() -> Known:
    """What a skill file may point to."""
    from bylittle.library.skillfile import Known

    return Known(
        hazards=hazards(),
        needs={item.id: item.name for item in readiness()},
        marks={source.id: source.mark for source in sources().values()},
        warmups=frozenset(warmup.id for warmup in _warmups_alone()),
        words=cue_words().words,
    )


def read_skill_file(name: str, faults: list[FileFault]) -> Skill:
    """One ready skill, read and checked from the file itself."""
    from bylittle.library.skillfile import read_skill

    return read_skill(pack.table(name, faults), name, known(), faults)


def _read_skills(faults: list[FileFault]) -> tuple[Skill, ...]:
    """Every skill: as it was kept when last checked, or from its file where anything was edited since."""
    from bylittle.library.kept_skills import skill_of

    current = pack.shared_is_current()
    rows = {name: pack.kept_skill(name) if current else None for name in pack.skill_files()}
    return tuple(
        skill_of(row, hazards()) if row else read_skill_file(name, faults) for name, row in rows.items()
    )


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
    from dataclasses import replace

    return tuple(
        replace(game, prepares=tuple(one.id for one in skills() if game.id in one.warmups))
        for game in _warmups_alone()
    )


@cache
def red_flags() -> tuple[RedFlag, ...]:
    """The questions of the safety gate, in the order asked."""
    from bylittle.library.redflags import read_red_flags

    return _checked(read_red_flags)


@cache
def breakdown() -> Finder:
    """The breakdown finder: quick looks and what they point to. Clinical reasoning, not a test."""
    from bylittle.library.finder import read_breakdown

    return _checked(read_breakdown)


@cache
def fidelity_items() -> tuple[FidelityItem, ...]:
    """What to look for when an adult practises; the plan decides which items apply."""
    from bylittle.library.coaching import read_fidelity

    return _checked(read_fidelity)


@cache
def teach_back() -> tuple[Prompt, ...]:
    """What the adult is asked to say or show back."""
    from bylittle.library.coaching import read_teach_back

    return _checked(read_teach_back)


@cache
def talk() -> tuple[Prompt, ...]:
    """The talk before the plan, and the honest close."""
    from bylittle.library.coaching import read_talk

    return _checked(read_talk)


@cache
def procedures() -> tuple[Procedure, ...]:
    """Ways to help and to chain, and what to do at slips, stops and on bad days."""
    from bylittle.library.coaching import read_procedures

    return _checked(read_procedures)


@cache
def milestones() -> Milestones:
    """What most children do by an age, with basis, caveat, source and mark."""
    from bylittle.library.by_age import read_milestones

    marks = {source.id: source.mark for source in sources().values()}
    return _checked(lambda faults: read_milestones(marks, faults))


@cache
def screen_words() -> ScreenWords:
    """The sentences of the materials screen, by code."""
    from bylittle.library.screening import read_screen_words

    return _checked(read_screen_words)
