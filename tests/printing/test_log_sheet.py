"""The printed log sheet, looked at as a picture: what stands where, what it says and what it does not."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import date

import cv2
import numpy as np
import pikepdf
import pypdfium2
import pytest
import zxingcpp

from bylittle.core.faults import BadValue, Fault
from bylittle.core.sheet import geometry, identity
from bylittle.core.sheet.plan import SheetPlan, SheetStep
from bylittle.core.sheet.shape import A4, LETTER, PAPERS, Paper
from bylittle.files.sheet_map import sheet_map
from bylittle.library.wording.sheet import SHEET_WORDS
from bylittle.printing.log_sheet import PrintedSheet, print_log_sheet, tongue
from bylittle.printing.press import press

SCALE = 8.0  # pixels a millimetre
LEVELS = ("hand over hand", "light touch", "showing", "pointing", "words", "alone")
PLAN = SheetPlan(
    plan="7F3A9C",
    version=3,
    skill="Pull on a rain boot",
    steps=(SheetStep("Open the boot", "Open it"), SheetStep("Pull up", "Pull up", True, "light touch")),
    levels=LEVELS,
    days=7,
    turns_per_day=4,
    language="en",
    adults=("M", "D", "Nana"),
    child="Wren",
    start=date(2026, 11, 30),
    stop_signs=("turns away",),
    call="Clinic 555-0100",
)
SEVERAL = replace(PLAN, steps=tuple(SheetStep(f"Step {n}", f"Pull {n}", True, "words") for n in range(1, 12)))


def printed(plan: SheetPlan = PLAN, paper: Paper = A4, second: str | None = None) -> PrintedSheet:
    return print_log_sheet(plan, paper, press(), tongue(plan.language), tongue(second) if second else None)


def picture(pdf: bytes, page: int = 0) -> np.ndarray:
    drawn = pypdfium2.PdfDocument(pdf)[page].render(scale=SCALE * 25.4 / 72, grayscale=True).to_numpy()
    return np.ascontiguousarray(drawn.reshape(drawn.shape[0], drawn.shape[1]))


def words(pdf: bytes) -> str:
    document = pypdfium2.PdfDocument(pdf)
    text = " ".join(document[n].get_textpage().get_text_range() for n in range(len(document)))
    return " ".join(text.split())


@pytest.mark.parametrize("paper", list(PAPERS.values()), ids=list(PAPERS))
@pytest.mark.parametrize("plan", [PLAN, SEVERAL], ids=["one step", "several"])
def test_every_ring_stands_where_the_geometry_says(plan: SheetPlan, paper: Paper) -> None:
    sheet = printed(plan, paper)
    assert len(pypdfium2.PdfDocument(sheet.pdf)) == len(sheet.ids)
    for number, sheet_id in enumerate(sheet.ids):
        grey = picture(sheet.pdf, number)
        assert grey.shape == pytest.approx((paper.height_mm * SCALE, paper.width_mm * SCALE), abs=2)
        for bubble in geometry.page(sheet_id.shape, sheet_id.page).bubbles:
            assert _on_ring(grey, bubble, bubble.r).max() < 140, bubble.id
            for inside in (0.0, 0.4, 0.75):
                assert _on_ring(grey, bubble, inside * bubble.r).min() == 255, bubble.id


def _on_ring(grey: np.ndarray, bubble: geometry.Bubble, radius: float) -> np.ndarray:
    angles = np.linspace(0, 2 * np.pi, 24, endpoint=False)
    columns = ((bubble.x + radius * np.cos(angles)) * SCALE).astype(int)
    rows = ((bubble.y + radius * np.sin(angles)) * SCALE).astype(int)
    near = [grey[rows + dy, columns + dx] for dy in (-1, 0, 1) for dx in (-1, 0, 1)]
    return np.min(near, 0) if radius == bubble.r else grey[rows, columns]


@pytest.mark.parametrize("paper", [A4, LETTER], ids=["a4", "letter"])
def test_the_vision_library_finds_the_four_corners(paper: Paper) -> None:
    sheet = printed(paper=paper)
    detector = cv2.aruco.ArucoDetector(cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50))
    corners, codes, _ = detector.detectMarkers(np.ascontiguousarray(picture(sheet.pdf)))
    found = {int(code): points.reshape(4, 2) for code, points in zip(codes.ravel(), corners, strict=True)}
    page = geometry.page(sheet.ids[0].shape, 1)
    assert set(found) == {code for code, _ in page.markers}
    for code, box in page.markers:
        assert found[code] == pytest.approx(np.array(box.corners) * SCALE, abs=2)


@pytest.mark.parametrize("plan", [PLAN, SEVERAL], ids=["one page", "four pages"])
def test_both_codes_say_the_page_s_own_id(plan: SheetPlan) -> None:
    sheet = printed(plan)
    for number, sheet_id in enumerate(sheet.ids):
        read = zxingcpp.read_barcodes(np.ascontiguousarray(picture(sheet.pdf, number)))
        assert {(code.format, code.text) for code in read} == {
            (zxingcpp.BarcodeFormat.QRCode, str(sheet_id)),
            (zxingcpp.BarcodeFormat.DataMatrix, str(sheet_id)),
        }
        assert identity.read(str(sheet_id)).page == number + 1


def test_the_page_says_what_a_family_needs() -> None:
    text = words(printed().pdf)
    for said in (
        "Pull on a rain boot",
        "Wren",
        "Start with: light touch",
        "Mon 30 Nov",
        "Sun 6 Dec",
        "Nana",
        "child stopped",
        "What got in the way?",
        "Anything to tell us?",
        "turns away",
        "Stop and call Clinic 555-0100",
        "emergency",
        "Plan 7F3A9C, version 3",
    ):
        assert said in text, said


def test_the_child_is_named_only_where_the_plan_does() -> None:
    text = words(printed(replace(PLAN, child=None)).pdf)
    assert "Wren" not in text
    assert "Your child does: Pull up" in text


def test_whoever_has_no_clinic_number_is_sent_to_the_therapist() -> None:
    assert "Stop and call your therapist" in words(printed(replace(PLAN, call=None)).pdf)


def test_two_languages_stand_side_by_side() -> None:
    text = words(printed(second="es").pdf)
    assert "Which help did it take?" in text
    assert "¿Qué ayuda hizo falta?" in text
    assert "toque ligero" in text
    assert "lun 30 nov" in text


def test_each_language_has_every_sentence() -> None:
    first, *others = SHEET_WORDS.values()
    assert all(set(words) == set(first) for words in others)


def test_the_second_language_moves_no_bubble() -> None:
    assert printed(second="es").ids == printed().ids


def test_a_page_is_tagged_and_the_same_each_time() -> None:
    sheet = printed(replace(PLAN, language="es"))
    assert sheet.pdf == printed(replace(PLAN, language="es")).pdf
    document = pikepdf.open(io.BytesIO(sheet.pdf))
    assert document.Root.MarkInfo.Marked
    assert str(document.Root.Lang) == "es"


def test_colours_survive_a_black_and_white_copier() -> None:
    """Everything darker than the rules stays dark when only black and white are left."""
    grey = picture(printed().pdf)
    copied = np.where(grey < 160, 0, 255).astype(np.uint8)
    for bubble in geometry.page(printed().ids[0].shape, 1).bubbles[:40]:
        assert _on_ring(copied, bubble, bubble.r).max() == 0


def test_a_further_copy_says_its_letter_where_it_is_seen() -> None:
    """The first sheet says it once, small beside its number; a further one at the head too."""
    first, further = words(printed().pdf), words(printed(replace(PLAN, copy="B")).pdf)
    assert (first.count("copy A"), further.count("copy B")) == (1, 2)


def test_least_to_most_says_how_to_start() -> None:
    text = words(printed(replace(PLAN, order_of_help="least-to-most")).pdf)
    assert "Start with no help" in text


def test_a_plan_that_fits_no_sheet_is_told() -> None:
    with pytest.raises(BadValue) as told:
        printed(replace(PLAN, days=8))
    assert told.value.values["name"] == "days"


def test_words_that_no_font_has_are_told() -> None:
    with pytest.raises(Fault) as told:
        printed(replace(PLAN, skill="長靴をはく"))
    assert told.value.code == "unprintable_page"


def test_long_words_move_nothing() -> None:
    long = replace(
        PLAN,
        skill="Pull on a very long rain boot with two buckles and a strap that sticks at times",
        adults=("Grandmother", "Stepfather", "Au pair", "Neighbour"),
        levels=("full help with both hands", "demonstration", "pointing", "alone"),
        steps=(SheetStep("Pull up", "Pull up", True, "demonstration"),),
    )
    sheet = printed(long)
    grey = picture(sheet.pdf)
    for bubble in geometry.page(sheet.ids[0].shape, 1).bubbles:
        assert _on_ring(grey, bubble, 0.6 * bubble.r).min() == 255, bubble.id
    assert len(pypdfium2.PdfDocument(sheet.pdf)) == 1


def test_the_map_names_every_bubble_in_the_plan_s_words() -> None:
    sheet = printed(SEVERAL)
    told = sheet_map(SEVERAL, sheet.ids)
    assert told["sheet"] == str(sheet.ids[0])
    assert [page["page"] for page in told["pages"]] == list(range(1, len(sheet.ids) + 1))
    bubbles = [bubble for page in told["pages"] for bubble in page["bubbles"]]
    meanings = {bubble["id"]: bubble["meaning"] for bubble in bubbles}
    assert meanings["d2s3.4"] == "2026-12-01, turn 1, Step 3: words"
    assert meanings["d1s1.stopped"] == "2026-11-30, turn 1, Step 1: child stopped"
    assert meanings["d1.who3"] == "2026-11-30, who practised: Nana"
    assert {(bubble["row"], bubble["r_mm"]) for bubble in bubbles if bubble["id"] == "d2s3.4"} == {
        ("d2s3", geometry.BUBBLE)
    }
