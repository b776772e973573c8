"""Colours keep the contrasts that the look promises."""

from __future__ import annotations

import pytest

from bylittle.look import palette


def test_black_on_white_is_the_ends_of_the_scale() -> None:
    """WCAG 2.2: black on white is 21, a colour on itself 1."""
    assert palette.contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert palette.contrast("#6A2E59", "#6A2E59") == pytest.approx(1)


def test_a_published_grey_has_its_published_contrast() -> None:
    """#767676 is the lightest grey that passes 4.5 on white (WCAG 2.2 technique G18, quoted as 4.54)."""
    assert palette.contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("theme", [palette.PALETTE, palette.DARK], ids=["light", "dark"])
@pytest.mark.parametrize("name", ["ink", "quiet", "accent", "caution"])
def test_text_colours_can_be_read_on_paper_and_tint(theme: dict[str, str], name: str) -> None:
    assert palette.contrast(theme[name], theme["paper"]) >= palette.TEXT_CONTRAST
    assert palette.contrast(theme[name], theme["tint"]) >= palette.TEXT_CONTRAST


@pytest.mark.parametrize("theme", [palette.PALETTE, palette.DARK], ids=["light", "dark"])
def test_rules_can_be_seen_on_paper(theme: dict[str, str]) -> None:
    assert palette.contrast(theme["rule"], theme["paper"]) >= palette.LINE_CONTRAST
