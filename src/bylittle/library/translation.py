"""Every text of the library that a family may read or hear, side by side in two languages.

For whoever checks a translation. Each text has a key that stays the same while its place stays, and a digest
of both its languages: a review counts for the words that were read, and for no others.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from bylittle import library
from bylittle.core.faults import BadValue
from bylittle.library.skill import Skill
from bylittle.library.text import LANGUAGES, Text
from bylittle.library.wording import book
from bylittle.library.wording.sheet import SHEET_WORDS

WAYS = "Ways to help and to chain"
TRANSLATED = ("es", "ar")
"""Languages with words here: Spanish for all of it, Arabic for what a family reads on every page."""
NO_WORDS = frozenset({"direction"})  # which way a page is written: for the program, not for a reader
BOOKS = {
    "family": ("pages", "The family's pages"),
    "advice": ("advice", "Advice, as told to a family"),
    "reports": ("letters", "Letters to a family"),
    "charts": ("graphs", "Words on graphs"),
    "drawings": ("drawings", "What each drawing shows"),
    "objects": ("objects", "What each picture of a thing shows"),
}
"""Wordings with more than English: the section and the title that each is shown under."""


@dataclass(frozen=True, slots=True)
class Line:
    """One text: `key` of the whole library, `where` in words, the English and the other words."""

    key: str
    where: str
    en: str
    other: str

    @property
    def digest(self) -> str:
        """Changes when either language changes."""
        return hashlib.sha256(f"{self.en}\0{self.other}".encode()).hexdigest()[:16]


@dataclass(frozen=True, slots=True)
class Section:
    """Texts that are read together; `skill` is the ready skill's id where they are of one."""

    id: str
    title: str
    lines: tuple[Line, ...]
    skill: str = ""


@cache
def sections(language: str) -> tuple[Section, ...]:
    """All texts in English and `language`; BadValue for a language into which nothing is translated."""
    if language not in TRANSLATED:
        raise BadValue(name="language", value=language, allowed=TRANSLATED)
    every = (
        *(_whole(language) if language in LANGUAGES else (_rules(),)),
        _section("log-sheet", "The log sheet", _sheet(language)),
        *(
            _section(name, title, _book(name, book(topic), language))
            for topic, (name, title) in BOOKS.items()
        ),
    )
    return tuple(each for each in every if each.lines)


def _whole(language: str) -> Iterator[Section]:
    """The ready skills and the lists that all skills share."""
    yield from (_skill(skill, language) for skill in library.skills())
    yield from _catalogues(language)


def _rules() -> Section:
    """The rules of the ways of helping that are written in Arabic."""
    written = (way for way in library.procedures() if way.rule_ar)
    lines = (
        Line(f"procedures.{way.id}.rule", f"{way.id.replace('-', ' ')}, rule", str(way.rule), way.rule_ar)
        for way in written
    )
    return _section("procedures", WAYS, lines)


def section(name: str, language: str) -> Section | None:
    """The section of this name; None where there is none."""
    return next((each for each in sections(language) if each.id == name), None)


def _section(name: str, title: str, lines: Iterable[Line], skill: str = "") -> Section:
    """The lines of a section; the same words again are told once."""
    kept: dict[tuple[str, str], Line] = {}
    for line in lines:
        kept.setdefault((line.en, line.other), line)
    return Section(name, title, tuple(kept.values()), skill)


def _skill(skill: Skill, language: str) -> Section:
    return _section(f"skill-{skill.id}", str(skill.name), _skill_lines(skill, language), skill.id)


def _skill_lines(skill: Skill, language: str) -> Iterator[Line]:
    at = f"skill-{skill.id}"
    yield from _fields(at, "", skill, ("name", "why", "routine", "start"), language)
    for number, step in enumerate(skill.steps, start=1):
        texts = ("name", "cue", "starts_when", "done_when", "hazard")
        yield from _fields(f"{at}.{step.id}", f"step {number}, ", step, texts, language)
    for kind, several in (("material", skill.materials), ("grade", skill.grades)):
        for one in several:
            yield from _fields(f"{at}.{kind}.{one.id}", f"{kind}, ", one, ("name",), language)
    for need in skill.readiness:
        yield from _fields(f"{at}.need.{need.id}", "readiness, ", need, ("adaptation",), language)
    for number, slip in enumerate(skill.slips, start=1):
        yield from _fields(f"{at}.slip.{number}", f"slip {number}, ", slip, ("seen",), language)


def _fields(at: str, where: str, told: object, names: Iterable[str], language: str) -> Iterator[Line]:
    for name in names:
        text = getattr(told, name)
        if isinstance(text, Text):
            yield Line(f"{at}.{name}", where + name.replace("_", " "), str(text), text.text(language))


def _catalogues(language: str) -> Iterator[Section]:
    """The lists that all skills share: each item by its id."""
    lists: tuple[tuple[str, str, Iterable[Any], tuple[str, ...]], ...] = (
        ("warm-ups", "Warm-ups", library.warmups(), ("name", "how", "caution")),
        ("procedures", WAYS, library.procedures(), ("name", "rule")),
        ("cautions", "Cautions", library.hazards().values(), ("name", "caution")),
        ("readiness", "Readiness", library.readiness(), ("name", "look", "adaptation")),
        ("safety", "Safety questions", library.red_flags(), ("question", "family")),
        ("talk", "The talk before the plan", library.talk(), ("name",)),
        ("coaching", "The coaching checklist", library.fidelity_items(), ("name",)),
        ("teach-back", "Teach-back", library.teach_back(), ("name",)),
        ("ages", "What most children do by an age", library.milestones(), ("name",)),
    )
    for name, title, items, texts in lists:
        yield _section(name, title, _items(name, items, texts, language))
    screen = library.screen_words()
    told = {**screen.by_code, "closing": screen.closing}
    yield _section("materials", "The materials screen", _texts("materials", told, language))


def _items(at: str, items: Iterable[Any], names: tuple[str, ...], language: str) -> Iterator[Line]:
    for item in items:
        own = getattr(item, "id", None) or item.code
        yield from _fields(f"{at}.{own}", f"{own.replace('-', ' ')}, ", item, names, language)


def _texts(at: str, told: Mapping[str, Text], language: str) -> Iterator[Line]:
    for name, text in told.items():
        yield Line(f"{at}.{name}", name.replace("_", " "), str(text), text.text(language))


def _sheet(language: str) -> Iterator[Line]:
    there = SHEET_WORDS.get(language, {})
    for name, words in SHEET_WORDS["en"].items() if there else ():
        yield Line(f"log-sheet.{name}", name.replace("_", " "), words, there.get(name, ""))


def _book(at: str, told: Any, language: str, path: tuple[str, ...] = ()) -> Iterator[Line]:
    """Every phrase of a wording that stands in both languages, in whatever form it is kept."""
    if not isinstance(told, Mapping):
        return
    if "en" in told and language in told:
        yield from _forms(at, path, told["en"], told[language])
        return
    for name, inner in told.items():
        if name in NO_WORDS:
            continue
        yield from _book(at, inner, language, (*path, name))


def _forms(at: str, path: tuple[str, ...], en: Any, other: Any) -> Iterator[Line]:
    """A phrase is one string, or several: forms of number, or wordings of which the first that fits is used.

    Several are paired by name or place; a wording that only one language needs has no other beside it.
    """
    if not isinstance(en, str):
        there = dict(_named(other))
        for name, words in _named(en):
            if name in there:
                yield from _forms(at, (*path, name), words, there[name])
    elif en and isinstance(other, str):
        yield Line(".".join((at, *path)), ", ".join(path).replace("_", " "), en, other)


def _named(several: Any) -> Iterable[tuple[str, Any]]:
    if isinstance(several, Mapping):
        return several.items()
    return ((str(number), words) for number, words in enumerate(several, start=1))
