"""How hard is a text to read? Grade levels for English, ease for Spanish.

All formulas need whole sentences; a list of cue words or a single line says little. Figures lean on
syllables counted by rule, so they are a yardstick for writers and no measurement of a reader.

* English: Flesch reading ease and Flesch-Kincaid grade (formulas as the US Department of Veterans Affairs
  HSR&D archive gives them), SMOG (McLaughlin 1969, Journal of Reading 12(8):639-646).
* Spanish: INFLESZ (Szigriszt-Pazos 1993; scale of Barrio-Cantalejo 2008) and Fernández Huerta 1959 in its
  corrected form, both read in secondary copies only.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from bylittle.core.faults import NotEnoughData

SMOG_SENTENCES = 30
FAMILY_GRADE = 5.0
"""Family pages stay at this Flesch-Kincaid grade or below (our own bar)."""
FAMILY_INFLESZ = 65.0
"""From 65 on the INFLESZ scale says "fairly easy", from 80 "very easy" (Barrio-Cantalejo 2008)."""

_WORD = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*|\d+")
_SENTENCE = re.compile(r"[.!?:;]+(?=\s|$)|\n+")


@dataclass(frozen=True, slots=True)
class Counts:
    """Sentences, words, syllables, and words of three syllables or more."""

    sentences: int
    words: int
    syllables: int
    polysyllables: int

    def __add__(self, other: Counts) -> Counts:
        return Counts(
            self.sentences + other.sentences,
            self.words + other.words,
            self.syllables + other.syllables,
            self.polysyllables + other.polysyllables,
        )


def counts(text: str, language: str = "en") -> Counts:
    """What the formulas need of a text; `language` "en" or "es" chooses the rule for syllables."""
    syllables = SYLLABLES[language]
    told = [syllables(word) for word in _WORD.findall(text)]
    sentences = [part for part in _SENTENCE.split(text) if _WORD.search(part)]
    return Counts(len(sentences), len(told), sum(told), sum(n >= 3 for n in told))


def counts_of(texts: Iterable[str], language: str = "en") -> Counts:
    """The counts of several texts together; each ends its own sentence."""
    return sum((counts(text, language) for text in texts), Counts(0, 0, 0, 0))


def _rates(told: Counts) -> tuple[float, float]:
    if not told.words:
        raise NotEnoughData(n=told.words, needed=1, what="words")
    return told.words / told.sentences, told.syllables / told.words


def flesch_reading_ease(told: Counts) -> float:
    """Flesch reading ease: higher is easier. "The cat sat on the mat." gives 116.145."""
    words, syllables = _rates(told)
    return 206.835 - 1.015 * words - 84.6 * syllables


def flesch_kincaid_grade(told: Counts) -> float:
    """Flesch-Kincaid grade: school years in the US. "The cat sat on the mat." gives -1.45."""
    words, syllables = _rates(told)
    return 0.39 * words + 11.8 * syllables - 15.59


def smog_grade(told: Counts) -> float:
    """SMOG grade, from the words of three syllables or more. Standard error 1.52 grades.

    Below 30 sentences it is unreliable: `NotEnoughData`.
    """
    if told.sentences < SMOG_SENTENCES:
        raise NotEnoughData(n=told.sentences, needed=SMOG_SENTENCES, what="sentences")
    return 1.0430 * math.sqrt(told.polysyllables * 30 / told.sentences) + 3.1291


def inflesz(told: Counts) -> float:
    """INFLESZ ease of a Spanish text: below 40 very hard, 55-65 normal, 80 and more very easy."""
    words, syllables = _rates(told)
    return 206.835 - 62.3 * syllables - words


def fernandez_huerta(told: Counts) -> float:
    """Fernández Huerta ease of a Spanish text, corrected form (syllables in 100 words): 80-90 easy."""
    words, syllables = _rates(told)
    return 206.84 - 60 * syllables - 1.02 * words


# --- syllables -------------------------------------------------------------------------------------

_ENGLISH_GROUP = re.compile(r"[aeiouy]+")
_TWO_VOWELS = re.compile(
    r"[aeou]i[ao]|ia(?![ln])|(?<![tcsg])io(?!n)|eo$|ua(?=l)|uou|iu|[aeouy]ing|(?:id|ar)ea"
    r"|ea(?=te\b)|(?<!t)ie(?=nc|nt|ts?$)|thm$"
)
_SILENT_ENDING = re.compile(r"(?:[^aeiouyl]|[aeiouyl]l)(?:e|es|ed)$")
_SPOKEN_ENDING = re.compile(r"[td]ed$|(?:[sxz]|ch|sh|[cg])es$")
_SILENT_MIDDLE = re.compile(r"(?<=[^aeiouyl])e(?=(?:ment|ful|ly|less|where|times|thing)s?$)")
_SPANISH_SIGNS = "aeiouáéíóúü"
_STRONG = frozenset("aeoáéóíú")


def english_syllables(word: str) -> int:
    """Syllables of an English word by rule: vowel groups, silent endings, the usual splits."""
    parts = re.split(r"[-’']", word.lower())
    return sum(_english_part(part) for part in parts if part and not part.isdigit()) or 1


def _english_part(part: str) -> int:
    groups = len(_ENGLISH_GROUP.findall(part))
    if not groups:
        return int(len(part) == 1 and part.isalpha() and part != "s")
    groups += len(_TWO_VOWELS.findall(part)) - len(_SILENT_MIDDLE.findall(part))
    silent = _SILENT_ENDING.search(part) and not _SPOKEN_ENDING.search(part)
    return max(1, groups - bool(silent))


def spanish_syllables(word: str) -> int:
    """Syllables of a Spanish word: two strong or stressed vowels part, weak ones join."""
    letters = re.sub(r"(?<=q)u|(?<=g)u(?=[eéií])", "", word.lower())
    letters = re.sub(r"y$", "i", letters)
    groups = re.findall(f"[{_SPANISH_SIGNS}]+", letters)
    return max(1, sum(_spanish_group(group) for group in groups))


def _spanish_group(group: str) -> int:
    strong = [place for place, sign in enumerate(group) if sign in _STRONG]
    return max(1, len(strong))


SYLLABLES: dict[str, Callable[[str], int]] = {"en": english_syllables, "es": spanish_syllables}
