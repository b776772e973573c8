"""The FHIR bundle: taken by a general FHIR library, and by our own check of the code sets it lets pass."""

from __future__ import annotations

import json
from copy import deepcopy
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from fhir.resources.R4B.bundle import Bundle

from bylittle.core.evidence.child_record import RatedBy, Rating
from bylittle.core.practice.marks import Outcome
from bylittle.files.fhir_bundle import achievement, fhir_bundle
from bylittle.files.fhir_check import faults_of, write_fhir
from bylittle.files.fhir_codes import (
    ACHIEVEMENT,
    GAS_EXTENSION,
    GAS_LEVELS,
    HELP_ANSWERS,
    REQUIRED,
    SYSTEMS,
    Codes,
)
from tests.child_records import TODAY, demo_records, example, full

PUBLISHED = json.loads((Path(__file__).parents[1] / "reference/fhir/code_sets.json").read_text("utf-8"))


def resources(bundle: dict[str, Any], kind: str) -> list[dict[str, Any]]:
    return [e["resource"] for e in bundle["entry"] if e["resource"]["resourceType"] == kind]


def code_of(observation: dict[str, Any]) -> str:
    return str(observation["code"]["coding"][0]["code"])


@pytest.mark.parametrize("name", sorted(demo_records()))
def test_the_library_takes_every_child_of_the_demo(name: str) -> None:
    told = json.loads(write_fhir(example(name), TODAY))
    assert len(Bundle.model_validate(told).entry) == len(told["entry"])


def test_our_code_sets_are_the_published_ones() -> None:
    """FHIR 4.0.1 and the Person-Centered Outcomes guide 1.0.0: tests/reference/fhir/code_sets.json."""
    for entry in PUBLISHED["sets"]:
        element, codes = entry["element"], set(entry["codes"])
        ours = REQUIRED.get(element) or next(s for s in SYSTEMS.values() if s == codes)
        assert ours == codes, element
    attainment = PUBLISHED["attainment"]
    assert {str(level): list(told) for level, told in GAS_LEVELS.items()} == attainment["levels"]
    assert attainment["extension"] == GAS_EXTENSION
    codes, scores = Codes(), attainment["scores"]
    assert (codes.baseline, codes.measure) == (scores["baseline"], scores["measure"])
    assert codes.follow_up[RatedBy.THERAPIST] == scores["practitioner follow-up"]
    assert codes.follow_up[RatedBy.CAREGIVER] == scores["caregiver follow-up"]
    assert codes.follow_up[RatedBy.CHILD] == scores["patient follow-up"]
    assert all(PUBLISHED["help"]["answers"][printed] == code for code, printed in HELP_ANSWERS.values())


def test_version_is_declared_and_nothing_but_name_and_birthday_of_the_child() -> None:
    bundle = fhir_bundle(example(), TODAY)
    assert bundle["meta"]["profile"] == ["http://hl7.org/fhir/StructureDefinition/Bundle|4.0.1"]
    assert set(resources(bundle, "Patient")[0]) == {"resourceType", "id", "name", "birthDate"}
    assert "snomed" not in json.dumps(bundle).casefold()


def test_every_standing_mark_is_one_component() -> None:
    record = full()
    days = [o for o in resources(fhir_bundle(record, TODAY), "Observation") if "component" in o]
    assert sum(len(day["component"]) for day in days) == len(record.skills[0].log.entries())
    keys = [
        (d["effectiveDateTime"], d["method"]["text"], d.get("performer", [{}])[0].get("display"))
        for d in days
    ]
    assert len(set(keys)) == len(keys)


def test_a_step_not_tried_has_a_reason_and_no_value() -> None:
    days = [o for o in resources(fhir_bundle(full(), TODAY), "Observation") if "component" in o]
    parts = [part for day in days for part in day["component"]]
    without = [part for part in parts if "dataAbsentReason" in part]
    assert without
    assert all("valueCodeableConcept" not in part for part in without)
    assert "asked-declined" in {part["dataAbsentReason"]["coding"][0]["code"] for part in without}
    assert all(("dataAbsentReason" in part) != ("valueCodeableConcept" in part) for part in parts)


def test_the_goal_carries_five_levels_and_the_ratings_point_to_it() -> None:
    bundle = fhir_bundle(full(), TODAY)
    goal = resources(bundle, "Goal")[0]
    texts = [e["extension"][1]["valueString"] for e in goal["extension"]]
    assert texts == list(full().skills[0].goal.goal.levels)  # type: ignore[union-attr]
    ratings = [o for o in resources(bundle, "Observation") if code_of(o) in ("112296-9", "107333-7")]
    assert [code_of(o) for o in ratings] == ["112296-9", "107333-7"]
    assert {o["focus"][0]["reference"] for o in ratings} == {f"urn:uuid:{goal['id']}"}
    assert ratings[1]["valueCodeableConcept"]["coding"][0]["code"] == "LA34483-0"


def test_the_t_score_stands_with_the_ratings_it_is_made_of() -> None:
    """One goal at -1: 50 + 10 x -1 = 40 (Kiresuk & Sherman 1968)."""
    bundle = fhir_bundle(full(), TODAY)
    score = next(o for o in resources(bundle, "Observation") if code_of(o) == "goal-attainment-t-score")
    assert score["valueQuantity"]["value"] == 40.0
    assert len(score["hasMember"]) == 1


def test_drafts_are_no_care_plan() -> None:
    record = full()
    plans = resources(fhir_bundle(record, TODAY), "CarePlan")
    assert len(plans) == len(record.skills[0].signed_plans) == len(record.skills[0].plans) - 1
    assert [plan["status"] for plan in plans] == ["completed"] * (len(plans) - 1) + ["active"]


@pytest.mark.parametrize(
    ("state", "decided", "status"),
    [
        ("lasting", "done", "sustaining"), ("active", "done", "achieved"), ("active", "hold", "no-change"),
        ("active", "more data", "in-progress"), ("active", "step back", "worsening"),
        ("closed", "done", "achieved"), ("closed", "hold", "not-achieved"),
    ],
)  # fmt: skip
def test_achievement_follows_state_and_last_decision(state: str, decided: str, status: str) -> None:
    skill = example("Pip").skills[0]
    review = replace(skill.reviews[-1], decided=decided)
    assert achievement(replace(skill, state=state, reviews=(review,))) == status


def test_the_crosswalk_of_help_is_off_unless_asked_for() -> None:
    assert "LA27995-2" not in json.dumps(fhir_bundle(example(), TODAY))
    assert "LA27995-2" in json.dumps(fhir_bundle(example(), TODAY, Codes(help_answers=True)))


def broken(change: Any) -> list[str]:
    bundle = deepcopy(fhir_bundle(example(), TODAY))
    change(bundle)
    return [fault.values["name"].split(".", 1)[1] for fault in faults_of(bundle)]


WON = {"coding": [{"system": ACHIEVEMENT, "code": "winning"}]}
BUSY = [{"detail": {"status": "busy"}}]


@pytest.mark.parametrize(
    ("kind", "change", "place"),
    [
        ("Goal", {"lifecycleStatus": "nonsense"}, "lifecycleStatus"),
        ("Goal", {"lifecycleStatus": None}, "lifecycleStatus"),
        ("Goal", {"achievementStatus": WON}, "achievementStatus.coding[1].code"),
        ("CarePlan", {"intent": "wish"}, "intent"),
        ("CarePlan", {"activity": BUSY}, "activity[1].detail.status"),
        ("Observation", {"status": "done"}, "status"),
        ("Observation", {"bodyStructure": {}}, "bodyStructure"),
        ("Observation", {"subject": {"reference": "urn:uuid:nobody"}}, "subject.reference"),
    ],
)
def test_our_check_finds_what_the_library_lets_pass(kind: str, change: dict[str, Any], place: str) -> None:
    def alter(bundle: dict[str, Any]) -> None:
        resources(bundle, kind)[0].update(change)

    assert broken(alter) == [place]


def test_the_same_level_twice_and_a_level_without_text_are_found() -> None:
    def alter(bundle: dict[str, Any]) -> None:
        levels = resources(bundle, "Goal")[0]["extension"]
        levels[1]["extension"][0] = levels[0]["extension"][0]
        levels[2]["extension"][1]["valueString"] = " "

    assert broken(alter) == ["extension[3].progressText", "extension"]


def test_the_library_alone_would_have_taken_a_status_that_is_none() -> None:
    """Why the own check exists: seen with fhir.resources 8.3."""
    bundle = fhir_bundle(example(), TODAY)
    resources(bundle, "Goal")[0]["lifecycleStatus"] = "nonsense"
    Bundle.model_validate(bundle)
    assert [fault.values["value"] for fault in faults_of(bundle)] == ["nonsense"]


def test_ratings_of_a_caregiver_have_their_own_code() -> None:
    record = full()
    skill = record.skills[0]
    goal = replace(skill.goal, ratings=(Rating(TODAY, 1, RatedBy.CAREGIVER),))  # type: ignore[type-var]
    record = replace(record, skills=(replace(skill, goal=goal),))
    codes = [code_of(o) for o in resources(fhir_bundle(record, TODAY), "Observation")]
    assert "107331-1" in codes
    assert Outcome.MANAGED.value not in codes
