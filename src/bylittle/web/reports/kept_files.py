"""Pictures that go with a child's record: read from where they lie, and put there again."""

from __future__ import annotations

import secrets
from pathlib import Path

from django.conf import settings

from bylittle.core.evidence.kept_parts import KeptFile

SCANS, PICTURES = "scans", "pictures"


def folder(kind: str) -> Path:
    """Where the pictures of a kind lie."""
    place = Path(settings.DATA_DIR) / "files" / kind
    place.mkdir(parents=True, exist_ok=True)
    return place


def read(kind: str, name: str) -> KeptFile | None:
    """A picture; None where it is not kept any more."""
    place = folder(kind) / name
    if not name or Path(name).name != name or not place.is_file():
        return None
    return KeptFile(f"{kind}/{name}", place.read_bytes())


def written(kind: str, file: KeptFile) -> str:
    """Put a picture there, under its own name where that is free; returns the name."""
    name = Path(file.name).name
    if (folder(kind) / name).exists():
        name = f"{secrets.token_hex(16)}.jpg"
    (folder(kind) / name).write_bytes(file.content)
    return name
