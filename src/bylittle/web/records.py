"""The records of a data directory for the command line: the same rules as the pages."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from bylittle.core.faults import BadValue
from bylittle.web.data_directory import migrate, prepare

if TYPE_CHECKING:
    from bylittle.core.evidence.child_record import ChildRecord
    from bylittle.core.learning.fitting import ChildLog
    from bylittle.web.people.models import Child
    from bylittle.web.skills.models import Skill
    from bylittle.workflows.import_log import ImportPlan


def open_records(data_dir: Path) -> None:
    """Set up on an existing directory; BadValue where it holds no records."""
    import os

    if not os.environ.get("DATABASE_URL") and not (data_dir / "bylittle.sqlite3").exists():
        raise BadValue("no_records", name="data", value=str(data_dir), allowed="a directory made by serve")
    prepare(data_dir)
    migrate()


def damage(data_dir: Path) -> tuple[dict[str, int], list[tuple[str, str]]]:
    """How much of the record was looked at, and each damage (where, what). Nothing is changed.

    BadValue where there are no records, or where another version of the program wrote them.
    """
    import os

    database = data_dir / "bylittle.sqlite3"
    embedded = not os.environ.get("DATABASE_URL")
    if embedded and not database.exists():
        raise BadValue("no_records", name="data", value=str(data_dir), allowed="a directory made by serve")
    os.environ.setdefault("BYLITTLE_SECRET_KEY", "nothing is signed while one looks")
    prepare(data_dir)
    from bylittle.web.caseload import whole

    broken = whole.database(database) if embedded else ()
    if broken:
        return {}, [(each.where, each.what) for each in broken]
    whole.of_this_version()
    found = whole.checked()
    return found.looked_at, [(each.where, each.what) for each in found.damage]


def children(data_dir: Path) -> list[dict[str, Any]]:
    """Every child with her skills: id, name, code and number of the signed plan (None: none yet)."""
    open_records(data_dir)
    from bylittle.web.people.models import Child

    rows = Child.objects.prefetch_related("skills__plans")
    return [
        {"id": child.pk, "name": child.name, "skills": [_skill(skill) for skill in child.skills.all()]}
        for child in rows
    ]


def _skill(skill: Skill) -> dict[str, Any]:
    from bylittle.web.plans.queries import signed_plan

    plan = signed_plan(list(skill.plans.all()))
    return {
        "id": skill.pk,
        "name": skill.name,
        "plan": plan.code if plan else None,
        "version": plan.number if plan else None,
    }


def import_log(data_dir: Path, data: bytes, child: str, skill: str | None) -> ImportPlan:
    """Take a practice log into a child's record; BadValue where child or skill is not there or not clear."""
    open_records(data_dir)
    from bylittle.web.practice.imports import take_in

    return take_in(_found(child, skill), data, "command line", by=None)


def import_archive(data_dir: Path, data: bytes) -> dict[str, Any]:
    """Make the child of an archive; her team is whoever of it is known here. `team`: how many that are."""
    open_records(data_dir)
    from bylittle.files.archive import read_archive
    from bylittle.web.reports.taking_in import take_in

    child = take_in(read_archive(data), None)
    return {"child": child.pk, "name": child.name, "team": child.team.filter(is_active=True).count()}


def child_logs(data_dir: Path) -> list[ChildLog]:
    """One practice log for each child, the longest, for a prior of the service's own. No name goes along."""
    open_records(data_dir)
    from bylittle.web.reviews.own_prior import longest_logs

    return longest_logs()


def _child(told: str) -> Child:
    from bylittle.web.people.models import Child

    who = Child.objects.filter(pk=told).first() if told.isdecimal() else None
    if who is None:
        allowed = tuple(Child.objects.values_list("pk", flat=True))
        raise BadValue("no_such_child", name="child", value=told, allowed=allowed)
    return who


def _found(child: str, skill: str | None) -> Skill:
    from bylittle.web.skills.models import SkillState

    skills = list(_child(child).skills.all())
    if skill is not None:
        chosen = [each for each in skills if str(each.pk) == skill]
    else:
        chosen = [each for each in skills if each.state == SkillState.ACTIVE] or skills
    if len(chosen) != 1:
        allowed = tuple(each.pk for each in skills)
        raise BadValue("no_such_skill", name="skill", value=skill or "", allowed=allowed)
    return chosen[0]


def child_record(data_dir: Path, child: str, *, files: bool = False) -> ChildRecord:
    """Everything of one child, for reports and exports; BadValue where there is no such child.

    `files`: with the pictures themselves, for an archive.
    """
    open_records(data_dir)
    from bylittle.web.reports.record_of import record_of

    return record_of(_child(child), files=files)
