"""What each adult really says at each step, beside the agreed cue words. Told, compared, never changed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date

from django.db import transaction

from bylittle import library
from bylittle.core.skill import spoken as core
from bylittle.core.skill.cues import CueHint, same_words
from bylittle.core.skill.steps import LONGEST_CUE, Step
from bylittle.library.wording.cues import hint
from bylittle.web.people.models import LANGUAGES, Child, Person
from bylittle.web.skills.models import OTHER_LANGUAGE, Skill, SkillVersion, SpokenWords, StepRow
from bylittle.web.skills.queries import latest_version
from bylittle.web.skills.services import change_steps
from bylittle.web.skills.translations import translate
from bylittle.web.skills.versions import Setting

LANGUAGE_NAMES = {**dict(LANGUAGES), OTHER_LANGUAGE: "another language"}


def taught(version: SkillVersion) -> list[StepRow]:
    """The steps that the child learns: at the others nobody needs to say a thing."""
    return [row for row in version.steps.all() if not row.adult_only]


def agreed_cue(row: StepRow, language: str) -> str:
    """The agreed words of a step in a language; empty where there are none."""
    if language == "en":
        return row.cue
    return str(row.translations.get(language, {}).get("cue", ""))


def standing(rows: Iterable[SpokenWords]) -> list[SpokenWords]:
    """The newest of each adult, in the order in which the adults were first told of; `rows` oldest first."""
    last: dict[str, SpokenWords] = {}
    for row in rows:
        last[row.adult.casefold()] = row
    return list(last.values())


def of_adult(skill: Skill, adult: str) -> SpokenWords | None:
    """What stands for one adult."""
    return next((row for row in standing(_rows(skill)) if row.adult.casefold() == adult.casefold()), None)


def _rows(skill: Skill) -> Iterable[SpokenWords]:
    return skill.spoken_words.select_related("by").order_by("pk")


def keep(
    skill: Skill,
    adult: str,
    language: str,
    words: Mapping[str, str],
    *,
    at_visit: bool,
    by: Person,
    today: date,
) -> SpokenWords:
    """Keep what an adult says; it stands for this adult from now on, the earlier one stays in the record."""
    told = {step: " ".join(said.split()) for step, said in words.items() if said.strip()}
    name = " ".join(adult.split())
    return SpokenWords.objects.create(
        skill=skill, adult=name, language=language, words=told, at_visit=at_visit, by=by, on=today
    )


def heard(skill: Skill, adult: str, words: Mapping[str, str], *, by: Person, on: date) -> SpokenWords | None:
    """Keep what was heard at a visit: steps at which nothing was heard stay as they were told before."""
    told = {step: said for step, said in words.items() if said.strip()}
    if not told:
        return None
    before = of_adult(skill, adult)
    language = before.language if before else skill.child.language
    earlier = before.words if before else {}
    return keep(skill, adult, language, {**earlier, **told}, at_visit=True, by=by, today=on)


def adults_of(child: Child) -> list[str]:
    """Who may be asked: the adults who practise at home, then the team."""
    home = [adult.name for adult in child.caregivers.all()]
    return list(dict.fromkeys([*home, *(member.shown_name for member in child.team.all())]))


@dataclass(frozen=True, slots=True)
class SaidStep:
    """One step: the agreed words by language, what each adult says, what comes to mind.

    `offers`: (language, words) that somebody says and nobody agreed on yet, to agree on with one press.
    """

    row: StepRow
    agreed: tuple[tuple[str, str], ...]
    said: tuple[tuple[SpokenWords, str], ...]
    hints: tuple[str, ...]
    offers: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Said:
    """Everything told of a skill. `differ`: adults of one language say different words at some step."""

    adults: tuple[SpokenWords, ...]
    steps: tuple[SaidStep, ...]
    differ: bool

    @property
    def hinted(self) -> int:
        """At how many steps something comes to mind."""
        return sum(bool(step.hints) for step in self.steps)


def said_of(skill: Skill) -> Said:
    """What the adults say, held against the newest steps."""
    rows, told = taught(latest_version(skill)), standing(_rows(skill))
    languages = list(dict.fromkeys([skill.child.language, *(row.language for row in told)]))
    found = _compared(rows, told, languages)
    steps = tuple(_step(n, rows, told, languages, found) for n in range(len(rows)))
    return Said(tuple(told), steps, core.differ(found))


def _compared(rows: list[StepRow], told: list[SpokenWords], languages: list[str]) -> tuple[CueHint, ...]:
    agreed = {language: [agreed_cue(row, language) for row in rows] for language in languages}
    said = [
        core.Spoken(each.adult, each.language, tuple(each.words.get(row.step_id, "") for row in rows))
        for each in told
    ]
    return core.compare(agreed, said, library.cue_words().words.verbs)


def _step(
    n: int, rows: list[StepRow], told: list[SpokenWords], languages: list[str], found: tuple[CueHint, ...]
) -> SaidStep:
    row = rows[n]
    agreed = [(language, agreed_cue(row, language)) for language in languages]
    said = [(each, each.words[row.step_id]) for each in told if each.words.get(row.step_id)]
    return SaidStep(
        row=row,
        agreed=tuple((language, cue) for language, cue in agreed if cue),
        said=tuple(said),
        hints=tuple(hint(_numbered(each, rows)) for each in found if each.step == n),
        offers=_offers(agreed, said),
    )


def _numbered(found: CueHint, rows: list[StepRow]) -> CueHint:
    """The hint with the other step's place among all steps, those of the adult counted."""
    values = tuple(
        (name, rows[value].position if name == "other" and isinstance(value, int) else value)
        for name, value in found.values
    )
    return CueHint(found.code, found.step, values)


def _offers(
    agreed: list[tuple[str, str]], said: list[tuple[SpokenWords, str]]
) -> tuple[tuple[str, str], ...]:
    """Words that could be agreed on: said, in a language of the library, and other than what is agreed."""
    there = dict(agreed)
    offered: list[tuple[str, str]] = []
    for each, words in said:
        known = [
            there.get(each.language, ""),
            *(cue for language, cue in offered if language == each.language),
        ]
        fits = each.language != OTHER_LANGUAGE and len(words) <= LONGEST_CUE
        if fits and not any(same_words(words, cue) for cue in known):
            offered.append((each.language, words))
    return tuple(offered)


@transaction.atomic
def agree(skill: Skill, step_id: str, language: str, words: str) -> SkillVersion:
    """Make these the agreed words of a step, because somebody pressed so; a plan keeps the words it has."""
    version = latest_version(skill)
    rows = list(version.steps.all())
    if language != "en":
        beside = {row.step_id: dict(row.translations.get(language, {})) for row in rows}
        beside[step_id] = {**beside[step_id], "cue": words}
        return translate(skill, language, version.translations.get(language, {}), beside)
    setting = Setting(version.mirrored, version.materials, version.grades, version.usual_grade)
    steps = [_with_cue(row.as_step(), step_id, words) for row in rows]
    after = change_steps(skill, skill.name, steps, setting)
    kept = next(row.translations for row in rows if row.step_id == step_id)
    for row in after.steps.filter(step_id=step_id):  # words in another language are agreed by themselves
        row.translations = kept
        row.save(update_fields=["translations"])
    return after


def _with_cue(step: Step, step_id: str, words: str) -> Step:
    return replace(step, cue=words) if step.id == step_id else step
