"""Taking in a practice log from a file: worked out first, written in one go or not at all."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone

from bylittle.core.skill.ladder import DEFAULT_LADDER
from bylittle.files.csv_head import Against
from bylittle.files.line_fault import LineFault
from bylittle.library.wording import csv_faults
from bylittle.web.people.models import Person
from bylittle.web.plans.queries import plans_of, signed_plan
from bylittle.web.practice import services
from bylittle.web.practice.models import Import
from bylittle.web.practice.queries import log_of
from bylittle.web.skills.models import Skill
from bylittle.web.skills.queries import as_core, latest_version
from bylittle.workflows.import_log import ImportPlan, plan_import


@dataclass(frozen=True, slots=True)
class ToldFault:
    """A fault of a file in words: line from 1 (None for the whole file), column, what is wrong, the mend."""

    line: int | None
    column: str
    fault: str
    mend: str


@transaction.atomic
def take_in(skill: Skill, data: bytes, name: str, *, by: Person | None) -> ImportPlan:
    """Read a practice log against the skill's plan and append what is new; nothing where it has faults."""
    plan = signed_plan(plans_of(skill))
    version = latest_version(skill)
    ladder = plan.ladder if plan else DEFAULT_LADDER
    against = Against(version=as_core(version), ladder=ladder, latest=timezone.localdate())
    planned = plan_import(data, log_of(skill), against)
    if planned.new:
        row = Import.objects.create(
            skill=skill,
            name=name[:120],
            digest=hashlib.sha256(data).hexdigest(),
            rows=len(planned.new),
            by=by,
        )
        services.write(skill, version, planned.new, by=by, plan=plan, imported=row)
    return planned


def told_faults(faults: Sequence[LineFault]) -> list[ToldFault]:
    """Every fault of a file in words, in the order of its lines."""
    return [_told(fault) for fault in faults]


def _told(fault: LineFault) -> ToldFault:
    told = csv_faults.told(fault.code, fault.values, column=fault.column)
    return ToldFault(fault.line or None, fault.column, told.fault, told.mend)
