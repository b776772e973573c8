"""Is each ready skill deep enough to start from, and a skill of its own rather than a copy of another?

What is asked of a skill hangs on the skill: on how many steps its child does, on what can hurt in it, and on
which kind of source its age has. The numbers are our own bar (common practice, no source). Outside checks:
the published limits for free cords and for the part that is too small (tests/core/skill/test_materials.py).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from itertools import pairwise
from pathlib import Path

import pytest

from bylittle import library
from bylittle.core.skill import materials
from bylittle.core.skill.steps import LONGEST_CUE, LONGEST_NAME
from bylittle.library import pack
from bylittle.library.skill import AREAS, DIRECTIONS, LEVERS, Skill, Step

SKILLS = library.skills()
each_skill = pytest.mark.parametrize("skill", SKILLS, ids=lambda skill: skill.id)

ONE_MORE_EYE = {"height", "scissors", "knife"}
"""Where a fall or a blade threatens, one caution beside a step is not enough."""
IN_GROWN_HANDS = {"scissors", "knife"}
"""What an adult hands over or does."""
TALLEST_STEP_MM = 250
LONGEST_ROUTINE = 120
"""What the form of a skill holds."""


def done_by_child(skill: Skill) -> list[Step]:
    return [step for step in skill.steps if step.by == "child"]


def codes(skill: Skill) -> set[str]:
    return {hazard.code for hazard in skill.hazards}


# --- steps -----------------------------------------------------------------------------------------


@each_skill
def test_it_is_broken_down_into_single_actions(skill: Skill) -> None:
    """Five to twelve steps suit a young child; a name that joins two verbs of doing is two steps."""
    assert 5 <= len(skill.steps) <= 12
    assert len(done_by_child(skill)) >= 5
    assert len({str(step.done_when) for step in skill.steps}) == len(skill.steps)
    assert all(", then " not in str(step.name) for step in skill.steps)


@each_skill
def test_each_end_can_be_seen(skill: Skill) -> None:
    """What ends a step is a state of hands, body or things, told as a sentence; never a wish or a try."""
    for step in skill.steps:
        for told in (str(step.done_when), step.done_when.es):
            assert told.endswith("."), told
            assert len(told.split()) >= 3, told
            assert not {"tries", "wants", "understands", "intenta", "quiere"} & set(told.lower().split())


@each_skill
def test_a_step_that_may_change_places_has_another_to_change_with(skill: Skill) -> None:
    free = [False, *(step.order == "free" for step in skill.steps), False]
    for before, here, after in zip(free, free[1:], free[2:], strict=False):
        assert not here or before or after


@each_skill
def test_a_caution_stands_beside_the_step_that_can_hurt(skill: Skill) -> None:
    beside = [step.hazard for step in skill.steps if step.hazard]
    assert len(beside) >= (2 if codes(skill) & ONE_MORE_EYE else 1)
    assert len(set(map(str, beside))) == len(beside)
    assert len(codes(skill)) >= 2
    assert not set(map(str, beside)) & {str(hazard.caution) for hazard in skill.hazards}


@each_skill
def test_a_blade_is_handed_over_or_used_by_an_adult(skill: Skill) -> None:
    if codes(skill) & IN_GROWN_HANDS:
        assert any(step.by == "adult" and step.hazard for step in skill.steps)


def test_adults_finish_what_a_young_child_cannot_do_well_enough() -> None:
    """Teeth, wiping after the toilet, the back, pouring hot or cold for a sip: always an adult's step."""
    for name in ("brush-teeth", "sit-on-toilet", "manage-trousers-at-toilet", "comb-hair", "dry-with-towel"):
        assert any(step.by == "adult" for step in library.skill(name).steps), name


# --- the ladder ------------------------------------------------------------------------------------


@each_skill
def test_the_ladder_has_rungs_below_and_above_daily_life(skill: Skill) -> None:
    usual = next(place for place, grade in enumerate(skill.grades) if grade.usual)
    assert len(skill.grades) >= 5
    assert usual >= 2
    assert usual <= len(skill.grades) - 2
    assert len({str(grade.name) for grade in skill.grades}) == len(skill.grades)


@each_skill
def test_the_ladder_uses_several_levers_and_moves_one_at_a_time(skill: Skill) -> None:
    """A size changes only on a rung whose lever is size, and such a rung does change one."""
    levers = [grade.lever for grade in skill.grades]
    assert len(set(levers)) >= 4
    known: dict[str, float] = {}
    for place, grade in enumerate(skill.grades):
        sizes = dict(grade.size_mm)
        changed = {key for key, size in sizes.items() if known.get(key, size) != size}
        assert not changed or grade.lever == "size", (grade.id, changed)
        assert changed or place == 0 or grade.lever != "size", grade.id
        known |= sizes


def test_every_lever_is_used_somewhere_and_none_everywhere() -> None:
    used = Counter(lever for skill in SKILLS for lever in {grade.lever for grade in skill.grades})
    assert set(used) == set(LEVERS)
    assert max(used.values()) < len(SKILLS)


# --- readiness, slips, reasons ---------------------------------------------------------------------


@each_skill
def test_readiness_has_an_adaptation_made_for_this_skill(skill: Skill) -> None:
    general = {item.id: str(item.adaptation) for item in library.readiness()}
    assert len(skill.readiness) >= 4
    assert len({need.id for need in skill.readiness}) == len(skill.readiness)
    for need in skill.readiness:
        assert str(need.adaptation) != general[need.id], need.id


@each_skill
def test_slips_cover_the_chain_and_each_is_answered_by_a_cue_of_the_child(skill: Skill) -> None:
    """Half of the steps that the child does, and at least three."""
    asked = {step.id: step for step in done_by_child(skill)}
    answered = {slip.step for slip in skill.slips}
    assert len(skill.slips) >= 4 or len(asked) == 5
    assert len(answered) >= max(3, (len(asked) + 1) // 2)
    for slip in skill.slips:
        assert slip.cue == asked[slip.step].cue
        assert slip.cue.strip()
    assert len({str(slip.seen) for slip in skill.slips}) == len(skill.slips)


@each_skill
def test_the_likely_direction_says_why(skill: Skill) -> None:
    assert skill.chaining.direction in DIRECTIONS
    assert len(skill.chaining.why.split()) >= 20


def test_no_single_direction_is_sold_as_the_best() -> None:
    """No direction is proven best (Slocum & Tiger 2011), so all three are in use."""
    used = Counter(skill.chaining.direction for skill in SKILLS)
    assert set(used) == set(DIRECTIONS)
    assert max(used.values()) < 0.8 * len(SKILLS)


@each_skill
def test_an_age_is_rough_and_says_what_it_stands_on(skill: Skill) -> None:
    """A range of a year or more; where a published table gives one age, the note owns the range."""
    for age in skill.ages:
        assert age.high_months - age.low_months >= 12
        assert len(age.note.split()) >= 4
        if age.mark == "published":
            assert "range" in age.note
            assert "ours" in age.note


# --- materials -------------------------------------------------------------------------------------


@each_skill
def test_materials_are_two_or_more_and_one_at_least_is_measured(skill: Skill) -> None:
    assert len(skill.materials) >= 2
    assert any(thing.size_mm for thing in skill.materials)


def sizes(skill: Skill) -> Iterator[tuple[str, str, float]]:
    for thing in (*skill.materials, *skill.grades):
        for key, size in thing.size_mm:
            yield thing.id, key, size


@each_skill
def test_sizes_are_those_of_things_in_a_home(skill: Skill) -> None:
    for thing, key, size in sizes(skill):
        assert 1 <= size <= 1500, (thing, key)
    for thing in skill.materials:
        if thing.shape:
            materials.check_sizes(thing.shape, dict(thing.size_mm))
        if {"step", "stool"} & {thing.id}:
            assert dict(thing.size_mm)["height_mm"] <= TALLEST_STEP_MM


def test_balls_are_no_small_balls_and_laces_no_long_cords() -> None:
    balls = [dict(thing.size_mm) for skill in SKILLS for thing in skill.materials if thing.id == "ball"]
    laces = [dict(thing.size_mm) for skill in SKILLS for thing in skill.materials if thing.id == "laces"]
    assert balls
    assert laces
    assert not any(materials.is_small_ball(ball["diameter_mm"]) for ball in balls)
    assert all(lace["length_mm"] <= materials.CORD_MM for lace in laces)


@each_skill
def test_what_goes_on_a_page_fits_its_field(skill: Skill) -> None:
    for language in library.LANGUAGES:
        assert len(skill.routine.text(language)) <= LONGEST_ROUTINE
        for thing in (skill, *skill.steps, *skill.grades):
            assert len(thing.name.text(language)) <= LONGEST_NAME
        assert all(len(step.cue.text(language)) <= LONGEST_CUE for step in skill.steps)


# --- the whole library -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("what", "told"),
    [
        ("why", lambda skill: [skill.why]),
        ("routine", lambda skill: [skill.routine]),
        ("start", lambda skill: [skill.start]),
        ("chaining", lambda skill: [skill.chaining.why]),
        ("slips", lambda skill: [slip.seen for slip in skill.slips]),
        ("adaptations", lambda skill: [need.adaptation for need in skill.readiness]),
        ("cautions", lambda skill: [step.hazard for step in skill.steps if step.hazard]),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_skills_are_no_copies_of_each_other(what: str, told: Callable[[Skill], list[str]]) -> None:
    """A text may recur where the very same thing is done, and no more than that: one in twenty."""
    texts = [str(text) for skill in SKILLS for text in told(skill)]
    assert len(texts) - len(set(texts)) <= len(texts) / 20, what


def test_no_area_is_thin() -> None:
    counted = Counter(skill.area for skill in SKILLS)
    assert min(counted[area] for area in AREAS) >= 6


def test_each_file_says_that_it_is_a_starter_and_who_has_read_it() -> None:
    for name in pack.file_names():
        if name.startswith("skills/"):
            head = (Path(pack.HERE) / name).read_text(encoding="utf-8").split("format =")[0]
            assert "Starter, adapt to the child" in head, name
            assert "second time as by a second therapist" in head, name
            assert "No outside therapist" in head, name


def test_the_one_lever_check_would_catch_two_levers() -> None:
    """The check above, held against a ladder that changes a size while it says that it moves the place."""
    from dataclasses import replace

    skill = next(skill for skill in SKILLS if any(grade.lever == "size" for grade in skill.grades[1:]))
    place = next(n for n, grade in enumerate(skill.grades) if n and grade.lever == "size")
    wrong = replace(skill.grades[place], lever="place")
    ladder = (*skill.grades[:place], wrong, *skill.grades[place + 1 :])
    with pytest.raises(AssertionError):
        test_the_ladder_uses_several_levers_and_moves_one_at_a_time(replace(skill, grades=ladder))


def test_neighbours_never_share_a_lever() -> None:
    shared = [
        skill.id
        for skill in SKILLS
        if any(one.lever == next_one.lever for one, next_one in pairwise(skill.grades))
    ]
    assert shared == []
