"""The archive of one child: comes back equal whatever stands in it; damage is told, never taken in."""

from __future__ import annotations

import io
import json
import zipfile
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bylittle.core.evidence.child_record import Visit
from bylittle.core.faults import BadValue, ManyFaults
from bylittle.core.practice.marks import Outcome
from bylittle.files.archive import ABOUT, VERSION, WrongArchive, read_archive, write_archive
from tests.child_records import TODAY, demo_records, example, full, words


@pytest.mark.parametrize("name", sorted(demo_records()))
def test_every_child_of_the_demo_comes_back_equal(name: str) -> None:
    record = example(name)
    assert read_archive(write_archive(record, TODAY)) == record


def test_corrections_moves_times_ratings_and_drafts_come_back_too() -> None:
    record = full()
    assert read_archive(write_archive(record, TODAY)) == record
    assert record != example("Otto")


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    note=words, place=words, reason=words, outcome=st.sampled_from(Outcome), minutes=st.integers(0, 600),
    kept=st.one_of(st.none(), st.booleans()), day=st.dates(),
)  # fmt: skip
def test_any_words_and_values_come_back_equal(
    note: str, place: str, reason: str, outcome: Outcome, minutes: int, kept: bool | None, day: object
) -> None:
    record = example("Pip")
    skill = record.skills[0]
    entry = replace(skill.practice[0].record, note=note, place=place, outcome=outcome, day=day, adult=reason)
    changed = replace(
        skill,
        practice=(replace(skill.practice[0], record=entry, by=note), *skill.practice[1:5]),
        reviews=(replace(skill.reviews[0], reason=reason),),
        checks=(replace(skill.checks[0], kept=kept, note=place),),
    )
    visits = (Visit(TODAY, minutes, minutes, place, reason, note),)
    record = replace(record, skills=(changed,), visits=visits)
    assert read_archive(write_archive(record, TODAY)) == record


def test_the_same_record_gives_the_same_bytes() -> None:
    assert write_archive(full(), TODAY) == write_archive(full(), TODAY)


def test_what_counts_is_the_same_after_the_round_trip() -> None:
    record = full()
    back = read_archive(write_archive(record, TODAY))
    assert back.skills[0].log.entries() == record.skills[0].log.entries()


def parts(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def zipped(files: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return out.getvalue()


def test_a_changed_part_is_named() -> None:
    files = parts(write_archive(example(), TODAY))
    files["child.json"] = files["child.json"].replace(b"Wren", b"Otto")
    with pytest.raises(WrongArchive) as told:
        read_archive(zipped(files))
    assert (told.value.code, told.value.values["name"]) == ("archive_part_changed", "child.json")


def test_missing_and_unannounced_parts_are_told_together() -> None:
    files = parts(write_archive(example(), TODAY))
    del files["skills/001/practice.json"]
    files["../../evil"] = b"x"
    with pytest.raises(ManyFaults) as told:
        read_archive(zipped(files))
    assert [fault.code for fault in told.value.faults] == ["archive_part_missing", "archive_part_unknown"]


@pytest.mark.parametrize("data", [b"", b"no zip at all", b"PK\x03\x04 cut off"])
def test_anything_else_is_refused_as_no_archive(data: bytes) -> None:
    with pytest.raises(WrongArchive):
        read_archive(data)


def test_a_cut_off_archive_is_refused() -> None:
    with pytest.raises(WrongArchive):
        read_archive(write_archive(example(), TODAY)[:-400])


def test_a_newer_version_is_refused_by_name() -> None:
    files = parts(write_archive(example(), TODAY))
    about = json.loads(files[ABOUT])
    files[ABOUT] = json.dumps({**about, "version": VERSION + 1}).encode()
    with pytest.raises(WrongArchive) as told:
        read_archive(zipped(files))
    assert told.value.code == "archive_newer"


def resealed(name: str, old: bytes, new: bytes) -> bytes:
    """An archive with one part altered and its digest made to fit."""
    import hashlib

    files = parts(write_archive(example(), TODAY))
    assert old in files[name]
    files[name] = files[name].replace(old, new, 1)
    about = json.loads(files[ABOUT])
    about["files"] = [[n, hashlib.sha256(files[n]).hexdigest()] for n, _ in about["files"]]
    files[ABOUT] = json.dumps(about).encode()
    return zipped(files)


LOG = "skills/001/practice.json"


@pytest.mark.parametrize(
    ("name", "old", "new", "code", "place"),
    [
        (LOG, b'"not managed"', b'"won"', "not_one_of", "skills[1].practice[1].record.outcome"),
        (LOG, b'"turn": 1', b'"turn": true', "not_one_of", "skills[1].practice[1].record.turn"),
        ("child.json", b'"minutes": 45', b'"minutes": "45"', "not_one_of", "visits[1].minutes"),
        ("child.json", b'"born"', b'"birth"', "unknown_field", "child.birth"),
        ("skills/001/checks.json", b"[]", b"{}", "not_list", "skills[1].checks"),
    ],
)
def test_a_value_that_may_not_stand_is_told_with_its_place(
    name: str, old: bytes, new: bytes, code: str, place: str
) -> None:
    with pytest.raises((BadValue, ManyFaults)) as told:
        read_archive(resealed(name, old, new))
    faults = told.value.faults if isinstance(told.value, ManyFaults) else (told.value,)
    assert (code, place) in [(fault.code, fault.values["name"]) for fault in faults]
