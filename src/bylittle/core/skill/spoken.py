"""The words that adults really say, held word by word against the agreed cue words. Hints, never a change.

Languages are kept apart: an adult is held against the words agreed in the language that this adult speaks
with the child, and against the other adults who speak it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher

from bylittle.core.skill.cues import MAX_WORDS, CueHint, adults_differ, languages_mixed, same_words, words_of

CODES = (
    "said_nothing_agreed",
    "said_other_words",
    "said_other_order",
    "said_more",
    "said_less",
    "said_changed",
    "said_too_many",
    "said_alike",
    "said_mixed",
    "said_apart",
)


@dataclass(frozen=True, slots=True)
class Spoken:
    """What one adult says at each step, in step order; an empty text: nothing is known of that step."""

    adult: str
    language: str
    cues: tuple[str, ...]


def compare(
    agreed: Mapping[str, Sequence[str]],
    said: Sequence[Spoken],
    verbs: Mapping[str, Iterable[str]] | None = None,
) -> tuple[CueHint, ...]:
    """Hints by step: what each adult says otherwise than agreed, then where adults of a language differ.

    `agreed` holds the agreed cue words by language, in step order. The values of a hint name the `adult`,
    what was `said`, the `agreed` words, and the words that are `extra` or `left_out`. With `verbs` by
    language, words that open with a verb of another language than the adult's own are told too.
    """
    found = [hint for each in said for hint in _against(agreed.get(each.language, ()), each)]
    found += [hint for each in said for hint in _mixed(each, verbs or {})]
    for language in dict.fromkeys(each.language for each in said):
        same = {each.adult: each.cues for each in said if each.language == language}
        found += [_apart(hint) for hint in adults_differ(same)]
    found.sort(key=lambda hint: hint.step)
    return tuple(found)


def _mixed(each: Spoken, verbs: Mapping[str, Iterable[str]]) -> list[CueHint]:
    """Steps at which an adult opens with a verb of another language; nothing where the own is not known."""
    if each.language not in verbs:
        return []
    return [
        CueHint("said_mixed", hint.step, (("adult", each.adult), ("word", hint.value("word"))))
        for hint in languages_mixed(each.cues, each.language, verbs)
    ]


def differ(hints: Sequence[CueHint]) -> bool:
    """Whether two adults who speak one language with the child say different words at any step."""
    return any(hint.code == "said_apart" for hint in hints)


def _apart(hint: CueHint) -> CueHint:
    return CueHint("said_apart", hint.step, hint.values)


def _against(agreed: Sequence[str], each: Spoken) -> list[CueHint]:
    found: list[CueHint] = []
    for step, cue in enumerate(each.cues):
        if words_of(cue):
            found += _word_by_word(step, cue, agreed[step] if step < len(agreed) else "", each.adult)
            found += _too_many(step, cue, each.adult)
            found += _alike(step, each)
    return found


def _word_by_word(step: int, cue: str, agreed: str, adult: str) -> list[CueHint]:
    told: tuple[tuple[str, object], ...] = (("adult", adult), ("said", cue), ("agreed", agreed))
    if not words_of(agreed):
        return [CueHint("said_nothing_agreed", step, told)]
    if same_words(cue, agreed):
        return []
    extra, left_out = word_changes(agreed, cue)
    told = (*told, ("extra", " ".join(extra)), ("left_out", " ".join(left_out)))
    return [CueHint(_kind(agreed, cue, extra, left_out), step, told)]


def word_changes(agreed: str, cue: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The words that were said and not agreed, and those that were agreed and not said, each in order."""
    want, have = words_of(agreed), words_of(cue)
    same = SequenceMatcher(None, want, have, autojunk=False).get_matching_blocks()
    kept_want = {block.a + i for block in same for i in range(block.size)}
    kept_have = {block.b + i for block in same for i in range(block.size)}
    extra = tuple(word for place, word in enumerate(have) if place not in kept_have)
    return extra, tuple(word for place, word in enumerate(want) if place not in kept_want)


def _kind(agreed: str, cue: str, extra: Sequence[str], left_out: Sequence[str]) -> str:
    if sorted(words_of(agreed)) == sorted(words_of(cue)):
        return "said_other_order"
    if len(left_out) == len(words_of(agreed)):
        return "said_other_words"
    if not left_out:
        return "said_more"
    return "said_changed" if extra else "said_less"


def _too_many(step: int, cue: str, adult: str) -> list[CueHint]:
    n = len(words_of(cue))
    if n <= MAX_WORDS:
        return []
    return [CueHint("said_too_many", step, (("adult", adult), ("n", n), ("most", MAX_WORDS)))]


def _alike(step: int, each: Spoken) -> list[CueHint]:
    """The same words for two steps by one adult: the child cannot tell which is meant."""
    cue = each.cues[step]
    same = (other for other in range(step) if words_of(each.cues[other]))
    return [
        CueHint("said_alike", step, (("adult", each.adult), ("other", other), ("said", cue)))
        for other in same
        if same_words(each.cues[other], cue)
    ]
