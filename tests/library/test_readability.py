"""Reading grades against worked values.

Flesch-Kincaid and Flesch: the platypus sentence (13 words, 24 syllables, grade 11.3 in print; 11.2646 and
37.4554 computed from the formula), "The cat sat on the mat." (6 words, 6 syllables). SMOG: computed from
McLaughlin's formula for 30 sentences. INFLESZ and Fernández Huerta: computed from the formulas.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bylittle.core.faults import NotEnoughData
from bylittle.library import readability
from bylittle.library.readability import Counts, counts

PLATYPUS = "The Australian platypus is seemingly a hybrid of a mammal and reptilian creature."


def test_the_platypus() -> None:
    told = counts(PLATYPUS)
    assert (told.sentences, told.words, told.syllables) == (1, 13, 24)
    assert readability.flesch_kincaid_grade(told) == pytest.approx(11.2646, abs=1e-4)
    assert readability.flesch_reading_ease(told) == pytest.approx(37.4554, abs=1e-4)


def test_the_cat() -> None:
    told = counts("The cat sat on the mat.")
    assert (told.words, told.syllables) == (6, 6)
    assert readability.flesch_reading_ease(told) == pytest.approx(116.145)
    assert readability.flesch_kincaid_grade(told) == pytest.approx(-1.45)


@pytest.mark.parametrize(
    ("polysyllables", "grade"),
    [
        (0, 3.1291),
        (1, 4.1721),
        (4, 5.2151),
        (9, 6.2581),
        (16, 7.3011),
        (25, 8.3441),
        (30, 8.8418),
        (36, 9.3871),
        (100, 13.5591),
    ],
)
def test_smog_in_thirty_sentences(polysyllables: int, grade: float) -> None:
    assert readability.smog_grade(Counts(30, 200, 300, polysyllables)) == pytest.approx(grade, abs=1e-4)


def test_smog_refuses_a_short_text() -> None:
    with pytest.raises(NotEnoughData) as caught:
        readability.smog_grade(Counts(29, 200, 300, 4))
    assert (caught.value.n, caught.value.needed) == (29, 30)


def test_nothing_to_read_is_refused() -> None:
    with pytest.raises(NotEnoughData):
        readability.flesch_kincaid_grade(counts("... !"))


def test_spanish_ease_by_hand() -> None:
    """ "El pie entra. La bota sube." 6 words, 9 syllables, 2 sentences: 206.835 - 62.3*1.5 - 3 = 110.385."""
    told = counts("El pie entra. La bota sube.", "es")
    assert (told.sentences, told.words, told.syllables) == (2, 6, 9)
    assert readability.inflesz(told) == pytest.approx(110.385)
    assert readability.fernandez_huerta(told) == pytest.approx(206.84 - 90 - 3.06)


@pytest.mark.parametrize(
    ("word", "n"),
    [
        ("boot", 1),
        ("puddle", 2),
        ("handle", 2),
        ("handled", 2),
        ("pulled", 1),
        ("wanted", 2),
        ("cries", 1),
        ("edges", 2),
        ("sides", 1),
        ("idea", 3),
        ("radio", 3),
        ("people", 2),
        ("therapist", 3),
        ("movement", 2),
        ("emergency", 4),
        ("quiet", 2),
        ("being", 2),
        ("area", 3),
        ("sometimes", 2),
        ("child's", 1),
        ("T-shirt", 2),
    ],
)
def test_english_syllables(word: str, n: int) -> None:
    assert readability.english_syllables(word) == n


@pytest.mark.parametrize(
    ("word", "n"),
    [
        ("bota", 2),
        ("lluvia", 2),
        ("pie", 1),
        ("ábrela", 3),
        ("cremallera", 4),
        ("guardería", 4),
        ("leer", 2),
        ("ahí", 2),
        ("toalla", 3),
        ("quieto", 2),
        ("siéntate", 3),
        ("muy", 1),
        ("oído", 3),
        ("cae", 2),
        ("ciudad", 2),
        ("pingüino", 3),
    ],
)
def test_spanish_syllables(word: str, n: int) -> None:
    assert readability.spanish_syllables(word) == n


@given(
    st.lists(st.sampled_from(["The boot is on.", "Pull up!", "Where is it? Here."]), min_size=1, max_size=8)
)
def test_texts_together_count_as_one(texts: list[str]) -> None:
    assert readability.counts_of(texts) == counts(" ".join(texts))


def test_each_line_is_a_sentence_of_its_own() -> None:
    assert counts("Pull up\nPush in").sentences == 2
