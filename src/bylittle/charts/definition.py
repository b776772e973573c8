"""One definition of a single-case graph, made from the series; every medium draws this and nothing else."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from itertools import groupby

from bylittle.charts import words
from bylittle.charts.shapes import Shape
from bylittle.core.evidence.phases import Phase, PhaseKind
from bylittle.core.evidence.series import PracticeDay, Probe, Series
from bylittle.core.faults import Fault
from bylittle.core.skill.ladder import DEFAULT_LADDER, Ladder
from bylittle.core.stats.trend import theil_sen

LONGEST_GAP = {Shape.CIRCLE: 7, Shape.SQUARE: 35}
"""Days between two points of practice, of probes, over which they are still joined."""
FEWEST_FOR_TREND = 3


class Measure(StrEnum):
    """What the graph's y axis counts."""

    PERCENT = "percent"
    STEPS = "steps"


@dataclass(frozen=True, slots=True)
class Point:
    """One data point: `value` on the y axis, `phase` the index of its phase (-1 before the first)."""

    day: date
    value: float
    shape: Shape
    filled: bool
    phase: int
    label: str


@dataclass(frozen=True, slots=True)
class HelpRun:
    """Days on which the same help was offered: ladder indices, lowest and highest of the day."""

    first: date
    last: date
    lowest: int
    highest: int
    name: str


@dataclass(frozen=True, slots=True)
class Segment:
    """A straight line between two days, on the y axis."""

    first: date
    start: float
    last: date
    end: float


@dataclass(frozen=True, slots=True)
class PhaseLabel:
    """Where a phase begins and what stands above it: the first form that fits is used."""

    first: date
    end: date | None
    forms: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Definition:
    """All that one panel shows. `y_top`: the upper end of the y axis, whose lower end is always 0."""

    title: str
    y_title: str
    measure: Measure
    y_top: int
    points: tuple[Point, ...]
    stops: tuple[tuple[date, str], ...]
    phases: tuple[PhaseLabel, ...]
    help_runs: tuple[HelpRun, ...]
    trends: tuple[Segment, ...]
    aim: Segment | None
    ladder_top: int
    rows: tuple[tuple[str, ...], ...]

    @property
    def days(self) -> tuple[date, ...]:
        """Every date that the graph has to show, sorted."""
        ends = [] if self.aim is None else [self.aim.first, self.aim.last]
        starts = [phase.first for phase in self.phases]
        stops = [day for day, _ in self.stops]
        return tuple(sorted({*(point.day for point in self.points), *starts, *stops, *ends}))


def define(
    series: Series,
    phases: Sequence[Phase],
    *,
    measure: Measure = Measure.PERCENT,
    ladder: Ladder = DEFAULT_LADDER,
    trend: bool = False,
    aim: Segment | None = None,
    title: str = "",
    language: str = "en",
) -> Definition:
    """The graph of a series. `aim` is in the units of the y axis (percent, or steps)."""
    points = _points(series, phases, measure, ladder, language)
    practice = series.practice if measure is Measure.PERCENT else ()
    return Definition(
        title=title or words.title(series.skill, measure, language),
        y_title=words.axis(measure, language),
        measure=measure,
        y_top=100 if measure is Measure.PERCENT else max(1, len(series.steps)),
        points=points,
        stops=_stops(series, language),
        phases=tuple(_label(phase, language) for phase in phases),
        help_runs=_help_runs(practice, phases, ladder),
        trends=_trends(points) if trend else (),
        aim=aim,
        ladder_top=ladder.top,
        rows=_rows(series, practice, phases, ladder, language),
    )


def _label(phase: Phase, language: str) -> PhaseLabel:
    return PhaseLabel(phase.first, phase.end, words.phase_forms(phase, language))


def _points(
    series: Series, phases: Sequence[Phase], measure: Measure, ladder: Ladder, language: str
) -> tuple[Point, ...]:
    found = [_probe_point(probe, phases, measure, language) for probe in series.probes]
    if measure is Measure.PERCENT:
        days = (day for day in series.practice if day.share_helped is not None)
        found.extend(_practice_point(day, phases, ladder, language) for day in days)
    return tuple(sorted(found, key=lambda point: (point.day, point.shape, point.filled)))


def _probe_point(probe: Probe, phases: Sequence[Phase], measure: Measure, language: str) -> Point:
    place = phase_at(probe.day, phases, baseline=probe.baseline)
    value = 100 * probe.share_alone if measure is Measure.PERCENT else float(probe.alone)
    return Point(probe.day, value, Shape.SQUARE, True, place, words.probe_label(probe, language))


def _practice_point(day: PracticeDay, phases: Sequence[Phase], ladder: Ladder, language: str) -> Point:
    value = 100 * (day.share_helped or 0.0)
    label = words.practice_label(day, ladder, language)
    return Point(day.day, value, Shape.CIRCLE, day.observed, phase_at(day.day, phases), label)


def _rows(
    series: Series, practice: Sequence[PracticeDay], phases: Sequence[Phase], ladder: Ladder, language: str
) -> tuple[tuple[str, ...], ...]:
    """Every probe and practice day, oldest first; a day with nothing but stops has its row too."""
    found: list[tuple[date, tuple[str, ...]]] = []
    for probe in series.probes:
        place = phase_at(probe.day, phases, baseline=probe.baseline)
        name = words.phase_name(phases, place, language)
        found.append((probe.day, words.probe_row(probe, name, language)))
    for day in practice:
        name = words.phase_name(phases, phase_at(day.day, phases), language)
        found.append((day.day, words.practice_row(day, name, ladder, language)))
    return tuple(row for _, row in sorted(found, key=lambda pair: pair[0]))


def phase_at(day: date, phases: Sequence[Phase], *, baseline: bool = False) -> int:
    """Index of the phase of a day, -1 before the first one.

    A baseline probe on the very day when teaching starts still belongs to the baseline.
    """
    for place, phase in enumerate(phases):
        ends_today = baseline and phase.kind is PhaseKind.BASELINE and phase.end == day
        if phase.holds(day) or ends_today:
            return place
    return -1


def _stops(series: Series, language: str) -> tuple[tuple[date, str], ...]:
    counts: dict[date, int] = {}
    for day in series.practice:
        counts[day.day] = counts.get(day.day, 0) + day.stopped
    for probe in series.probes:
        counts[probe.day] = counts.get(probe.day, 0) + int(probe.stopped)
    found = sorted((day, count) for day, count in counts.items() if count)
    return tuple((day, words.stop_label(day, count, language)) for day, count in found)


def _help_runs(
    practice: Sequence[PracticeDay], phases: Sequence[Phase], ladder: Ladder
) -> tuple[HelpRun, ...]:
    days = [_help_of(date_, list(group)) for date_, group in groupby(practice, key=lambda day: day.day)]
    told = [(day, low, high) for day, low, high in days if low is not None and high is not None]
    runs: list[HelpRun] = []
    for (_, low, high), group in groupby(told, key=lambda item: (phase_at(item[0], phases), *item[1:])):
        dates = [day for day, _, _ in group]
        name = words.help_range(low, high, ladder)
        runs.append(HelpRun(dates[0], dates[-1], low, high, name))
    return tuple(runs)


def _help_of(day: date, seen: Sequence[PracticeDay]) -> tuple[date, int | None, int | None]:
    low = min((item.lowest_help for item in seen if item.lowest_help is not None), default=None)
    high = max((item.highest_help for item in seen if item.highest_help is not None), default=None)
    return day, low, high


def _trends(points: Sequence[Point]) -> tuple[Segment, ...]:
    found: list[Segment] = []
    ordered = sorted(points, key=lambda point: (point.shape, point.phase, point.day))
    for _, group in groupby(ordered, key=lambda point: (point.shape, point.phase)):
        segment = _trend(list(group))
        if segment is not None:
            found.append(segment)
    return tuple(found)


def _trend(points: Sequence[Point]) -> Segment | None:
    """Theil-Sen line of one phase; None where the points are too few or all on one day."""
    if len(points) < FEWEST_FOR_TREND:
        return None
    start = points[0].day
    days = [float((point.day - start).days) for point in points]
    try:
        line = theil_sen(days, [point.value for point in points])
    except Fault:
        return None
    end = line.intercept + line.slope * days[-1]
    return Segment(start, line.intercept, points[-1].day, end)
