"""What the cue words of a version make one think of, beside each step."""

from __future__ import annotations

from bylittle import library
from bylittle.core.skill.cues import check
from bylittle.library.wording.cues import hint
from bylittle.web.skills.models import SkillVersion


def hints(version: SkillVersion) -> dict[str, list[str]]:
    """Suggestions by step id. Shown beside the step; nothing is changed."""
    rows = list(version.steps.all())
    known = library.cue_words()
    language = version.skill.child.language
    found: dict[str, list[str]] = {}
    for each in check([row.cue for row in rows], known.words.verbs[language], known.negative[language]):
        found.setdefault(rows[each.step].step_id, []).append(hint(each))
    return found
