"""What a therapist wrote for a family, read over: too hard sentences and trade words, with a proposal.

A suggestion and never a silent change. A proposal only swaps trade words and makes two sentences of one; it
is made where the result is easier to read by the same yardstick (see `readability`).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache, partial

from bylittle.library.readability import (
    FAMILY_GRADE,
    FAMILY_INFLESZ,
    counts,
    flesch_kincaid_grade,
    inflesz,
)
from bylittle.library.wording import book

FEWEST_WORDS = 5
"""Of a shorter sentence the formulas say nothing: one long name would make it "hard"."""
READ = ("en", "es")
_ENDS = re.compile(r"(?<=[.!?])\s+|\n+")
_ONE = frozenset({"a", "an", "un", "una"})
_ARTICLES = _ONE | {"the", "el", "la", "los", "las", "al", "del"}
_JOINTS = {
    "en": re.compile(r"\s*;\s*|,\s+(?:and then|and|but|so|then)\s+|\s+and then\s+|,?\s+which\s+(?=is|are)"),
    "es": re.compile(r"\s*;\s*|,\s+(?:y luego|y|pero|así que|luego)\s+|\s+y luego\s+"),
}


@dataclass(frozen=True, slots=True)
class HardSentence:
    """A sentence to look at. `hard`: over the family's bar; `trade_words`: (as written, plain).

    `proposal` is a simpler wording, "" where none is known: then shorter words and two sentences help.
    """

    sentence: str
    hard: bool
    trade_words: tuple[tuple[str, str], ...]
    proposal: str


def read_over(texts: Iterable[str], language: str = "en") -> tuple[HardSentence, ...]:
    """The sentences of a family's texts that are too hard or hold trade words; none in other languages
    than those we have a yardstick for."""
    if language not in READ:
        return ()
    sentences = [part.strip() for text in texts for part in _ENDS.split(text) if part.strip()]
    found = (_looked_at(sentence, language) for sentence in dict.fromkeys(sentences))
    return tuple(each for each in found if each.hard or each.trade_words)


def _looked_at(sentence: str, language: str) -> HardSentence:
    words = trade_words(sentence, language)
    hard = is_hard(sentence, language)
    simpler = _simpler(sentence, words, language)
    return HardSentence(sentence, hard, words, simpler if hard or words else "")


def is_hard(sentence: str, language: str) -> bool:
    """Over grade 5 (English, Flesch-Kincaid) or below "fairly easy" (Spanish, INFLESZ)."""
    told = counts(sentence, language)
    if told.words < FEWEST_WORDS:
        return False
    return inflesz(told) < FAMILY_INFLESZ if language == "es" else flesch_kincaid_grade(told) > FAMILY_GRADE


def trade_words(sentence: str, language: str) -> tuple[tuple[str, str], ...]:
    """Trade words as they stand in the sentence, each with its plain word, longest first."""
    pattern, plain = _jargon(language)
    found = {hit.group(0): plain[hit.group(0).casefold()] for hit in pattern.finditer(sentence)}
    return tuple(found.items())


@lru_cache(maxsize=4)
def _jargon(language: str) -> tuple[re.Pattern[str], Mapping[str, str]]:
    plain: Mapping[str, str] = book("jargon")[language]
    longest_first = "|".join(re.escape(word) for word in sorted(plain, key=len, reverse=True))
    return re.compile(rf"\b(?:{longest_first})\b", re.IGNORECASE), plain


def _simpler(sentence: str, words: tuple[tuple[str, str], ...], language: str) -> str:
    """The sentence with plain words and in shorter sentences, where that reads easier; else ""."""
    told = sentence
    for written, plain in words:
        told = re.sub(rf"(\b\w+\s+)?\b{re.escape(written)}\b", partial(_swapped, plain), told)
    parts = [part.strip(" ,.;") for part in _JOINTS[language].split(told) if part.strip(" ,.;")]
    if is_hard(told, language) and len(parts) > 1 and all(len(part.split()) >= 2 for part in parts):
        told = ". ".join(part[0].upper() + part[1:] for part in parts) + "."
    else:
        told = told[0].upper() + told[1:]
    swapped = any(written not in told for written, _ in words)
    easier = swapped or _ease(told, language) > _ease(sentence, language)
    return told if told != sentence and easier else ""


def _swapped(plain: str, hit: re.Match[str]) -> str:
    """The plain word in the trade word's place; as it stood where an article before it would not fit."""
    before = hit.group(1) or ""
    article = before.strip().casefold()
    fits = article not in _ARTICLES or (article not in _ONE and " " not in plain)
    return before + plain if fits else hit.group(0)


def _ease(text: str, language: str) -> float:
    told = counts(text, language)
    return inflesz(told) if language == "es" else -flesch_kincaid_grade(told)
