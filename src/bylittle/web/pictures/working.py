"""Working copies: uncovered photos and clips while they are edited, outside what is kept and backed up."""

from __future__ import annotations

import secrets
import time
from collections.abc import Iterable
from pathlib import Path

from django.conf import settings


def folder() -> Path:
    """Where working copies lie; only the program's own user may look in."""
    place = Path(settings.DATA_DIR) / "working"
    place.mkdir(parents=True, exist_ok=True, mode=0o700)
    return place


def put(chunks: Iterable[bytes], ending: str) -> str:
    """Write a working copy; its name says nothing of the child."""
    name = f"{secrets.token_hex(16)}.{ending}"
    with (folder() / name).open("wb") as file:
        file.writelines(chunks)
    return name


def path(name: str) -> Path:
    """The file of a working copy."""
    return folder() / Path(name).name


def drop(names: Iterable[str]) -> None:
    """Delete working copies; one that is gone already is no matter."""
    for name in names:
        if name:
            path(name).unlink(missing_ok=True)


def drop_older_than(hours: float) -> int:
    """Delete every working copy of that age, whoever may still point to it. How many."""
    limit = time.time() - hours * 3600
    old = [file for file in folder().iterdir() if file.is_file() and file.stat().st_mtime < limit]
    for file in old:
        file.unlink(missing_ok=True)
    return len(old)
