"""The command line as a whole: verbs, exit codes, and one JSON value in every case."""

from __future__ import annotations

import json
import re
import sys
from pathlib import Path
from types import ModuleType

import pytest

from bylittle.cli import VERBS, main
from bylittle.core.faults import BadValue
from bylittle.core.practice.log import PracticeLog
from bylittle.files.csv_head import Against, version_of
from bylittle.workflows.import_log import plan_import

HEADER = "date,turn,step,offered,result,adult,place,grade,source,note\n"
ROW = "2026-03-02,1,Pull up,words,managed,M,hall,,home,\n"
AGAINST = Against(version_of("Pull on a rain boot", ("Open the boot", "Pull up")))


@pytest.fixture
def records(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """Stands in for the records of the web part."""
    module = ModuleType("bylittle.web.records")
    skill = {"id": "5", "name": "Pull on a rain boot", "plan": "7F3A9C", "version": 2}
    parked = {"id": "6", "name": "Wash hands", "plan": None, "version": None}

    def children(data: Path) -> list[dict[str, object]]:
        return [{"id": "3", "name": "Wren", "skills": [skill, parked]}]

    def import_log(data: Path, text: bytes, child: str, skill: str | None) -> object:
        if child != "3":
            raise BadValue("no_such_child", name="child", value=child, allowed=(3,))
        return plan_import(text, PracticeLog(), AGAINST)

    module.children, module.import_log = children, import_log  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "bylittle.web.records", module)
    return module


@pytest.fixture
def log(tmp_path: Path) -> Path:
    path = tmp_path / "log.csv"
    path.write_text(HEADER + ROW, "utf-8")
    return path


def test_help_names_every_verb(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--help"]) == 0
    out = capsys.readouterr().out
    assert all(re.search(rf"^    {verb}\b", out, re.M) for verb in VERBS)


def test_without_a_verb_it_shows_the_help_and_could_not_run(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([]) == 2
    assert "usage: bylittle" in capsys.readouterr().err


def test_an_unknown_verb_is_told_as_json_where_asked(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["advice", "--json"]) == 2
    assert set(json.loads(capsys.readouterr().out)) == {"fault", "mend"}


def test_children_are_listed(records: ModuleType, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["children", "--data", "x", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)[0]["skills"][0]["plan"] == "7F3A9C"
    assert main(["children", "--data", "x"]) == 0
    page = capsys.readouterr().out
    assert "3  Wren" in page
    assert "no plan yet" in page


def test_import_says_what_was_added(
    records: ModuleType, log: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["import", str(log), "--data", "x", "--child", "3", "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == {"added": 1, "already": 0, "faults": []}


def test_import_of_a_faulty_file_exits_1_and_tells_every_fault(
    records: ModuleType, log: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    log.write_text(HEADER + ROW.replace("words", "") + ROW.replace(",1,", ",0,"), "utf-8")
    assert main(["import", str(log), "--data", "x", "--child", "3", "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert (told["added"], told["already"]) == (0, 0)
    assert [(fault["line"], fault["column"]) for fault in told["faults"]] == [(2, "offered"), (3, "turn")]
    assert all(fault["fault"] and fault["mend"] for fault in told["faults"])
    assert main(["import", str(log), "--data", "x", "--child", "3"]) == 1
    assert "Line 2, offered: " in capsys.readouterr().out


def test_import_for_nobody_could_not_run(
    records: ModuleType, log: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["import", str(log), "--data", "x", "--child", "9", "--json"]) == 2
    assert "bylittle children" in json.loads(capsys.readouterr().out)["mend"]


def test_import_of_a_missing_file_could_not_run(
    records: ModuleType, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["import", "missing.csv", "--data", "x", "--child", "3", "--json"]) == 2
    assert "missing.csv" in json.loads(capsys.readouterr().out)["fault"]


@pytest.mark.parametrize(("verb", "demo"), [("serve", False), ("demo", True)])
def test_serve_and_demo_open_the_web_application(
    verb: str, demo: bool, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    module, called = ModuleType("bylittle.web.serve"), []

    def run(data: Path, port: int, demo: bool) -> int:
        called.append((data, port, demo))
        return 0

    module.run = run  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "bylittle.web.serve", module)
    assert main([verb, "--data", str(tmp_path), "--port", "8123"]) == 0
    assert called == [(tmp_path, 8123, demo)]


@pytest.mark.parametrize("port", ["0", "65536", "eight"])
def test_a_port_that_is_none_is_refused(port: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["demo", "--port", port]) == 2
    assert f"{port} is not a port" in capsys.readouterr().err


def test_a_part_that_is_not_installed_is_named_with_its_extra(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(sys.modules, "bylittle.web.records", ModuleType("bylittle.web.records"))

    def missing(data: Path) -> None:
        raise ModuleNotFoundError("No module named 'django'", name="django.db")

    sys.modules["bylittle.web.records"].children = missing  # type: ignore[attr-defined]
    assert main(["children", "--data", "x", "--json"]) == 2
    assert "bylittle[web]" in json.loads(capsys.readouterr().out)["mend"]


def test_what_nobody_expected_is_told_and_traced(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    module = ModuleType("bylittle.web.records")
    module.children = lambda data: 1 / 0  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "bylittle.web.records", module)
    assert main(["children", "--data", "x", "--json"]) == 2
    out, err = capsys.readouterr()
    assert "ZeroDivisionError" in json.loads(out)["fault"]
    assert "Traceback" in err
