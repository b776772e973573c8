"""`bylittle sheet print` and `sheet read`: files, JSON and exit codes."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
import segno
from PIL import Image

from bylittle.cli import main
from bylittle.core.sheet import geometry, identity
from bylittle.core.sheet.shape import PAPERS
from bylittle.reading.pictures import MOST_PAGES

Bad = Callable[[Path], bytes]

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


def test_a_missing_file_and_a_folder_lose_no_other(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _, pdf = printed(tmp_path, PLAN)
    good, gone, folder = str(scanned(pdf)), str(tmp_path / "none.jpg"), str(tmp_path)
    capsys.readouterr()
    assert main(["sheet", "read", "--json", good, gone, folder, good]) == 0
    told = json.loads(capsys.readouterr().out)
    assert [each["photo"] for each in told] == [good, gone, folder, good]
    assert [each["result"] for each in told] == ["read", "refused", "refused", "read"]
    assert len({tuple(each) for each in told}) == 1
    assert "No such file" in told[1]["why"]
    assert "Check the file's name and place" in told[1]["why"]
    assert [(each["sheet"], each["page"], each["marks"], each["conflicts"]) for each in told[1:3]] == [
        (None, None, [], [])
    ] * 2


def test_a_missing_file_in_words(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, pdf = printed(tmp_path, PLAN)
    assert main(["sheet", "read", str(tmp_path / "none.jpg"), str(scanned(pdf))]) == 0
    said = capsys.readouterr().out
    assert "none.jpg: refused." in said
    assert "0 marked of" in said


def test_where_no_file_opens_each_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    files = [str(tmp_path / name) for name in ("one.jpg", "two.jpg")]
    assert main(["sheet", "read", "--json", *files]) == 2
    told = json.loads(capsys.readouterr().out)
    assert set(told) == {"fault", "mend"}
    assert all(name in told["fault"] for name in files)


def test_the_same_advice_is_given_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, _ = printed(tmp_path, {"plan": "7F3A9C"}, "--json")
    told = json.loads(capsys.readouterr().out)
    assert code == 2
    assert "version is missing" in told["fault"]
    assert "days is missing" in told["fault"]
    assert told["mend"].count("Add it") == 1


def test_a_further_copy_is_another_sheet_of_the_same_plan(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told = []
    for copy in "AB":
        _, pdf = printed(tmp_path, PLAN | {"copy": copy, "start": "2026-11-30"})
        capsys.readouterr()
        assert main(["sheet", "read", "--json", str(scanned(pdf))]) == 0
        told.append(identity.read(json.loads(capsys.readouterr().out)[0]["sheet"]))
    assert [sheet.copy for sheet in told] == ["A", "B"]
    assert replace(told[1], copy="A") == told[0]


def test_a_map_that_cannot_be_written_leaves_no_sheet_behind(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, pdf = printed(tmp_path, PLAN, "--map", str(tmp_path / "nowhere" / "map.json"), "--json")
    assert code == 2
    assert "map.json" in json.loads(capsys.readouterr().out)["fault"]
    assert not pdf.exists()


def wrong_number(pdf: Path) -> bytes:
    """The scanned page with a square code whose check sign does not fit, and no other code."""
    picture = Image.open(scanned(pdf)).convert("L")
    mm = 150 / 25.4
    page = geometry.pages(geometry.Shape(PAPERS["a4"], 1, 1, 1, 2))[0]
    for box in (page.qr, page.matrix):
        picture.paste(255, tuple(round(edge * mm) for edge in (*box.corners[0], *box.corners[2])))
    number = str(identity.SheetId(geometry.Shape(PAPERS["a4"], 7, 2, 1, 3, 2), 1, 1))
    code = BytesIO()
    other = number[:-1] + ("0" if number[-1] != "0" else "1")
    segno.make_qr(other, error="m").save(code, kind="png", scale=6, border=0)
    drawn = Image.open(code).convert("L").resize((round(page.qr.w * mm),) * 2, Image.Resampling.NEAREST)
    picture.paste(drawn, (round(page.qr.x * mm), round(page.qr.y * mm)))
    out = BytesIO()
    picture.save(out, "PNG")
    return out.getvalue()


def pages_400(pdf: Path) -> bytes:
    document, out = pypdfium2.PdfDocument.new(), BytesIO()
    for _ in range(400):
        document.new_page(60, 80)
    document.save(out)
    return out.getvalue()


def bomb(pdf: Path) -> bytes:
    """A small file that says it holds 200 megapixels."""
    out = BytesIO()
    Image.new("1", (20_000, 10_000)).save(out, "PNG")
    return out.getvalue()


def cut_short(pdf: Path) -> bytes:
    out = BytesIO()
    Image.open(scanned(pdf)).save(out, "JPEG")
    return out.getvalue()[: out.tell() // 2]


def scripted(pdf: Path) -> bytes:
    return b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>"


@pytest.mark.parametrize(
    ("bad", "pictures", "said"),
    [
        (wrong_number, 1, "number"),
        (pages_400, MOST_PAGES + 1, "400 pages"),
        (bomb, 1, "200 megapixels"),
        (cut_short, 1, "cut short"),
        (scripted, 1, "SVG"),
        (lambda pdf: b"no picture", 1, "not a picture"),
        (lambda pdf: b"", 1, "empty"),
    ],
)
def test_a_bad_file_gets_a_clear_answer_and_loses_no_other(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], bad: Bad, pictures: int, said: str
) -> None:
    _, pdf = printed(tmp_path, PLAN)
    file = tmp_path / "bad.file"
    file.write_bytes(bad(pdf))
    good = scanned(pdf)
    capsys.readouterr()
    assert main(["sheet", "read", "--json", str(file), str(good)]) == 0
    *refused, read = json.loads(capsys.readouterr().out)
    assert len(refused) == pictures
    assert {each["result"] for each in refused} == {"refused"}
    assert {(each["sheet"], len(each["marks"])) for each in refused} == {(None, 0)}
    assert said in refused[-1]["why"]
    assert (read["photo"], read["result"]) == (str(good), "read")
