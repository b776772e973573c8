"""What a family reads on paper, in each language that is complete: English, Spanish, Arabic.

Values go in as words already made for the language (`count`, `listed`, `told_day`).
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date

from bylittle.core.faults import BadValue
from bylittle.core.plan.home_plan import PlannedStep
from bylittle.library.wording import fill, phrase

BOOK = "family"
LANGUAGES = ("en", "es", "ar")
_LATIN, _ARABIC = re.compile(r"[A-Za-zÀ-ÿ]"), re.compile(r"[\u0600-\u06ff]")
_ISOLATE, _POP = "\u2068", "\u2069"
_LAST_STOP = re.compile(r"\.(?=\u2069?$)")


def check_language(language: str) -> str:
    """`language` if the family's pages are complete in it; BadValue names those that are."""
    if language not in LANGUAGES:
        raise BadValue("language_without_words", name="language", value=language, allowed=LANGUAGES)
    return language


def tell(key: str, language: str, **values: object) -> str:
    """The sentence at `key` (`stop.heading`) with its values filled in."""
    check_language(language)
    kept = {name: isolated(value, language) for name, value in values.items()}
    return fill(phrase(BOOK, *key.split("."), language), kept, language)


def isolated(value: object, language: str) -> object:
    """Words in Latin letters that stand in a line from the right, kept as one piece: a number or a full stop
    beside them keeps its own place (isolates of the Unicode Bidirectional Algorithm, UAX 9). What holds words
    of the page's own script too is left as it is."""
    if (
        isinstance(value, str)
        and right_to_left(language)
        and _LATIN.search(value)
        and not _ARABIC.search(value)
    ):
        return f"{_ISOLATE}{value}{_POP}"
    return value


def without_stop(words: str) -> str:
    """Words without the full stop at their end, also where they are kept as one piece."""
    return _LAST_STOP.sub("", words)


def right_to_left(language: str) -> bool:
    """Whether the language is written from right to left."""
    return phrase(BOOK, "language", "direction", check_language(language)) == "rtl"


def count(key: str, n: int, language: str) -> str:
    """`n` of something with the right form of its noun (Unicode CLDR, cardinal plural rules)."""
    check_language(language)
    return fill(_form(key, n, language), {"n": n}, language)


def _form(key: str, n: int, language: str) -> str:
    for form in (plural_form(n, language), "other"):
        try:
            return phrase(BOOK, "count", key, language, form)
        except BadValue:
            continue
    raise BadValue("no_words", name=BOOK, value=f"count.{key}.{language}", allowed="a form for this number")


def plural_form(n: int, language: str) -> str:
    """The CLDR name of the plural form of a whole number; a written-out `two` is offered everywhere."""
    if n in (1, 2):
        return ("one", "two")[n - 1]
    if language != "ar":
        return "other"
    if 3 <= n % 100 <= 10:
        return "few"
    return "many" if 11 <= n % 100 <= 99 else "other"


def listed(items: Iterable[object], language: str, *, last: str = "last") -> str:
    """Things in a row: one, two and three (`last="either"`: or three)."""
    check_language(language)
    words = [str(isolated(str(item), language)) for item in items]
    if len(words) < 2:
        return "".join(words)
    comma, joint = phrase(BOOK, "list", "comma", language), phrase(BOOK, "list", last, language)
    return comma.join(words[:-1]) + joint + words[-1]


def told_day(day: date, language: str, *, form: str = "form") -> str:
    """A date in words: 30 November 2026 (`form="short"`: without the year)."""
    month = phrase(BOOK, "date", "months", language).split()[day.month - 1]
    return tell(f"date.{form}", language, day=day.day, month=month, year=day.year)


def child_name(name: str, language: str) -> str:
    """The child's first name, or "your child" where the plan carries none."""
    return name.strip() or tell("child.unnamed", language)


def level_name(name: str, language: str) -> str:
    """A help level by its family name; a level of the therapist's own keeps its own name."""
    return _known("level", name, language) or name


def level_how(name: str, language: str, child: str) -> str:
    """How to give this help, in a sentence or two; empty for a level of the therapist's own."""
    known = _known("how", name, language)
    return fill(known, {"child": child}, language) if known else ""


def _known(group: str, level: str, language: str) -> str:
    try:
        return phrase(BOOK, group, level.strip().casefold(), check_language(language))
    except BadValue as fault:
        if fault.code == "no_words":
            return ""
        raise


def who_does_what(steps: tuple[PlannedStep, ...], child: str, language: str) -> str:
    """One sentence for the whole chain: "Wren does step 4. You do the rest." """
    asked = [number for number, step in enumerate(steps, start=1) if step.asked]
    if len(asked) == len(steps):
        return tell("chain.all_child", language, child=child)
    key = "chain.one_child" if len(asked) == 1 else "chain.some_child"
    return tell(key, language, child=child, asked=listed(asked, language))
