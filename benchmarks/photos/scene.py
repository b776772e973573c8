"""A filled-in sheet: which bubbles carry which mark, and the page's picture with them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import cv2
import numpy as np
import pypdfium2
from numpy.random import Generator
from numpy.typing import NDArray

from benchmarks.photos import ink
from bylittle.core.sheet import geometry
from bylittle.core.sheet.geometry import Bubble
from bylittle.core.sheet.identity import SheetId
from bylittle.core.sheet.plan import SheetPlan, SheetStep
from bylittle.core.sheet.shape import PAPERS
from bylittle.printing.log_sheet import print_log_sheet, tongue
from bylittle.printing.press import press

Pixels = NDArray[np.uint8]

LEVELS = ("hand over hand", "light touch", "showing", "pointing", "words", "alone")


@dataclass(frozen=True, slots=True)
class Scene:
    """A marked page: its id, what was drawn on which bubble, its picture and pixels a millimetre."""

    sheet: SheetId
    drawn: Mapping[str, str]
    page: ink.Picture
    scale: float

    @property
    def bubbles(self) -> tuple[Bubble, ...]:
        return geometry.page(self.sheet.shape, self.sheet.page).bubbles


def a_plan(rng: Generator) -> SheetPlan:
    """An invented plan of a random layout."""
    several = rng.random() < 0.4
    asked = int(rng.integers(2, 7)) if several else 1
    levels = LEVELS if rng.random() < 0.7 else (*LEVELS[: int(rng.integers(1, 6))], "alone")
    steps = tuple(SheetStep(f"Step {n}", f"Pull {n}", True, levels[1]) for n in range(1, asked + 1))
    return SheetPlan(
        plan=f"{int(rng.integers(2**24)):06X}",
        version=int(rng.integers(1, 40)),
        skill="Pull on a rain boot",
        steps=steps,
        levels=tuple(levels),
        days=int(rng.integers(3, 8)),
        turns_per_day=int(rng.integers(1, 6)),
        language="en",
        adults=("M", "D", "Nana", "Jo")[: int(rng.integers(0, 5))],
        child="Wren",
        second_language="es" if rng.random() < 0.3 else None,
    )


@lru_cache(maxsize=4)
def blank_pages(plan: SheetPlan, paper: str, dpi: int = 254) -> tuple[tuple[SheetId, Pixels], ...]:
    """The printed pages of a plan as pictures (RGB, 0..255), 10 pixels a millimetre by default."""
    second = tongue(plan.second_language) if plan.second_language else None
    printed = print_log_sheet(plan, PAPERS[paper], press(), tongue(plan.language), second)
    document = pypdfium2.PdfDocument(printed.pdf)
    pictures = (document[i].render(scale=dpi / 72).to_numpy()[..., ::-1] for i in range(len(document)))
    return tuple((sheet, picture.copy()) for sheet, picture in zip(printed.ids, pictures, strict=True))


def paper_white(pixels: Pixels) -> ink.Picture:
    """A printed page as a picture to draw on, 0 black to 1 white."""
    return np.multiply(pixels, np.float32(1 / 255), dtype=np.float32)


def a_scene(
    rng: Generator, marks: Sequence[str] = ink.CLEAR, odd: float = 0.0, plan: SheetPlan | None = None
) -> Scene:
    """A page with one mark in most rows, drawn from `marks`, and a share `odd` of unclear or undone ones."""
    plan = plan or a_plan(rng)
    pages = blank_pages(plan, str(rng.choice(list(PAPERS))))
    sheet, blank = pages[int(rng.integers(len(pages)))]
    page, scale = paper_white(blank), blank.shape[1] / sheet.shape.paper.width_mm
    tool = ink.pen(rng) if rng.random() < 0.5 else ink.other_pen(rng)
    drawn: dict[str, str] = {}
    for row in _rows(sheet):
        if rng.random() < (0.85 if len(row) > 1 else 0.35):
            bubble = row[int(rng.integers(len(row)))]
            others = (*ink.TAKEN_BACK, *ink.UNCLEAR)
            mark = str(rng.choice(others)) if rng.random() < odd else str(rng.choice(list(marks)))
            ink.draw(page, bubble, mark, tool, rng, scale)
            drawn[bubble.id] = mark
            if mark == "stray":
                drawn |= {b.id: "crossed_over" for b in row if b.id not in drawn and _near(b, bubble)}
    return Scene(sheet, drawn, page, scale)


def _near(bubble: Bubble, other: Bubble) -> bool:
    return abs(bubble.x - other.x) < 4.5 * bubble.r


def _rows(sheet: SheetId) -> list[list[Bubble]]:
    rows: dict[str, list[Bubble]] = {}
    for bubble in geometry.page(sheet.shape, sheet.page).bubbles:
        rows.setdefault(bubble.row, []).append(bubble)
    return list(rows.values())


def something_else(rng: Generator) -> bytes:
    """A picture that is no log sheet: blots, lines and squares."""
    picture = np.full((1800, 1350, 3), 255 * rng.uniform(0.3, 1), np.uint8)
    for _ in range(60):
        spot = tuple(int(v) for v in rng.integers(0, 1350, 2))
        shade = tuple(int(v) for v in rng.integers(0, 255, 3))
        reach = int(rng.integers(10, 150))
        if rng.random() < 0.5:
            cv2.rectangle(picture, spot, (spot[0] + reach, spot[1] + reach), shade, -1)
        else:
            cv2.circle(picture, spot, reach // 2, shade, int(rng.integers(-1, 6)) or 1)
    return bytes(cv2.imencode(".jpg", picture)[1])
