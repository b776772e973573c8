"""The shared lists that other files point to: sources, hazards, readiness, warm-ups, words."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from bylittle.library.datafile import Reader, tell_duplicates
from bylittle.library.faults import FileFault
from bylittle.library.pack import table
from bylittle.library.skill import Hazard
from bylittle.library.text import LANGUAGES, Text

if TYPE_CHECKING:
    from bylittle.library.cuelanguage import Words

FORMAT = 1
MARKS = ("published", "common practice, no source", "from memory")
KINDS = (
    "heavy work",
    "naming and moving",
    "copying poses",
    "crossing the middle",
    "two hands together",
    "balance",
)

Item = TypeVar("Item")


@dataclass(frozen=True, slots=True)
class Source:
    """Where a figure comes from. Only `mark == "published"` may be shown as a cited fact."""

    id: str
    mark: str
    title: str
    covers: str


@dataclass(frozen=True, slots=True)
class ReadinessItem:
    """Something that helps before starting: a quick look, and what to adapt where it is missing."""

    id: str
    name: Text
    look: Text
    adaptation: Text
    source: str


@dataclass(frozen=True, slots=True)
class Warmup:
    """A short body-awareness game; `prepares` holds the ids of the skills it leads to."""

    id: str
    kind: str
    name: Text
    how: Text
    caution: Text
    prepares: tuple[str, ...] = ()


def opened(file: str, faults: list[FileFault]) -> Reader:
    """The top table of a data file, its format checked."""
    reader = Reader(table(file, faults), file, faults)
    if (number := reader.whole("format")) != FORMAT:
        reader.tell("format", "format", value=number, allowed=FORMAT)
    return reader


def rows(
    file: str,
    list_name: str,
    read: Callable[[Reader], Item],
    faults: list[FileFault],
    also: tuple[str, ...] = (),
) -> tuple[Item, ...]:
    """Every table of one list in a data file, read by `read`; ids must differ, no key is left over."""
    reader = opened(file, faults)
    made = []
    ids = []
    for part in reader.each(list_name, at_least=1):
        made.append(read(part))
        ids.append(str(part.table.get("id", part.table.get("code", ""))))
        part.close()
    tell_duplicates(ids, list_name, file, faults)
    reader.close(ignore=also)
    return tuple(made)


def read_sources(faults: list[FileFault]) -> tuple[Source, ...]:
    """Every source with its mark."""
    return rows("sources.toml", "sources", _source, faults)


def _source(part: Reader) -> Source:
    return Source(part.words("id"), part.choice("mark", MARKS), part.words("title"), part.words("covers"))


def read_hazards(sources: tuple[str, ...], faults: list[FileFault]) -> tuple[Hazard, ...]:
    """Every hazard with its caution."""

    def read(part: Reader) -> Hazard:
        source = part.choice("source", sources)
        return Hazard(part.words("code"), part.text("name"), part.text("caution"), source)

    return rows("hazards.toml", "hazards", read, faults)


def read_readiness(faults: list[FileFault]) -> tuple[ReadinessItem, ...]:
    """Every readiness item with the usual adaptation."""

    def read(part: Reader) -> ReadinessItem:
        told = (part.words("id"), part.text("name"), part.text("look"), part.text("adapt"))
        return ReadinessItem(*told, source="practice-reasoning")

    return rows("readiness.toml", "items", read, faults, also=("mark",))


def read_warmups(faults: list[FileFault]) -> tuple[Warmup, ...]:
    """Every warm-up; which skills it prepares is not known here."""
    return rows("warmups.toml", "warmups", _warmup, faults)


def _warmup(part: Reader) -> Warmup:
    kind = part.choice("kind", KINDS)
    return Warmup(part.words("id"), kind, part.text("name"), part.text("how"), part.text("caution"))


@dataclass(frozen=True, slots=True)
class CueWords:
    """Word lists for the cue checks, by language."""

    words: Words
    negative: dict[str, frozenset[str]]


def read_words(faults: list[FileFault]) -> CueWords:
    """The verbs, the small words and the negative words of each language."""
    from bylittle.library.cuelanguage import Words

    reader = opened("words.toml", faults)
    lists = {name: dict(_lists(reader.part(name))) for name in ("verbs", "small", "negative")}
    reader.close()
    return CueWords(Words(lists["verbs"], lists["small"]), lists["negative"])


def _lists(part: Reader) -> Iterator[tuple[str, frozenset[str]]]:
    for language in LANGUAGES:
        words = part.names(language)
        if not words:
            part.tell("empty", language, needed=1)
        yield language, frozenset(words)
    part.close()
