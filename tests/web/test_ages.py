"""Usual ages are for talking: rough, with source and mark, corrected for an early birth, silent past five."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.test import Client
from django.urls import reverse

from bylittle import library
from bylittle.library.skill import Age
from bylittle.web.people.models import Child
from bylittle.web.skills import ages
from tests.cast import READY, Cast

TODAY = date(2026, 3, 2)


def born(months: float, weeks_early: int = 0) -> Child:
    birthday = TODAY - timedelta(days=months * 365.25 / 12 + 1)
    return Child(born=birthday, due=birthday + timedelta(weeks=weeks_early) if weeks_early else None)


@pytest.mark.parametrize(
    ("months", "words"),
    [
        (9, "9 months"),
        (18, "18 months"),
        (24, "2 years"),
        (30, "2½ years"),
        (37, "3 years 1 month"),
        (51, "4 years 3 months"),
    ],
)
def test_an_age_is_told_in_words(months: int, words: str) -> None:
    assert ages.told_months(months) == words


def test_the_range_of_a_skill_is_the_widest_that_its_sources_give() -> None:
    two = [Age(30, 42, "a", "m", ""), Age(24, 36, "b", "m", "")]
    assert ages.told_range(two) == "2 years to 3½ years"
    assert ages.told_range([]) == ""


def test_the_checklists_before_and_after_the_child_are_shown() -> None:
    """Of the ages of the checklists (CDC, 2022 revision) a child of 32 months stands between 30 and 36."""
    found = ages.around(born(32), TODAY)
    assert found is not None
    assert [(group.title, group.reached) for group in found.groups] == [
        ("2½ years", True),
        ("3 years", False),
    ]
    assert "Jumps" in " ".join(str(item.name) for item in found.groups[0].items)


def test_an_early_birth_counts_by_the_due_date_until_two() -> None:
    """Ten weeks early at 16 months by the birthday: between the lists of 12 and 15 months, not 15 and 18."""
    early, term = ages.around(born(16, 10), TODAY), ages.around(born(16), TODAY)
    assert early is not None
    assert term is not None
    assert [group.title for group in early.groups] == ["12 months", "15 months"]
    assert [group.title for group in term.groups] == ["15 months", "18 months"]


@pytest.mark.parametrize(("months", "there"), [(1, 1), (59, 2), (61, 0), (140, 0)])
def test_nothing_is_claimed_past_the_last_checklist(months: int, there: int) -> None:
    found = ages.around(born(months), TODAY)
    assert (len(found.groups) if found else 0) == there


def test_source_mark_and_caveat_go_with_every_use(cast: Cast, as_therapist: Client) -> None:
    page = as_therapist.get(reverse("readiness", args=[cast.skill.pk])).content.decode()
    ready = library.skill(READY)
    assert "never a reason to start or to stop a service" in page
    assert str(library.milestones().caveat) in page
    for age in ready.ages:
        assert library.sources()[age.source].title.replace("&", "&amp;") in page
        assert age.mark in page
    assert "75 % of children or more" in page


def test_the_list_to_choose_from_tells_the_rough_ages(cast: Cast, as_therapist: Client) -> None:
    page = as_therapist.get(reverse("skill_choose", args=[cast.child.pk])).content.decode()
    assert f"roughly {ages.told_range(library.skill(READY).ages)}" in page
    assert "never a reason to start or to stop a service" in page


def test_a_skill_of_ones_own_has_no_usual_age(cast: Cast, as_therapist: Client) -> None:
    cast.skill.library_id = ""
    cast.skill.save()
    page = as_therapist.get(reverse("readiness", args=[cast.skill.pk])).content.decode()
    assert "No usual age is kept for this skill" in page
