"""The data files, read once and kept in one file, so that the library opens in a blink.

Each table is kept with the digest of the text it came from; each skill is kept as it was checked, and counts
only while its own text and the shared lists that it points to are still the same. A file that was edited
since is read and checked afresh, so the pack can be old but never wrong. Renew it with
`python -m bylittle.library`. Only what opening needs is imported here; reading TOML is fetched when wanted.
"""

from __future__ import annotations

import json
import os
import zlib
from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from bylittle.library.datafile import Table
    from bylittle.library.faults import FileFault

HERE = os.path.dirname(__file__)
PACK = os.path.join(HERE, "packed.json")
SHARED = ("hazards.toml", "readiness.toml", "sources.toml", "warmups.toml", "words.toml")
HAZARDS = SHARED[0]
CODE = ("skill.py", "skillfile.py")
"""What a skill file may point to, and what checks it: a change in one has every skill checked again."""


def file_names() -> list[str]:
    """Every trade file of the library, from its folder, sorted. The wording has a loader of its own."""
    skills = [f"skills/{name}" for name in os.listdir(os.path.join(HERE, "skills"))]
    return sorted(name for name in (*os.listdir(HERE), *skills) if name.endswith(".toml"))


def skill_files() -> list[str]:
    """The files of the ready skills, sorted."""
    return [name for name in file_names() if name.startswith("skills/")]


def raw(name: str) -> bytes:
    """The text of a data file as it stands."""
    with open(os.path.join(HERE, name), "rb") as file:
        return file.read()


def _digest(text: bytes) -> str:
    """Tells an edited file from one that was kept; no protection against anybody, so a quick one will do."""
    return f"{zlib.crc32(text):08x}{zlib.adler32(text):08x}{len(text):x}"


@cache
def _packed() -> dict[str, Any]:
    try:
        with open(PACK, encoding="utf-8") as file:
            told = json.load(file)
    except (OSError, ValueError):
        return {}
    return told if isinstance(told, dict) else {}


def table(name: str, faults: list[FileFault]) -> Table:
    """The tables of one data file, from the pack where it is up to date."""
    text = raw(name)
    kept = _packed().get(name, {})
    if "table" in kept and kept["digest"] == _digest(text):
        return dict(kept["table"])
    from bylittle.library.datafile import parse

    return parse(text.decode("utf-8"), name, faults)


def shared_is_current() -> bool:
    """Whether the kept skills were checked against the lists, and by the code, that there are now."""
    kept = _packed()
    return all(kept.get(name, {}).get("digest") == _digest(raw(name)) for name in (*SHARED, *CODE))


def kept_skill(name: str) -> list[Any] | None:
    """The checked skill of this file as `kept_skills.plain` gave it; None where the file was edited since."""
    kept = _packed().get(name, {})
    return kept["skill"] if "skill" in kept and kept["digest"] == _digest(raw(name)) else None


def kept_hazards() -> list[Any] | None:
    """Every hazard as `kept_skills.plain` gave it; None where the file was edited since."""
    kept = _packed().get(HAZARDS, {})
    return kept["values"] if "values" in kept and kept["digest"] == _digest(raw(HAZARDS)) else None


def is_current() -> bool:
    """Whether the pack holds every data file as it now stands."""
    kept = {name: entry["digest"] for name, entry in _packed().items()}
    return kept == {name: _digest(raw(name)) for name in (*file_names(), *CODE)}


def write(skills: Mapping[str, list[Any]], hazards: list[Any]) -> int:
    """Write the pack from the data files and what was checked: `skills` by file, `hazards`; returns files."""
    import tomllib

    made: dict[str, dict[str, Any]] = {name: {"digest": _digest(raw(name))} for name in CODE}
    for name in file_names():
        text = raw(name)
        made[name] = {"digest": _digest(text)}
        if name in skills:
            made[name]["skill"] = skills[name]
        else:
            made[name]["table"] = tomllib.loads(text.decode("utf-8"))
    made[HAZARDS]["values"] = hazards
    with open(PACK, "w", encoding="utf-8") as file:
        file.write(json.dumps(made, ensure_ascii=False, separators=(",", ":")) + "\n")
    _packed.cache_clear()
    return len(made)
