"""A record that points to what is not there is told, with the place, before anything is kept."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bylittle.core.evidence.child_record import ChildRecord, FamilyAdult, KeptSkill, Written
from bylittle.core.evidence.kept_parts import KeptFidelity, KeptScreen
from bylittle.core.evidence.record_checks import check_record, faults_of
from bylittle.core.faults import BadValue, ManyFaults
from tests.child_records import TODAY, demo_records, example, full


@pytest.mark.parametrize("name", sorted(demo_records()))
def test_the_records_of_the_demo_hold_together(name: str) -> None:
    assert list(faults_of(example(name))) == []


def test_a_record_with_every_kind_of_value_holds_together() -> None:
    assert list(faults_of(full())) == []


def changed(**values: object) -> ChildRecord:
    """The full record with some fields of its skill changed."""
    record = full()
    return replace(record, skills=(replace(record.skills[0], **values),))


SKILL: KeptSkill = full().skills[0]
LINE: Written = SKILL.practice[0]
PLAN = SKILL.plans[0]


@pytest.mark.parametrize(
    ("record", "place", "code"),
    [
        (changed(versions=()), "skills[1].versions", "missing"),
        (changed(versions=SKILL.versions * 2), "skills[1].versions", "repeated"),
        (changed(plans=(PLAN, PLAN)), "skills[1].plans", "repeated"),
        (changed(plans=(replace(PLAN, version=9),)), "skills[1].plans[1].version", "not_one_of"),
        (changed(plans=(replace(PLAN, signed_on=None),)), "skills[1].plans[1].signed_by", "half_a_signature"),
        (changed(practice=(replace(LINE, version=9),)), "skills[1].practice[1].version", "not_one_of"),
        (changed(practice=(replace(LINE, plan=9),)), "skills[1].practice[1].plan", "not_one_of"),
        (changed(practice=(replace(LINE, imported=1),)), "skills[1].practice[1].imported", "not_one_of"),
        (changed(practice=SKILL.practice[-1:]), "skills[1].practice", "no_such_row"),
        (
            changed(practice=(replace(LINE, record=replace(LINE.record, step_id="fly")),)),
            "skills[1].practice[1].record.step_id",
            "not_one_of",
        ),
        (
            changed(reviews=(replace(SKILL.reviews[0], plan=9),)),
            "skills[1].reviews[1].plan",
            "not_one_of",
        ),
        (changed(coaching=(KeptFidelity(TODAY, "M", 9),)), "skills[1].coaching[1].plan", "not_one_of"),
        (
            changed(screens=(KeptScreen("Lace", TODAY, "{", 37.0, True),)),
            "skills[1].screens[1].thing_json",
            "not_one_of",
        ),
        (
            replace(full(), adults=(FamilyAdult("Mum", "M"), FamilyAdult("Max", "M"))),
            "adults",
            "repeated",
        ),
    ],
)  # fmt: skip
def test_what_does_not_fit_is_told_with_its_place(record: ChildRecord, place: str, code: str) -> None:
    assert (place, code) in [(fault.values["name"], fault.code) for fault in faults_of(record)]


def test_all_faults_are_raised_together() -> None:
    record = changed(practice=(replace(LINE, version=9),), plans=())
    with pytest.raises((BadValue, ManyFaults)) as told:
        check_record(record)
    faults = told.value.faults if isinstance(told.value, ManyFaults) else (told.value,)
    assert len(faults) >= 2
