"""The ready skills: whole, in two languages, easy to read, with cue words that pass their own checks."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

import pytest

from bylittle import library
from bylittle.core.skill import cues
from bylittle.library import pack, readability
from bylittle.library.skill import AREAS, LEVERS, STATUS, Skill
from bylittle.library.text import Text

SKILLS = library.skills()
DEMO = {
    "pull-on-rain-boot",
    "zip-up-raincoat",
    "put-on-sun-hat",
    "pedal-trike",
    "pour-from-jug",
    "snip-paper",
    "wash-hands",
    "climb-step-stool",
    "push-button-through",
}
each_skill = pytest.mark.parametrize("skill", SKILLS, ids=lambda skill: skill.id)


def family_texts(skill: Skill) -> Iterator[Text]:
    """Everything of a skill that a family may read, but for the cue words."""
    yield from (skill.name, skill.why, skill.routine, skill.start)
    for step in skill.steps:
        yield from (step.name, step.done_when)
        if step.hazard:
            yield step.hazard
    yield from (thing.name for thing in (*skill.materials, *skill.grades))
    yield from (need.adaptation for need in skill.readiness)
    yield from (slip.seen for slip in skill.slips)
    yield from (hazard.caution for hazard in skill.hazards)


def test_there_are_enough_over_every_area() -> None:
    assert len(SKILLS) >= 40
    assert {skill.area for skill in SKILLS} == set(AREAS)
    assert {skill.id for skill in SKILLS} >= DEMO


def test_ids_and_names_are_unique_and_the_file_bears_the_id() -> None:
    assert len({skill.id for skill in SKILLS}) == len(SKILLS)
    assert len({skill.name for skill in SKILLS}) == len({skill.name.es for skill in SKILLS}) == len(SKILLS)
    files = {name.removeprefix("skills/").removesuffix(".toml") for name in pack.file_names() if "/" in name}
    assert files == {skill.id for skill in SKILLS}


def test_no_bead_is_threaded() -> None:
    told = " ".join(str(text).lower() for skill in SKILLS for text in family_texts(skill))
    assert "bead" not in told
    assert "thread" not in told


@each_skill
def test_a_skill_has_every_part(skill: Skill) -> None:
    assert skill.status == STATUS
    assert skill.version >= 1
    assert len(skill.steps) >= 4
    assert len(skill.grades) >= 4
    assert sum(grade.usual for grade in skill.grades) == 1
    assert {grade.lever for grade in skill.grades} <= set(LEVERS)
    assert len(skill.readiness) >= 3
    assert len(skill.slips) >= 2
    assert skill.hazards
    assert skill.materials
    assert skill.ages
    assert skill.warmups
    assert len(skill.chaining.why) > 30


@each_skill
def test_no_two_rungs_next_to_each_other_move_the_same_lever(skill: Skill) -> None:
    levers = [grade.lever for grade in skill.grades]
    assert all(first != second for first, second in pairwise(levers))


@each_skill
@pytest.mark.parametrize("language", library.LANGUAGES)
def test_cue_words_pass_the_cue_checks(skill: Skill, language: str) -> None:
    known = library.cue_words()
    said = [step.cue.text(language) for step in skill.steps]
    assert cues.check(said, known.words.verbs[language], known.negative[language]) == ()


@each_skill
def test_every_text_is_there_in_both_languages_and_differs(skill: Skill) -> None:
    for text in (*family_texts(skill), *(step.cue for step in skill.steps)):
        assert text.strip()
        assert text.es.strip()
        assert text != text.es


@each_skill
def test_each_step_starts_where_the_one_before_ended(skill: Skill) -> None:
    ends = [skill.start, *(step.done_when for step in skill.steps)]
    assert [step.starts_when for step in skill.steps] == ends[:-1]


@each_skill
def test_the_family_reads_it_at_grade_five_or_below(skill: Skill) -> None:
    texts = list(family_texts(skill))
    english = readability.counts_of(map(str, texts))
    spanish = readability.counts_of((text.es for text in texts), "es")
    assert readability.flesch_kincaid_grade(english) <= readability.FAMILY_GRADE
    assert readability.inflesz(spanish) >= readability.FAMILY_INFLESZ


@each_skill
def test_no_single_long_text_is_hard_to_read(skill: Skill) -> None:
    """Below eight words the formulas say nothing; from there on each text must hold by itself."""
    for text in family_texts(skill):
        told = readability.counts(str(text))
        if told.words >= 8:
            assert readability.flesch_kincaid_grade(told) <= readability.FAMILY_GRADE, text


@each_skill
def test_an_age_is_a_range_with_a_source_and_its_mark(skill: Skill) -> None:
    for age in skill.ages:
        assert age.low_months < age.high_months
        assert age.mark == library.sources()[age.source].mark


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("water", "tap", "jug"), {"water", "hot-water"}),
        (("scissors",), {"scissors"}),
        (("stool", "stairs", "slide", "toilet"), {"height", "balance"}),
        (("spoon", "fork", "banana", "open cup"), {"choking"}),
        (("lace", "strap under"), {"cord"}),
    ],
)
def test_what_can_hurt_carries_its_caution(words: tuple[str, ...], code: set[str]) -> None:
    """Found by the name of the skill or of what it needs, so a new skill cannot slip through."""
    for skill in SKILLS:
        named = " ".join((str(skill.name), *(str(thing.name) for thing in skill.materials))).lower()
        if re.search(rf"\b({'|'.join(words)})s?\b", named) and not is_pretence(skill):
            assert code & {hazard.code for hazard in skill.hazards}, (skill.id, words)


def is_pretence(skill: Skill) -> bool:
    """Play with a toy spoon, a plate that is empty: the word is there, the thing is not."""
    return skill.area == "play" and skill.id != "go-down-slide"


def test_small_things_in_the_lists_are_caught_by_the_screen() -> None:
    """Each material with a shape and sizes can be screened; a skill whose thing fits the small-parts
    cylinder says so among its hazards, or is one of the feeding and drawing things of older children."""
    from bylittle.core.skill.materials import fits_small_parts_cylinder

    for skill in SKILLS:
        small = [
            thing.id
            for thing in skill.materials
            if thing.shape and fits_small_parts_cylinder(thing.shape, **dict(thing.size_mm))
        ]
        if small:
            assert {"small-parts", "taste"} & {hazard.code for hazard in skill.hazards}, (skill.id, small)
