"""The fidelity trend: a panel an adult, true to scale, plans never joined, every number in the table."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bylittle.charts import PHONE, PRINT, SCREEN, Chart, Medium
from bylittle.charts.fidelity import AdultTrend, CheckPoint, fidelity_trend

SVG = "{http://www.w3.org/2000/svg}"
MEDIA = [SCREEN, PHONE, PRINT]
DAY = date(2026, 3, 2)
MUM = AdultTrend(
    "Mum",
    (
        CheckPoint(DAY, 0.5, 1, 8),
        CheckPoint(DAY + timedelta(14), 0.75, 1, 8),
        CheckPoint(DAY + timedelta(21), 1.0, 2, 9),
    ),
)
DAD = AdultTrend("Dad", (CheckPoint(DAY + timedelta(7), 0.0, 1, 4),))
PLANS = ((1, DAY - timedelta(3)), (2, DAY + timedelta(16)))


def drawn(
    medium: Medium = SCREEN, adults: tuple[AdultTrend, ...] = (MUM, DAD), language: str = "en"
) -> Chart:
    until = DAY + timedelta(30)
    return fidelity_trend(adults, PLANS, skill="Boot", bar=0.8, until=until, medium=medium, language=language)


def parsed(chart: Chart) -> ET.Element:
    return ET.fromstring(chart.svg("c"))


def points(chart: Chart) -> list[tuple[str, float]]:
    """Name and height of each point, in the order of the keyboard or of drawing."""
    found = []
    for group in parsed(chart).iter(f"{SVG}g"):
        title, mark = group.find(f"{SVG}title"), group.find(f"{SVG}path")
        if title is not None and mark is not None:
            _, y = str(mark.get("d"))[1:].split("H")[0].split()
            found.append((str(title.text), float(y)))
    return found


def joins(chart: Chart) -> list[str]:
    return [str(p.get("d")) for p in parsed(chart).iter(f"{SVG}path") if p.get("class") == "line-ink"]


@pytest.mark.parametrize("medium", MEDIA, ids=lambda medium: medium.name)
def test_points_lie_on_one_straight_scale(medium: Medium) -> None:
    heights = [y for name, y in points(drawn(medium)) if name.startswith("Mum")]
    low, middle, high = heights
    assert low - middle == pytest.approx(middle - high, abs=0.02)
    assert low > high


def test_checks_of_two_plans_are_not_joined() -> None:
    """Mum's first two checks are of plan 1 and joined; her third, of plan 2, stands alone."""
    lines = [line for line in joins(drawn()) if line.count("L") == 1]
    assert len(lines) == 1


def test_each_point_is_read_out_with_what_it_rests_on() -> None:
    names = [name for name, _ in points(drawn())]
    assert [name.replace("\u00a0", " ") for name in names] == [
        "Mum, 2 Mar 2026: 50 % of 8 things seen as planned",
        "Mum, 16 Mar 2026: 75 % of 8 things seen as planned",
        "Mum, 23 Mar 2026: 100 % of 9 things seen as planned",
        "Dad, 9 Mar 2026: 0 % of 4 things seen as planned",
    ]


def test_the_table_holds_every_number() -> None:
    table = drawn().table
    rows = [tuple(cell.replace("\u00a0", " ") for cell in row) for row in table.rows]
    assert table.head == ("Who practised", "Date", "Plan", "As planned", "Things seen")
    assert rows[0] == ("Mum", "2 Mar 2026", "1", "50 %", "8")
    assert rows[-1] == ("Dad", "9 Mar 2026", "1", "0 %", "4")


def test_the_bar_is_told_as_common_practice() -> None:
    told = drawn().svg("c").replace("\u00a0", " ")
    assert "Usual bar: 80 % (common practice, no source)" in told


@settings(max_examples=25, deadline=None)
@given(
    shares=st.lists(st.floats(0, 1), min_size=1, max_size=8),
    adults=st.integers(1, 4),
    gap=st.integers(0, 40),
    medium=st.sampled_from(MEDIA),
    language=st.sampled_from(["en", "es"]),
)
def test_nothing_leaves_the_paper_and_no_words_meet(
    shares: list[float], adults: int, gap: int, medium: Medium, language: str
) -> None:
    checks = tuple(CheckPoint(DAY + timedelta(gap * i), s, 1 + (i > 2), 5) for i, s in enumerate(shares))
    chart = drawn(medium, tuple(AdultTrend(f"Adult {n}", checks) for n in range(adults)), language)
    for place, box in enumerate(chart.boxes):
        assert box.left >= -0.01
        assert box.right <= chart.width + 0.01
        assert box.bottom <= chart.height + 0.01
        assert not any(box.meets(other) for other in chart.boxes[place + 1 :])
