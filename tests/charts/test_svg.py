"""The writer escapes all text and refuses what a strict page would block; widths are those of the fonts."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import ImageFont

import bylittle.printing
from bylittle.charts import letters
from bylittle.charts.svg import element, path
from bylittle.core.faults import BadValue

FONTS = Path(str(bylittle.printing.__file__)).parent / "fonts"


def test_text_and_attributes_are_escaped() -> None:
    markup = element("text", "<b>&", aria_label='"><script>').render()
    assert markup == '<text aria-label="&quot;&gt;&lt;script&gt;">&lt;b&gt;&amp;</text>'


@pytest.mark.parametrize("name", ["style", "onclick", "onload"])
def test_inline_styles_and_scripts_are_refused(name: str) -> None:
    with pytest.raises(BadValue):
        element("g", **{name: "x"})


def test_numbers_are_short_and_absent_attributes_left_out() -> None:
    assert element("line", x1=1.0, y1=-0.001, x2=2.346, y2=None).render() == '<line x1="1" y1="0" x2="2.35"/>'


def test_a_closed_path_ends_where_it_began() -> None:
    assert path([(0.0, 0.0), (1.5, 2.0)], closed=True) == "M0 0L1.5 2Z"


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize(
    "text", ["Plan 4: Pull up and Stamp down, words", "¿Cuánto? 100 % – mañana", "WWMMiill"]
)
def test_widths_are_never_below_those_of_the_printing_fonts(text: str, bold: bool) -> None:
    file = FONTS / f"AtkinsonHyperlegibleNext_{'700Bold' if bold else '400Regular'}.ttf"
    real = ImageFont.truetype(str(file), 100).getlength(text)
    assert real <= letters.width(text, 100, bold=bold) <= 1.3 * real


def test_wrapping_keeps_every_word_while_it_fits() -> None:
    assert letters.wrapped("one two three", 10, 45, most=3) == ["one two", "three"]


def test_a_word_that_is_too_long_is_cut_with_an_ellipsis() -> None:
    (line,) = letters.wrapped("incomprehensibilities", 10, 40, most=1)
    assert line.endswith("…")
    assert letters.width(line, 10) <= 40
