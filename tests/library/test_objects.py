"""Pictures of things: each described in three languages, unchanged, small, with the credit it asks for."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from bylittle.core.faults import BadValue
from bylittle.library import drawings, objects

HERE = Path(objects.__file__).parent
README = (HERE / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", objects.names())
def test_each_thing_has_its_picture_its_words_and_its_credit(name: str) -> None:
    thing = objects.thing(name)
    assert 'viewBox="0 0 72 72"' in thing.svg
    assert set(thing.alt) == set(thing.credit) == {"en", "es", "ar"}
    assert all(words.endswith(".") and len(words) > 3 for words in thing.alt.values())
    assert f"`{name}.svg`" in README, "where it comes from is told"


@pytest.mark.parametrize("name", objects.names())
def test_a_picture_of_a_thing_is_plain_lines_and_fetches_nothing(name: str) -> None:
    svg = objects.thing(name).svg
    assert not re.search(r"<(script|image|text|style|foreignObject)|href|url\(|on\w+=", svg)
    colours = set(re.findall(r"#[0-9A-Fa-f]{3,6}", svg)) - {"#emoji"}
    assert {colour.lower() for colour in colours} <= {"#000", "#000000", "#fff", "#ffffff"}


def test_the_credit_names_what_the_licence_asks_for() -> None:
    """CC BY-SA 4.0, section 3(a)(1): the creator, the licence with its address, whether it was changed."""
    for line in objects.credit().values():
        assert "OpenMoji (openmoji.org)" in line
        assert "CC BY-SA 4.0 (creativecommons.org/licenses/by-sa/4.0)" in line
    assert objects.credit()["en"].endswith("unchanged.")
    text = (HERE / "LICENSE-openmoji.txt").read_text(encoding="utf-8")
    assert text.startswith("Attribution-ShareAlike 4.0 International")


def test_no_file_is_left_over_and_all_of_them_are_small() -> None:
    files = sorted(HERE.glob("*.svg"))
    assert {path.stem for path in files} == set(objects.names())
    assert sum(path.stat().st_size for path in files) < 500_000


def test_our_own_drawings_ask_for_no_credit_and_share_no_name_with_things() -> None:
    assert set(objects.names()) & set(drawings.actions()) == set()


def test_a_thing_that_is_not_there_is_told_with_those_that_are() -> None:
    with pytest.raises(BadValue) as told:
        objects.thing("trombone")
    assert told.value.code == "no_object"
    assert "cup" in told.value.values["allowed"]


@pytest.mark.parametrize(
    ("words", "language", "fits"),
    [
        ("Press the soap", "en", {"soap"}),
        ("One ball, two socks", "en", {"ball", "socks"}),
        ("Pull on the boots", "en", {"boot"}),
        ("Toma el jabón", "es", {"soap"}),
        ("Sit down with a hat on the bed", "en", {"sun_hat", "bed"}),
        ("Wait a bit", "en", set()),
        ("", "en", set()),
    ],
)
def test_things_that_the_words_name_are_offered(words: str, language: str, fits: set[str]) -> None:
    assert set(objects.fitting(words, language)) == fits


@pytest.mark.parametrize("name", objects.names())
def test_each_thing_is_offered_for_its_own_words(name: str) -> None:
    for language, alt in objects.thing(name).alt.items():
        assert name in objects.fitting(alt, language)
