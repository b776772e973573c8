"""Drafting, editing and signing reports; a signed one stays as it was."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from django.db import transaction
from django.utils import timezone

from bylittle.core.evidence.record_facts import Period
from bylittle.core.faults import BadValue
from bylittle.files.report_json import read_report, write_report
from bylittle.library.wording import reports as words
from bylittle.web.people.models import Child, Person
from bylittle.web.reports.models import KeptReport
from bylittle.web.reports.record_of import record_of
from bylittle.workflows.report import draft_report, period_of


def draft(child: Child, kind: str, first: date | None, *, by: Person, today: date) -> KeptReport:
    """A new draft from the record as it stands. BadValue for a period or a child that there is nothing of."""
    period: Period | None = period_of(kind, first, today) if first else None
    report = draft_report(record_of(child), kind, today, period=period)
    return KeptReport.objects.create(child=child, kind=kind, content=write_report(report), made_by=by)


def whole(kept: KeptReport) -> words.Report:
    """The report itself."""
    return read_report(kept.content)


@transaction.atomic
def edit(kept: KeptReport, written: Mapping[str, str], lines: Mapping[tuple[str, int], str]) -> KeptReport:
    """Keep the therapist's own words and the sentences she changed; an emptied sentence is taken out."""
    report = whole(kept)
    for code, text in written.items():
        report = words.with_words(report, code, text)
    for (code, line), text in sorted(lines.items(), key=lambda item: item[0], reverse=True):
        report = words.with_line(report, code, line, text)
    kept.content = write_report(report)
    kept.save(update_fields=["content"])
    return kept


@transaction.atomic
def sign(kept: KeptReport, by: Person) -> KeptReport:
    """Sign a report; faults tell what is not written yet. It never changes again."""
    if not by.may_sign:
        raise BadValue("may_not_sign", name="signed_by", value=by.role, allowed="therapist")
    report = words.signed(whole(kept), by.shown_name, timezone.localdate())
    kept.content = write_report(report)
    kept.signed_by, kept.signed_at = by, timezone.now()
    kept.save()
    return kept
