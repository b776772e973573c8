"""Chance for each step: a mark on a scale from 0 to 100 %, with the 90 % interval as a bar."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

from bylittle.charts import letters, words
from bylittle.charts.canvas import Box, Canvas
from bylittle.charts.chart import Chart, Table, finish
from bylittle.charts.legend import Item, draw_legend, line_sign, patch_sign
from bylittle.charts.media import SCREEN, Medium
from bylittle.charts.scale import Scale
from bylittle.charts.shapes import draw_help_bar, named_group
from bylittle.library.wording import percent

Band: TypeAlias = tuple[float, float] | None
"""The challenge that is just right, as shares; None: not shown."""
NARROW = 420
BAND_DASH = "4 3"


@dataclass(frozen=True, slots=True)
class LevelChance:
    """The chance (0..1, with its 90 % interval) that a step is managed with one level of help."""

    level: int
    name: str
    chance: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class StepChances:
    """One step of the chain: `number` from 1, whether it is asked now, and the levels to show."""

    number: int
    name: str
    asked: bool
    levels: tuple[LevelChance, ...]


@dataclass(frozen=True, slots=True)
class Columns:
    """Where things stand in a row: step, level word, scale, numbers; `stacked` on a narrow sheet."""

    stacked: bool
    level: float
    scale: Scale
    numbers: float


def chances(
    steps: Sequence[StepChances],
    *,
    skill: str,
    top: int,
    band: Band = None,
    medium: Medium = SCREEN,
    language: str = "en",
) -> Chart:
    """The chart of a chain of steps. `top`: index of `alone`; `band`: the challenge that is just right."""
    canvas = Canvas(medium)
    columns = _columns(medium, steps)
    start = _draw_head(canvas, columns)
    y = start
    for step in steps:
        y = _draw_step(canvas, columns, step, top, y, band, language)
    if band is not None and not columns.stacked:
        _draw_band(canvas, columns, band, start, y)
    y = draw_legend(canvas, _legend(band, language), 0, y + medium.small * 0.6, medium.width)
    title = words.told("title", "chances", language=language, skill=skill)
    about = words.told("about", "chances", language=language, skill=skill)
    return finish(canvas, y + 4, title, about, _table(steps, language))


def _columns(medium: Medium, steps: Sequence[StepChances]) -> Columns:
    size, width = medium.small, medium.width
    edge = letters.width("100", size) / 2 + 1
    if width < NARROW:
        return Columns(True, size * 1.2, Scale(0, 1, edge, width - edge), width)
    numbers = letters.width(_numbers(1.0, 1.0, 1.0), size)
    names = [level.name for step in steps for level in step.levels]
    level_room = _bar_room(size) + min(max((letters.width(n, size) for n in names), default=0), width * 0.2)
    level = width * 0.3
    return Columns(
        False, level, Scale(0, 1, level + level_room + size + edge, width - numbers - size - edge), width
    )


def _bar_room(size: float) -> float:
    return size * 3.4


def _numbers(chance: float, low: float, high: float) -> str:
    return f"{percent(chance)} ({round(low * 100)}–{round(high * 100)})"


def _draw_head(canvas: Canvas, columns: Columns) -> float:
    """The words of the scale; returns where the rows begin."""
    size = canvas.medium.small
    for share in (0.0, 0.5, 1.0):
        canvas.text(columns.scale(share), size * 1.1, f"{share * 100:.0f}", anchor="middle", ink="quiet")
    left = columns.scale.start - letters.width("100", size)
    if not columns.stacked:
        canvas.text(left, size * 1.1, "%", anchor="end", ink="quiet")
    return size * 1.6


def _draw_step(
    canvas: Canvas, columns: Columns, step: StepChances, top: int, y: float, band: Band, language: str
) -> float:
    """One step with its levels; returns where it ends."""
    size = canvas.medium.small
    canvas.line(0, y, canvas.medium.width, y, "rule", 0.5)
    room = (canvas.medium.width if columns.stacked else columns.level - size) - size * 1.6
    name_lines = letters.wrapped(step.name, size, room, most=2, bold=step.asked)
    canvas.text(0, y + size * 1.35, f"{step.number}", bold=step.asked)
    for number, line in enumerate(name_lines):
        canvas.text(size * 1.6, y + size * (1.35 + 1.25 * number), line, bold=step.asked)
    named = y + size * (1.35 + 1.25 * (len(name_lines) - 1))
    if not step.asked:
        word = words.told("kind", "by_adult", language=language)
        named += size * 1.25
        canvas.text(size * 1.6, named, letters.shortened(word, size, room), ink="quiet")
    return max(named + size * 0.7, _draw_levels(canvas, columns, step, top, y, named, band, language))


def _draw_levels(
    canvas: Canvas, columns: Columns, step: StepChances, top: int, y: float, named: float, band: Band,
    language: str,
) -> float:  # fmt: skip
    size = canvas.medium.small
    at = named + size * 0.3 if columns.stacked else y
    for level in step.levels:
        label = words.told(
            "point", "chance", language=language, step=step.name, level=level.name,
            chance=level.chance, low=level.low, high=level.high,
        )  # fmt: skip
        before = len(canvas.marks)
        at = _draw_level(canvas, columns, level, top, at, band)
        _group(canvas, before, label)
    return at + size * 0.35


def _group(canvas: Canvas, before: int, label: str) -> None:
    """Make the marks drawn since `before` one thing that the keyboard reaches and that is read out."""
    inside = canvas.marks[before:]
    canvas.marks[before:] = [named_group(canvas.medium, label, *inside)]


def _draw_level(
    canvas: Canvas, columns: Columns, level: LevelChance, top: int, y: float, band: Band
) -> float:
    size = canvas.medium.small
    base = y + size * 1.35
    bar = Box(columns.level, base - size * 0.62, columns.level + _bar_room(size) - size * 0.5, base)
    draw_help_bar(canvas, bar, level.level, top)
    told = _numbers(level.chance, level.low, level.high)
    end = columns.numbers - letters.width(told, size) if columns.stacked else columns.scale.start - size * 1.2
    left = columns.level + _bar_room(size)
    canvas.text(left, base, letters.shortened(level.name, size, end - left - size * 0.4))
    canvas.text(columns.numbers, base, told, anchor="end")
    middle = base + size * 1.0 if columns.stacked else base - size * 0.3
    if band is not None and columns.stacked:
        _draw_band(canvas, columns, band, middle - size * 0.6, middle + size * 0.6)
    _draw_scale(canvas, columns, level, middle)
    return middle + size * 0.7 if columns.stacked else base + size * 0.35


def _draw_scale(canvas: Canvas, columns: Columns, level: LevelChance, y: float) -> None:
    scale, size = columns.scale, canvas.medium.small
    canvas.line(scale.start, y, scale.end, y, "rule", 0.7)
    for share in (0.0, 0.5, 1.0):
        canvas.line(scale(share), y - size * 0.2, scale(share), y + size * 0.2, "rule", 0.7)
    bar = Box(scale(level.low), y - size * 0.26, scale(level.high), y + size * 0.26)
    canvas.rect(bar, fill="tint", edge="accent")
    mark = scale(level.chance)
    canvas.line(mark, y - size * 0.5, mark, y + size * 0.5, "ink", 2.2)


def _draw_band(
    canvas: Canvas, columns: Columns, share_band: tuple[float, float], top: float, bottom: float
) -> None:
    for share in share_band:
        x = columns.scale(share)
        canvas.line(x, top, x, bottom, "quiet", 0.7, BAND_DASH)


def _legend(band: Band, language: str) -> list[Item]:
    items = [
        Item(_mark_sign, words.told("legend", "best", language=language)),
        Item(patch_sign("tint", "accent"), words.told("legend", "band", language=language)),
    ]
    if band is not None:
        told = words.told("legend", "just_right", language=language, low=band[0], high=band[1])
        items.append(Item(line_sign("quiet", BAND_DASH), told))
    return items


def _mark_sign(canvas: Canvas, x: float, y: float) -> None:
    canvas.line(x, y - canvas.medium.small * 0.5, x, y + canvas.medium.small * 0.5, "ink", 2.2)


def _table(steps: Sequence[StepChances], language: str) -> Table:
    head = tuple(words.told("table", n, language=language) for n in ("step", "help", "chance", "interval"))
    rows = tuple(
        (f"{step.number} {step.name}", level.name, percent(level.chance, language), _interval(level))
        for step in steps
        for level in step.levels
    )
    return Table(words.told("table", "chances_caption", language=language), head, rows)


def _interval(level: LevelChance) -> str:
    return f"{percent(level.low)} – {percent(level.high)}"
