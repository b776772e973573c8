"""Everything of one child as one portable file: texts and pictures in a zip that imports again without loss.

`about.json` says what the file is, its version, the digest of every part and what is left out; `child.json`
holds the person, the adults, the team, the visits and the consents; each skill has a folder with its steps,
plans, goal, practice, reviews and checks; each report stands apart to the letter, so that its digest can be
held against the one that was signed; pictures lie under `files/`. The same record gives the same bytes.

Version 1 had no coaching checks, looks, screens, closings, reports, scans or pictures: it is read as before.
"""

from __future__ import annotations

import hashlib
import io
import re
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from bylittle.core.evidence.child_record import ChildRecord, KeptSkill
from bylittle.core.evidence.kept_parts import KeptFile
from bylittle.core.evidence.record_checks import check_record
from bylittle.core.faults import BadValue, Fault, raise_all
from bylittle.files.report_json import read_report
from bylittle.files.values_json import dumped, from_data, parsed, to_data, to_text

FORMAT, VERSION = "bylittle child", 2
ABOUT, CHILD, SKILL, FILES = "about.json", "child.json", "skill.json", "files/"
PARTS = ("versions", "plans", "goal", "practice", "reviews", "checks")
"""Fields of a skill that stand in a text of their own, in the order in which a reader meets them."""
LEFT_OUT = (
    "accounts",
    "service settings",
    "advice kept for a day",
    "photographs of sheets of no known plan",
    "photographs not kept yet",
    "photographs without a consent that stands",
)
"""What belongs to the service or a person and not to the child, or is worked out again from the record."""
MOST_BYTES, MOST_FILES = 200_000_000, 2_000
FILE_NAME = re.compile(r"(scans|pictures)/[0-9a-z]{1,64}\.jpg")
_JPEG = b"\xff\xd8\xff"
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
    left_out: tuple[str, ...] = ()


def write_archive(record: ChildRecord, made_on: date) -> bytes:
    """The record as a zip file; `read_archive` gives it back equal."""
    parts = {name: text.encode("utf-8") for name, text in _texts(record).items()}
    parts |= {FILES + file.name: file.content for file in record.files}
    digests = tuple((name, _digest(content)) for name, content in parts.items())
    about = to_text(About(FORMAT, VERSION, made_on, digests, LEFT_OUT)).encode("utf-8")
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in {ABOUT: about, **parts}.items():
            archive.writestr(_entry(name), content)
    return out.getvalue()


def read_archive(data: bytes) -> ChildRecord:
    """The record in an archive.

    WrongArchive for a file that is no such archive, is damaged, or comes from a newer version; BadValue or
    ManyFaults with each place for parts that say something they may not, or point to something that is not
    there. Nothing is taken in halves.
    """
    parts = _unzipped(data)
    about = _about(parts)
    raise_all(_damage(about, parts))
    files = tuple(_file(name, parts[name]) for name in parts if name.startswith(FILES))
    texts = {name: _text(name, part) for name, part in parts.items() if not name.startswith(FILES)}
    child = _object(texts, CHILD)
    skills = [_skill(texts, folder) for folder in _names(child, "skills")]
    told = {**child, "skills": skills, "reports": _reports(texts, child)}
    record = replace(from_data(ChildRecord, told, ""), files=files)
    check_record(record)
    for report in record.reports:
        read_report(report.content)
    return record


def _names(child: dict[str, Any], name: str) -> list[str]:
    folders = child.pop(name, [])
    if not isinstance(folders, list) or not all(isinstance(each, str) for each in folders):
        raise WrongArchive("archive_part_missing", name=name, value=CHILD, allowed="folders")
    return folders


def _reports(texts: Mapping[str, str], child: dict[str, Any]) -> list[Any]:
    """The reports, each with its text from the part that `content` names."""
    reports = child.pop("reports", [])
    if not isinstance(reports, list) or not all(isinstance(each, dict) for each in reports):
        raise BadValue("not_list", name="reports", value=reports, allowed="list")
    return [{**each, "content": _known(texts, str(each.get("content", "")))} for each in reports]


def _file(name: str, content: bytes) -> KeptFile:
    """A picture; anything else is refused, for it would be shown to people later."""
    inner = name.removeprefix(FILES)
    if not FILE_NAME.fullmatch(inner) or not content.startswith(_JPEG):
        raise WrongArchive("archive_part_unknown", name=name, value=None, allowed="a JPEG picture")
    return KeptFile(inner, content)


def _entry(name: str) -> zipfile.ZipInfo:
    entry = zipfile.ZipInfo(name, _TIME)
    entry.compress_type = zipfile.ZIP_DEFLATED
    return entry


def _texts(record: ChildRecord) -> dict[str, str]:
    """Every text by its name, `about.json` left out."""
    folders = [f"skills/{number:03}" for number in range(1, len(record.skills) + 1)]
    contents = {f"reports/{n:03}.json": kept.content for n, kept in enumerate(record.reports, 1)}
    reports = tuple(replace(kept, content=name) for name, kept in zip(contents, record.reports, strict=True))
    told = to_data(replace(record, skills=(), reports=reports, files=()))
    del told["files"]
    texts = {CHILD: dumped({**told, "skills": folders}), **contents}
    for folder, skill in zip(folders, record.skills, strict=True):
        texts |= _skill_texts(folder, skill)
    return texts


def _skill_texts(folder: str, skill: KeptSkill) -> dict[str, str]:
    told = to_data(skill)
    apart = {f"{folder}/{part}.json": dumped(told.pop(part)) for part in PARTS}
    return {f"{folder}/{SKILL}": dumped(told), **apart}


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _unzipped(data: bytes) -> dict[str, bytes]:
    """All parts. Sizes are looked at before anything is unpacked; nothing is written to disk."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            entries = archive.infolist()
            if len(entries) > MOST_FILES or sum(entry.file_size for entry in entries) > MOST_BYTES:
                raise WrongArchive("archive_too_large", name=ABOUT, value=len(entries), allowed=MOST_FILES)
            return {entry.filename: archive.read(entry) for entry in entries}
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ValueError) as why:
        raise WrongArchive(name="file", value=str(why), allowed="an archive of one child") from why


def _text(name: str, content: bytes) -> str:
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as why:
        raise WrongArchive(name=name, value=str(why), allowed="a text in UTF-8") from why


def _about(parts: Mapping[str, bytes]) -> About:
    told = parsed(_text(ABOUT, parts[ABOUT])) if ABOUT in parts else None
    if not isinstance(told, dict) or told.get("format") != FORMAT:
        raise WrongArchive(name=ABOUT, value=None, allowed="an archive of one child")
    version = told.get("version")
    if not isinstance(version, int) or not 1 <= version <= VERSION:
        raise WrongArchive("archive_newer", name=ABOUT, value=version, allowed=VERSION)
    return from_data(About, told, ABOUT)


def _damage(about: About, texts: Mapping[str, bytes]) -> list[Fault]:
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
    return parsed(_known(texts, name))


def _known(texts: Mapping[str, str], name: str) -> str:
    if name not in texts:
        raise WrongArchive("archive_part_missing", name=name, value=None, allowed="a text")
    return texts[name]
