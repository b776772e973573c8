"""The family's sentences: complete in each language, easy to read, without blame, with the right plural."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from string import Formatter
from typing import Any

import pytest

from bylittle import library
from bylittle.core.faults import BadValue
from bylittle.library import drawings, wording
from bylittle.library.readability import (
    FAMILY_GRADE,
    FAMILY_INFLESZ,
    counts,
    counts_of,
    flesch_kincaid_grade,
    inflesz,
)
from bylittle.library.wording import family

BOOK = tomllib.loads((Path(wording.__file__).parent / "family.toml").read_text("utf-8"))
LANGUAGES = {"en", "es", "ar"}
NEVER = (
    "fail compliance patient error streak score must bad wrong! lazy naughty disorder deficit prompt probe"
)


def sentences(table: Any = BOOK, key: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    if set(table) & LANGUAGES:
        yield key, table
        return
    for name, part in table.items():
        yield from sentences(part, f"{key}.{name}".strip("."))


def filled(text: Any) -> str:
    """A sentence as a family meets it, with ordinary values in its gaps."""
    told = text["other"] if isinstance(text, dict) else text
    values = {"child": "Wren", "n": "3", "asked": "4", "seconds": "5 seconds", "turns": "4 turns"}
    for _, name, _, _ in Formatter().parse(told):
        if name:
            told = told.replace(f"{{{name}}}", values.get(name, "two"))
    return told


WHOLE = [
    (key, told) for key, told in sentences() if key != "date.months" and len(filled(told["en"]).split()) >= 4
]


@pytest.mark.parametrize(("key", "told"), list(sentences()), ids=[key for key, _ in sentences()])
def test_each_sentence_stands_in_every_language_with_the_same_gaps(key: str, told: dict[str, Any]) -> None:
    assert set(told) == LANGUAGES
    gaps = {
        language: {name for _, name, _, _ in Formatter().parse(_other(text)) if name}
        for language, text in told.items()
    }
    for language in ("es", "ar"):  # the child's name may be left out where the grammar asks for it
        assert gaps["en"] - {"child"} <= gaps[language] <= gaps["en"]


def _other(text: Any) -> str:
    return str(text["other"] if isinstance(text, dict) else text)


def test_all_that_a_family_reads_in_english_is_grade_five_or_lower() -> None:
    """Flesch-Kincaid grade, as the US Department of Veterans Affairs HSR&D archive gives it."""
    whole = counts_of([filled(told["en"]) for _, told in WHOLE])
    assert flesch_kincaid_grade(whole) <= FAMILY_GRADE - 1.5
    assert len(WHOLE) > 40


@pytest.mark.parametrize(("key", "told"), WHOLE, ids=[key for key, _ in WHOLE])
def test_no_english_sentence_is_hard_on_its_own(key: str, told: dict[str, Any]) -> None:
    assert flesch_kincaid_grade(counts(filled(told["en"]))) <= FAMILY_GRADE + 2


def test_spanish_is_easy_on_the_whole() -> None:
    """INFLESZ (Szigriszt-Pazos; scale of Barrio-Cantalejo 2008): 65 and up is fairly easy."""
    whole = counts_of([filled(told["es"]) for _, told in WHOLE], "es")
    assert inflesz(whole) >= FAMILY_INFLESZ


def test_no_word_blames_or_needs_a_dictionary() -> None:
    for key, told in sentences():
        words = set(re.findall(r"[a-z]+!?", filled(told["en"]).casefold()))
        assert not words & set(NEVER.split()), key


@pytest.mark.parametrize(
    ("n", "form"),
    [(0, "other"), (1, "one"), (2, "two"), (3, "few"), (10, "few"), (11, "many"), (100, "other")],
)
def test_arabic_plurals(n: int, form: str) -> None:
    """Unicode CLDR, cardinal rules for ar (zero is said with the last form here)."""
    assert family.plural_form(n, "ar") == form


def test_counts_in_words() -> None:
    assert family.count("turns", 1, "en") == "1 turn"
    assert family.count("turns", 2, "en") == "2 turns"
    assert family.count("turns", 4, "es") == "4 turnos"
    assert family.count("stops_end", 2, "en") == "Two stops end it for today."
    assert family.count("days", 12, "ar") == "12 يومًا"


def test_lists_and_days_in_each_language() -> None:
    assert family.listed(["a", "b", "c"], "en") == "a, b and c"
    assert family.listed(["a", "b"], "es", last="either") == "a o b"
    assert family.listed([], "en") == ""
    assert family.told_day(date(2026, 11, 3), "es") == "3 de noviembre de 2026"
    assert family.told_day(date(2026, 11, 3), "en", form="short") == "3 November"


def test_a_level_of_the_therapists_own_keeps_its_name() -> None:
    assert family.level_name("shadow", "es") == "shadow"
    assert family.level_how("shadow", "es", "Wren") == ""
    assert family.level_name("Light touch", "es") == "toque suave"


def test_another_language_is_refused_by_name() -> None:
    with pytest.raises(BadValue) as told:
        family.tell("stop.heading", "fi")
    assert told.value.values == {"name": "language", "value": "fi", "allowed": ("en", "es", "ar")}
    with pytest.raises(BadValue):
        family.level_name("words", "fi")


WITHOUT: dict[str, str] = {}
"""Steps that go without a drawing, each with its reason; a wrong drawing is worse than none."""


def test_every_step_of_every_ready_skill_has_a_drawing_or_a_reason() -> None:
    bare = {
        f"{skill.id}/{step.id}"
        for skill in library.skills()
        for step in skill.steps
        if drawings.for_step(step.id, skill.id) is None
    }
    assert bare == set(WITHOUT)


def test_no_drawing_stands_for_a_step_that_is_not_there() -> None:
    steps = {f"{skill.id}/{step.id}" for skill in library.skills() for step in skill.steps}
    assert set(wording.book("drawings")["step"]) - steps == set()
    assert set(wording.book("drawings")["step"].values()) <= set(drawings.actions())


@pytest.mark.parametrize("skill_id", [skill.id for skill in library.skills()])
def test_each_step_of_a_skill_is_told_from_the_others_by_its_drawing(skill_id: str) -> None:
    steps = library.skill(skill_id).steps
    drawn = [drawings.for_step(step.id, skill_id) for step in steps]
    assert len({drawing.action for drawing in drawn if drawing}) == len(steps)


@pytest.mark.parametrize("skill_id", [skill.id for skill in library.skills()])
def test_a_ready_skill_is_told_from_its_steps_or_not_at_all(skill_id: str) -> None:
    """Skills with the same ids cannot be told apart: then none is taken; the skill says which it is."""
    told = drawings.skill_of({step.id for step in library.skill(skill_id).steps})
    assert told in (skill_id, "")


def test_most_ready_skills_are_told_from_their_steps_alone() -> None:
    told = [drawings.skill_of({step.id for step in skill.steps}) == skill.id for skill in library.skills()]
    assert sum(told) >= 0.95 * len(told)


@pytest.mark.parametrize("action", drawings.actions())
def test_a_drawing_is_ours_in_line_and_says_what_it_shows(action: str) -> None:
    """One stroke style, no text, nothing fetched from elsewhere, described in three languages."""
    drawing = drawings.drawing(action)
    assert 'viewBox="0 0 96 96"' in drawing.svg
    assert 'stroke="#1F2A30" stroke-width="3"' in drawing.svg
    assert "<text" not in drawing.svg
    assert "href" not in drawing.svg
    assert len(drawing.svg) < 6000
    assert set(drawing.alt) == LANGUAGES
    assert all(words.endswith((".", "。")) and len(words) > 8 for words in drawing.alt.values())


def test_no_drawing_file_is_left_over() -> None:
    files = {path.stem for path in Path(drawings.__file__).parent.glob("*.svg")}
    assert files == set(drawings.actions())


def test_a_few_ids_alike_do_not_make_a_ready_skill() -> None:
    boot = [step.id for step in library.skill("pull-on-rain-boot").steps]
    assert drawings.skill_of(boot) == "pull-on-rain-boot"
    assert drawings.skill_of(boot[:5]) == "pull-on-rain-boot"
    assert drawings.skill_of(["open", "grip", "pull"]) == ""
    assert drawings.skill_of([*boot[:4], "a", "b", "c"]) == ""
    assert drawings.skill_of([]) == ""


def test_latin_words_are_kept_as_one_piece_in_a_line_from_the_right() -> None:
    """Isolates of the Unicode Bidirectional Algorithm (UAX 9): else the day's number joins the name."""
    told = family.tell("foot.signed", "ar", who="Ines Falk, OT", day="28 نوفمبر 2026")
    assert told == "توقيع \u2068Ines Falk, OT\u2069، 28 نوفمبر 2026"
    assert family.listed(["Mum", "Nana"], "ar") == "\u2068Mum\u2069 و\u2068Nana\u2069"
    adults = family.listed(["Mum", "Nana"], "ar")
    assert family.tell("head.same_way", "ar", adults=adults).count("\u2068") == 2
    assert family.listed([5, 6], "ar") == "5 و6"
    assert "\u2068" not in family.tell("foot.signed", "es", who="Ines Falk, OT", day="28")
    assert family.without_stop("\u2068Mind the wall.\u2069") == "\u2068Mind the wall\u2069"
    assert family.without_stop("Mind. Stop.") == "Mind. Stop"
