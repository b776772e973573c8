"""Advice in words: every code has its sentence, the numbers are in it, and the voice holds."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import bylittle.core.advice as advice_room
from bylittle.core.advice import Advice, Decision, Facts, Pattern, PatternKind, SkillTracker, Why
from bylittle.core.faults import BadValue
from bylittle.library.wording import advice as words
from bylittle.library.wording import book

LANGUAGES_OF = {"therapist": ("en",), "family": ("en", "es")}
CASES = [(audience, language) for audience, languages in LANGUAGES_OF.items() for language in languages]
NEVER = re.compile(r"\b(fail\w*|complian\w*|patient\w*|error\w*|streak\w*|scor\w*)\b", re.IGNORECASE)
NAMES = words.Names(("Open the boot", "Point the toes", "Pull up"), child="Wren")
NUMBERS = {
    "step": 2, "level": 4, "chance": 0.78, "low": 0.61, "high": 0.89, "turns": 10, "managed": 7, "days": 3,
    "too_hard": 0.93, "too_easy": 0.94, "sure_bar": 0.9, "band_low": 0.7, "band_high": 0.9, "proposed": 3,
    "proposed_chance": 0.82, "mastery_share": 0.84, "mastery_bar": 0.9, "mastery_chance": 0.85,
    "days_alone": 2, "days_needed": 3, "next": (1,), "called": (2,),
}  # fmt: skip


def codes_in_source() -> set[str]:
    """Every code that the adviser writes down as `Why("code", ...)`, read from its source.

    `saved.py` only brings back reasons that were saved, so its codes come from elsewhere.
    """
    found = set()
    room = Path(str(advice_room.__file__)).parent
    for path in (each for each in room.glob("*.py") if each.name != "saved.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Why" and node.args:
                assert isinstance(node.args[0], ast.Constant), f"{path.name}:{node.lineno} has no plain code"
                found.add(node.args[0].value)
    return found


def all_phrases() -> list[tuple[str, str]]:
    """Every phrase of the advice file with its place."""
    found: list[tuple[str, str]] = []

    def walk(value: object, place: str) -> None:
        if isinstance(value, str):
            found.append((place, value))
        elif isinstance(value, list):
            for each in value:
                walk(each, place)
        elif isinstance(value, dict):
            for name, each in value.items():
                walk(each, f"{place}.{name}")

    walk(book("advice"), "advice")
    return found


def test_the_source_has_the_codes_of_the_ten_decisions() -> None:
    """Guards the search itself: were it to find nothing, the next test would pass for no reason."""
    assert {"red_flag_yes", "few_marks", "asked_step_called", "just_right"} <= codes_in_source()


@pytest.mark.parametrize("code", sorted(codes_in_source()))
def test_every_code_has_its_words(code: str) -> None:
    told = book("advice")["why"][code]
    assert all(told[audience][language] for audience, language in CASES)
    assert told["change"]["en"]


@pytest.mark.parametrize("kind", list(PatternKind))
def test_every_pattern_can_be_told_without_any_number(kind: PatternKind) -> None:
    for audience, language in CASES:
        told = words.pattern_sentence(Pattern(kind, (), 0.01, {}), language, audience, NAMES)
        assert told.endswith((".", "?"))
        assert "{" not in told
    assert words.pattern_title(kind)
    assert words.pattern_change(Pattern(kind, (), 0.01, {}), names=NAMES).endswith(".")


@pytest.mark.parametrize("decision", list(Decision))
def test_every_decision_has_title_and_explanation(decision: Decision) -> None:
    for audience, language in CASES:
        assert words.decision_title(decision, language)
        assert words.decision_explained(decision, language, audience).endswith((".", "?"))


def test_the_numbers_stand_in_the_sentence() -> None:
    told = words.sentence(Why("asked_step_too_hard", NUMBERS), names=NAMES).replace("\u00a0", " ")
    assert told == (
        "“Pull up” with words: 7 of the last 10 turns, over 3 days; chance 78 % "
        "(90 % interval 61 % to 89 %), below 70 % with 93 % certainty. With pointing the chance is 82 %."
    )


def test_a_step_nearly_there_asks_for_a_probe() -> None:
    near = NUMBERS | {"level": 5, "proposed": 5, "chance": 0.93, "managed": 9}
    told = words.sentence(Why("just_right", near), names=NAMES).replace("\u00a0", " ")
    assert told.startswith("“Pull up” alone: 9 of the last 10 turns, over 3 days;")
    assert told.endswith("A probe would settle it.")


@pytest.mark.parametrize(
    ("chance", "said"), [(0.55, "below 70"), (0.78, "inside the band"), (0.95, "above 90")]
)
def test_hold_says_where_the_chance_lies(chance: float, said: str) -> None:
    told = words.sentence(Why("just_right", NUMBERS | {"chance": chance}), names=NAMES)
    assert said in told.replace("\u00a0", " ")


def test_no_turns_are_not_counted_aloud() -> None:
    told = words.sentence(Why("just_right", NUMBERS | {"turns": 0, "managed": 0, "days": 0}), names=NAMES)
    assert "0 of" not in told.replace("\u00a0", " ")


def test_a_level_not_proposed_leaves_its_sentence_out() -> None:
    told = words.sentence(Why("asked_step_too_easy", NUMBERS | {"proposed": None, "proposed_chance": None}))
    assert "None" not in told


def test_without_names_a_step_is_told_by_its_number() -> None:
    assert "step 3" in words.sentence(Why("just_right", NUMBERS))


def test_the_family_reads_the_child_by_name_and_in_its_language() -> None:
    why = Why("stops_rising", {})
    assert words.sentence(why, "en", "family", NAMES).startswith("Wren says stop")
    assert words.sentence(why, "es", "family", NAMES).startswith("Wren dice basta")


def test_a_language_that_is_not_there_is_a_fault_and_never_english() -> None:
    with pytest.raises(BadValue):
        words.sentence(Why("stops_rising", {}), "ar", "family")


def test_an_unknown_code_is_a_fault() -> None:
    with pytest.raises(BadValue):
        words.sentence(Why("no_such_code", {}))


def test_words_that_are_never_said() -> None:
    phrases = all_phrases()
    assert len(phrases) > 100
    assert [place for place, told in phrases if NEVER.search(told)] == []


def grade_of(text: str) -> float:
    """Reading grade (Kincaid, Fishburne, Rogers & Chissom 1975), syllables as groups of vowels."""
    sentences = [part for part in re.split(r"[.?!]+", text) if part.strip()]
    spoken = re.findall(r"[a-z]+", text.lower())
    syllables = sum(max(1, len(re.findall(r"[aeiouy]+", re.sub(r"e$", "", word)))) for word in spoken)
    return 0.39 * len(spoken) / len(sentences) + 11.8 * syllables / len(spoken) - 15.59


def test_family_sentences_read_at_grade_five_or_lower() -> None:
    plain = {
        place: told.replace("{child}", "Wren").replace("{plain_step}", "Pull up")
        for place, told in all_phrases()
        if place.endswith("family.en")
    }
    assert len(plain) > 30
    assert {place: told for place, told in plain.items() if grade_of(told) > 5.0} == {}


def test_the_grade_of_hard_words_is_high() -> None:
    assert grade_of("Caregivers implementing differential reinforcement demonstrated fidelity.") > 12


def advised(*days: tuple[int, list[dict[str, object]]], facts: Facts | None = None) -> Advice:
    tracker = SkillTracker(3, goal="backward")
    for day, marks in days:
        tracker.record(day, marks)
    return tracker.advise(facts=facts) if days else tracker.advise(0, facts=facts)


def managed(step: int, level: int, *, yes: bool = True) -> dict[str, object]:
    lo, hi = (level, 5) if yes else (0, level - 1)
    return {"step": step, "offered": level, "status": "done", "lo": lo, "hi": hi, "ladder": False}


COURSES = {
    "nothing": advised(),
    "few": advised((1, [managed(2, 1)])),
    "red flag": advised((1, [managed(2, 1)]), facts=Facts(red_flags=("loss of speech",))),
    "rising baseline": advised(
        *((day, [managed(2, 2)]) for day in range(1, 9)), facts=Facts(baseline=(0.0, 0.3, 0.6))
    ),
    "easy": advised(*((day, [managed(2, 1)]) for day in range(1, 15) for _ in range(4))),
    "hard": advised(*((day, [managed(2, 4, yes=False)]) for day in range(1, 15) for _ in range(4))),
    "alone": advised(*((day, [managed(2, 5)]) for day in range(1, 15) for _ in range(4))),
    "stops": advised(
        *((day, [{"step": 2, "offered": 2, "status": "refused"}]) for day in range(1, 6) for _ in range(3))
    ),
}


@pytest.mark.parametrize("advice", COURSES.values(), ids=COURSES)
def test_what_the_adviser_says_can_be_told(advice: Advice) -> None:
    for why in advice.why:
        for audience, language in CASES:
            told = words.sentence(why, language, audience, NAMES)
            assert not re.search(r"[{}]|None|\bstep \d", told)
        assert words.what_would_change(why, names=NAMES)
    assert words.decision_title(advice.decision)


def test_the_courses_reach_different_decisions() -> None:
    """Guards the test above: it would say little if all courses ended alike."""
    assert len({advice.decision for advice in COURSES.values()}) >= 5
