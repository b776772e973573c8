"""One panel of a single-case graph: axes, phase lines with labels, points, joined lines, help lane."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from bylittle.charts import letters
from bylittle.charts.axis import TimeAxis
from bylittle.charts.canvas import Box, Canvas
from bylittle.charts.definition import LONGEST_GAP, Definition, HelpRun, Measure, PhaseLabel, Point, Segment
from bylittle.charts.scale import Scale, count_ticks
from bylittle.charts.shapes import Dot, Shape, draw_dot

TREND_DASH = "1 4"
AIM_DASH = "9 4"
PHASE_DASH = "5 3"
MOST_LABEL_LINES = 3


@dataclass(frozen=True, slots=True)
class Panel:
    """Where a panel stands: the plot's own box, with the zero line a little above its bottom."""

    definition: Definition
    axis: TimeAxis
    plot: Box
    y: Scale


def panel_in(definition: Definition, axis: TimeAxis, top: float, height: float, dot: float) -> Panel:
    """A panel whose plot begins at `top`; points at 0 and at the top stand clear of the edges."""
    plot = Box(axis.left, top, axis.right, top + height)
    spare = dot * 2.2
    return Panel(definition, axis, plot, Scale(0, definition.y_top, plot.bottom - spare, plot.top + spare))


def y_ticks(definition: Definition, low: bool = False) -> list[tuple[float, str]]:
    """Values and words of the y ticks: always from 0 to the top, fewer on a low panel."""
    if definition.measure is Measure.PERCENT:
        return [(value, str(value)) for value in ((0, 50, 100) if low else (0, 20, 40, 60, 80, 100))]
    return [(value, str(value)) for value in count_ticks(definition.y_top, 2 if low else 6)]


def draw_axes(canvas: Canvas, panel: Panel) -> None:
    """Frame, y ticks with faint lines, and x ticks without words."""
    plot, size = panel.plot, canvas.medium.small
    low = plot.bottom - plot.top < size * 9
    for value, words in y_ticks(panel.definition, low):
        y = panel.y(value)
        canvas.line(plot.left, y, plot.right, y, "rule", 0.35)
        canvas.line(plot.left - 4, y, plot.left, y, "ink", 0.7)
        canvas.text(plot.left - 7, y + size * 0.3, words, anchor="end")
    canvas.line(plot.left, plot.top, plot.left, plot.bottom, "ink")
    canvas.line(plot.left, plot.bottom, plot.right, plot.bottom, "ink")


def draw_x_ticks(canvas: Canvas, panel: Panel, language: str) -> float:
    """Words under the x axis; returns where they end."""
    size, plot = canvas.medium.small, panel.plot
    for x, words in panel.axis.ticks(size, language):
        canvas.line(x, plot.bottom, x, plot.bottom + 4, "ink", 0.7)
        wide = letters.width(words, size)
        x = min(max(x, wide / 2), canvas.medium.width - wide / 2)
        canvas.text(x, plot.bottom + 6 + size, words, anchor="middle")
    return plot.bottom + 6 + size * 1.3


def phase_lines(labels: Sequence[PhaseLabel], axis: TimeAxis, size: float) -> list[list[str]]:
    """The words over each phase, in lines: the longest form that fits, or none."""
    return [_fitting(label, _room(label, axis, size), size) for label in labels]


def _room(label: PhaseLabel, axis: TimeAxis, size: float) -> float:
    left, right = _span(label, axis)
    return right - left - size * 0.5


def _span(label: PhaseLabel, axis: TimeAxis) -> tuple[float, float]:
    return axis.before(label.first), axis.right if label.end is None else axis.before(label.end)


def _fitting(label: PhaseLabel, room: float, size: float) -> list[str]:
    for form in label.forms:
        lines = letters.wrapped(form, size, room, most=MOST_LABEL_LINES)
        if " ".join(lines) == form:
            return lines
    return []


def draw_phases(canvas: Canvas, panel: Panel, *, labels: bool = True) -> None:
    """A dashed line before each phase but a first one at the axis, and the phase's words above."""
    size, plot = canvas.medium.small, panel.plot
    phases = panel.definition.phases
    for label, lines in zip(phases, phase_lines(phases, panel.axis, size), strict=True):
        left, right = _span(label, panel.axis)
        if label.first > panel.axis.days[0]:
            canvas.line(
                left, plot.top - (size * 0.4 if labels else 0), left, plot.bottom, "ink", 0.9, PHASE_DASH
            )
        for number, words in enumerate(lines if labels else []):
            y = plot.top - size * 0.55 - (len(lines) - 1 - number) * size * 1.2
            canvas.text((left + right) / 2, y, words, anchor="middle")


def draw_points(canvas: Canvas, panel: Panel) -> None:
    """Joined lines first, then the points in the order of time, so that the keyboard walks along them."""
    for run in joined(panel.definition.points):
        canvas.polyline([(panel.axis(point.day), panel.y(point.value)) for point in run], _line_ink(run[0]))
    for point in panel.definition.points:
        dot = Dot(panel.axis(point.day), panel.y(point.value), point.shape, point.filled, point.label)
        draw_dot(canvas, dot)


def _line_ink(point: Point) -> str:
    return "ink" if point.filled else "quiet"


def joined(points: Sequence[Point]) -> Iterator[list[Point]]:
    """Points to be joined by a line: same shape, filling and phase, with no long gap between two."""
    ordered = sorted(points, key=lambda point: (point.shape, point.filled, point.phase, point.day))
    for _, group in groupby(ordered, key=lambda point: (point.shape, point.filled, point.phase)):
        run: list[Point] = []
        for point in group:
            if run and (point.day - run[-1].day).days > LONGEST_GAP[point.shape]:
                yield run
                run = []
            run.append(point)
        yield run


def draw_stops(canvas: Canvas, panel: Panel) -> None:
    """A small open triangle at the foot of each day with a stop."""
    y = panel.plot.bottom - canvas.medium.dot * 1.1
    for day, label in panel.definition.stops:
        draw_dot(canvas, Dot(panel.axis(day), y, Shape.TRIANGLE, False, label))


def draw_segments(canvas: Canvas, panel: Panel) -> None:
    """Trend lines and the aim line, cut at the ends of the y axis."""
    for segment in panel.definition.trends:
        canvas.polyline(_cut(panel, segment), "ink", TREND_DASH)
    if panel.definition.aim is not None:
        canvas.polyline(_cut(panel, panel.definition.aim), "accent", AIM_DASH)


def _cut(panel: Panel, segment: Segment) -> list[tuple[float, float]]:
    top = float(panel.definition.y_top)
    x1, x2 = panel.axis(segment.first), panel.axis(segment.last)
    places = [0.0, 1.0]
    rise = segment.end - segment.start
    if rise:
        places += [share for edge in (0.0, top) if 0 < (share := (edge - segment.start) / rise) < 1]
    ends = [(x1 + share * (x2 - x1), segment.start + share * rise) for share in sorted(places)]
    inside = [(x, value) for x, value in ends if -1e-9 <= value <= top + 1e-9]
    return [(x, panel.y(value)) for x, value in inside]


def draw_help_lane(canvas: Canvas, panel: Panel, top: float) -> float:
    """The help offered under the graph, as stacked cells over the days it was offered; returns its end."""
    runs, size = panel.definition.help_runs, canvas.medium.small
    if not runs:
        return top
    cell = canvas.medium.dot * 1.3
    bottom = top + cell * panel.definition.ladder_top
    for run in runs:
        _draw_run(canvas, panel, run, bottom, cell)
    return bottom + _name_runs(canvas, panel, bottom) + size * 0.3


def _draw_run(canvas: Canvas, panel: Panel, run: HelpRun, bottom: float, cell: float) -> None:
    left, right = panel.axis.before(run.first), panel.axis.after(run.last)
    spare = min(1.0, (right - left) * 0.1)
    for place in range(panel.definition.ladder_top):
        box = Box(left + spare, bottom - (place + 1) * cell, right - spare, bottom - place * cell)
        fill = "ink" if place < run.lowest else "rule" if place < run.highest else "paper"
        canvas.rect(box, fill=fill, edge="paper" if fill == "ink" else "ink")


def _name_runs(canvas: Canvas, panel: Panel, bottom: float) -> float:
    """Each change of help named once, in the first of two rows with room; returns the height used."""
    size, used = canvas.medium.small, 0.0
    right_end = {0: 0.0, 1: 0.0}
    for before, run in pairwise([None, *panel.definition.help_runs]):
        if run is None or (before is not None and before.name == run.name):
            continue
        wide = letters.width(run.name, size)
        left = min(panel.axis.before(run.first), canvas.medium.width - wide)
        row = next((row for row, end in right_end.items() if left >= end), None)
        if row is None:
            continue
        canvas.text(left, bottom + size * (1.1 + 1.25 * row), run.name)
        right_end[row] = left + wide + size * 0.6
        used = max(used, size * (1.35 + 1.25 * row))
    return used
