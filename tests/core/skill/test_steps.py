"""Steps, their versions, and the ladder."""

from __future__ import annotations

import pytest

from bylittle.core.faults import BadValue, ManyFaults
from bylittle.core.skill.ladder import DEFAULT_LADDER, Ladder
from bylittle.core.skill.steps import SkillVersion, Step

BOOT = SkillVersion(
    1, "Pull on a rain boot", (Step("open", "Open the boot", "Open it"), Step("pull", "Pull up", "Pull up"))
)


def test_a_level_is_found_by_name_whatever_its_case() -> None:
    assert DEFAULT_LADDER.index("Light  Touch") == 1
    assert DEFAULT_LADDER.name(DEFAULT_LADDER.top) == "alone"


def test_a_level_off_the_ladder_says_what_is_on_it() -> None:
    with pytest.raises(BadValue) as caught:
        DEFAULT_LADDER.index("shouting")
    assert caught.value.values["allowed"] == DEFAULT_LADDER.names


@pytest.mark.parametrize("names", [("alone",), tuple("abcdefghi"), ("a", "A"), ("a", "")])
def test_a_ladder_has_two_to_eight_different_levels(names: tuple[str, ...]) -> None:
    with pytest.raises(BadValue):
        Ladder(names)


def test_a_revised_version_leaves_the_old_one_as_it_was() -> None:
    longer = BOOT.revised((*BOOT.steps, Step("stand", "Stand up", "Stand up")))
    assert (BOOT.number, len(BOOT.steps)) == (1, 2)
    assert (longer.number, longer.position("stand")) == (2, 2)


def test_a_step_of_another_version_is_refused() -> None:
    with pytest.raises(BadValue) as caught:
        BOOT.position("stand")
    assert caught.value.code == "step_not_in_version"


def test_a_step_is_found_by_number_or_name() -> None:
    assert BOOT.find("2") == BOOT.find("pull UP") == 1
    with pytest.raises(BadValue):
        BOOT.find("3")


def test_an_over_long_cue_and_a_nameless_step_are_told_together() -> None:
    with pytest.raises(ManyFaults) as caught:
        SkillVersion(1, "x", (Step("a", "", "Pull up"), Step("b", "Pull", "pull " * 10)))
    assert [fault.code for fault in caught.value.faults] == ["step_name_length", "cue_length"]
