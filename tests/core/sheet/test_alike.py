"""Where a typed number may be misread; never which sign is right."""

from __future__ import annotations

from bylittle.core.sheet.alike import look_again, plain
from bylittle.library.wording.sheet import typed_number


def test_signs_that_look_alike_are_named_with_their_place() -> None:
    found = {place: (sign, others) for place, sign, others in look_again("3kh5 a0")}
    assert found[4] == ("5", "S")
    assert "D" in found[6][1]
    assert 1 not in found


def test_signs_that_no_number_has_are_never_offered() -> None:
    assert not any(set(others) & set("ILOU") for _, _, others in look_again("01V5OI"))


def test_spaces_and_small_letters_do_not_matter() -> None:
    assert plain(" 3kh1-eh03 ") == "3KH1EH03"


def test_the_words_say_where_to_look() -> None:
    told = typed_number("check", "5", look_again("5"), "")
    assert "sign 1 (5 or S)" in told
