"""Line pictures of everyday things, from an open set that asks to be credited where it is shown.

They stand beside our own drawings of actions: a cup, a ball, a boot, for a step or a finish frame whose
own photo is missing. Where they come from, and their licence: the README beside them.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from bylittle.core.faults import BadValue
from bylittle.library.wording import book, phrase

_HERE = Path(__file__).parent
LANGUAGES = ("en", "es", "ar")


@dataclass(frozen=True, slots=True)
class Thing:
    """One thing: its name, its SVG text, what it shows and the credit it asks for, in each language."""

    name: str
    svg: str
    alt: Mapping[str, str]
    credit: Mapping[str, str]


def names() -> tuple[str, ...]:
    """Every thing there is a picture of, sorted."""
    return tuple(sorted(book("objects")["object"]))


@cache
def thing(name: str) -> Thing:
    """The picture of a thing; BadValue names the things there are."""
    if name not in book("objects")["object"]:
        raise BadValue("no_object", name="object", value=name, allowed=names())
    return Thing(
        name=name,
        svg=(_HERE / f"{name}.svg").read_text(encoding="utf-8"),
        alt={language: phrase("objects", "object", name, language) for language in LANGUAGES},
        credit=credit(),
    )


@cache
def credit() -> Mapping[str, str]:
    """The line that stands wherever one of these pictures is shown, in each language."""
    return {language: phrase("objects", "credit", "line", language) for language in LANGUAGES}


def fitting(words: str, language: str = "en") -> tuple[str, ...]:
    """Things that the words of a step or a list of materials name, for a person to choose from.

    A thing fits when a word that says what it is stands among `words`, be it one or several of it.
    """
    said = _stems(words)
    return tuple(name for name in names() if _stems(thing(name).alt[language]) & said)


def _stems(words: str) -> set[str]:
    told = set(re.findall(r"\w+", words.lower())) - set(book("objects")["small_words"])
    return {word[:-1] if word.endswith("s") and len(word) > 3 else word for word in told}
