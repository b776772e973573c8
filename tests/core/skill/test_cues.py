"""Cue words: hints are codes with a place and values, and nothing is changed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bylittle.core.skill import cues

VERBS = {"pull", "push", "open", "point"}
NEGATIVES = {"not", "don't", "never"}


def codes(words: list[str]) -> list[tuple[str, int]]:
    return [(hint.code, hint.step) for hint in cues.check(words, VERBS, NEGATIVES)]


def test_good_cues_give_no_hint() -> None:
    assert codes(["Open it", "Point toes", "Pull up"]) == []


@pytest.mark.parametrize(
    ("cue", "code"),
    [
        ("Pull it all the way", "too_many_words"),
        ("Pull extraordinarilywonderfully", "too_many_letters"),
        ("Boot up", "verb_not_first"),
        ("Don't pull", "negative"),
        ("Don’t pull", "negative"),
        ("", "cue_missing"),
        ("...", "cue_missing"),
    ],
)
def test_each_weakness_has_its_code(cue: str, code: str) -> None:
    assert codes([cue]) == [(code, 0)]


def test_a_cue_may_have_several_hints() -> None:
    assert [code for code, _ in codes(["never ever pull that boot so hard"])] == [
        "too_many_words",
        "too_many_letters",
        "negative",
    ]


def test_two_steps_alike_name_the_earlier_one() -> None:
    (hint,) = cues.check(["Pull up", "Push in", "pull up!"], VERBS)
    assert (hint.code, hint.step, hint.value("other")) == ("two_steps_alike", 2, 0)


def test_the_limit_itself_is_fine() -> None:
    assert codes(["Push it in"]) == []
    (hint,) = cues.check(["Push it in now"], VERBS)
    assert (hint.value("n"), hint.value("most")) == (4, 3)


def test_accents_and_case_do_not_make_two_cues_different() -> None:
    assert cues.same_words("Ábrela", "abrela ")
    assert not cues.same_words("Pull up", "Pull down")


def test_adults_who_use_other_words_are_told_by_step() -> None:
    (hint,) = cues.adults_differ({"Mum": ["Open it", "Pull up"], "Dad": ["open it!", "Heave"]})
    assert (hint.code, hint.step) == ("adults_differ", 1)
    assert hint.value("said") == (("Mum", "Pull up"), ("Dad", "Heave"))


def test_an_adult_without_words_for_a_step_does_not_differ() -> None:
    assert cues.adults_differ({"Mum": ["Open it", "Pull up"], "Dad": ["Open it", ""], "Nana": []}) == ()


def test_a_verb_of_another_language_is_told() -> None:
    verbs = {"en": {"pull"}, "es": {"tira"}}
    (hint,) = cues.languages_mixed(["Pull up", "Tira fuerte"], "en", verbs)
    assert (hint.step, hint.value("language")) == (1, "es")
    assert cues.languages_mixed(["Tira fuerte"], "es", verbs) == ()


@given(st.lists(st.text(max_size=30), max_size=6))
def test_any_words_at_all_give_known_codes_at_real_steps(words: list[str]) -> None:
    for hint in cues.check(words, VERBS, NEGATIVES):
        assert hint.code in cues.CODES
        assert 0 <= hint.step < len(words)
