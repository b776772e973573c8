"""A picture from the open set is credited on the very page that shows it, and on no other."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from bylittle.library import objects
from bylittle.printing import pictures as pics
from bylittle.printing.cue_card import cue_card_pdf
from bylittle.printing.home_plan import home_plan_data, home_plan_pdf
from bylittle.printing.picture_strip import StripSetting, picture_strip_data, picture_strip_pdf
from bylittle.printing.press import press
from bylittle.printing.visit_set import visit_set_pdf
from tests.printed_plans import BRAM, BRAM_ES, SIGNED, WREN, page_count, text_of

WITH_A_THING = {**pics.for_steps(BRAM.steps), BRAM.steps[2].step_id: pics.of_thing("soap")}
CREDIT = "OpenMoji (openmoji.org)"
PRINTERS: dict[str, Callable[..., bytes]] = {
    "home plan": home_plan_pdf,
    "strip": picture_strip_pdf,
    "cue card": cue_card_pdf,
}


def shown_steps(plan_steps: object) -> dict[str, pics.StepPicture]:
    return {step.step_id: pics.of_thing("soap") for step in plan_steps}  # type: ignore[attr-defined]


@pytest.mark.parametrize("page", PRINTERS)
def test_a_page_with_a_thing_credits_it_once(page: str) -> None:
    told = " ".join(text_of(PRINTERS[page](BRAM, SIGNED, press(), pictures=shown_steps(BRAM.steps))).split())
    assert told.count(CREDIT) == 1
    assert objects.credit()["en"] in told


@pytest.mark.parametrize("page", PRINTERS)
def test_a_page_with_our_own_drawings_alone_credits_nobody(page: str) -> None:
    assert "OpenMoji" not in text_of(PRINTERS[page](BRAM, SIGNED, press()))


def test_a_frame_that_is_left_out_is_not_credited() -> None:
    step = BRAM.steps[2].step_id
    kept = picture_strip_data(BRAM, SIGNED, pictures=WITH_A_THING)
    out = picture_strip_data(
        BRAM, SIGNED, pictures=WITH_A_THING, strip=StripSetting(left_out=frozenset({step}))
    )
    assert CREDIT in kept["tellings"][0]["credit"]
    assert out["tellings"][0]["credit"] == ""


def test_a_thing_may_stand_in_the_finish_frame() -> None:
    shown = {**pics.for_steps(BRAM.steps), pics.FINISH_FRAME: pics.of_thing("duck")}
    data = picture_strip_data(BRAM, SIGNED, pictures=shown)
    assert data["tellings"][0]["pages"][-1][-1]["alt"] == "A duck."
    assert CREDIT in data["tellings"][0]["credit"]


def test_the_credit_stands_in_the_page_s_own_language() -> None:
    told = home_plan_data(
        BRAM_ES,
        replace(SIGNED, language="es", reviewed=frozenset({"en", "es"})),
        pictures=shown_steps(BRAM_ES.steps),
    )
    assert told["tellings"][0]["credit"] == objects.credit()["es"]


def test_a_thing_is_never_mirrored_for_the_left_hand() -> None:
    """Changed pictures would have to be passed on under the set's own licence."""
    assert not pics.of_thing("scissors").flips
    steps = picture_strip_data(WREN, SIGNED, pictures=shown_steps(WREN.steps))["tellings"][0]["pages"][0]
    assert [frame["flips"] for frame in steps[:-1]] == [False] * (len(steps) - 1)


def test_a_page_full_of_words_still_fits_with_its_credit() -> None:
    pdf = home_plan_pdf(BRAM, SIGNED, press(), pictures=shown_steps(BRAM.steps))
    assert page_count(pdf) == 1
    assert visit_set_pdf(BRAM, SIGNED, press(), pictures=WITH_A_THING).startswith(b"%PDF")


def test_each_credit_is_told_once_however_many_pictures_ask_for_it() -> None:
    shown = [pics.of_thing("soap"), None, pics.of_thing("cup"), pics.StepPicture("<svg/>", {"": "A photo."})]
    assert pics.credits_of(shown, "en") == objects.credit()["en"]
    assert pics.credits_of(shown[1:2] + shown[3:], "en") == ""
    assert pics.credits_of(shown, "vi") == objects.credit()["en"]


def test_a_picture_travels_once_however_many_pages_and_languages_show_it() -> None:
    """What templates are given is read through at each call, so pictures stand apart from the words."""
    photo = pics.of_photo(b"\xff\xd8\xff" + bytes(4000), "The tap at home.")
    shown = {step.step_id: photo for step in BRAM.steps}
    both = replace(SIGNED, second_language="es", reviewed=frozenset({"en", "es"}))
    data = home_plan_data(BRAM, both, pictures=shown, also=BRAM_ES)
    assert data["pictures"] == {photo.key: photo.svg}
    assert len(data["tellings"]) == 2
    assert all(
        step["picture"] == photo.key for told in data["tellings"] for row in told["rows"] for step in row
    )
    assert str(data["tellings"]).count("base64") == 0


def test_pictures_that_differ_have_keys_that_differ() -> None:
    keys = [pics.of_thing(name).key for name in objects.names()]
    assert len(set(keys)) == len(keys)
    assert pics.of_thing("cup").key == pics.of_thing("cup").key
