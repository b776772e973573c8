"""A sheet's id carries its whole layout in 16 characters, and a wrong character is found out."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bylittle.core.faults import BadValue, ManyFaults
from bylittle.core.sheet import check, identity
from bylittle.core.sheet.identity import SheetId, WrongId
from bylittle.core.sheet.shape import A4, LETTER, Shape

SHEET = SheetId(Shape(A4, 7, 4, 1, 6, 3), 0x7F3A9C, 3, start=date(2026, 11, 30))


@st.composite
def sheet_ids(draw: st.DrawFn) -> SheetId:
    steps = draw(st.integers(1, 12))
    turns = draw(st.integers(1, 5)) if steps == 1 else 1
    shape = Shape(
        draw(st.sampled_from([A4, LETTER])),
        draw(st.integers(1, 7)),
        turns,
        steps,
        draw(st.integers(2, 8)),
        draw(st.integers(0, 4)),
    )
    return SheetId(
        shape,
        draw(st.integers(0, 2**24 - 1)),
        draw(st.integers(1, 4095)),
        draw(st.integers(1, 8)),
        draw(st.none() | st.dates(*identity.STARTS)),
        draw(st.sampled_from(identity.COPIES)),
    )


@given(sheet_ids())
@settings(max_examples=100)
def test_what_was_written_is_read_back(sheet: SheetId) -> None:
    text = str(sheet)
    assert len(text) == 16
    assert text.isalnum()
    assert text == text.upper()
    assert identity.read(text) == sheet


@given(sheet_ids(), st.integers(0, 15), st.sampled_from(check.ALPHABET))
@settings(max_examples=100)
def test_one_wrong_character_never_names_another_sheet(sheet: SheetId, place: int, sign: str) -> None:
    text = str(sheet)
    wrong = text[:place] + sign + text[place + 1 :]
    if place < 15 and sign in "ILO":  # a misread 1 or 0 is forgiven, as it is meant
        wrong = wrong.translate(str.maketrans("ILO", "110")) if wrong[place] != text[place] else wrong
    if wrong == text:
        return
    with pytest.raises(WrongId):
        identity.read(wrong)


def test_the_check_character_is_that_of_the_standard() -> None:
    """ISO/IEC 7064 MOD 37,36, the worked example of the Global Release Identifier standard (IFPI, GRid 2.1):
    A1-2425G-ABC1234002 takes the check character M."""
    assert check.check_character("A12425GABC1234002") == "M"
    assert check.holds("A12425GABC1234002M")
    assert not check.holds("A12425GABC1234002N")


def test_a_number_typed_by_hand_may_have_gaps_and_small_letters() -> None:
    text = str(SHEET)
    typed = f" {text[:4].lower()}-{text[4:8]} {text[8:12].lower()} {text[12:]} "
    assert identity.read(typed) == SHEET


@pytest.mark.parametrize(
    ("text", "reason"),
    [("", "length"), ("3KHG", "length"), ("U" * 16, "sign"), ("0" * 16, "check")],
)
def test_what_is_no_sheet_is_refused_with_the_reason(text: str, reason: str) -> None:
    with pytest.raises(WrongId) as told:
        identity.read(text)
    assert told.value.values["reason"] == reason


def test_a_right_check_sign_over_an_impossible_layout_is_refused() -> None:
    body = "0" * 15
    with pytest.raises(WrongId) as told:
        identity.read(body + check.check_character(body))
    assert told.value.values["reason"] == "layout"


def test_a_plan_whose_id_is_not_six_hex_digits_gets_a_digest_of_24_bits() -> None:
    assert identity.plan_number("7F3A9C") == identity.plan_number("7f3a9c") == 0x7F3A9C
    other = identity.plan_number("rain boot")
    assert 0 <= other < 2**24
    assert other != identity.plan_number("rain boots")


@pytest.mark.parametrize(
    "field", [{"version": 0}, {"version": 4096}, {"page": 9}, {"copy": "a"}, {"start": date(2019, 1, 1)}]
)
def test_a_field_out_of_range_is_not_written(field: dict[str, object]) -> None:
    values = {"version": 3, "page": 1, "copy": "A", "start": None} | field
    with pytest.raises(BadValue):
        identity.write(SheetId(SHEET.shape, 1, **values))  # type: ignore[arg-type]


def test_all_bounds_of_a_shape_are_told_together() -> None:
    with pytest.raises(ManyFaults) as told:
        Shape(A4, 8, 6, 1, 9, 5)
    assert [fault.values["name"] for fault in told.value.faults] == ["days", "turns", "levels", "adults"]


def test_several_steps_hold_one_turn_a_day() -> None:
    with pytest.raises(BadValue):
        Shape(A4, 7, 2, 3, 6)
