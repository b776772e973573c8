"""How the adults' practice was seen to follow the plan, check by check: one low panel for each adult.

Each check is observed, so its point is a filled square, as a probe's is. Checks of two plans are not joined:
another plan has another list to hold the practice against.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from bylittle.charts import letters, panel, words
from bylittle.charts.axis import TimeAxis, time_axis
from bylittle.charts.canvas import Canvas
from bylittle.charts.chart import Chart, Table, finish
from bylittle.charts.definition import Definition, Measure, PhaseLabel, Point, Segment
from bylittle.charts.graph import y_room
from bylittle.charts.legend import Item, dot_sign, draw_legend, line_sign
from bylittle.charts.media import SCREEN, Medium
from bylittle.charts.shapes import Shape
from bylittle.library.wording import percent, told_day


@dataclass(frozen=True, slots=True)
class CheckPoint:
    """One check: `share` of what was seen that was as planned, 0..1; `seen` things it rests on."""

    on: date
    share: float
    plan: int
    seen: int


@dataclass(frozen=True, slots=True)
class AdultTrend:
    """The checks of one adult, oldest first, at least one."""

    name: str
    checks: tuple[CheckPoint, ...]


def fidelity_trend(
    adults: Sequence[AdultTrend],
    plans: Sequence[tuple[int, date]],
    *,
    skill: str,
    bar: float,
    until: date,
    medium: Medium = SCREEN,
    language: str = "en",
) -> Chart:
    """The trend of each adult below the other, on one time axis up to the day `until`.

    `plans`: number and first day of each signed plan, in order. `bar`: a usual bar, 0..1, drawn as a dashed
    line. At least one adult.
    """
    panels = _definitions(adults, plans, bar, until, language)
    days = [day for told in panels for day in told.days]
    axis = time_axis("dates", days, y_room(panels[0], medium), medium.width - medium.dot * 1.5)
    canvas = Canvas(medium)
    canvas.text(0, medium.small, panels[0].y_title, ink="quiet")
    y = medium.small * 1.5
    for told in panels:
        y = _draw_adult(canvas, told, axis, y, last=told is panels[-1], language=language)
    y = draw_legend(canvas, _legend(bar, language), 0, y + medium.small * 0.5, medium.width)
    about = words.told("about", "fidelity", language=language, skill=skill, n=len(adults), bar=bar)
    title = words.told("title", "fidelity", language=language, skill=skill)
    return finish(canvas, y + 4, title, about, _table(panels, language))


def _definitions(
    adults: Sequence[AdultTrend], plans: Sequence[tuple[int, date]], bar: float, until: date, language: str
) -> list[Definition]:
    earliest = min(check.on for adult in adults for check in adult.checks)
    oldest = min((check.plan for adult in adults for check in adult.checks), default=0)
    phases = _phases([(number, first) for number, first in plans if number >= oldest], language)
    first = min([earliest, *(phase.first for phase in phases)])
    aim = Segment(first, 100 * bar, max(until, earliest), 100 * bar)
    return [_definition(adult, phases, aim, language) for adult in adults]


def _phases(plans: Sequence[tuple[int, date]], language: str) -> tuple[PhaseLabel, ...]:
    ends = [first for _, first in plans[1:]] + [None]
    return tuple(
        PhaseLabel(first, end, (words.told("phase", "plan", language=language, number=number), str(number)))
        for (number, first), end in zip(plans, ends, strict=True)
    )


def _definition(adult: AdultTrend, phases: tuple[PhaseLabel, ...], aim: Segment, language: str) -> Definition:
    return Definition(
        title=adult.name,
        y_title=words.axis("fidelity", language),
        measure=Measure.PERCENT,
        y_top=100,
        points=tuple(_point(adult, check, language) for check in adult.checks),
        stops=(),
        phases=phases,
        help_runs=(),
        trends=(),
        aim=aim,
        ladder_top=1,
        rows=tuple(_row(check, language) for check in adult.checks),
    )


def _point(adult: AdultTrend, check: CheckPoint, language: str) -> Point:
    label = words.told(
        "point", "fidelity", language=language, who=adult.name, day=check.on, share=check.share, n=check.seen
    )
    return Point(check.on, 100 * check.share, Shape.SQUARE, True, check.plan, label)


def _row(check: CheckPoint, language: str) -> tuple[str, ...]:
    share = percent(check.share, language)
    return told_day(check.on, language), str(check.plan), share, str(check.seen)


def _draw_adult(
    canvas: Canvas, told: Definition, axis: TimeAxis, top: float, *, last: bool, language: str
) -> float:
    size = canvas.medium.small
    name = letters.shortened(told.title, size, axis.right - axis.left, bold=True)
    canvas.text(axis.left, top + size * 1.1, name, bold=True)
    lines = panel.phase_lines(told.phases, axis, size)
    begin = top + size * (1.9 + 1.2 * max((len(each) for each in lines), default=0))
    one = panel.panel_in(told, axis, begin, max(canvas.medium.dot * 14, size * 6), canvas.medium.dot)
    panel.draw_axes(canvas, one)
    panel.draw_phases(canvas, one)
    panel.draw_segments(canvas, one)
    panel.draw_points(canvas, one)
    return panel.draw_x_ticks(canvas, one, language) if last else one.plot.bottom + size * 0.6


def _legend(bar: float, language: str) -> list[Item]:
    return [
        Item(dot_sign(Shape.SQUARE, True), words.told("legend", "fidelity", language=language)),
        Item(
            line_sign("accent", panel.AIM_DASH),
            words.told("legend", "fidelity_bar", language=language, bar=bar),
        ),
    ]


def _table(panels: Sequence[Definition], language: str) -> Table:
    head = ("adult", "date", "plan", "as_planned", "things")
    caption = words.told("table", "fidelity_caption", language=language)
    rows = tuple((told.title, *row) for told in panels for row in told.rows)
    return Table(caption, tuple(words.told("table", each, language=language) for each in head), rows)
