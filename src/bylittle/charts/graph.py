"""The single-case graph and the multiple-probe view, drawn from definitions for one medium."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from bylittle.charts import letters, panel, words
from bylittle.charts.axis import TimeAxis, XAxis, time_axis
from bylittle.charts.canvas import Canvas
from bylittle.charts.chart import Chart, Table, finish
from bylittle.charts.definition import Definition, Measure, Segment, define
from bylittle.charts.legend import Item, dot_sign, draw_legend, line_sign, patch_sign
from bylittle.charts.media import SCREEN, Medium
from bylittle.charts.shapes import Shape
from bylittle.core.evidence.phases import Phase
from bylittle.core.evidence.series import Series
from bylittle.core.skill.ladder import DEFAULT_LADDER, Ladder


def single_case(
    series: Series,
    phases: Sequence[Phase],
    *,
    medium: Medium = SCREEN,
    ladder: Ladder = DEFAULT_LADDER,
    measure: Measure = Measure.PERCENT,
    x: XAxis = "dates",
    trend: bool = False,
    aim: Segment | None = None,
    title: str = "",
    language: str = "en",
) -> Chart:
    """The graph by the trade's conventions.

    Phase lines and labels; lines are not joined across phases or long gaps; probes are squares and practice
    circles; observed is filled and reported open; the help offered stands below as share. `trend` adds the
    Theil-Sen line of each phase, `aim` a line to the goal (in units of the y axis).
    """
    told = define(
        series, phases, measure=measure, ladder=ladder, trend=trend, aim=aim, title=title, language=language
    )
    about = describe(series, phases, language)
    return draw(told, about, medium=medium, x=x, language=language)


def describe(series: Series, phases: Sequence[Phase], language: str) -> str:
    """What a person who does not see the graph is told first."""
    if not series.days:
        return words.told("about", "graph_empty", language=language, skill=series.skill)
    return words.told(
        "about", "graph", language=language, skill=series.skill, first=series.days[0], last=series.days[-1],
        probes=len(series.probes), practice=len({day.day for day in series.practice}),
        phases=words.phase_list(phases, language),
    )  # fmt: skip


def draw(told: Definition, about: str, *, medium: Medium, x: XAxis, language: str) -> Chart:
    """One definition for one medium."""
    canvas = Canvas(medium)
    if not told.days:
        return _empty(canvas, told, about, language)
    axis = time_axis(x, told.days, y_room(told, medium), medium.width - medium.dot * 1.5)
    top = _draw_head(canvas, told, axis)
    one = panel.panel_in(told, axis, top, medium.width * (0.75 if medium.width < 400 else 0.42), medium.dot)
    _draw_inside(canvas, one)
    y = panel.draw_x_ticks(canvas, one, language)
    y = _draw_lane(canvas, one, y, language)
    y = draw_legend(canvas, legend_of([told], language), 0, y + medium.small * 0.5, medium.width)
    return finish(canvas, y + 4, told.title, about, table_of([told], language))


def _empty(canvas: Canvas, told: Definition, about: str, language: str) -> Chart:
    size = canvas.medium.text
    y = size
    for y, line in enumerate(letters.wrapped(about, size, canvas.medium.width, most=3), start=1):
        canvas.text(0, y * size * 1.3, line, size=size, ink="quiet")
    return finish(canvas, (y + 1) * size * 1.3, told.title, about, table_of([told], language))


def y_room(told: Definition, medium: Medium) -> float:
    """Room left of the plot for the numbers of the y axis."""
    return 9 + max(letters.width(label, medium.small) for _, label in panel.y_ticks(told))


def _draw_head(canvas: Canvas, told: Definition, axis: TimeAxis) -> float:
    """The y axis title, and room for the phase labels; returns where the plot begins."""
    size = canvas.medium.small
    canvas.text(0, size, told.y_title, ink="quiet")
    most = max((len(lines) for lines in panel.phase_lines(told.phases, axis, size)), default=0)
    return size * (1.6 + 1.2 * most) if most else size * 1.8


def _draw_inside(canvas: Canvas, one: panel.Panel, *, labels: bool = True) -> None:
    panel.draw_axes(canvas, one)
    panel.draw_phases(canvas, one, labels=labels)
    panel.draw_segments(canvas, one)
    panel.draw_stops(canvas, one)
    panel.draw_points(canvas, one)


def _draw_lane(canvas: Canvas, one: panel.Panel, y: float, language: str) -> float:
    if not one.definition.help_runs:
        return y
    size = canvas.medium.small
    canvas.text(0, y + size * 1.3, words.axis("help", language), ink="quiet")
    return panel.draw_help_lane(canvas, one, y + size * 1.8)


def legend_of(panels: Sequence[Definition], language: str) -> list[Item]:
    """Only what is on these panels."""
    kinds = {(point.shape, point.filled) for told in panels for point in told.points}
    names = (
        (Shape.SQUARE, True, "probe"),
        (Shape.CIRCLE, True, "practice_observed"),
        (Shape.CIRCLE, False, "practice_reported"),
    )
    items = [Item(dot_sign(s, f), _legend(name, language)) for s, f, name in names if (s, f) in kinds]
    if any(told.stops for told in panels):
        items.append(Item(dot_sign(Shape.TRIANGLE, False), _legend("stopped", language)))
    if any(run.lowest != run.highest for told in panels for run in told.help_runs):
        items.append(Item(patch_sign("rule", "ink"), _legend("mixed", language)))
    if any(told.trends for told in panels):
        items.append(Item(line_sign("ink", panel.TREND_DASH), _legend("trend", language)))
    if any(told.aim for told in panels):
        items.append(Item(line_sign("accent", panel.AIM_DASH), _legend("aim", language)))
    return items


def _legend(name: str, language: str) -> str:
    return words.told("legend", name, language=language)


def table_of(panels: Sequence[Definition], language: str) -> Table:
    """All numbers of the panels, oldest first; with several panels the first column names the panel."""
    head = words.graph_head(language)
    caption = words.told("table", "caption", language=language)
    if len(panels) == 1:
        return Table(caption, head, panels[0].rows)
    rows = tuple((told.title, *row) for told in panels for row in told.rows)
    return Table(caption, (words.told("table", "step", language=language), *head), rows)


def multiple_probe(
    parts: Sequence[tuple[Series, Sequence[Phase]]],
    *,
    skill: str,
    medium: Medium = SCREEN,
    ladder: Ladder = DEFAULT_LADDER,
    x: XAxis = "dates",
    language: str = "en",
) -> Chart:
    """Steps (or skills) stacked, each with its own phases, on one shared time axis."""
    panels = [
        define(series, phases, ladder=ladder, title=series.skill, language=language)
        for series, phases in parts
    ]
    about = words.told("about", "multiple", language=language, skill=skill, n=len(panels))
    title = words.told("title", "multiple", language=language, skill=skill)
    days: list[date] = [day for told in panels for day in told.days]
    canvas = Canvas(medium)
    if not days:
        return finish(canvas, medium.small, title, about, table_of(panels, language))
    axis = time_axis(x, days, y_room(panels[0], medium), medium.width - medium.dot * 1.5)
    canvas.text(0, medium.small, panels[0].y_title, ink="quiet")
    y = medium.small * 1.5
    for told in panels:
        y = _draw_tier(canvas, told, axis, y, last=told is panels[-1], language=language)
    y = draw_legend(canvas, legend_of(panels, language), 0, y + medium.small * 0.5, medium.width)
    return finish(canvas, y + 4, title, about, table_of(panels, language))


def _draw_tier(
    canvas: Canvas, told: Definition, axis: TimeAxis, top: float, *, last: bool, language: str
) -> float:
    size = canvas.medium.small
    name = letters.shortened(told.title, size, axis.right - axis.left, bold=True)
    canvas.text(axis.left, top + size * 1.1, name, bold=True)
    most = max((len(lines) for lines in panel.phase_lines(told.phases, axis, size)), default=0)
    begin = top + size * (1.9 + 1.2 * most)
    height = max(canvas.medium.dot * 12, size * 6)
    one = panel.panel_in(told, axis, begin, height, canvas.medium.dot)
    _draw_inside(canvas, one)
    return panel.draw_x_ticks(canvas, one, language) if last else one.plot.bottom + size * 0.6
