"""Everything of one child as one portable file: a zip of JSON texts that imports again without loss.

`about.json` says what the file is, its version and the digest of every part; `child.json` holds the person,
the adults, the team and the visits; each skill has a folder with its steps, plans, goal, practice, reviews
and checks. The same record gives the same bytes.
"""

from __future__ import annotations

import hashlib
import io
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from bylittle.core.evidence.child_record import ChildRecord, KeptSkill
from bylittle.core.faults import BadValue, Fault, raise_all
from bylittle.files.values_json import dumped, from_data, parsed, to_data, to_text

FORMAT, VERSION = "bylittle child", 1
ABOUT, CHILD, SKILL = "about.json", "child.json", "skill.json"
PARTS = ("versions", "plans", "goal", "practice", "reviews", "checks")
"""Fields of a skill that stand in a text of their own, in the order in which a reader meets them."""
MOST_BYTES, MOST_FILES = 200_000_000, 2_000
_TIME = (1980, 1, 1, 0, 0, 0)  # the earliest a zip knows: the file says its own day in `about.json`


class WrongArchive(Fault):
    """Not an archive of a child, or a damaged one: the code says what is wrong, `name` in which part."""

    code = "archive_unreadable"


@dataclass(frozen=True, slots=True)
class About:
    """What an archive says of itself; `files`: each part and its SHA-256 digest."""

    format: str
    version: int
    made_on: date
    files: tuple[tuple[str, str], ...]


def write_archive(record: ChildRecord, made_on: date) -> bytes:
    """The record as a zip file; `read_archive` gives it back equal."""
    texts = _texts(record)
    digests = tuple((name, _digest(text)) for name, text in texts.items())
    about = to_text(About(FORMAT, VERSION, made_on, digests))
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in {ABOUT: about, **texts}.items():
            archive.writestr(_entry(name), text.encode("utf-8"))
    return out.getvalue()


def read_archive(data: bytes) -> ChildRecord:
    """The record in an archive.

    WrongArchive for a file that is no such archive, is damaged, or comes from a newer version; BadValue or
    ManyFaults with each place for parts that say something they may not. Nothing is taken in halves.
    """
    texts = _unzipped(data)
    about = _about(texts)
    raise_all(_damage(about, texts))
    child = _object(texts, CHILD)
    folders = child.pop("skills", [])
    if not isinstance(folders, list) or not all(isinstance(name, str) for name in folders):
        raise WrongArchive("archive_part_missing", name="skills", value=CHILD, allowed="folders")
    skills = [_skill(texts, folder) for folder in folders]
    return from_data(ChildRecord, {**child, "skills": skills}, "")


def _entry(name: str) -> zipfile.ZipInfo:
    entry = zipfile.ZipInfo(name, _TIME)
    entry.compress_type = zipfile.ZIP_DEFLATED
    return entry


def _texts(record: ChildRecord) -> dict[str, str]:
    """Every part by its name, `about.json` left out."""
    folders = [f"skills/{number:03}" for number in range(1, len(record.skills) + 1)]
    told = to_data(replace(record, skills=()))
    texts = {CHILD: dumped({**told, "skills": folders})}
    for folder, skill in zip(folders, record.skills, strict=True):
        texts |= _skill_texts(folder, skill)
    return texts


def _skill_texts(folder: str, skill: KeptSkill) -> dict[str, str]:
    told = to_data(skill)
    apart = {f"{folder}/{part}.json": dumped(told.pop(part)) for part in PARTS}
    return {f"{folder}/{SKILL}": dumped(told), **apart}


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def _unzipped(data: bytes) -> dict[str, str]:
    """The texts of all parts. Sizes are looked at before anything is unpacked; nothing is written to disk."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            entries = archive.infolist()
            if len(entries) > MOST_FILES or sum(entry.file_size for entry in entries) > MOST_BYTES:
                raise WrongArchive("archive_too_large", name=ABOUT, value=len(entries), allowed=MOST_FILES)
            return {entry.filename: archive.read(entry).decode("utf-8") for entry in entries}
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ValueError) as why:
        raise WrongArchive(name="file", value=str(why), allowed="an archive of one child") from why


def _about(texts: Mapping[str, str]) -> About:
    told = parsed(texts[ABOUT]) if ABOUT in texts else None
    if not isinstance(told, dict) or told.get("format") != FORMAT:
        raise WrongArchive(name=ABOUT, value=None, allowed="an archive of one child")
    version = told.get("version")
    if not isinstance(version, int) or not 1 <= version <= VERSION:
        raise WrongArchive("archive_newer", name=ABOUT, value=version, allowed=VERSION)
    return from_data(About, told, ABOUT)


def _damage(about: About, texts: Mapping[str, str]) -> list[Fault]:
    """Parts that are missing, were changed since, or stand there unannounced."""
    told = dict(about.files)
    found: list[Fault] = []
    for name, digest in told.items():
        if name not in texts:
            found.append(WrongArchive("archive_part_missing", name=name, value=None, allowed="a text"))
        elif _digest(texts[name]) != digest:
            found.append(WrongArchive("archive_part_changed", name=name, value=None, allowed="as written"))
    extra = [name for name in texts if name not in told and name != ABOUT]
    found.extend(
        WrongArchive("archive_part_unknown", name=name, value=None, allowed="none") for name in extra
    )
    return found


def _skill(texts: Mapping[str, str], folder: str) -> dict[str, Any]:
    parts = {part: _part(texts, f"{folder}/{part}.json") for part in PARTS}
    return {**_object(texts, f"{folder}/{SKILL}"), **parts}


def _object(texts: Mapping[str, str], name: str) -> dict[str, Any]:
    told = _part(texts, name)
    if not isinstance(told, dict):
        raise BadValue("not_object", name=name, value=told, allowed="object")
    return told


def _part(texts: Mapping[str, str], name: str) -> Any:
    if name not in texts:
        raise WrongArchive("archive_part_missing", name=name, value=None, allowed="a text")
    return parsed(texts[name])
