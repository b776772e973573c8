"""What a backup holds: a data directory as one tar, its database copied safely while the program runs."""

from __future__ import annotations

import io
import json
import os
import sqlite3
import tarfile
from collections.abc import Iterator
from contextlib import closing
from datetime import datetime
from pathlib import Path, PurePosixPath
from tempfile import TemporaryDirectory
from typing import IO

from bylittle.core.faults import BadValue

FORM = "bylittle backup 1"
ABOUT = "about.json"
DATABASE = "bylittle.sqlite3"
_OF_DATABASE = tuple(f"{DATABASE}{end}" for end in ("", "-wal", "-shm", "-journal"))
LEFT_OUT = "working"  # copies that live for hours, of photos that nobody has kept yet
_CHUNK = 1 << 20


def pack(data: Path, out: io.RawIOBase | IO[bytes], made: datetime, program: str) -> int:
    """Write the directory as a tar stream; how many files. `made`: with its zone.

    The database is copied with SQLite's own online copy, which waits for nobody and stops nobody. A kept file
    that is deleted meanwhile is left out.
    """
    with (
        TemporaryDirectory(dir=data, prefix=".backup-") as aside,
        tarfile.open(fileobj=out, mode="w|") as tar,
    ):
        copy = Path(aside) / DATABASE
        _copy_database(data / DATABASE, copy)
        told = {"form": FORM, "made": made.isoformat(), "program": program}
        _add_bytes(tar, ABOUT, json.dumps(told).encode())
        count = _add_file(tar, DATABASE, copy)
        return count + sum(_add_file(tar, name, data / name) for name in _kept(data))


def _copy_database(database: Path, copy: Path) -> None:
    with (
        closing(sqlite3.connect(f"file:{database}?mode=rw", uri=True, timeout=20)) as there,
        closing(sqlite3.connect(copy)) as here,
    ):
        there.backup(here)


def _kept(data: Path) -> Iterator[str]:
    """Every file to be kept beside the database, by its path below the directory; links are not followed."""
    for folder, below, names in os.walk(data):
        at = Path(folder).relative_to(data)
        below[:] = sorted(name for name in below if not name.startswith(".") and at / name != Path(LEFT_OUT))
        for name in sorted(names):
            path = Path(folder) / name
            if path.is_file() and not path.is_symlink() and not (at == Path() and name in _OF_DATABASE):
                yield (at / name).as_posix()


def _add_bytes(tar: tarfile.TarFile, name: str, content: bytes) -> None:
    told = tarfile.TarInfo(name)
    told.size = len(content)
    tar.addfile(told, io.BytesIO(content))


def _add_file(tar: tarfile.TarFile, name: str, path: Path) -> int:
    try:
        with path.open("rb") as file:
            told = tarfile.TarInfo(name)
            told.size, told.mode = os.fstat(file.fileno()).st_size, 0o600
            tar.addfile(told, file)
    except FileNotFoundError:
        return 0
    return 1


def unpack(stream: IO[bytes], to: Path) -> tuple[int, datetime]:
    """Write a backup's files into an empty directory; how many, and when the backup was made.

    BadValue (`no_backup`) for what is none, and for a form of a later program.
    """
    with tarfile.open(fileobj=stream, mode="r|") as tar:
        members = iter(tar)
        made = _about(tar, next(members, None))
        count = 0
        for member in members:
            _write(tar, member, to)
            count += 1
    return count, made


def _about(tar: tarfile.TarFile, member: tarfile.TarInfo | None) -> datetime:
    file = tar.extractfile(member) if member is not None and member.name == ABOUT else None
    told = json.loads(file.read()) if file is not None else {}
    if told.get("form") != FORM:
        raise BadValue("no_backup", name="backup", value=str(told.get("form", "?")), allowed=FORM)
    return datetime.fromisoformat(told["made"])


def _write(tar: tarfile.TarFile, member: tarfile.TarInfo, to: Path) -> None:
    parts = PurePosixPath(member.name).parts
    file = tar.extractfile(member) if member.isreg() else None
    if file is None or not parts or member.name.startswith("/") or ".." in parts:
        raise BadValue("no_backup", name="backup", value=member.name, allowed=FORM)
    path = to.joinpath(*parts)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.touch(mode=0o600)
    with path.open("wb") as out:
        while chunk := file.read(_CHUNK):
            out.write(chunk)
