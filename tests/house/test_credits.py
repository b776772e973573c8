"""Whatever is not our own is credited: each licence kept beside a file is named in NOTICE."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
NOTICE = (ROOT / "NOTICE").read_text(encoding="utf-8")


def licences() -> list[str]:
    """The licence texts that stand beside files of others, as the tree names them."""
    told = subprocess.run(["git", "ls-files", "src"], cwd=ROOT, capture_output=True, text=True, check=True)
    return [path for path in told.stdout.split() if Path(path).name.upper().startswith(("LICEN", "OFL"))]


def test_there_are_licences_of_others_to_credit() -> None:
    assert len(licences()) >= 4


@pytest.mark.parametrize("path", licences())
def test_each_licence_kept_here_is_named_in_the_notice(path: str) -> None:
    assert path in NOTICE
    assert len((ROOT / path).read_text(encoding="utf-8")) > 500, "the text itself stands there"


@pytest.mark.parametrize("kind", ["*.ttf", "*.onnx"])
def test_files_of_others_have_their_licence_beside_them(kind: str) -> None:
    found = sorted((ROOT / "src").rglob(kind))
    assert found
    rooms = {path.parent for path in found}
    bare = [room for room in rooms if not any(room.glob("LICEN*")) and not any(room.glob("OFL*"))]
    assert bare == []
