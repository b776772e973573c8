"""The chance of each step as mark and bar: true to scale, readable without colour, with its table."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bylittle.charts import PHONE, PRINT, SCREEN, Chart, Medium
from bylittle.charts.belief import BeliefDay, belief
from bylittle.charts.canvas import Box, Canvas
from bylittle.charts.chance import LevelChance, StepChances, chances
from bylittle.charts.shapes import draw_help_bar

SVG = "{http://www.w3.org/2000/svg}"
MEDIA = [SCREEN, PHONE, PRINT]
STEPS = (
    StepChances(1, "Open the boot", False, (LevelChance(5, "alone", 0.25, 0.10, 0.50),)),
    StepChances(
        2,
        "Pull up",
        True,
        (LevelChance(4, "words", 0.80, 0.60, 0.95), LevelChance(5, "alone", 0.5, 0.2, 0.9)),
    ),
)


def drawn(medium: Medium = SCREEN, band: tuple[float, float] | None = (0.7, 0.9)) -> Chart:
    return chances(STEPS, skill="Boot", top=5, band=band, medium=medium)


def parsed(chart: Chart) -> ET.Element:
    return ET.fromstring(chart.svg("c"))


def meetings(chart: Chart) -> list[object]:
    return [(one, two) for i, one in enumerate(chart.boxes) for two in chart.boxes[i + 1 :] if one.meets(two)]


def outside(chart: Chart) -> list[object]:
    return [
        b
        for b in chart.boxes
        if b.left < -0.01 or b.right > chart.width + 0.01 or b.bottom > chart.height + 0.01
    ]


def bars(chart: Chart) -> list[tuple[float, float]]:
    """Ends of the interval bars, in the order of the rows."""
    found = [r for r in parsed(chart).iter(f"{SVG}rect") if r.get("class") == "fill-tint line-accent"]
    places = [(float(r.get("x", "")), float(r.get("width", ""))) for r in found]
    return [(x, x + wide) for x, wide in places][: sum(len(step.levels) for step in STEPS)]


@pytest.mark.parametrize("medium", MEDIA, ids=lambda medium: medium.name)
def test_bars_lie_on_one_straight_scale(medium: Medium) -> None:
    (a, b), (c, d), (e, f) = bars(drawn(medium))
    scale = (b - a) / 0.40
    assert (d - c) / 0.35 == pytest.approx(scale, rel=0.01)
    assert (f - e) / 0.70 == pytest.approx(scale, rel=0.01)
    assert (c - a) / 0.50 == pytest.approx(scale, rel=0.01)


words = st.text(st.characters(categories=("L", "N", "Zs"), max_codepoint=0x24F), min_size=1, max_size=80)
levels = st.tuples(
    st.integers(0, 5), words, st.lists(st.floats(0, 1), min_size=3, max_size=3).map(sorted)
).map(lambda told: LevelChance(told[0], told[1], told[2][1], told[2][0], told[2][2]))
steps = st.builds(
    StepChances, st.integers(1, 20), words, st.booleans(), st.lists(levels, max_size=4).map(tuple)
)


@given(st.lists(steps, max_size=5), st.sampled_from(MEDIA), st.sampled_from([None, (0.7, 0.9), (0.4, 0.45)]))
@settings(max_examples=50, deadline=None)
def test_no_two_texts_meet(told: list[StepChances], medium: Medium, band: tuple[float, float] | None) -> None:
    chart = chances(told, skill="Boot", top=5, band=band, medium=medium)
    assert meetings(chart) == []
    assert outside(chart) == []


def test_each_level_is_read_out_with_its_numbers() -> None:
    labels = [g.get("aria-label", "") for g in parsed(drawn()).iter(f"{SVG}g") if g.get("tabindex") == "0"]
    assert len(labels) == 3
    assert labels[1].replace("\u00a0", " ") == "Pull up, words: 80 %, 90 % interval 60 % to 95 %"


def test_the_table_tells_the_same() -> None:
    rows = [[cell.replace("\u00a0", " ") for cell in row] for row in drawn().table.rows]
    assert rows[2] == ["2 Pull up", "alone", "50 %", "20 % – 90 %"]


def test_asked_steps_are_bold_and_the_adults_steps_say_so() -> None:
    texts = {t.text: t.get("font-weight") for t in parsed(drawn()).iter(f"{SVG}text")}
    assert texts["Pull up"] == "700"
    assert texts["Open the boot"] is None
    assert "done by adult" in texts


def test_without_a_band_none_is_drawn() -> None:
    assert "Just right" not in drawn(band=None).svg()
    assert "Just right" in drawn().svg()


@pytest.mark.parametrize("level", range(6))
def test_the_help_bar_fills_what_the_child_does(level: int) -> None:
    canvas = Canvas(SCREEN)
    draw_help_bar(canvas, Box(0, 0, 50, 10), level, 5)
    filled = [dict(mark.attributes)["class"].startswith("fill-ink") for mark in canvas.marks]
    assert filled == [True] * level + [False] * (5 - level)


def course(*values: tuple[int, float, float, float]) -> list[BeliefDay]:
    return [BeliefDay(date(2026, 3, 2) + timedelta(days=day), *numbers) for day, *numbers in values]


def test_belief_over_time_is_a_line_in_a_band() -> None:
    chart = belief(
        course((0, 0.2, 0.1, 0.4), (5, 0.5, 0.3, 0.7), (9, 0.8, 0.6, 0.9)), step="Pull up", level="alone"
    )
    points = [g.get("aria-label", "").replace("\u00a0", " ") for g in parsed(chart).iter(f"{SVG}g")]
    assert points[0] == "2 Mar 2026: 20 %, 90 % interval 10 % to 40 %"
    assert len(chart.table.rows) == 3
    assert "From 20 % on 2 Mar 2026 to 80 % on 11 Mar 2026" in chart.description.replace("\u00a0", " ")


@given(
    st.lists(
        st.tuples(st.integers(0, 300), st.just(0.5), st.floats(0, 0.5), st.floats(0.5, 1)),
        min_size=1,
        max_size=9,
    ),
    st.sampled_from(MEDIA),
)
@settings(max_examples=30, deadline=None)
def test_belief_keeps_its_texts_apart(values: list[tuple[int, float, float, float]], medium: Medium) -> None:
    chart = belief(course(*sorted(values)), step="Pull up", level="alone", medium=medium)
    assert meetings(chart) == []
    assert outside(chart) == []
