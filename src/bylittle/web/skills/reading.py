"""Which texts of the library a speaker has read, and the service's own words where it has better ones.

The service's own record: the library's files stay as they were shipped. A reading counts for the very words
that were read; where a newer library words a text anew, that text waits for a reader again.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from typing import Protocol

from django.db import transaction
from django.utils import timezone

from bylittle.core.skill.steps import LONGEST_CUE, LONGEST_NAME
from bylittle.library import translation
from bylittle.library.translation import Line, Section
from bylittle.web.people.models import Person
from bylittle.web.skills.models import ReadText

LONGEST = {"name": LONGEST_NAME, "cue": LONGEST_CUE}
LONGEST_TEXT = 400


class Speaks(Protocol):
    """A text that knows its translation."""

    def text(self, language: str) -> str: ...


@dataclass(frozen=True, slots=True)
class Reading:
    """A text and what is kept of it: None where nobody has read it yet."""

    line: Line
    kept: ReadText | None
    number: int = 0
    """Its place in its section, from 0."""

    @property
    def read(self) -> bool:
        """True where a speaker has read these very words."""
        return self.kept is not None and self.kept.digest == self.line.digest

    @property
    def void(self) -> bool:
        """True where the library's words have changed since they were read."""
        return self.kept is not None and not self.read

    @property
    def own(self) -> str:
        """The service's own words, written for these very words of the library."""
        return self.kept.own if self.kept is not None and self.read else ""

    @property
    def spoken(self) -> str:
        """What a family hears: the service's own words, else the library's."""
        return self.own or self.line.other

    @property
    def longest(self) -> int:
        """Letters that the service's own words may have."""
        return LONGEST.get(self.line.key.rsplit(".", 1)[-1], LONGEST_TEXT)


def readings(section: Section, language: str) -> list[Reading]:
    """The texts of a section, in its order."""
    kept = _kept(language)
    return [Reading(line, kept.get(line.key), place) for place, line in enumerate(section.lines)]


def _kept(language: str) -> dict[str, ReadText]:
    return {row.key: row for row in ReadText.objects.filter(language=language)}


@dataclass(frozen=True, slots=True)
class Count:
    """How many texts a section has, and how many of them nobody has read."""

    section: Section
    texts: int
    unread: int


def counts(language: str) -> list[Count]:
    """Every section of the library with its counts."""
    kept = _kept(language)
    return [_count(section, kept) for section in translation.sections(language)]


def _count(section: Section, kept: Mapping[str, ReadText]) -> Count:
    read = sum(Reading(line, kept.get(line.key)).read for line in section.lines)
    return Count(section, len(section.lines), len(section.lines) - read)


@dataclass(frozen=True, slots=True)
class Told:
    """What a speaker said of some texts: keys that read well, own words by key, the name, who notes it."""

    ticked: Collection[str]
    own: Mapping[str, str]
    speaker: str
    by: Person


@transaction.atomic
def keep(several: Collection[Reading], language: str, told: Told) -> int:
    """Keep what was ticked or worded anew among these texts, take back what was unticked.

    Own words count as read. What was read before and stays keeps its reader. Returns how many changed.
    """
    return sum(_keep_one(each, language, told) for each in several)


def _keep_one(each: Reading, language: str, told: Told) -> int:
    words = told.own.get(each.line.key, "")
    if each.line.key not in told.ticked and not words:
        return _taken_back(each)
    if each.read and each.own == words:
        return 0
    kept = {"digest": each.line.digest, "own": words, "speaker": told.speaker, "by": told.by}
    ReadText.objects.update_or_create(
        language=language, key=each.line.key, defaults={**kept, "on": timezone.localdate()}
    )
    return 1


def _taken_back(each: Reading) -> int:
    if each.kept is None or not each.read:
        return 0
    each.kept.delete()
    return 1


def spoken(section: str, language: str) -> Callable[[Speaks], str]:
    """How the texts of a section are said in `language`: in the service's own words where there are some."""
    there = translation.section(section, language)
    told = readings(there, language) if there else []
    own = {(each.line.en, each.line.other): each.own for each in told if each.own}
    return lambda text: own.get((str(text), text.text(language)), text.text(language))
