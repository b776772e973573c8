"""The log sheet as PDF. Where things stand comes from `core.sheet`, what is said from the words given."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from bylittle.core.sheet import geometry, markers
from bylittle.core.sheet.identity import COPIES, SheetId
from bylittle.core.sheet.plan import FIXED_OFFER, SheetPlan, SheetStep, sheets
from bylittle.core.sheet.shape import WAYS, Paper
from bylittle.library.wording.sheet import SHEET_WORDS, day_word, level_word
from bylittle.printing import codes
from bylittle.printing.press import Press

TEMPLATE = "log_sheet.typ"
LONGEST_LABEL = 40


@dataclass(frozen=True, slots=True)
class Tongue:
    """A language with its sheet sentences and how it writes a level and a day."""

    code: str
    words: Mapping[str, str]
    level: Callable[[str], str]
    day: Callable[[date], str]


@dataclass(frozen=True, slots=True)
class PrintedSheet:
    """The PDF and the ids of its pages, in order."""

    pdf: bytes
    ids: tuple[SheetId, ...]


def tongue(code: str) -> Tongue:
    """The sheet's sentences in a language that `library.wording.sheet` has."""
    return Tongue(
        code, SHEET_WORDS[code], lambda level: level_word(level, code), lambda day: day_word(day, code)
    )


def print_log_sheet(
    plan: SheetPlan, paper: Paper, press: Press, first: Tongue, second: Tongue | None = None
) -> PrintedSheet:
    """The log sheet of `plan`, in `first` and, smaller beside it, in `second`.

    Raises the faults of `core.sheet.plan.sheets` and `UnprintablePage`.
    """
    ids = sheets(plan, paper)
    data = {
        "lang": first.code,
        "second_lang": second.code if second else None,
        "title": first.words["title"].format(skill=plan.skill),
        "paper": {"w": paper.width_mm, "h": paper.height_mm},
        "bubble": {"r": geometry.BUBBLE, "ring": geometry.RING},
        "heads": {"top": geometry.HEADS_TOP, "foot": geometry.TABLE_TOP, "day": geometry.DAY_HEAD},
        "words": _words(plan, first),
        "second": _words(plan, second) if second else None,
        "skill": plan.skill,
        "child": plan.child,
        "pages": [_page(plan, sheet, first, second) for sheet in ids],
    }
    return PrintedSheet(press.print(TEMPLATE, data), ids)


def _words(plan: SheetPlan, tongue: Tongue) -> dict[str, str]:
    """The sentences of one language with the plan's own words filled in."""
    words = dict(tongue.words)
    one = len(plan.asked) == 1
    steps = ", ".join(_cue(step) for step in plan.asked) if len(plan.asked) <= 3 else ""
    key = "asked" if plan.child else "asked_nobody"
    words["asked"] = words[key].format(child=plan.child, steps=steps) if steps else ""
    words["start"] = _start(plan, tongue) if one or plan.order_of_help != FIXED_OFFER else ""
    words["how_often"] = words["each_turn" if one else "each_day"]
    words["for"] = words["for"].format(child=plan.child) if plan.child else ""
    words["stop"] = words["stop"].format(signs=", ".join(plan.stop_signs)) if plan.stop_signs else ""
    words["flags"] = words["flags"].format(call=plan.call or words["call_nobody"])
    return words


def _start(plan: SheetPlan, tongue: Tongue) -> str:
    told = plan.asked[0].help
    return tongue.words[plan.order_of_help].format(help=tongue.level(told) if told else "")


def _cue(step: SheetStep) -> str:
    return step.cue or step.name


def _page(plan: SheetPlan, sheet: SheetId, first: Tongue, second: Tongue | None) -> dict[str, Any]:
    page = geometry.page(sheet.shape, sheet.page)
    text = str(sheet)
    return {
        "id": " ".join(text[i : i + 4] for i in range(0, len(text), 4)),
        "meta": _meta(plan, sheet, first),
        "copy": first.words["copy"].format(copy=sheet.copy) if sheet.copy != COPIES[0] else "",
        "qr": {**_box(page.qr), "svg": codes.qr_svg(text), "alt": first.words["qr_alt"].format(id=text)},
        "matrix": {
            **_box(page.matrix),
            "svg": codes.matrix_svg(text),
            "alt": first.words["matrix_alt"],
        },
        "markers": [
            {**_box(box), "cells": markers.black_cells(code), "n": markers.CELLS}
            for code, box in page.markers
        ],
        "bubbles": [[bubble.x, bubble.y] for bubble in page.bubbles],
        "columns": [_column(plan, sheet, column, first, second) for column in page.columns],
        "cards": [_card(plan, sheet, page, card, first, second) for card in page.cards],
        "ways": [
            {
                "x": bubble.x,
                "y": bubble.y,
                "word": first.words[bubble.id],
                "second": second and second.words[bubble.id],
            }
            for bubble in page.bubbles
            if bubble.use == "way"
        ],
        "way_width": (page.shape.paper.width_mm - 2 * geometry.MARGIN) / WAYS,
        "notes": _box(page.notes),
    }


def _box(box: geometry.Box) -> dict[str, float]:
    return {"x": box.x, "y": box.y, "w": box.w, "h": box.h}


def _meta(plan: SheetPlan, sheet: SheetId, first: Tongue) -> str:
    words = first.words
    parts = [words["plan"].format(plan=plan.plan, version=plan.version)]
    count = len(geometry.pages(sheet.shape))
    if count > 1:
        parts.append(words["page"].format(page=sheet.page, pages=count))
    parts.append(words["copy"].format(copy=sheet.copy))
    return " · ".join(parts)


def _column(
    plan: SheetPlan, sheet: SheetId, column: geometry.Box, first: Tongue, second: Tongue | None
) -> dict[str, Any]:
    *levels, stopped = geometry.level_columns(sheet.shape, column)
    offered = plan.asked[0].help if len(plan.asked) == 1 and plan.order_of_help == FIXED_OFFER else None
    heads = [
        {
            "x": x,
            "word": first.level(name),
            "second": second and second.level(name),
            "filled": number,
            "offered": name == offered,
        }
        for number, (x, name) in enumerate(zip(levels, plan.levels, strict=True))
    ]
    last = {"x": stopped, "word": first.words["stopped"], "second": second and second.words["stopped"]}
    return {
        **_box(column),
        "cells": len(plan.levels) - 1,
        "pitch": levels[1] - levels[0],
        "heads": heads,
        "last": last,
    }


def _card(
    plan: SheetPlan,
    sheet: SheetId,
    page: geometry.Page,
    card: geometry.Card,
    first: Tongue,
    second: Tongue | None,
) -> dict[str, Any]:
    who = [b for b in page.bubbles if b.use == "who" and b.day == card.day]
    left = geometry.level_columns(sheet.shape, card.box)[0] - geometry.PITCH / 2
    return {
        **_box(card.box),
        "day": _day(sheet, card.day, first),
        "second": second and _day(sheet, card.day, second),
        "who": [
            {"x": b.x, "y": b.y, "w": geometry.who_width(sheet.shape, card.box), "name": plan.adults[i]}
            for i, b in enumerate(who)
        ],
        "label_w": left - card.box.x,
        "rows": [_row(plan, row, first, second) for row in card.rows],
    }


def _row(plan: SheetPlan, row: geometry.Row, first: Tongue, second: Tongue | None) -> dict[str, Any]:
    if len(plan.asked) == 1:
        return {"y": row.y, "label": str(row.number), "offer": None}
    step = plan.asked[row.number - 1]
    fixed = plan.order_of_help == FIXED_OFFER and step.help
    offer = first.level(step.help) if fixed and step.help else None
    return {"y": row.y, "label": _cue(step)[:LONGEST_LABEL], "offer": offer}


def _day(sheet: SheetId, day: int, tongue: Tongue) -> str:
    if sheet.start is None:
        return tongue.words["day"].format(day=day)
    return tongue.day(sheet.start + timedelta(days=day - 1))
