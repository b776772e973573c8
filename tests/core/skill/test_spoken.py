"""What adults say against what was agreed, word by word: hints at real steps, and nothing is changed."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bylittle.core.skill.spoken import CODES, Spoken, compare, differ, word_changes

AGREED = {"en": ["Open wide", "Pull up"], "es": ["Abre", "Tira"]}


def of(adult: str, *cues: str, language: str = "en") -> Spoken:
    return Spoken(adult, language, cues)


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ("pull UP!", None),
        ("Heave ho", "said_other_words"),
        ("Up pull", "said_other_order"),
        ("Pull it up", "said_more"),
        ("Pull", "said_less"),
        ("Pull hard", "said_changed"),
    ],
)
def test_each_difference_has_its_code(said: str, code: str | None) -> None:
    found = compare(AGREED, [of("Mum", "Open wide", said)])
    assert [(hint.code, hint.step) for hint in found] == ([(code, 1)] if code else [])


def test_the_words_that_differ_are_named() -> None:
    (hint,) = compare(AGREED, [of("Mum", "", "Pull it right")])
    assert (hint.value("extra"), hint.value("left_out")) == ("it right", "up")
    assert (hint.value("said"), hint.value("agreed"), hint.value("adult")) == (
        "Pull it right",
        "Pull up",
        "Mum",
    )


def test_adults_of_one_language_are_held_against_each_other() -> None:
    found = compare(AGREED, [of("Mum", "", "Pull up"), of("Dad", "", "Heave")])
    assert [hint.code for hint in found] == ["said_other_words", "said_apart"]
    assert found[1].value("said") == (("Mum", "Pull up"), ("Dad", "Heave"))
    assert differ(found)


def test_each_language_has_words_of_its_own_and_two_languages_are_no_difference() -> None:
    found = compare(AGREED, [of("Mum", "", "Pull up"), of("Abuela", "", "Tira", language="es")])
    assert found == ()


def test_a_language_without_agreed_words_is_told_so() -> None:
    (hint,) = compare({"en": AGREED["en"]}, [of("Abuela", "", "Tira", language="es")])
    assert hint.code == "said_nothing_agreed"


def test_long_words_and_steps_that_sound_alike_are_told() -> None:
    found = compare({"en": ["Do it", "Do it"]}, [of("Dad", "Do it", "Do it")])
    assert [(hint.code, hint.value("other")) for hint in found] == [("said_alike", 0)]
    codes = [hint.code for hint in compare(AGREED, [of("Dad", "Now open it wide")])]
    assert codes == ["said_more", "said_too_many"]


def test_words_of_another_language_than_the_adults_own_are_told() -> None:
    verbs = {"en": {"pull", "open"}, "es": {"tira", "abre"}}
    said = [of("Dad", "Open wide", "Tira"), of("Oma", "Mach auf", "Tira", language="xx")]
    found = compare(AGREED, said, verbs)
    assert [(hint.code, hint.step, hint.value("adult")) for hint in found] == [
        ("said_nothing_agreed", 0, "Oma"),
        ("said_other_words", 1, "Dad"),
        ("said_nothing_agreed", 1, "Oma"),
        ("said_mixed", 1, "Dad"),
    ]


def test_a_step_that_nobody_told_of_says_nothing() -> None:
    assert compare(AGREED, [of("Mum", "", ""), of("Dad", "Open wide")]) == ()


WORDS = st.lists(st.sampled_from(["pull", "up", "it", "push"]), max_size=4).map(" ".join)


@given(WORDS, WORDS)
@settings(max_examples=60, deadline=None)
def test_agreed_less_left_out_and_more_extra_words_is_what_was_said(one: str, other: str) -> None:
    extra, left_out = word_changes(one, other)
    assert sorted([*one.split(), *extra]) == sorted([*other.split(), *left_out])


@given(st.lists(st.tuples(WORDS, WORDS), min_size=1, max_size=4))
@settings(max_examples=60, deadline=None)
def test_hints_point_to_real_steps_and_whoever_says_the_agreed_words_has_none_of_difference(
    pairs: list[tuple[str, str]],
) -> None:
    agreed, said = [list(side) for side in zip(*pairs, strict=True)]
    found = compare({"en": agreed}, [of("Mum", *said), of("Dad", *agreed)])
    assert all(hint.code in CODES and 0 <= hint.step < len(pairs) for hint in found)
    own = {hint.code for hint in found if dict(hint.values).get("adult") == "Dad"}
    assert own <= {"said_too_many", "said_alike"}
