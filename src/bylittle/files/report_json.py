"""A report as JSON text: how drafts are kept while they are edited, and signed ones as they were signed."""

from __future__ import annotations

from bylittle.core.faults import BadValue
from bylittle.files.values_json import dumped, from_data, parsed, to_data
from bylittle.library.wording.reports import Report

FORMAT, VERSION = "bylittle report", 1


def write_report(report: Report) -> str:
    """The report as text; `read_report` gives it back equal."""
    return dumped({"format": FORMAT, "version": VERSION, "report": to_data(report)})


def read_report(text: str) -> Report:
    """The report in a text; BadValue for another format or a newer version, faults with their places else."""
    told = parsed(text)
    if not isinstance(told, dict) or told.get("format") != FORMAT:
        raise BadValue("not_one_of", name="format", value=None, allowed=(FORMAT,))
    if told.get("version") != VERSION:
        raise BadValue("not_one_of", name="version", value=told.get("version"), allowed=(VERSION,))
    return from_data(Report, told.get("report"), "report")
