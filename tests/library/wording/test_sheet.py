"""Sentences of the log sheet: every code has one, in every language, with the same things filled in."""

from __future__ import annotations

import re
import string
from datetime import date
from pathlib import Path

import pytest

import bylittle.files.plan_json
import bylittle.reading
from bylittle.core.faults import BadValue
from bylittle.library.wording import sheet

READING = Path(bylittle.reading.__path__[0])


def blanks(sentence: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(sentence) if name}


def codes_raised() -> set[str]:
    text = " ".join(path.read_text("utf-8") for path in READING.glob("*.py"))
    return set(re.findall(r'Refused\(\s*"(\w+)"', text)) | set(
        re.findall(r'return "(too_\w+|no_sheet)"', text)
    )


def test_every_refusal_has_its_sentence_in_every_language() -> None:
    assert len(codes_raised()) >= 12
    for language, sentences in sheet.REFUSALS.items():
        assert codes_raised() <= set(sentences), language


@pytest.mark.parametrize("table", [sheet.REFUSALS, sheet.SHEET_WORDS], ids=["refusals", "sheet"])
def test_languages_fill_in_the_same_things(table: dict[str, dict[str, str]]) -> None:
    first, *others = table.values()
    for words in others:
        assert set(words) == set(first)
        for name, sentence in words.items():
            assert blanks(sentence) == blanks(first[name]), name


def test_a_refusal_says_its_numbers() -> None:
    told = sheet.refusal("too_many_pages", pages=400, most=20)
    assert "400" in told
    assert "20" in told


def test_default_levels_are_translated_and_a_plan_s_own_words_stay() -> None:
    assert sheet.level_word("light touch", "es") == "toque ligero"
    assert sheet.level_word("light touch", "en") == "light touch"
    assert sheet.level_word("a wink", "es") == "a wink"


def test_days_are_written_as_each_language_does() -> None:
    """2026-11-30 is a Monday."""
    assert sheet.day_word(date(2026, 11, 30), "en") == "Mon 30 Nov"
    assert sheet.day_word(date(2026, 11, 30), "es") == "lun 30 nov"


def test_a_fault_in_a_plan_says_what_and_how_to_mend_it() -> None:
    what, mend = sheet.fault_words(BadValue("out_of_range", name="days", value=9, allowed=(1, 7)))
    assert what == "days is 9."
    assert mend == "It must lie between 1 and 7."


def test_a_user_s_braces_break_no_sentence() -> None:
    what, _ = sheet.fault_words(BadValue("not_one_of", name="{copy}", value="{0}", allowed=("A", "{B}")))
    assert what == "{copy} is {0}."


def test_every_fault_of_a_plan_file_has_its_sentence() -> None:
    text = Path(str(bylittle.files.plan_json.__file__)).read_text("utf-8")
    codes = set(re.findall(r'BadValue\(\s*"(\w+)"', text)) | {"wrong_json", "unprintable_page"}
    for code in codes:
        fault = BadValue(code, name="x", value=1, allowed=(1, 2), line=1, reason="r", template="t")
        what, _ = sheet.fault_words(fault)
        assert what != str(fault), code
