"""Code sets that a FHIR R4 bundle of ours draws on, with the standard each comes from.

Published by HL7 (FHIR 4.0.1; US Person-Centered Outcomes guide 1.0.0) and Regenstrief (LOINC, free of charge
with its notice). SNOMED CT needs a national licence and is not used.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from bylittle.core.evidence.child_record import RatedBy

LOINC = "http://loinc.org"
GUIDE = "http://hl7.org/fhir/us/pco/StructureDefinition/"
GAS_EXTENSION = GUIDE + "pco-goal-attainment-scaling"
ACHIEVEMENT = "http://terminology.hl7.org/CodeSystem/goal-achievement"
CATEGORY = "http://terminology.hl7.org/CodeSystem/observation-category"
ABSENT = "http://terminology.hl7.org/CodeSystem/data-absent-reason"
OURS = "urn:bylittle:"
"""Our own codes: steps, help levels and kinds of observation have none in a public system."""

REQUIRED: Mapping[str, frozenset[str]] = MappingProxyType(
    {
        "Bundle.type": frozenset(
            [
                "document",
                "message",
                "transaction",
                "transaction-response",
                "batch",
                "batch-response",
                "history",
                "searchset",
                "collection",
            ]
        ),
        "Goal.lifecycleStatus": frozenset(
            [
                "proposed",
                "planned",
                "accepted",
                "active",
                "on-hold",
                "completed",
                "cancelled",
                "entered-in-error",
                "rejected",
            ]
        ),
        "CarePlan.status": frozenset(
            ["draft", "active", "on-hold", "revoked", "completed", "entered-in-error", "unknown"]
        ),
        "CarePlan.intent": frozenset(["proposal", "plan", "order", "option"]),
        "CarePlan.activity.detail.status": frozenset(
            [
                "not-started",
                "scheduled",
                "in-progress",
                "on-hold",
                "completed",
                "cancelled",
                "stopped",
                "unknown",
                "entered-in-error",
            ]
        ),
        "Observation.status": frozenset(
            [
                "registered",
                "preliminary",
                "final",
                "amended",
                "corrected",
                "cancelled",
                "entered-in-error",
                "unknown",
            ]
        ),
    }
)
"""Codes that a resource must take from, by element: the required bindings of FHIR 4.0.1."""

SYSTEMS: Mapping[str, frozenset[str]] = MappingProxyType(
    {
        ACHIEVEMENT: frozenset(
            [
                "in-progress",
                "improving",
                "worsening",
                "no-change",
                "achieved",
                "sustaining",
                "not-achieved",
                "no-progress",
                "not-attainable",
            ]
        ),
        CATEGORY: frozenset(
            [
                "social-history",
                "vital-signs",
                "imaging",
                "laboratory",
                "procedure",
                "survey",
                "exam",
                "therapy",
                "activity",
            ]
        ),
        ABSENT: frozenset(
            [
                "unknown",
                "asked-unknown",
                "temp-unknown",
                "not-asked",
                "asked-declined",
                "masked",
                "not-applicable",
                "unsupported",
                "as-text",
                "error",
                "not-a-number",
                "negative-infinity",
                "positive-infinity",
                "not-performed",
                "not-permitted",
            ]
        ),
    }
)
"""All codes of the small code systems that we use."""

ELEMENTS: Mapping[str, frozenset[str]] = MappingProxyType(
    {
        "Bundle": frozenset(["resourceType", "id", "meta", "identifier", "type", "timestamp", "entry"]),
        "Patient": frozenset(["resourceType", "id", "name", "birthDate"]),
        "Goal": frozenset(
            [
                "resourceType",
                "id",
                "extension",
                "lifecycleStatus",
                "achievementStatus",
                "description",
                "subject",
                "startDate",
                "target",
            ]
        ),
        "CarePlan": frozenset(
            [
                "resourceType",
                "id",
                "status",
                "intent",
                "title",
                "description",
                "subject",
                "period",
                "author",
                "goal",
                "activity",
            ]
        ),
        "Observation": frozenset(
            [
                "resourceType",
                "id",
                "status",
                "category",
                "code",
                "subject",
                "focus",
                "effectiveDateTime",
                "performer",
                "valueCodeableConcept",
                "valueQuantity",
                "note",
                "method",
                "hasMember",
                "component",
            ]
        ),
    }
)
"""Elements that we write; each is the same in FHIR 4.0.1 and 4.3.0, whose models check the bundle."""

GAS_LEVELS: Mapping[int, tuple[str, str]] = MappingProxyType(
    {
        2: ("LA34479-8", "Much better than expected"),
        1: ("LA34480-6", "Better than expected"),
        0: ("LA34481-4", "Expected outcome"),
        -1: ("LA34483-0", "Less than expected"),
        -2: ("LA34484-8", "Much less than expected"),
    }
)
"""LOINC answer list LL6900-6."""

HELP_ANSWERS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "alone": ("LA27993-7", "06"),
        "words": ("LA27995-2", "04"),
        "pointing": ("LA27995-2", "04"),
        "showing": ("LA27995-2", "04"),
        "light touch": ("LA27995-2", "04"),
        "hand over hand": ("LA27998-6", "01"),
    }
)
"""LOINC answer list LL4616-0 for the levels of the default ladder, with the code each answer prints.

A crosswalk for readers and nothing more: that scale is an adult's after acute care, and several of our
levels fall into one of its answers, so it is never read back.
"""


@dataclass(frozen=True, slots=True)
class Codes:
    """LOINC codes whose binding may still move; each can be set otherwise.

    `baseline` stands in the published score set of the guide's version 1.0.0, `measure` in its goal profile.
    `help_answers` adds the crosswalk to the help levels.
    """

    baseline: str = "112296-9"
    measure: str = "107332-9"
    follow_up: Mapping[RatedBy, str] = field(
        default_factory=lambda: {
            RatedBy.THERAPIST: "107333-7",
            RatedBy.CHILD: "107334-5",
            RatedBy.CAREGIVER: "107331-1",
        }
    )
    help_answers: bool = False
