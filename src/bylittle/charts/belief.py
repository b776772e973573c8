"""What we believed about one step on each day: a line for the best estimate in a 90 % band."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from bylittle.charts import letters, words
from bylittle.charts.axis import XAxis, time_axis
from bylittle.charts.canvas import Canvas
from bylittle.charts.chart import Chart, Table, finish
from bylittle.charts.definition import Definition, Measure, PhaseLabel
from bylittle.charts.legend import Item, draw_legend, line_sign, patch_sign
from bylittle.charts.media import SCREEN, Medium
from bylittle.charts.panel import Panel, draw_axes, draw_phases, draw_x_ticks, panel_in, phase_lines
from bylittle.charts.shapes import Dot, Shape, draw_dot
from bylittle.core.evidence.phases import Phase
from bylittle.library.wording import percent, told_day


@dataclass(frozen=True, slots=True)
class BeliefDay:
    """The chance (0..1) as it was believed after the entries of a day, with its 90 % interval."""

    day: date
    chance: float
    low: float
    high: float


def belief(
    days: Sequence[BeliefDay],
    *,
    step: str,
    level: str,
    phases: Sequence[Phase] = (),
    medium: Medium = SCREEN,
    x: XAxis = "dates",
    language: str = "en",
) -> Chart:
    """The course of one step's chance with one level of help; `days` in order of time, at least one."""
    told = _definition(days, step, phases, language)
    canvas, size = Canvas(medium), medium.small
    shown = (*told.days, *(each.day for each in days))
    axis = time_axis(x, shown, 9 + letters.width("100", size), medium.width - medium.dot * 1.5)
    canvas.text(0, size, told.y_title, ink="quiet")
    most = max((len(lines) for lines in phase_lines(told.phases, axis, size)), default=0)
    top = size * (1.8 + 1.2 * most)
    panel = panel_in(told, axis, top, medium.width * (0.6 if medium.width < 400 else 0.32), medium.dot)
    _draw_band(canvas, panel, days)
    draw_axes(canvas, panel)
    draw_phases(canvas, panel)
    _draw_line(canvas, panel, days, language)
    y = draw_x_ticks(canvas, panel, language)
    y = draw_legend(canvas, _legend(language), 0, y + size * 0.5, medium.width)
    about = words.told(
        "about", "belief", language=language, step=step, level=level,
        start=days[0].chance, first=days[0].day, end=days[-1].chance, last=days[-1].day,
    )  # fmt: skip
    return finish(canvas, y + 4, told.title, about, _table(days, language))


def _definition(days: Sequence[BeliefDay], step: str, phases: Sequence[Phase], language: str) -> Definition:
    last = days[-1].day
    labels = [PhaseLabel(p.first, p.end, words.phase_forms(p, language)) for p in phases if p.first <= last]
    return Definition(
        title=words.told("title", "belief", language=language, step=step),
        y_title=words.axis("chance_any", language),
        measure=Measure.PERCENT,
        y_top=100,
        points=(),
        stops=(),
        phases=tuple(labels),
        help_runs=(),
        trends=(),
        aim=None,
        ladder_top=1,
        rows=(),
    )


def _draw_band(canvas: Canvas, panel: Panel, days: Sequence[BeliefDay]) -> None:
    upper = [(panel.axis(each.day), panel.y(100 * each.high)) for each in days]
    lower = [(panel.axis(each.day), panel.y(100 * each.low)) for each in days]
    canvas.area([*upper, *reversed(lower)])
    canvas.polyline(upper, "accent")
    canvas.polyline(lower, "accent")


def _draw_line(canvas: Canvas, panel: Panel, days: Sequence[BeliefDay], language: str) -> None:
    places = [(panel.axis(each.day), panel.y(100 * each.chance)) for each in days]
    canvas.polyline(places, "ink")
    for each, (x, y) in zip(days, places, strict=True):
        label = words.told(
            "point",
            "belief",
            language=language,
            day=each.day,
            chance=each.chance,
            low=each.low,
            high=each.high,
        )
        draw_dot(canvas, Dot(x, y, Shape.CIRCLE, True, label))


def _legend(language: str) -> list[Item]:
    return [
        Item(line_sign("ink", ""), words.told("legend", "best", language=language)),
        Item(patch_sign("tint", "accent"), words.told("legend", "band", language=language)),
    ]


def _table(days: Sequence[BeliefDay], language: str) -> Table:
    head = tuple(words.told("table", name, language=language) for name in ("date", "chance", "interval"))
    rows = tuple(
        (
            told_day(each.day, language),
            percent(each.chance, language),
            f"{percent(each.low, language)} – {percent(each.high, language)}",
        )
        for each in days
    )
    return Table(words.told("table", "caption", language=language), head, rows)
