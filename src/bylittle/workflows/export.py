"""A child's record in one of the forms that leave the program. Pure: the day and the random id come in."""

from __future__ import annotations

from datetime import date

from bylittle import library
from bylittle.core.evidence.child_record import ChildRecord
from bylittle.core.faults import BadValue
from bylittle.files.archive import write_archive
from bylittle.files.deidentified import write_deidentified
from bylittle.files.single_case_csv import write_single_case

FORMS = ("fhir", "csv", "archive", "deidentified")
ENDINGS = {"fhir": ".json", "csv": ".csv", "archive": ".zip", "deidentified": ".json"}


def export_record(record: ChildRecord, form: str, on: date, random_id: str = "") -> bytes:
    """The bytes of the file. `random_id` is needed for the de-identified form alone.

    BadValue for another form. FHIR needs the library of the `export` extra.
    """
    if form == "fhir":
        from bylittle.files.fhir_check import write_fhir

        return write_fhir(record, on).encode("utf-8")
    if form == "csv":
        return write_single_case(record).encode("utf-8")
    if form == "archive":
        return write_archive(record, on)
    if form == "deidentified":
        ready = frozenset(skill.id for skill in library.skills())
        return write_deidentified(record, random_id, ready).encode("utf-8")
    raise BadValue("not_one_of", name="form", value=form, allowed=FORMS)
