"""Cue words: are they short, verb first, positive and unlike each other? Suggestions, never a change.

The word lists come in as arguments, so the same check serves every language. What is found is a code
with its values; a person decides.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

MAX_WORDS = 3
MAX_LETTERS = 24

CODES = (
    "cue_missing",
    "too_many_words",
    "too_many_letters",
    "verb_not_first",
    "negative",
    "two_steps_alike",
    "adults_differ",
    "languages_mixed",
)

_WORD = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*")


@dataclass(frozen=True, slots=True)
class CueHint:
    """One suggestion about a cue: what was seen (`code`), at which step (0-based), and its values."""

    code: str
    step: int
    values: tuple[tuple[str, object], ...] = ()

    def value(self, name: str) -> object:
        """The value of this name; `KeyError` where there is none."""
        return dict(self.values)[name]


def words_of(cue: str) -> tuple[str, ...]:
    """The words of a cue, in small letters, without signs."""
    return tuple(_WORD.findall(cue.replace("’", "'").casefold()))


def same_words(first: str, second: str) -> bool:
    """Whether two cues sound alike: the same words in the same order, whatever case, sign or accent."""
    return _plain(first) == _plain(second)


def _plain(cue: str) -> str:
    spread = unicodedata.normalize("NFKD", " ".join(words_of(cue)))
    return "".join(sign for sign in spread if not unicodedata.combining(sign))


def check(
    cues: Sequence[str],
    verbs: Iterable[str] = (),
    negatives: Iterable[str] = (),
    max_words: int = MAX_WORDS,
    max_letters: int = MAX_LETTERS,
) -> tuple[CueHint, ...]:
    """Hints about the cues of one skill in one language, by step.

    Without `verbs` the place of the verb is not judged; without `negatives` neither is the tone.
    """
    known, bad = frozenset(verbs), frozenset(negatives)
    found: list[CueHint] = []
    for step, cue in enumerate(cues):
        found += _one(step, cue, known, bad, max_words, max_letters)
        found += _alike(step, cues)
    return tuple(found)


def _one(
    step: int, cue: str, verbs: frozenset[str], negatives: frozenset[str], max_words: int, max_letters: int
) -> list[CueHint]:
    words = words_of(cue)
    if not words:
        return [CueHint("cue_missing", step)]
    found = []
    if len(words) > max_words:
        found.append(CueHint("too_many_words", step, (("n", len(words)), ("most", max_words))))
    if len(cue.strip()) > max_letters:
        found.append(CueHint("too_many_letters", step, (("n", len(cue.strip())), ("most", max_letters))))
    if refused := [word for word in words if word in negatives]:
        found.append(CueHint("negative", step, (("word", refused[0]),)))
    elif verbs and words[0] not in verbs:
        found.append(CueHint("verb_not_first", step, (("word", words[0]),)))
    return found


def _alike(step: int, cues: Sequence[str]) -> list[CueHint]:
    earlier = (
        other for other in range(step) if words_of(cues[other]) and same_words(cues[other], cues[step])
    )
    return [CueHint("two_steps_alike", step, (("other", other), ("cue", cues[step]))) for other in earlier]


def adults_differ(said: Mapping[str, Sequence[str]]) -> tuple[CueHint, ...]:
    """Steps for which two adults say different words; `said` holds each adult's cues in step order.

    An adult with no words for a step is left out of that step.
    """
    found = []
    for step in range(max(map(len, said.values()), default=0)):
        told = {
            adult: cues[step] for adult, cues in said.items() if step < len(cues) and words_of(cues[step])
        }
        if len({_plain(cue) for cue in told.values()}) > 1:
            found.append(CueHint("adults_differ", step, (("said", tuple(told.items())),)))
    return tuple(found)


def languages_mixed(
    cues: Sequence[str], language: str, verbs: Mapping[str, Iterable[str]]
) -> tuple[CueHint, ...]:
    """Steps whose cue opens with a verb of another language than the plan's own.

    A child hears one set of words best; a family may well choose two on purpose.
    """
    own = frozenset(verbs.get(language, ()))
    others = {other: frozenset(words) for other, words in verbs.items() if other != language}
    found = []
    for step, cue in enumerate(cues):
        first = words_of(cue)[:1]
        if not first or first[0] in own:
            continue
        for other, words in others.items():
            if first[0] in words:
                values = (("word", first[0]), ("language", other), ("wanted", language))
                found.append(CueHint("languages_mixed", step, values))
    return tuple(found)
