"""`bylittle sheet print` and `sheet read`: files, JSON and exit codes."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from bylittle.cli import main

PLAN: dict[str, Any] = {
    "plan": "7F3A9C",
    "version": 3,
    "skill": "Pull on a rain boot",
    "child": "Wren",
    "steps": [{"name": "Pull up", "cue": "Pull up", "asked": True, "help": "light touch"}],
    "levels": ["hand over hand", "light touch", "alone"],
    "days": 7,
    "turns_per_day": 2,
    "language": "en",
    "adults": ["M", "D"],
}


def printed(tmp_path: Path, plan: dict[str, Any], *more: str, paper: str = "a4") -> tuple[int, Path]:
    (tmp_path / "plan.json").write_text(json.dumps(plan), "utf-8")
    pdf = tmp_path / "sheet.pdf"
    given = ["sheet", "print", "--plan", str(tmp_path / "plan.json"), "--paper", paper, "--pdf", str(pdf)]
    return main([*given, *more]), pdf


def scanned(pdf: Path, page: int = 0) -> Path:
    photo = pdf.with_suffix(f".{page}.png")
    pypdfium2.PdfDocument(pdf)[page].render(scale=150 / 72).to_pil().save(photo)
    return photo


def test_print_writes_the_sheet_and_its_map(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, pdf = printed(tmp_path, PLAN, "--map", str(tmp_path / "map.json"), paper="letter")
    assert code == 0
    assert pdf.read_bytes().startswith(b"%PDF-")
    told = json.loads((tmp_path / "map.json").read_text("utf-8"))
    assert set(told) == {"sheet", "paper", "pages"}
    assert told["paper"] == "letter"
    assert told["pages"][0]["size_mm"] == [215.9, 279.4]
    assert set(told["pages"][0]["bubbles"][0]) == {"id", "row", "meaning", "x_mm", "y_mm", "r_mm"}
    assert told["sheet"] in capsys.readouterr().out


def test_a_blank_scan_is_read_as_blank(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, pdf = printed(tmp_path, PLAN, "--map", str(tmp_path / "map.json"))
    capsys.readouterr()
    assert main(["sheet", "read", "--json", str(scanned(pdf))]) == 0
    (told,) = json.loads(capsys.readouterr().out)
    assert set(told) == {"photo", "sheet", "page", "result", "why", "marks", "conflicts"}
    known = json.loads((tmp_path / "map.json").read_text("utf-8"))
    assert told["sheet"] == known["sheet"]
    assert (told["page"], told["result"], told["conflicts"]) == (1, "read", [])
    assert [mark["id"] for mark in told["marks"]] == [b["id"] for b in known["pages"][0]["bubbles"]]
    assert {mark["state"] for mark in told["marks"]} == {"blank"}
    assert set(told["marks"][0]) == {"id", "state", "ink"}


def test_every_page_names_the_same_sheet(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    step = PLAN["steps"][0]
    _, pdf = printed(tmp_path, PLAN | {"steps": [step] * 10}, "--map", str(tmp_path / "map.json"))
    capsys.readouterr()
    assert main(["sheet", "read", "--json", str(pdf)]) == 0
    told = json.loads(capsys.readouterr().out)
    known = json.loads((tmp_path / "map.json").read_text("utf-8"))
    assert [result["page"] for result in told] == [page["page"] for page in known["pages"]] == [1, 2]
    assert {result["sheet"] for result in told} == {known["sheet"]}


def test_several_photos_one_of_them_bad(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, pdf = printed(tmp_path, PLAN)
    bad = tmp_path / "notes.txt"
    bad.write_text("no picture")
    capsys.readouterr()
    assert main(["sheet", "read", "--json", str(bad), str(scanned(pdf))]) == 0
    first, second = json.loads(capsys.readouterr().out)
    assert (first["result"], first["sheet"], first["page"], first["marks"]) == ("refused", None, None, [])
    assert "JPEG" in first["why"]
    assert second["result"] == "read"


def test_in_words_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, pdf = printed(tmp_path, PLAN)
    assert main(["sheet", "read", str(scanned(pdf))]) == 0
    assert "0 marked of" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("change", "said"),
    [({"days": 8}, "days is 8"), ({"language": "xx"}, "language"), ({"colour": 1}, "colour")],
)
def test_a_wrong_plan_could_not_run(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], change: dict[str, Any], said: str
) -> None:
    code, pdf = printed(tmp_path, PLAN | change, "--json")
    assert code == 2
    told = json.loads(capsys.readouterr().out)
    assert set(told) == {"fault", "mend"}
    assert said in told["fault"]
    assert told["mend"]
    assert not pdf.exists()


def test_a_file_that_is_not_there_could_not_run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sheet", "read", "--json", str(tmp_path / "none.jpg")]) == 2
    assert "none.jpg" in json.loads(capsys.readouterr().out)["fault"]
