"""The data files, parsed once and kept in one file, so that the library opens in a blink.

Each table is kept with the digest of the text it came from. A file that was edited since is parsed
afresh, so the pack can be old but never wrong. Renew it with `python -m bylittle.library`.
"""

from __future__ import annotations

import hashlib
import json
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

from bylittle.library.datafile import Table, parse
from bylittle.library.faults import FileFault

HERE = Path(__file__).parent
PACK = HERE / "packed.json"


def file_names() -> list[str]:
    """Every trade file of the library, from its folder, sorted. The wording has a loader of its own."""
    found = [*HERE.glob("*.toml"), *HERE.glob("skills/*.toml")]
    return sorted(path.relative_to(HERE).as_posix() for path in found)


def _digest(text: bytes) -> str:
    return hashlib.sha256(text).hexdigest()[:16]


@cache
def _packed() -> dict[str, Any]:
    try:
        told = json.loads(PACK.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return told if isinstance(told, dict) else {}


def table(name: str, faults: list[FileFault]) -> Table:
    """The tables of one data file, from the pack where it is up to date."""
    raw = (HERE / name).read_bytes()
    kept = _packed().get(name)
    if kept and kept["digest"] == _digest(raw):
        return dict(kept["table"])
    return parse(raw.decode("utf-8"), name, faults)


def is_current() -> bool:
    """Whether the pack holds every data file as it now stands."""
    kept = {name: entry["digest"] for name, entry in _packed().items()}
    return kept == {name: _digest((HERE / name).read_bytes()) for name in file_names()}


def renew() -> int:
    """Write the pack from the data files; returns how many."""
    made = {}
    for name in file_names():
        raw = (HERE / name).read_bytes()
        made[name] = {"digest": _digest(raw), "table": tomllib.loads(raw.decode("utf-8"))}
    PACK.write_text(json.dumps(made, ensure_ascii=False, separators=(",", ":")) + "\n", encoding="utf-8")
    return len(made)
