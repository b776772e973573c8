"""Every suggestion about cue words has its sentence."""

from __future__ import annotations

import pytest

from bylittle.core.skill.cues import CODES, CueHint, check
from bylittle.library.wording.cues import hint

VALUES = (("n", 5), ("most", 3), ("word", "not"), ("other", 0))


@pytest.mark.parametrize("code", CODES)
def test_every_code_has_a_sentence(code: str) -> None:
    assert hint(CueHint(code, 1, VALUES)).endswith(".")


def test_steps_are_told_from_one() -> None:
    (found,) = check(["Pull up", "Pull up"])
    assert "step 1" in hint(found)
