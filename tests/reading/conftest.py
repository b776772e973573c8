"""A printed sheet on the table, and a simulated camera to take it with."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
import pytest

from benchmarks.photos import ink
from benchmarks.photos.camera import Shot, photograph
from benchmarks.photos.scene import Pixels, blank_pages, paper_white
from bylittle.core.sheet import geometry
from bylittle.core.sheet.identity import SheetId
from bylittle.core.sheet.plan import SheetPlan, SheetStep

LEVELS = ("hand over hand", "light touch", "showing", "pointing", "words", "alone")
PLAN = SheetPlan(
    plan="7F3A9C",
    version=3,
    skill="Pull on a rain boot",
    steps=(SheetStep("Pull up", "Pull up", True, "light touch"),),
    levels=LEVELS,
    days=7,
    turns_per_day=4,
    language="en",
    adults=("M", "D", "Nana"),
)
WHOLE = replace(PLAN, steps=tuple(SheetStep(f"Step {n}", f"Pull {n}", True, "words") for n in range(1, 9)))
CALM = Shot(height=2000, width=1500, fills=0.92, blur=0.6, noise=0.006)
BIRO = ink.Pen("biro", (0.1, 0.15, 0.5), 0.5, 0.1)


@dataclass(frozen=True)
class Table:
    """A page with marks on it, before the camera."""

    sheet: SheetId
    page: ink.Picture
    scale: float

    def taken(self, shot: Shot = CALM, seed: int = 1) -> bytes:
        """The photograph as JPEG."""
        return photograph(self.page, self.scale, shot, np.random.default_rng(seed))

    def covered(self, *boxes: geometry.Box, shade: float = 0.75) -> Table:
        """The page with something grey laid over parts of it."""
        page = self.page.copy()
        for box in boxes:
            rows = slice(int((box.y - 1) * self.scale), int((box.y + box.h + 1) * self.scale))
            page[rows, int((box.x - 1) * self.scale) : int((box.x + box.w + 1) * self.scale)] = shade
        return replace(self, page=page)

    @property
    def places(self) -> geometry.Page:
        return geometry.page(self.sheet.shape, self.sheet.page)


Lay = Callable[..., Table]


@lru_cache(maxsize=16)
def printed(plan: SheetPlan, paper: str) -> tuple[tuple[SheetId, Pixels], ...]:
    return blank_pages(plan, paper, dpi=203)


@pytest.fixture(scope="session")
def lay() -> Lay:
    """`lay({"d1t1.3": "tick"}, plan=..., paper=..., number=...)`: a page with those marks."""

    def laid(
        marks: Mapping[str, str] | None = None,
        plan: SheetPlan = PLAN,
        paper: str = "a4",
        number: int = 1,
        pen: ink.Pen = BIRO,
        seed: int = 1,
    ) -> Table:
        sheet, blank = printed(plan, paper)[number - 1]
        page, scale = paper_white(blank), blank.shape[1] / sheet.shape.paper.width_mm
        rng = np.random.default_rng(seed)
        known = {bubble.id: bubble for bubble in geometry.page(sheet.shape, number).bubbles}
        for name, mark in (marks or {}).items():
            ink.draw(page, known[name], mark, pen, rng, scale)
        return Table(sheet, page, scale)

    return laid
