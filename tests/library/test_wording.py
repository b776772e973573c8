"""How values are written: percentages, counts with their noun, lists, dates; a missing one is a fault."""

from __future__ import annotations

from datetime import date

import pytest

from bylittle.core.faults import BadValue
from bylittle.library.wording import best, book, fill, percent, say


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("share", "told"),
    [(0.5, "50 %"), (0.996, "over 99 %"), (1.0, "100 %"), (0.001, "under 1 %"), (0.0, "0 %")],
)
def test_certainty_is_never_rounded_up_to_all_or_nothing(share: float, told: str) -> None:
    assert plain(percent(share)) == told


def test_counts_take_their_noun() -> None:
    assert [plain(fill("{n:day|days}", {"n": n})) for n in (0, 1, 2)] == ["0 days", "1 day", "2 days"]


def test_lists_are_joined_in_the_language_of_the_page() -> None:
    names = {"names": ["a", "b", "c"]}
    assert fill("{names:and}", names) == "a, b and c"
    assert fill("{names:and}", names, "es") == "a, b y c"


def test_dates_are_told_in_words() -> None:
    day = {"day": date(2026, 3, 2)}
    assert plain(fill("{day:date}", day)) == "2 Mar 2026"
    assert plain(fill("{day:date}", day, "es")) == "2 mar 2026"


def test_a_missing_value_is_a_fault_and_never_a_blank() -> None:
    with pytest.raises(BadValue):
        fill("{days} days", {})


def test_a_missing_language_is_a_fault() -> None:
    with pytest.raises(BadValue):
        say("charts", "axis", "percent", language="xx")


def test_the_best_phrase_is_the_first_that_can_be_filled() -> None:
    assert best(["{a} of {b}", "{a}"], {"a": 1}) == "1"
    assert best(["{a} of {b}", "{a}"], {"a": 1, "b": 2}) == "1 of 2"


def test_chart_words_stand_in_both_languages() -> None:
    lacking = [
        f"{group}.{name}"
        for group, entries in book("charts").items()
        for name, told in entries.items()
        if set(told) != {"en", "es"}
    ]
    assert lacking == []
