"""The library side by side: every text a family may read, in both languages, under a key of its own."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from typing import Any

import pytest

from bylittle import library
from bylittle.core.faults import BadValue
from bylittle.library import translation
from bylittle.library.text import Text
from bylittle.library.translation import Line

LINES = [line for section in translation.sections("es") for line in section.lines]


def texts_in(value: Any) -> Iterator[Text]:
    """Every text anywhere inside a value of the library."""
    if isinstance(value, Text):
        yield value
    elif isinstance(value, dict):
        yield from texts_in(tuple(value.values()))
    elif isinstance(value, tuple):
        for part in value:
            yield from texts_in(part)
    elif is_dataclass(value):
        for field in fields(value):
            yield from texts_in(getattr(value, field.name))


def test_every_text_of_the_catalogues_and_skills_is_among_them() -> None:
    """A new field of a skill or a new list must not be left out of the translator's view."""
    told = {(line.en, line.other) for line in LINES}
    everything = (
        library.skills(),
        library.warmups(),
        library.procedures(),
        library.hazards(),
        library.readiness(),
        library.red_flags(),
        library.talk(),
        library.fidelity_items(),
        library.teach_back(),
        tuple(library.milestones()),
        library.screen_words(),
    )
    there = {(str(text), text.es) for text in texts_in(everything)}
    assert len(there) > 2000
    assert there <= told


@pytest.mark.parametrize("language", translation.TRANSLATED)
def test_no_text_is_missing_in_either_language(language: str) -> None:
    for section in translation.sections(language):
        assert section.lines, section.id
        assert [line.key for line in section.lines if not line.en.strip() or not line.other.strip()] == []


def test_each_text_has_a_key_of_its_own() -> None:
    assert [key for key, times in Counter(line.key for line in LINES).items() if times > 1] == []
    assert max(len(line.key) for line in LINES) <= 160


def test_a_translation_asks_for_no_value_that_the_english_does_not_have() -> None:
    """A name in braces that only one language knows would stand empty on a page."""

    def holes(text: str) -> set[str]:
        return set(re.findall(r"\{([a-z_]+)", text))

    assert [line.key for line in LINES if holes(line.other) - holes(line.en)] == []


def test_the_digest_changes_with_either_language() -> None:
    line = Line("a.b", "a", "Pull up", "Tira arriba")
    others = [
        replace(line, en="Pull"),
        replace(line, other="Tira"),
        Line("a.b", "a", "Pull upTira", " arriba"),
    ]
    assert len({line.digest, *(other.digest for other in others)}) == 4
    assert replace(line, key="c.d").digest == line.digest


def test_sections_have_names_that_an_address_can_hold() -> None:
    names = [section.id for section in translation.sections("es")]
    assert len(set(names)) == len(names)
    assert all(re.fullmatch(r"[a-z0-9-]+", name) for name in names)
    assert {section.skill for section in translation.sections("es")} - {""} == {
        skill.id for skill in library.skills()
    }


def test_a_language_into_which_nothing_is_translated_is_a_fault() -> None:
    with pytest.raises(BadValue):
        translation.sections("en")
    assert translation.section("no-such-part", "es") is None
