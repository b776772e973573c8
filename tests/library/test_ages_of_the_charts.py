"""The rough ages of ready skills against the charts that they name: each range holds the chart's own age.

Outside check, months. `cdc-items`: CDC checklists, 2022 revision, read in agreeing copies. `aap-motor-2013`:
Noritz & Murphy 2013, Pediatrics 131(6):e2016, mean ages. `motor-textbook`: Open Oregon textbook, fig. 5.7.
`dressing-sequence` and `scissor-sequence`: usual sequences of the trade, read in secondary copies.
"""

from __future__ import annotations

import pytest

from bylittle import library

CHARTS = [
    ("drink-from-open-cup", "cdc-items", 18),
    ("eat-with-spoon", "cdc-items", 24),
    ("eat-with-spoon", "motor-textbook", 18),
    ("stack-blocks", "cdc-items", 15),
    ("stack-blocks", "aap-motor-2013", 18),
    ("climb-step-stool", "cdc-items", 30),
    ("kick-ball", "cdc-items", 24),
    ("walk-up-stairs", "cdc-items", 24),
    ("jump-two-feet", "cdc-items", 30),
    ("open-screw-lid", "cdc-items", 30),
    ("open-screw-lid", "motor-textbook", 36),
    ("turn-pages", "cdc-items", 30),
    ("turn-pages", "motor-textbook", 36),
    ("spear-with-fork", "motor-textbook", 36),
    ("take-off-jacket", "cdc-items", 30),
    ("feed-doll", "cdc-items", 30),
    ("put-on-jacket", "cdc-items", 36),
    ("spear-with-fork", "cdc-items", 36),
    ("draw-circle", "cdc-items", 36),
    ("draw-circle", "aap-motor-2013", 36),
    ("pour-from-jug", "cdc-items", 48),
    ("catch-large-ball", "cdc-items", 48),
    ("open-buttons", "cdc-items", 48),
    ("open-buttons", "motor-textbook", 24),
    ("push-button-through", "aap-motor-2013", 48),
    ("hop-on-one-foot", "cdc-items", 60),
    ("take-off-socks", "dressing-sequence", 12),
    ("pull-on-t-shirt", "dressing-sequence", 36),
    ("put-on-socks", "dressing-sequence", 36),
    ("manage-trousers-at-toilet", "dressing-sequence", 36),
    ("put-on-mittens", "dressing-sequence", 42),
    ("press-popper-shut", "dressing-sequence", 42),
    ("zip-up-raincoat", "dressing-sequence", 48),
    ("tie-first-knot", "dressing-sequence", 60),
    ("snip-paper", "scissor-sequence", 30),
    ("cut-along-line", "scissor-sequence", 42),
]


@pytest.mark.parametrize(("skill", "source", "months"), CHARTS)
def test_the_range_of_a_skill_holds_the_age_of_its_chart(skill: str, source: str, months: int) -> None:
    (age,) = (age for age in library.skill(skill).ages if age.source == source)
    assert age.low_months <= months <= age.high_months


def test_every_age_that_names_a_published_chart_is_checked_here() -> None:
    checked = {(skill, source) for skill, source, _ in CHARTS}
    named = {
        (each.id, age.source) for each in library.skills() for age in each.ages if age.mark == "published"
    }
    assert named
    assert named <= checked
