"""What a backup holds: a directory as one tar, its database copied while somebody writes."""

from __future__ import annotations

import io
import json
import sqlite3
import tarfile
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from bylittle.core.faults import BadValue
from bylittle.files.backup import ABOUT, DATABASE, FORM, pack, unpack

MADE = datetime(2026, 11, 25, 21, 30, tzinfo=UTC)


@pytest.fixture
def data(tmp_path: Path) -> Iterator[Path]:
    """A data directory whose database is open and has words that are only in its write-ahead file."""
    place = tmp_path / "data"
    (place / "files" / "scans").mkdir(parents=True)
    (place / "working").mkdir()
    (place / "files" / "scans" / "a.jpg").write_bytes(b"picture" * 1000)
    (place / "working" / "clip.mp4").write_bytes(b"not kept yet")
    (place / "secret-key").write_text("secret")
    (place / "elsewhere").symlink_to(tmp_path)
    with closing(sqlite3.connect(place / DATABASE)) as database:
        database.execute("PRAGMA journal_mode=WAL")
        database.execute("CREATE TABLE mark (word TEXT)")
        database.execute("INSERT INTO mark VALUES ('written just now')")
        database.commit()
        yield place


def packed(data: Path) -> io.BytesIO:
    out = io.BytesIO()
    assert pack(data, out, MADE, "1.0") == 3
    out.seek(0)
    return out


def test_what_is_packed_comes_back(data: Path, tmp_path: Path) -> None:
    back = tmp_path / "back"
    back.mkdir()
    assert unpack(packed(data), back) == (3, MADE)
    names = sorted(path.relative_to(back).as_posix() for path in back.rglob("*") if path.is_file())
    assert names == [DATABASE, "files/scans/a.jpg", "secret-key"]
    assert (back / "files/scans/a.jpg").read_bytes() == b"picture" * 1000
    assert (back / "secret-key").stat().st_mode & 0o077 == 0
    with closing(sqlite3.connect(back / DATABASE)) as database:
        assert database.execute("SELECT word FROM mark").fetchall() == [("written just now",)]


def test_nothing_is_left_beside_the_records(data: Path) -> None:
    before = sorted(data.rglob("*"))
    packed(data)
    assert sorted(data.rglob("*")) == before


def tar_of(*members: tuple[str, bytes]) -> io.BytesIO:
    out = io.BytesIO()
    with tarfile.open(fileobj=out, mode="w") as tar:
        for name, content in members:
            told = tarfile.TarInfo(name)
            told.size = len(content)
            tar.addfile(told, io.BytesIO(content))
    out.seek(0)
    return out


HEAD = (ABOUT, json.dumps({"form": FORM, "made": MADE.isoformat(), "program": "1.0"}).encode())


@pytest.mark.parametrize(
    "members",
    [
        (("other.txt", b"x"),),
        ((ABOUT, b'{"form": "bylittle backup 9"}'),),
        (HEAD, ("../outside", b"x")),
        (HEAD, ("/tmp/outside", b"x")),
    ],
)
def test_what_is_no_backup_is_refused(tmp_path: Path, members: tuple[tuple[str, bytes], ...]) -> None:
    back = tmp_path / "back"
    back.mkdir()
    with pytest.raises(BadValue) as caught:
        unpack(tar_of(*members), back)
    assert caught.value.code == "no_backup"
    assert list(tmp_path.rglob("outside")) == []
