"""`bylittle report` and `bylittle export`: files by ending and form, faults before anything is written."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import Any

import pytest

from bylittle.cli import export, report
from bylittle.core.evidence.child_record import ChildRecord
from bylittle.core.faults import BadValue
from bylittle.files.archive import read_archive
from bylittle.library.wording.reports import KINDS
from bylittle.web import records
from bylittle.workflows.export import FORMS
from tests.child_records import example


@pytest.fixture(autouse=True)
def one_child(monkeypatch: pytest.MonkeyPatch) -> None:
    """Records with one child, number 1."""

    def child_record(data_dir: Path, child: str, *, files: bool = False) -> ChildRecord:
        if child != "1":
            raise BadValue("no_such_child", name="child", value=child, allowed=("1",))
        return example("Wren")

    monkeypatch.setattr(records, "child_record", child_record)


def call(verb: Any, *words: str) -> int:
    parser = argparse.ArgumentParser()
    verb.add_parser(parser.add_subparsers(dest="verb"))
    name = verb.__name__.rsplit(".", 1)[-1]
    return int(verb.run(parser.parse_args([name, "--data", ".", *words])))


@pytest.mark.parametrize(("ending", "start"), [(".pdf", b"%PDF"), (".DOCX", b"PK")])
def test_a_report_is_written_by_the_files_ending(
    ending: str, start: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / f"note{ending}"
    assert call(report, "--child", "1", "--kind", "progress-note", "--out", str(out), "--json") == 0
    assert out.read_bytes().startswith(start)
    assert json.loads(capsys.readouterr().out) == {"out": str(out), "kind": "progress-note", "draft": True}


def test_another_ending_or_day_is_refused_before_anything_is_written(tmp_path: Path) -> None:
    for out, more in (("note.txt", []), ("note.pdf", ["--from", "11/02/2026"])):
        with pytest.raises(BadValue):
            call(report, "--child", "1", "--kind", "handover", "--out", str(tmp_path / out), *more)
        assert not (tmp_path / out).exists()


def test_a_child_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(BadValue) as told:
        call(export, "--child", "9", "--as", "csv", "--out", str(tmp_path / "x.csv"))
    assert told.value.code == "no_such_child"


@pytest.mark.parametrize("form", FORMS)
def test_each_form_is_written(form: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "out"
    assert call(export, "--child", "1", "--as", form, "--out", str(out), "--json") == 0
    assert json.loads(capsys.readouterr().out)["bytes"] == out.stat().st_size > 0


def test_the_archive_is_everything(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    call(export, "--child", "1", "--as", "archive", "--out", str(tmp_path / "wren.zip"))
    assert read_archive((tmp_path / "wren.zip").read_bytes()) == example("Wren")
    assert "wren.zip" in capsys.readouterr().out


def test_each_sharing_has_an_id_of_its_own(tmp_path: Path) -> None:
    ids = set()
    for name in ("a", "b"):
        call(export, "--child", "1", "--as", "deidentified", "--out", str(tmp_path / name))
        ids.add(json.loads((tmp_path / name).read_text("utf-8"))["id"])
    assert len(ids) == 2


def test_the_verbs_know_every_kind_and_form() -> None:
    assert (report.KINDS, export.FORMS) == (KINDS, FORMS)
