"""Every suggestion about cue words has its sentence."""

from __future__ import annotations

import pytest

from bylittle.core.skill import spoken
from bylittle.core.skill.cues import CODES, CueHint, check
from bylittle.library.wording.cues import hint

VALUES = (("n", 5), ("most", 3), ("word", "not"), ("other", 0))
SAID = (("adult", "Mum"), ("said", "Pull it"), ("agreed", "Pull up"), ("extra", "it"), ("left_out", "up"))


@pytest.mark.parametrize("code", CODES)
def test_every_code_has_a_sentence(code: str) -> None:
    assert hint(CueHint(code, 1, VALUES)).endswith(".")


@pytest.mark.parametrize("code", [code for code in spoken.CODES if code != "said_apart"])
def test_every_code_about_what_is_said_names_the_adult(code: str) -> None:
    told = hint(CueHint(code, 1, (*VALUES, *SAID)))
    assert told.startswith("Mum ")
    assert told.endswith(".")


def test_what_two_adults_say_is_told_with_a_suggestion() -> None:
    found = CueHint("said_apart", 1, (("said", (("Mum", "Pull up"), ("Dad", "Heave"))),))
    assert hint(found) == (
        "Different adults, different words: Mum says “Pull up”; Dad says “Heave”. Agree on one."
    )


def test_steps_are_told_from_one() -> None:
    (found,) = check(["Pull up", "Pull up"])
    assert "step 1" in hint(found)
