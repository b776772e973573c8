"""The single-case graph keeps the trade's conventions, in every medium, and no two texts meet."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bylittle.charts import PHONE, PRINT, SCREEN, Chart, Medium
from bylittle.charts.definition import Measure, Segment, define
from bylittle.charts.graph import multiple_probe, single_case
from bylittle.charts.panel import joined
from bylittle.charts.shapes import Shape
from bylittle.core.evidence.phases import Phase, PhaseKind, phases_of
from bylittle.core.evidence.series import PracticeDay, Probe, Series

DAY = date(2026, 1, 5)
SVG = "{http://www.w3.org/2000/svg}"
MEDIA = [SCREEN, PHONE, PRINT]


def practice(
    at: int, helped: int, of: int = 4, *, observed: bool = False, stopped: int = 0, level: int = 2
) -> PracticeDay:
    return PracticeDay(
        day=DAY + timedelta(days=at), observed=observed, adults=("M",), turns=of, marks=of, alone=0,
        unclear=of,
        helped=helped, helped_of=of, stopped=stopped, missing=0, lowest_help=level, highest_help=level,
    )  # fmt: skip


def probe(at: int, alone: int, *, baseline: bool = False) -> Probe:
    day = DAY + timedelta(days=at)
    return Probe(day, 1, "Ines", baseline, None, steps=4, alone=alone, unseen=0, stopped=False, by_step=())


def series(practised: list[PracticeDay], probed: list[Probe]) -> Series:
    return Series("Pull on a rain boot", ("a", "b", "c", "d"), 5, tuple(practised), tuple(probed))


def teaching(at: int, number: int, name: str = "Pull up") -> Phase:
    day = DAY + timedelta(days=at)
    return Phase(PhaseKind.TEACHING, day, None, number, (name,), (2, 2), ("showing",))


def closed(phases: list[Phase]) -> tuple[Phase, ...]:
    ends = [*(phase.first for phase in phases[1:]), None]
    return tuple(replace(phase, end=end) for phase, end in zip(phases, ends, strict=False))


BASELINE = Phase(PhaseKind.BASELINE, DAY)
TWO = closed([BASELINE, teaching(4, 1)])
USUAL = series(
    [practice(5, 2), practice(6, 3, stopped=1), practice(6, 1, observed=True), practice(16, 4)],
    [probe(0, 0, baseline=True), probe(1, 1, baseline=True), probe(3, 0, baseline=True), probe(9, 3)],
)


def parsed(chart: Chart) -> ET.Element:
    return ET.fromstring(chart.svg("a"))


def meetings(chart: Chart) -> list[object]:
    boxes = chart.boxes
    return [(one, two) for i, one in enumerate(boxes) for two in boxes[i + 1 :] if one.meets(two)]


def outside(chart: Chart) -> list[object]:
    return [
        box
        for box in chart.boxes
        if box.left < -0.01
        or box.top < -0.01
        or box.right > chart.width + 0.01
        or box.bottom > chart.height + 0.01
    ]


days = st.integers(0, 400)
practised = st.lists(
    st.builds(
        practice,
        days,
        st.integers(0, 4),
        observed=st.booleans(),
        stopped=st.integers(0, 1),
        level=st.integers(0, 5),
    ),
    max_size=12,
)
probed = st.lists(st.builds(probe, days, st.integers(0, 4), baseline=st.booleans()), max_size=6)
names = st.text(st.characters(categories=("L", "N", "Zs"), max_codepoint=0x24F), min_size=1, max_size=80)
phase_lists = st.lists(st.tuples(days, names), max_size=7, unique_by=lambda pair: pair[0]).map(
    lambda pairs: closed([teaching(at, n + 1, name) for n, (at, name) in enumerate(sorted(pairs))])
)


@given(
    practised,
    probed,
    phase_lists,
    st.sampled_from(MEDIA),
    st.sampled_from(["dates", "sessions"]),
    st.booleans(),
)
@settings(max_examples=60, deadline=None)
def test_no_two_texts_meet_and_none_leaves_the_sheet(
    practice_days: list[PracticeDay],
    probes: list[Probe],
    phases: tuple[Phase, ...],
    medium: Medium,
    x: str,
    trend: bool,
) -> None:
    chart = single_case(series(practice_days, probes), phases, medium=medium, x=x, trend=trend)  # type: ignore[arg-type]
    assert meetings(chart) == []
    assert outside(chart) == []


@pytest.mark.parametrize("medium", MEDIA, ids=lambda medium: medium.name)
@pytest.mark.parametrize("language", ["en", "es"])
def test_stacked_panels_keep_their_texts_apart(medium: Medium, language: str) -> None:
    parts = [
        (USUAL, TWO),
        (series([], [probe(2, 1)]), closed([teaching(1, 1), teaching(300, 2)])),
        (USUAL, ()),
    ]
    chart = multiple_probe(parts, skill="Boot", medium=medium, language=language)
    assert meetings(chart) == []
    assert outside(chart) == []


@pytest.mark.parametrize("medium", MEDIA, ids=lambda medium: medium.name)
def test_no_inline_style_no_script_no_foreign_address(medium: Medium) -> None:
    markup = single_case(USUAL, TWO, medium=medium).svg()
    assert not re.search(r"style=|<style|<script|\son\w+=|href|url\(", markup)
    assert set(re.findall(r"https?://[^\"]+", markup)) == {"http://www.w3.org/2000/svg"}


def test_lines_are_not_joined_across_phases_gaps_or_kinds() -> None:
    told = define(USUAL, TWO)
    runs = [[(point.day - DAY).days for point in run] for run in joined(told.points)]
    assert sorted(runs) == [[0, 1, 3], [5, 6], [6], [9], [16]]


def test_probes_are_squares_reported_is_open_observed_is_filled() -> None:
    told = {((p.day - DAY).days, p.shape, p.filled) for p in define(USUAL, TWO).points}
    assert (0, Shape.SQUARE, True) in told
    assert (5, Shape.CIRCLE, False) in told
    assert (6, Shape.CIRCLE, True) in told


def test_every_point_can_be_reached_by_keyboard_on_a_page_and_has_words() -> None:
    reached = [g for g in parsed(single_case(USUAL, TWO)).iter(f"{SVG}g") if g.get("tabindex") == "0"]
    assert len(reached) == 8 + 1, "eight points and one stop"
    assert all(g.get("role") == "img" and g.get("aria-label") for g in reached)


def test_paper_has_no_keyboard_stops() -> None:
    assert "tabindex" not in single_case(USUAL, TWO, medium=PRINT).svg()


def test_title_and_description_are_named_by_the_picture() -> None:
    root = parsed(single_case(USUAL, TWO))
    assert root.get("aria-labelledby") == "a-title a-about"
    assert root.findtext(f"{SVG}title") == "Pull on a rain boot: practice and probes"
    about = (root.findtext(f"{SVG}desc") or "").replace("\u00a0", " ")
    assert "4 probes and 3 practice days" in about
    assert "Baseline (5 Jan 2026); Plan 1: Pull up, showing (9 Jan 2026)" in about


def test_the_table_holds_every_day_with_its_counts() -> None:
    table = single_case(USUAL, TWO).table
    assert len(table.rows) == 8
    assert all(len(row) == len(table.head) for row in table.rows)
    first = [cell.replace("\u00a0", " ") for cell in table.rows[0]]
    assert first == ["5 Jan 2026", "Baseline", "baseline probe", "observed: Ines", "0 of 4", "0 %", "", "0"]


def circles(chart: Chart) -> list[tuple[float, float]]:
    return [(float(c.get("cx", "")), float(c.get("cy", ""))) for c in parsed(chart).iter(f"{SVG}circle")]


def test_the_percent_axis_always_runs_from_0_to_100() -> None:
    """Equal steps of percent are equal steps of the drawing, whatever the data."""
    chart = single_case(series([practice(0, 0), practice(1, 2), practice(2, 4)], []), ())
    top_to_bottom = [y for _, y in circles(chart)[:3]]
    assert top_to_bottom[0] - top_to_bottom[1] == pytest.approx(top_to_bottom[1] - top_to_bottom[2])
    low = single_case(series([practice(0, 0), practice(1, 1)], []), ())
    texts = [t.text for t in parsed(low).iter(f"{SVG}text")]
    assert {"0", "20", "40", "60", "80", "100"} <= set(texts)


def test_dates_are_spaced_as_the_calendar_is() -> None:
    chart = single_case(series([practice(0, 1), practice(1, 1), practice(3, 1)], []), ())
    x = [x for x, _ in circles(chart)[:3]]
    assert (x[2] - x[1]) == pytest.approx(2 * (x[1] - x[0]), rel=0.01)


def test_sessions_are_spaced_evenly() -> None:
    chart = single_case(series([practice(0, 1), practice(1, 1), practice(40, 1)], []), (), x="sessions")
    x = [x for x, _ in circles(chart)[:3]]
    assert (x[2] - x[1]) == pytest.approx(x[1] - x[0], abs=0.02)


def test_a_blank_day_and_a_day_of_stops_are_no_zero() -> None:
    only_stop = PracticeDay(DAY, False, ("M",), 1, 0, 0, 0, 0, 0, 1, 0, None, None)
    told = define(series([only_stop], []), ())
    assert told.points == ()
    assert len(told.stops) == 1
    assert told.rows[0][4:6] == ("", "")


def test_trend_lines_need_three_points_of_a_phase() -> None:
    rising = series([practice(5 + i, i, 4) for i in range(3)] + [practice(20, 0)], [probe(0, 0), probe(1, 0)])
    phases = closed([BASELINE, teaching(4, 1), teaching(15, 2)])
    (trend,) = define(rising, phases, trend=True).trends
    assert (trend.start, trend.end) == pytest.approx((0.0, 50.0))


def test_trend_and_aim_stay_inside_the_axis() -> None:
    """A line that leaves the axis is cut where it leaves it."""
    aim = Segment(DAY, -50.0, DAY + timedelta(days=10), 150.0)
    chart = single_case(series([practice(0, 0), practice(10, 4)], []), (), aim=aim)
    line = next(p for p in parsed(chart).iter(f"{SVG}path") if p.get("class") == "line-accent")
    ys = [float(y) for y in re.findall(r"[ML][\d.]+ ([\d.]+)", line.get("d") or "")]
    open_points = sorted(y for _, y in circles(chart)[:2])
    assert min(ys) == pytest.approx(open_points[0], abs=0.02)
    assert max(ys) == pytest.approx(open_points[1], abs=0.02)


def test_steps_alone_are_counted_to_the_number_of_steps() -> None:
    told = define(USUAL, TWO, measure=Measure.STEPS)
    assert told.y_top == 4
    assert [point.value for point in told.points] == [0, 1, 0, 3]


def test_nothing_written_down_yet_is_said() -> None:
    chart = single_case(series([], []), ())
    assert "Nothing is written down yet" in chart.svg()


def test_the_same_definition_gives_the_same_points_on_screen_and_paper() -> None:
    on_screen, on_paper = (single_case(USUAL, TWO, medium=medium) for medium in (SCREEN, PRINT))
    assert on_screen.table == on_paper.table
    assert on_screen.description == on_paper.description
    assert on_screen.svg() != on_paper.svg()


def test_phases_of_nothing_are_none() -> None:
    assert phases_of(series([], []), []) == ()


def test_changes_of_help_are_named_only_where_there_is_room() -> None:
    """Ten changes on ten days: some go without their word, none over another's."""
    chart = single_case(series([practice(i, 2, level=i % 5) for i in range(10)], []), (), medium=PHONE)
    assert meetings(chart) == []
    assert "hand over hand" in chart.svg()
