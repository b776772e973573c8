"""The evidence in a paragraph that a therapist can check sentence by sentence, edit and sign.

Every sentence comes from one fact of `core.evidence` and says which data it rests on. Nothing is added that
the facts do not hold; what the data cannot show is said as well.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from bylittle.core.evidence.facts import Fact, Source
from bylittle.core.faults import BadValue
from bylittle.library.wording import best, book, phrase

POINTS = ("low", "high")


@dataclass(frozen=True, slots=True)
class Sentence:
    """A sentence and the data it can be checked against; `code` names the fact."""

    text: str
    refers_to: tuple[Source, ...]
    code: str


def paragraph(facts: Iterable[Fact], language: str = "en", child: str = "") -> list[Sentence]:
    """One sentence (or two that belong together) for each fact, in the order of the facts."""
    facts = tuple(facts)
    steps_changed = any(fact.code == "steps_changed" for fact in facts)
    return [_sentence(fact, language, child, steps_changed) for fact in facts]


def text(sentences: Iterable[Sentence]) -> str:
    """The sentences as one paragraph."""
    return " ".join(sentence.text for sentence in sentences)


def codes() -> tuple[str, ...]:
    """Every fact that has words here."""
    return tuple(book("evidence")["fact"])


def _sentence(fact: Fact, language: str, child: str, steps_changed: bool) -> Sentence:
    code = "level_change_steps" if fact.code == "level_change" and steps_changed else fact.code
    found = book("evidence")["fact"].get(code, {}).get(language)
    if found is None:
        raise BadValue("no_words", name="evidence", value=f"{code}.{language}", allowed=codes())
    told = best(found, _values(fact, child, language), language)
    return Sentence(told[:1].upper() + told[1:], fact.sources, fact.code)


def _values(fact: Fact, child: str, language: str) -> Mapping[str, object]:
    values = dict(fact.values)
    values["child"] = child or phrase("advice", "levels", "child", language)
    for name in POINTS:
        share = values.get(name)
        if isinstance(share, float):
            values[f"{name}_points"] = f"{100 * share:+.0f}"
    return values
