"""`bylittle backup` and `restore`: one encrypted file, all or nothing."""

from __future__ import annotations

import json
import sqlite3
import sys
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from bylittle.cli import main, sealed

KEY = "a key that is long enough"


@pytest.fixture(autouse=True)
def key(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(sealed.KEY_VARIABLE, KEY)
    monkeypatch.delenv("DATABASE_URL", raising=False)


@pytest.fixture
def data(tmp_path: Path) -> Path:
    place = tmp_path / "data"
    (place / "files").mkdir(parents=True)
    (place / "files" / "a.jpg").write_bytes(b"picture of Wren" * 5000)
    with closing(sqlite3.connect(place / "bylittle.sqlite3")) as database:
        database.execute("CREATE TABLE child (name TEXT)")
        database.execute("INSERT INTO child VALUES ('Wren')")
        database.commit()
    return place


def told(capsys: pytest.CaptureFixture[str], *words: str | Path) -> tuple[int, dict[str, Any]]:
    capsys.readouterr()
    code = main([*map(str, words), "--json"])
    return code, json.loads(capsys.readouterr().out)


class TestSealed:
    """With the library that encrypts."""

    @pytest.fixture
    def backup(self, data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Path:
        out = tmp_path / "one.backup"
        code, said = told(capsys, "backup", "--data", data, out)
        assert (code, said["files"], said["bytes"]) == (0, 2, out.stat().st_size)
        return out

    def test_round_trip(self, backup: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        back = tmp_path / "new" / "data"
        code, said = told(capsys, "restore", backup, "--data", back)
        assert (code, said["files"]) == (0, 2)
        assert (back / "files/a.jpg").read_bytes() == b"picture of Wren" * 5000
        with closing(sqlite3.connect(back / "bylittle.sqlite3")) as database:
            assert database.execute("SELECT name FROM child").fetchall() == [("Wren",)]

    def test_nothing_can_be_read_in_it(self, backup: Path, data: Path, tmp_path: Path) -> None:
        content = backup.read_bytes()
        assert b"Wren" not in content
        assert b"SQLite" not in content
        assert backup.stat().st_mode & 0o077 == 0
        again = tmp_path / "two.backup"
        assert main(["backup", "--data", str(data), str(again)]) == 0
        assert again.read_bytes()[16:64] != content[16:64]

    @pytest.mark.parametrize("place", [17, 40, 61, 70, 5000, -40, -3])
    def test_a_changed_byte_is_found_and_nothing_is_written(
        self, backup: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], place: int
    ) -> None:
        content = bytearray(backup.read_bytes())
        content[place] ^= 1
        backup.write_bytes(content)
        before = sorted(tmp_path.rglob("*"))
        code, said = told(capsys, "restore", backup, "--data", tmp_path / "back")
        assert (code, set(said)) == (2, {"fault", "mend"})
        assert "damaged" in said["fault"] or (place < 60 and "key does not open" in said["fault"])
        assert sorted(tmp_path.rglob("*")) == before

    @pytest.mark.parametrize("length", [10, 50, 70, 6000])
    def test_a_file_cut_short_is_told(
        self, backup: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], length: int
    ) -> None:
        backup.write_bytes(backup.read_bytes()[:length])
        code, said = told(capsys, "restore", backup, "--data", tmp_path / "back")
        assert (code, set(said)) == (2, {"fault", "mend"})
        assert "Nothing was written" in said["mend"]
        assert not (tmp_path / "back").exists()

    def test_another_key_writes_nothing(
        self, backup: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        other = tmp_path / "other.key"
        other.write_text("another long key\n")
        code, said = told(capsys, "restore", backup, "--data", tmp_path / "back", "--key-file", other)
        assert (code, "key does not open" in said["fault"]) == (2, True)
        assert not (tmp_path / "back").exists()

    def test_the_key_may_stand_in_a_file(
        self, backup: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.delenv(sealed.KEY_VARIABLE)
        file = tmp_path / "the.key"
        file.write_text(f"{KEY}\n")
        back = tmp_path / "back"
        assert main(["restore", str(backup), "--data", str(back), "--key-file", str(file)]) == 0
        assert (back / "bylittle.sqlite3").is_file()

    def test_a_directory_with_anything_in_it_is_left_alone(
        self, backup: Path, data: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        before = {path: path.stat().st_mtime_ns for path in data.rglob("*")}
        code, said = told(capsys, "restore", backup, "--data", data)
        assert (code, "is not empty" in said["fault"]) == (2, True)
        assert {path: path.stat().st_mtime_ns for path in data.rglob("*")} == before

    def test_an_empty_directory_is_filled(self, backup: Path, tmp_path: Path) -> None:
        (tmp_path / "empty").mkdir()
        assert main(["restore", str(backup), "--data", str(tmp_path / "empty")]) == 0
        assert (tmp_path / "empty" / "files" / "a.jpg").is_file()

    def test_a_later_backup_takes_the_place_of_an_earlier_one(self, backup: Path, data: Path) -> None:
        before = backup.read_bytes()
        assert main(["backup", "--data", str(data), str(backup)]) == 0
        assert backup.read_bytes() != before


def test_without_the_library_it_says_what_to_install(
    data: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for name in [name for name in sys.modules if name.split(".")[0] == "cryptography"]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, "cryptography", None)
    code, said = told(capsys, "backup", "--data", data, tmp_path / "one.backup")
    assert (code, "cryptography is missing" in said["fault"]) == (2, True)
    assert [path.name for path in tmp_path.iterdir()] == ["data"]


@pytest.mark.parametrize(
    ("key", "said"), [("", "There is no key"), ("short", "The key is too short to protect anything")]
)
def test_no_key_or_a_short_one(
    data: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str],
    key: str, said: str,
) -> None:  # fmt: skip
    monkeypatch.setenv(sealed.KEY_VARIABLE, key)
    code, found = told(capsys, "backup", "--data", data, tmp_path / "one.backup")
    assert code == 2
    assert said in found["fault"]
    assert not (tmp_path / "one.backup").exists()


def test_places_that_would_do_harm_are_refused(
    data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    database = data / "bylittle.sqlite3"
    before = database.read_bytes()
    letter = tmp_path / "letter.txt"
    letter.write_text("to keep")
    for out, fault in (
        (database, "inside the directory"),
        (data / "one.backup", "inside the directory"),
        (letter, "is there already and is no backup"),
    ):
        code, said = told(capsys, "backup", "--data", data, out)
        assert (code, fault in said["fault"]) == (2, True), out
    assert (database.read_bytes(), letter.read_text()) == (before, "to keep")
    assert told(capsys, "backup", "--data", tmp_path / "none", tmp_path / "x")[0] == 2


def test_records_in_postgresql_have_tools_of_their_own(
    data: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("DATABASE_URL", "postgresql://somewhere/records")
    code, said = told(capsys, "backup", "--data", data, tmp_path / "one.backup")
    assert (code, "pg_dump" in said["mend"]) == (2, True)
    code, said = told(capsys, "restore", tmp_path / "one.backup", "--data", tmp_path / "back")
    assert (code, "pg_restore" in said["mend"]) == (2, True)


def test_what_is_no_backup_is_told(tmp_path: Path, data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, said = told(capsys, "restore", data / "files" / "a.jpg", "--data", tmp_path / "back")
    assert (code, "is not a backup" in said["fault"]) == (2, True)
    code, said = told(capsys, "restore", tmp_path / "gone.backup", "--data", tmp_path / "back")
    assert (code, "gone.backup" in said["fault"]) == (2, True)
