"""The map of a printed sheet: where each bubble stands and what it means, as JSON values."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from typing import Any

from bylittle.core.sheet import geometry
from bylittle.core.sheet.geometry import Bubble
from bylittle.core.sheet.identity import SheetId
from bylittle.core.sheet.plan import SheetPlan

_WAYS = ("ill", "tired", "no time", "not at home", "not in the mood")


def sheet_map(plan: SheetPlan, ids: Sequence[SheetId]) -> dict[str, Any]:
    """The map of the pages `ids` of `plan`: millimetres from each page's top left.

    `sheet` is the id of the first page; the other pages carry the same id but for their page number.
    """
    paper = ids[0].shape.paper
    return {
        "sheet": str(replace(ids[0], page=1)),
        "paper": paper.name,
        "pages": [_page_map(plan, sheet) for sheet in ids],
    }


def meaning(plan: SheetPlan, sheet: SheetId, bubble: Bubble) -> str:
    """What a filled bubble says, in the plan's own words: "2026-11-30, turn 2, Pull up: words"."""
    if bubble.use == "way":
        return f"what got in the way: {_WAYS[bubble.choice or 0]}"
    day = bubble.day or 1
    when = (sheet.start + timedelta(days=day - 1)).isoformat() if sheet.start else f"day {day}"
    if bubble.use == "who":
        return f"{when}, who practised: {plan.adults[bubble.choice or 0]}"
    step = plan.asked[(bubble.step or 1) - 1].name
    level = "child stopped" if bubble.choice is None else plan.levels[bubble.choice]
    return f"{when}, turn {bubble.turn}, {step}: {level}"


def _page_map(plan: SheetPlan, sheet: SheetId) -> dict[str, Any]:
    page = geometry.page(sheet.shape, sheet.page)
    paper = sheet.shape.paper
    return {
        "page": page.number,
        "size_mm": [paper.width_mm, paper.height_mm],
        "bubbles": [
            {
                "id": bubble.id,
                "row": bubble.row,
                "meaning": meaning(plan, sheet, bubble),
                "x_mm": round(bubble.x, 3),
                "y_mm": round(bubble.y, 3),
                "r_mm": bubble.r,
            }
            for bubble in page.bubbles
        ],
    }
