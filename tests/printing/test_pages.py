"""Strip, cue cards, visit set and pictures: what stands on them, and how they look beside the approved."""

from __future__ import annotations

import io
from dataclasses import replace

import numpy as np
import pikepdf
import pytest
from PIL import Image

from bylittle.core.faults import BadValue
from bylittle.core.plan.home_plan import HomePlan
from bylittle.core.sheet.plan import SheetPlan, SheetStep
from bylittle.printing import pictures
from bylittle.printing.cue_card import cue_card_pdf
from bylittle.printing.home_plan import home_plan_pdf
from bylittle.printing.log_sheet import tongue
from bylittle.printing.page_fit import PageTooFull
from bylittle.printing.picture_strip import StripSetting, picture_strip_data, picture_strip_pdf
from bylittle.printing.press import UnprintablePage, press
from bylittle.printing.preview import pages_png
from bylittle.printing.visit_set import SheetOrder, visit_set_pdf
from tests.printed_plans import (
    APPROVED,
    BRAM,
    BRAM_ES,
    DRAFT,
    EIGHT,
    SIGNED,
    WREN,
    grey,
    page_count,
    pages_to_approve,
    text_of,
)

LOUD_DIFFERENCE, MOST_LOUD, MOST_MEAN = 96, 0.01, 3.0
SHEET = SheetPlan(
    plan=WREN.plan_id,
    version=WREN.number,
    skill=WREN.skill_name,
    steps=tuple(SheetStep(s.name, s.cue, s.asked, "light touch" if s.asked else None) for s in WREN.steps),
    levels=WREN.ladder.names,
    days=7,
    turns_per_day=4,
    language="en",
    adults=("M", "N"),
)


@pytest.mark.parametrize("name", sorted(pages_to_approve()))
def test_a_page_looks_as_approved(name: str) -> None:
    """Tolerance: mean difference 3 of 255 greys, one pixel in a hundred off by more than 96."""
    made = grey(pages_to_approve()[name]).astype(int)
    approved = np.asarray(Image.open(APPROVED / f"{name}.png").convert("L")).astype(int)
    assert made.shape == approved.shape
    apart = np.abs(made - approved)
    assert apart.mean() <= MOST_MEAN
    assert (apart > LOUD_DIFFERENCE).mean() <= MOST_LOUD


def test_the_tolerance_tells_a_missing_picture() -> None:
    approved = np.asarray(Image.open(APPROVED / "home_plan_en_a4.png").convert("L")).astype(int)
    apart = np.abs(grey(home_plan_pdf(WREN, SIGNED, press(), pictures={})).astype(int) - approved)
    assert apart.mean() > MOST_MEAN or (apart > LOUD_DIFFERENCE).mean() > MOST_LOUD


def strip(plan: HomePlan = BRAM, **chosen: object) -> bytes:
    return picture_strip_pdf(plan, SIGNED, press(), strip=StripSetting(**chosen))


def test_the_strip_shows_each_step_in_order_and_ends_with_a_finish() -> None:
    told = text_of(strip())
    places = [told.find(step.cue) for step in BRAM.steps] + [told.find("All done!")]
    assert -1 not in places
    assert places == sorted(places)
    assert page_count(strip()) == 1


def test_frames_run_from_the_right_where_the_language_does() -> None:
    data = picture_strip_data(WREN, replace(SIGNED, language="ar"))
    assert data["tellings"][0]["reads"] == "rtl"
    data = picture_strip_data(WREN, replace(SIGNED, language="ar"), strip=StripSetting("left to right"))
    assert data["tellings"][0]["reads"] == "ltr"


def test_frames_from_top_to_bottom_stand_below_one_another() -> None:
    """In a column the second frame stands below the first; in a row beside it."""
    import pypdfium2

    def at(pdf: bytes, words: str) -> tuple[float, float]:
        page = pypdfium2.PdfDocument(pdf)[0].get_textpage()
        index, count = page.search(words).get_next()
        assert count
        left, bottom, _, _ = page.get_charbox(index)
        return left, bottom

    first, second = BRAM.steps[0].cue, BRAM.steps[1].cue
    row, column = strip(), strip(direction="top to bottom")
    assert at(row, second)[0] > at(row, first)[0] + 50
    assert at(column, second)[1] < at(column, first)[1] - 50


def test_frames_left_out_are_named() -> None:
    told = text_of(strip(left_out=frozenset({BRAM.steps[0].step_id, BRAM.steps[2].step_id})))
    assert BRAM.steps[0].cue not in told
    assert "Frames 1 and 3 are left out" in told


def test_a_strip_without_frames_or_with_strange_ones_is_refused() -> None:
    everything = frozenset(step.step_id for step in BRAM.steps)
    for left_out, code in ((everything, "no_frame_left"), (frozenset({"fly"}), "step_not_in_version")):
        with pytest.raises(BadValue) as told:
            strip(left_out=left_out)
        assert told.value.code == code
    with pytest.raises(BadValue):
        StripSetting("round and round")


def test_more_than_nine_frames_go_on_and_every_page_carries_the_call() -> None:
    steps = tuple(replace(step, step_id=f"s{n}") for n, step in enumerate(BRAM.steps * 2))
    pdf = picture_strip_pdf(replace(BRAM, steps=steps), DRAFT, press())
    assert page_count(pdf) == 2
    for page in (0, 1):
        assert "555-0100" in text_of(pdf, page)
        assert "DRAFT · NOT SIGNED" in text_of(pdf, page)


def test_a_step_without_a_picture_asks_for_a_photo() -> None:
    assert "Stick a photo here" in text_of(picture_strip_pdf(EIGHT, SIGNED, press(), pictures={}))


def test_a_strip_drowned_in_cautions_is_refused() -> None:
    plan = replace(BRAM, precautions=("Mind the wet floor by the sink. " * 70,))
    with pytest.raises(PageTooFull) as told:
        strip(plan)
    assert told.value.values["shorten"][0][0] == "precautions"


@pytest.mark.parametrize("plan", [WREN, BRAM, EIGHT], ids=["two cues", "seven cues", "eight cues"])
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_page_of_cards_holds_the_words_three_times_and_whom_to_call(plan: HomePlan, paper: str) -> None:
    pdf = cue_card_pdf(plan, replace(SIGNED, paper=paper), press())
    told = text_of(pdf)
    assert page_count(pdf) == 1
    assert told.count("555-0100") == 3
    for step in plan.asked:
        assert told.count(step.cue) >= 3


def test_a_visit_comes_as_one_tagged_file() -> None:
    """Home plan, strip, cards and log sheet, in that order, still PDF/UA-1 and under two megabytes."""
    pdf = visit_set_pdf(WREN, SIGNED, press(), sheet=SheetOrder(SHEET, tongue("en")))
    order = ["Home plan for Wren", "Picture strip for Wren", "Cue card for Wren", "Pull on a rain boot"]
    assert [words in text_of(pdf, page) for page, words in enumerate(order)] == [True] * 4
    assert page_count(pdf) == 4
    assert len(pdf) < 2_000_000
    opened = pikepdf.open(io.BytesIO(pdf))
    assert opened.Root.MarkInfo.Marked
    with opened.open_metadata() as meta:
        assert meta["pdfuaid:part"] == "1"


def test_a_changed_cue_word_stands_on_every_page() -> None:
    plan = replace(WREN, steps=(*WREN.steps[:5], replace(WREN.steps[5], cue="Stomp it")))
    pdf = visit_set_pdf(plan, DRAFT, press())
    assert all("Stomp it" in text_of(pdf, page) for page in range(3))
    assert all("DRAFT · NOT SIGNED" in text_of(pdf, page) for page in range(3))


def test_a_draft_has_no_log_sheet() -> None:
    with pytest.raises(BadValue) as told:
        visit_set_pdf(WREN, DRAFT, press(), sheet=SheetOrder(SHEET, tongue("en")))
    assert told.value.code == "draft_has_no_log_sheet"


def test_pages_of_a_set_are_chosen_and_strange_ones_refused() -> None:
    assert page_count(visit_set_pdf(WREN, DRAFT, press(), pages=("cue card",))) == 1
    for pages in ((), ("poster",)):
        with pytest.raises(BadValue):
            visit_set_pdf(WREN, DRAFT, press(), pages=pages)  # type: ignore[arg-type]


def test_a_second_language_stands_in_each_frame() -> None:
    pdf = picture_strip_pdf(BRAM, replace(SIGNED, second_language="es"), press(), also=BRAM_ES)
    told = text_of(pdf)
    for step, other in zip(BRAM.steps, BRAM_ES.steps, strict=True):
        assert step.cue in told
        assert other.cue in told
    assert "¡Listo!" in told


def test_the_preview_is_made_from_the_print() -> None:
    pdf = picture_strip_pdf(WREN, SIGNED, press())
    [png] = pages_png(pdf, dpi=72)
    shown = Image.open(io.BytesIO(png))
    assert shown.size == (596, 842)
    assert np.abs(np.asarray(shown.convert("L")).astype(int) - grey(pdf, 72)).max() == 0


def photo(colour: str = "#808080", kind: str = "JPEG") -> bytes:
    held = io.BytesIO()
    Image.new("RGB", (400, 300), colour).save(held, format=kind)
    return held.getvalue()


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_the_childs_own_photo_stands_on_the_page(kind: str) -> None:
    plain = {step.step_id: pictures.of_photo(photo(kind=kind), "Wren's boot") for step in WREN.steps}
    dark = grey(home_plan_pdf(WREN, SIGNED, press(), pictures=plain), 72)
    assert ((dark > 120) & (dark < 136)).sum() > 6 * 40 * 40


def test_a_photo_without_words_stops_the_page() -> None:
    unnamed = {WREN.steps[0].step_id: pictures.of_photo(photo(), " ")}
    with pytest.raises(BadValue) as told:
        home_plan_pdf(WREN, SIGNED, press(), pictures=unnamed)
    assert told.value.code == "picture_without_words"


def test_a_broken_or_moving_picture_is_refused() -> None:
    for data in (photo(kind="GIF"), b"", b"not a picture"):
        with pytest.raises(BadValue) as told:
            pictures.of_photo(data, "Wren's boot")
        assert told.value.code == "photo_kind"
    broken = {WREN.steps[0].step_id: pictures.StepPicture("<svg", {"": "Wren's boot"})}
    with pytest.raises(UnprintablePage):
        home_plan_pdf(WREN, SIGNED, press(), pictures=broken)


def test_drawings_are_mirrored_for_the_left_hand_and_photos_are_not() -> None:
    drawn = grey(home_plan_pdf(WREN, SIGNED, press()), 72)
    left = grey(home_plan_pdf(WREN, replace(SIGNED, left_handed=True), press()), 72)
    assert (np.abs(drawn.astype(int) - left) > 96).sum() > 100
    shown = {step.step_id: pictures.of_photo(photo(), "boot") for step in WREN.steps}
    one = home_plan_pdf(WREN, SIGNED, press(), pictures=shown)
    assert one == home_plan_pdf(WREN, replace(SIGNED, left_handed=True), press(), pictures=shown)
