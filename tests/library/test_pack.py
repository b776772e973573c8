"""The pack: a blink to open, never wrong where a file was edited, nothing lost on the way through it."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from bylittle import library
from bylittle.library import __main__ as door
from bylittle.library import kept_skills, pack
from bylittle.library.faults import FileFault


def test_the_pack_is_current() -> None:
    """`python -m bylittle.library` renews it."""
    assert pack.is_current()


def test_an_edited_file_is_read_afresh(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pack, "_packed", lambda: {"words.toml": {"digest": "old", "table": {"format": 99}}})
    assert pack.table("words.toml", [])["format"] == 1


def test_a_skill_edited_since_is_not_taken_from_the_pack(monkeypatch: pytest.MonkeyPatch) -> None:
    name = "skills/wash-hands.toml"
    assert pack.kept_skill(name)
    edited = {name: {**pack._packed()[name], "digest": "old"}}
    monkeypatch.setattr(pack, "_packed", lambda: edited)
    assert pack.kept_skill(name) is None


@pytest.mark.parametrize("name", [*pack.SHARED, *pack.CODE])
def test_a_shared_list_edited_since_has_every_skill_checked_again(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert pack.shared_is_current()
    edited = {**pack._packed(), name: {"digest": "old"}}
    monkeypatch.setattr(pack, "_packed", lambda: edited)
    assert not pack.shared_is_current()


@pytest.mark.parametrize("name", pack.skill_files())
def test_a_kept_skill_is_the_skill_of_its_file_in_both_languages(name: str) -> None:
    """The way through the pack loses nothing: the file read afresh and the kept lists give the same."""
    faults: list[FileFault] = []
    afresh = library.read_skill_file(name, faults)
    row = json.loads(json.dumps(kept_skills.plain(afresh)))
    back = kept_skills.skill_of(row, library.hazards())
    assert faults == []
    assert back == afresh
    assert kept_skills.plain(back) == row
    assert pack.kept_skill(name) in (row, None)


def test_opening_the_library_reads_no_toml() -> None:
    """What opens in a blink: neither the readers nor TOML are loaded while the pack is current."""
    loaded = "bylittle.library.skillfile", "tomllib", "numpy", "pathlib"
    say = f"print([name for name in {loaded} if name in sys.modules])"
    code = f"import sys; from bylittle import library; library.skills(); {say}"
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"


def test_renewing_the_pack_tells_every_fault_and_keeps_the_old_one(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    broken = b'format = 1\nid = "x"\n'
    whole = pack.raw
    monkeypatch.setattr(pack, "raw", lambda name: broken if name == "skills/wash-hands.toml" else whole(name))
    monkeypatch.setattr(pack, "write", lambda *given: pytest.fail("a faulty library was packed"))
    assert door.main() == 1
    told = capsys.readouterr().out
    assert "skills/wash-hands.toml: area: missing. Add it." in told
    assert told.count("skills/wash-hands.toml") > 10
