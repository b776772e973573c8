"""What a therapist types for a family is read over: too hard, trade words, and a simpler wording."""

from __future__ import annotations

import pytest

from bylittle.library.plain_words import is_hard, read_over, trade_words
from bylittle.library.readability import counts, flesch_kincaid_grade
from bylittle.library.wording import book

HARD = (
    "Facilitate bilateral coordination during the activity, and then gradually terminate physical assistance"
    " because generalization requires consistent opportunities."
)


def test_an_easy_sentence_is_left_alone() -> None:
    assert read_over(["Wait five seconds. Then say it once. Pull up!"]) == ()


def test_a_hard_sentence_is_told_with_a_simpler_one() -> None:
    (found,) = read_over(["Wait a bit. " + HARD])
    assert found.hard
    assert found.sentence == HARD
    assert ("physical assistance", "help with your hands") in found.trade_words
    assert flesch_kincaid_grade(counts(found.proposal)) < flesch_kincaid_grade(counts(HARD))
    assert "Facilitate" not in found.proposal


def test_a_trade_word_in_a_short_sentence_is_told() -> None:
    (found,) = read_over(["Fade the prompt."])
    assert not found.hard
    assert found.trade_words == (("Fade the prompt", "help less"),)
    assert found.proposal == "Help less."


@pytest.mark.parametrize("text", ["Give a verbal prompt.", "Use a physical prompt."])
def test_a_swap_that_would_not_fit_its_article_is_told_and_not_proposed(text: str) -> None:
    (found,) = read_over([text])
    assert found.trade_words
    assert found.proposal == ""


@pytest.mark.parametrize(
    ("text", "language"),
    [("Mind the extension cord.", "en"), ("Abra la pinza de ropa.", "es"), ("De forma regular.", "es")],
)
def test_words_of_daily_life_are_no_trade_words(text: str, language: str) -> None:
    assert trade_words(text, language) == ()


def test_spanish_has_its_own_yardstick_and_words() -> None:
    (found,) = read_over(["Reforzar cada intento."], "es")
    assert found.trade_words == (("Reforzar", "felicitar"),)
    assert is_hard("La propiocepción contribuye significativamente a la coordinación bimanual.", "es")
    assert not is_hard("Espere cinco segundos y luego diga la palabra.", "es")


def test_a_language_without_a_yardstick_is_not_judged() -> None:
    assert read_over([HARD], "ar") == ()


@pytest.mark.parametrize("language", ["en", "es"])
def test_no_plain_word_is_itself_a_trade_word(language: str) -> None:
    for written, plain in book("jargon")[language].items():
        assert trade_words(plain, language) == (), written
