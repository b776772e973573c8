"""Advice in words: what to do, why with the numbers it rests on, and what would change it.

The core gives a decision, reasons and patterns as codes with numbers. Steps and help levels are indices
there; `Names` says what this child's plan calls them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal, Protocol, TypeAlias

from bylittle.core.faults import BadValue
from bylittle.core.skill.ladder import ALONE, DEFAULT_LADDER
from bylittle.library.wording import best, book, percent, phrase, say

Audience: TypeAlias = Literal["therapist", "family"]
STEP_LISTS = ("steps", "called", "next")
LEVELS = ("level", "proposed")


class Reason(Protocol):
    """A reason of the core: `bylittle.core.advice.Why`."""

    @property
    def code(self) -> str: ...

    @property
    def values(self) -> Mapping[str, object]: ...


class Found(Protocol):
    """A pattern of the core: `bylittle.core.advice.Pattern`."""

    @property
    def kind(self) -> str: ...

    @property
    def steps(self) -> tuple[int, ...]: ...

    @property
    def values(self) -> Mapping[str, object]: ...


class IfThenRule(Protocol):
    """A rule of the core: `bylittle.core.advice.IfThen`."""

    @property
    def step(self) -> int: ...

    @property
    def level(self) -> int: ...

    @property
    def less(self) -> int | None: ...

    @property
    def more(self) -> int | None: ...

    @property
    def worked(self) -> int: ...

    @property
    def missed(self) -> int: ...


@dataclass(frozen=True, slots=True)
class Names:
    """What this plan calls its steps (in order), its help levels (most help first) and the child."""

    steps: tuple[str, ...] = ()
    levels: tuple[str, ...] = DEFAULT_LADDER.names
    child: str = ""

    def step(self, place: int, language: str) -> str:
        """A step's name; its number where the names are not known."""
        if place < len(self.steps):
            return self.steps[place]
        return say("advice", "levels", "step", language=language, number=place + 1)


def sentence(
    why: Reason, language: str = "en", audience: Audience = "therapist", names: Names | None = None
) -> str:
    """The reason in words for the therapist (with every number it rests on) or for the family."""
    return _told(("why", variant(why)), audience, language, why.values, names or Names())


def what_would_change(why: Reason, language: str = "en", names: Names | None = None) -> str:
    """What would change the advice, for the therapist."""
    return _told(("why", variant(why)), "change", language, why.values, names or Names())


def decision_title(decision: str, language: str = "en") -> str:
    """A decision in a word or two."""
    return phrase("advice", "decisions", str(decision), "title", language)


def decision_explained(decision: str, language: str = "en", audience: Audience = "therapist") -> str:
    """What a decision means, in one or two sentences."""
    return phrase("advice", "decisions", str(decision), audience, language)


def pattern_title(kind: str, language: str = "en") -> str:
    """A pattern in a few words."""
    return phrase("advice", "patterns", str(kind), "title", language)


def pattern_sentence(
    pattern: Found, language: str = "en", audience: Audience = "therapist", names: Names | None = None
) -> str:
    """A pattern in words: a question to the therapist, never a diagnosis."""
    values = {"steps": pattern.steps, **pattern.values} if pattern.steps else pattern.values
    return _told(("patterns", str(pattern.kind)), audience, language, values, names or Names())


def pattern_change(pattern: Found, language: str = "en", names: Names | None = None) -> str:
    """What would make the pattern go away."""
    return _told(("patterns", str(pattern.kind)), "change", language, pattern.values, names or Names())


def if_then(rule: IfThenRule, language: str = "en", names: Names | None = None) -> str:
    """A family's rule for one asked step until the next look, in a sentence or two."""
    told = names or Names()
    helps = {"help": rule.level, "less_help": rule.less, "more_help": rule.more}
    words = {
        name: help_phrase(told.levels[level], language) for name, level in helps.items() if level is not None
    }
    which = "both" if len(words) == len(helps) else "less" if "less_help" in words else "more"
    counts = {"worked": rule.worked, "missed": rule.missed}
    sentence = say(
        "advice",
        "if_then",
        which,
        language=language,
        plain_step=told.step(rule.step, language),
        **words,
        **counts,
    )
    return _sentence_case(sentence)


def level_name(name: str, language: str = "en") -> str:
    """A help level in the language of the page; a plan's own word stays as it is."""
    known = book("advice")["levels"].get(name.casefold(), {})
    return str(known.get(language, name)) if isinstance(known, Mapping) else name


def variant(why: Reason) -> str:
    """The code whose phrases fit: *hold* reads differently outside the band and at *alone*."""
    if why.code != "just_right":
        return why.code
    chance, low, high = (_number(why.values.get(name)) for name in ("chance", "band_low", "band_high"))
    if chance < low:
        return "just_right_low"
    if why.values.get("proposed") == why.values.get("level") and chance > high:
        return "just_right_alone"
    return "just_right_high" if chance > high else "just_right"


def _number(value: object) -> float:
    return float(value) if isinstance(value, int | float) else 0.0


def _told(keys: tuple[str, str], part: str, language: str, values: Mapping[str, object], names: Names) -> str:
    """The first phrase whose values are all there."""
    found: Any = book("advice").get(keys[0], {}).get(keys[1], {}).get(part, {}).get(language)
    if found is None:
        raise BadValue("no_words", name="advice", value=".".join((*keys, part, language)), allowed="a code")
    return _sentence_case(best(found, prepared(values, names, language), language))


def prepared(values: Mapping[str, object], names: Names, language: str) -> dict[str, object]:
    """The values as phrases name them; a value of None, and a count of no turns, is left out.

    Added: `help` ("with words", "alone"), `proposed_help`, `plain_step` (without quotes), `n_steps`,
    `child`, `first_better`.
    """
    told = {name: value for name, value in values.items() if value is not None}
    if told.get("turns") == 0:
        del told["turns"]
    told |= _steps(told, names, language)
    told |= _levels(told, names, language)
    told["child"] = names.child or phrase("advice", "levels", "child", language)
    if isinstance(shares := told.get("shares"), Sequence) and not isinstance(shares, str):
        told["shares_pct"] = [percent(float(share), language) for share in shares]
    if isinstance(told.get("days"), int) and isinstance(told.get("first_lower"), int):
        told["first_better"] = told["days"] - told["first_lower"]  # type: ignore[operator]
    return told


def _steps(told: Mapping[str, object], names: Names, language: str) -> dict[str, object]:
    made: dict[str, object] = {}
    if isinstance(told.get("steps"), int):
        made["n_steps"] = told["steps"]
    for name in STEP_LISTS:
        places = told.get(name)
        if isinstance(places, Sequence) and not isinstance(places, str):
            made[name] = [_quoted(names.step(int(place), language), language) for place in places]
    place = told.get("step")
    if isinstance(place, int):
        made["plain_step"] = names.step(place, language)
        made["step"] = _quoted(names.step(place, language), language)
    return made


def _levels(told: Mapping[str, object], names: Names, language: str) -> dict[str, object]:
    made: dict[str, object] = {}
    for name in LEVELS:
        level = told.get(name)
        if isinstance(level, int) and 0 <= level < len(names.levels):
            word = names.levels[level]
            made[name] = level_name(word, language)
            made["help" if name == "level" else "proposed_help"] = help_phrase(word, language)
    if isinstance(told.get("order"), Iterable):
        made["order"] = [level_name(_level_word(each, names), language) for each in _items(told["order"])]
    return made


def _items(value: object) -> list[object]:
    return list(value) if isinstance(value, Iterable) else []


def _level_word(level: object, names: Names) -> str:
    return names.levels[level] if isinstance(level, int) else str(level)


def help_phrase(level: str, language: str = "en") -> str:
    """A level as it stands in a sentence: with words, alone."""
    word = level_name(level, language)
    if level.casefold() == ALONE:
        return word
    return say("advice", "levels", "with", language=language, level=word)


def _quoted(name: str, language: str) -> str:
    return f"«{name}»" if language == "es" else f"“{name}”"


def _sentence_case(words: str) -> str:
    """Every sentence begins with a capital, also where a value begins it."""
    parts = words.split(". ")
    return ". ".join(part[:1].upper() + part[1:] for part in parts)
