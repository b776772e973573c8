"""What the cue words of a version make one think of, beside each step."""

from __future__ import annotations

from collections.abc import Iterator

from bylittle import library
from bylittle.core.skill.cues import check, languages_mixed
from bylittle.library.wording.cues import hint
from bylittle.library.wording.family import tell
from bylittle.web.skills.models import SkillVersion


def hints(version: SkillVersion) -> dict[str, list[str]]:
    """Suggestions by step id, for the English words and for each language beside them; nothing is changed.

    The words of a language whose verbs the library does not know are judged by length and likeness alone.
    """
    rows = list(version.steps.all())
    known = library.cue_words()
    found: dict[str, list[str]] = {}
    for language, told in _spoken(version):
        verbs, negatives = known.words.verbs.get(language, ()), known.negative.get(language, ())
        mixed = languages_mixed(told, language, known.words.verbs) if verbs else ()
        for each in (*check(told, verbs, negatives), *mixed):
            before = "" if language == "en" else f"{tell('language.name', language).capitalize()}: "
            found.setdefault(rows[each.step].step_id, []).append(before + hint(each))
    return found


def _spoken(version: SkillVersion) -> Iterator[tuple[str, list[str]]]:
    """Each language that the home speaks with the cue words of its steps, where it has any."""
    rows, child = list(version.steps.all()), version.skill.child
    yield "en", [row.cue for row in rows]
    for language in dict.fromkeys((child.language, child.second_language)):
        cues = [row.translations.get(language, {}).get("cue", "") for row in rows]
        if language not in ("", "en") and any(cues):
            yield language, cues
