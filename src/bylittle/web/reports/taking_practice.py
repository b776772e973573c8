"""The practice record of a skill into the database, line by line, with the files and sheets it came from."""

from __future__ import annotations

import json
from collections.abc import Mapping

from django.utils import timezone

from bylittle.core.evidence import child_record as kept
from bylittle.core.evidence.kept_parts import KeptFile, KeptImport, KeptScan
from bylittle.core.practice.log import Entry, Identity
from bylittle.web.plans.models import Plan
from bylittle.web.practice.models import Import, InTheWay, Record, RecordKind
from bylittle.web.reports import kept_files, sound
from bylittle.web.reports.hands import Found
from bylittle.web.skills.models import Skill, SkillVersion

_REPEATED = (
    "day", "turn", "step_id", "outcome", "source", "adult", "offered", "needed", "order", "place", "grade",
    "note", "probe",
)  # fmt: skip


def take_practice(
    skill: Skill,
    told: kept.KeptSkill,
    versions: Mapping[int, SkillVersion],
    plans: Mapping[int, Plan],
    people: Found,
) -> list[Record]:
    """The lines in their order; a later word is about the line that then stood under its identity."""
    imports = [_import(skill, each, people) for each in told.imports]
    by_name: dict[str, Import] = {}
    rows: list[Record] = []
    waiting: list[Record] = []
    standing: dict[Identity, int] = {}
    for place, line in enumerate(told.practice):
        about = _about(line, standing)
        if about is not None and rows[about].pk is None:
            waiting = _flushed(waiting)
        row = _row(skill, line, rows[about] if about is not None else None)
        row.version = versions[line.version]
        row.plan = plans[line.plan] if line.plan is not None else None
        row.by, row.at = people.named(line.by), line.at or row.at
        row.imported = _file(skill, line, imports, by_name)
        rows.append(row)
        waiting.append(row)
        if (entry := _entry(line)) is not None:
            standing[entry.identity] = place
    _flushed(waiting)
    return rows


def _flushed(rows: list[Record]) -> list[Record]:
    """Write what waits, so that later rows can point to it; nothing waits then."""
    sound.check(rows)
    Record.objects.bulk_create(rows)
    return []


def _entry(line: kept.Written) -> Entry | None:
    return line.record if isinstance(line.record, Entry) else line.record.entry


def _about(line: kept.Written, standing: dict[Identity, int]) -> int | None:
    """The place of the line that a later word is about."""
    return None if isinstance(line.record, Entry) else standing.pop(line.record.of)


def _row(skill: Skill, line: kept.Written, about: Record | None) -> Record:
    """A row with the content of an entry; one that takes a row out repeats what it takes out."""
    entry = _entry(line)
    if entry is None:
        assert about is not None
        row = Record(skill=skill, **{name: getattr(about, name) for name in _REPEATED})
    else:
        told = {name: getattr(entry, name) for name in _REPEATED}
        row = Record(skill=skill, **told | {"probe": entry.probe or ""})
    if not isinstance(line.record, Entry):
        row.kind, row.about, row.reason = RecordKind(line.record.kind.value), about, line.record.reason
    return row


def _import(skill: Skill, told: KeptImport, people: Found) -> Import:
    row = Import(skill=skill, name=told.name, digest=told.digest, rows=told.rows, by=people.named(told.by))
    row.at = told.at or row.at
    return sound.kept(row)


def _file(
    skill: Skill, line: kept.Written, imports: list[Import], by_name: dict[str, Import]
) -> Import | None:
    """The file a line came from; the first version of the archive told its name alone."""
    if line.imported is not None:
        return imports[line.imported - 1]
    if not line.file:
        return None
    if line.file not in by_name:
        by_name[line.file] = sound.kept(Import(skill=skill, name=line.file, digest="", rows=0))
    return by_name[line.file]


def take_scans(
    told: kept.KeptSkill,
    plans: Mapping[int, Plan],
    records: list[Record],
    people: Found,
    files: Mapping[str, KeptFile],
) -> None:
    """The photographed sheets with their pictures, and which rows came of them."""
    for scan in told.scans:
        plan = plans[scan.plan]
        row = plan.scans.model(plan=plan, by=people.somebody(scan.by))
        row.accepted_by = people.named(scan.accepted_by)
        _fill(row, scan)
        row.records = {name: records[line - 1].pk for name, line in scan.records}
        if scan.picture in files:
            row.picture = kept_files.written(kept_files.SCANS, files[scan.picture])
        sound.kept(row)


def _fill(row: object, scan: KeptScan) -> None:
    for name in (
        "at", "name", "part", "digest", "state", "why", "sheet", "page", "width", "height", "start",
        "changed", "accepted_at", "refusal", "week", "free_word",
    ):  # fmt: skip
        setattr(row, name, getattr(scan, name))
    for name in ("ink", "places", "rows", "adults", "trail"):
        setattr(row, name, json.loads(getattr(scan, f"{name}_json")))
    row.put_right = list(scan.put_right)  # type: ignore[attr-defined]
    row.initials = list(scan.initials)  # type: ignore[attr-defined]


def take_hindrances(told: kept.KeptSkill, skill: Skill, plans: Mapping[int, Plan], people: Found) -> None:
    """What got in the way, with what was taken back."""
    for each in told.in_the_way:
        row = InTheWay(
            skill=skill,
            plan=plans[each.plan] if each.plan is not None else None,
            by=people.named(each.by),
            back_by=people.named(each.back_by),
            at=each.at or timezone.now(),
        )
        for name in ("first", "last", "what", "source", "photograph", "back_at", "words"):
            setattr(row, name, getattr(each, name))
        sound.kept(row)
