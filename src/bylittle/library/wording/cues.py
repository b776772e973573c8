"""Suggestions about cue words, in a sentence each."""

from __future__ import annotations

from bylittle.core.skill.cues import CueHint
from bylittle.library.wording import say

TOPIC = "cues"


def hint(found: CueHint, language: str = "en") -> str:
    """One suggestion in words; steps are told from 1."""
    values = dict(found.values)
    if isinstance(other := values.get("other"), int):
        values["other"] = other + 1
    if isinstance(said := values.get("said"), tuple):
        values["told"] = "; ".join(f"{adult} says “{cue}”" for adult, cue in said)
    values.pop("language", None)  # of the cue; the sentence has its own
    return say(TOPIC, found.code, language=language, **values)
