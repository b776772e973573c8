"""Which language a cue reads like: a guess from small word lists, used to catch swapped columns."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from bylittle.library.text import LANGUAGES

_WORD = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*")
_SPANISH_SIGNS = frozenset("áéíóúñü¡¿")


@dataclass(frozen=True, slots=True)
class Words:
    """By language: the verbs that may open a cue, and the small words that give a language away."""

    verbs: Mapping[str, frozenset[str]]
    small: Mapping[str, frozenset[str]]


def words_of(cue: str) -> list[str]:
    """The words of a cue in small letters."""
    return _WORD.findall(cue.lower())


def _likeness(cue: str, language: str, words: Words) -> int:
    told = words_of(cue)
    hits = sum(word in words.small[language] for word in told)
    return hits + 2 * bool(told and told[0] in words.verbs[language])


def reads_like_another(cue: str, language: str, words: Words) -> bool:
    """Whether a cue meant for `language` reads more like another one. An unknown word decides nothing."""
    if language == "en" and set(cue.lower()) & _SPANISH_SIGNS:
        return True
    own = _likeness(cue, language, words)
    return any(_likeness(cue, other, words) > own for other in LANGUAGES if other != language)
