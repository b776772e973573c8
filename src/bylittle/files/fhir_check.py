"""Our own check of a FHIR bundle before it leaves: required codes, known elements, references, attainment.

The models of the FHIR library check form and cardinality and let codes pass that are in no value set.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from bylittle.core.evidence.child_record import ChildRecord
from bylittle.core.faults import BadValue, Fault, raise_all
from bylittle.files.fhir_bundle import fhir_bundle
from bylittle.files.fhir_codes import ELEMENTS, GAS_EXTENSION, GAS_LEVELS, REQUIRED, SYSTEMS, Codes


def write_fhir(record: ChildRecord, on: date, codes: Codes | None = None) -> str:
    """The record as FHIR JSON (`application/fhir+json; fhirVersion=4.0`), checked twice before it leaves."""
    bundle = fhir_bundle(record, on, codes)
    raise_all(faults_of(bundle))
    _models_take(bundle)
    return json.dumps(bundle, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def _models_take(bundle: Mapping[str, Any]) -> None:
    """The library's models check form and cardinality; BadValue with their words."""
    from fhir.resources.R4B.bundle import Bundle

    try:
        Bundle.model_validate(bundle)
    except ValueError as problem:
        raise BadValue("fhir_form", name="bundle", value=str(problem)[:400], allowed="FHIR R4") from problem


def faults_of(bundle: Mapping[str, Any]) -> list[Fault]:
    """Everything that our own check finds, each with its place."""
    entries = bundle.get("entry", [])
    urls = [entry["fullUrl"] for entry in entries]
    there = frozenset(urls)
    found = list(_resource_faults(bundle, "Bundle"))
    for number, entry in enumerate(entries, 1):
        found.extend(_resource_faults(entry["resource"], f"entry[{number}]"))
        found.extend(_reference_faults(entry["resource"], f"entry[{number}]", there))
    found.extend(_twice(urls))
    return found


def _twice(urls: list[str]) -> Iterator[Fault]:
    for url, times in Counter(urls).items():
        if times > 1:
            yield BadValue("repeated", name="fullUrl", value=url, allowed="each once")


def _resource_faults(resource: Mapping[str, Any], where: str) -> Iterator[Fault]:
    kind = str(resource.get("resourceType"))
    if kind not in ELEMENTS:
        yield BadValue("not_one_of", name=f"{where}.resourceType", value=kind, allowed=tuple(ELEMENTS))
        return
    for name in resource:
        if name not in ELEMENTS[kind]:
            allowed = tuple(sorted(ELEMENTS[kind]))
            yield BadValue("unknown_field", name=f"{where}.{name}", value=kind, allowed=allowed)
    for path, permitted in REQUIRED.items():
        of, _, inside = path.partition(".")
        if of == kind:
            yield from _required(resource, inside.split("."), where, permitted)
    if kind != "Bundle":
        yield from _codings(resource, where)
    if kind == "Goal":
        yield from _levels(resource, where)


def _required(value: Any, path: list[str], where: str, permitted: frozenset[str]) -> Iterator[Fault]:
    """A required code: present and of its set, at each place where the path leads."""
    if isinstance(value, list):
        for number, item in enumerate(value, 1):
            yield from _required(item, path, f"{where}[{number}]", permitted)
    elif path:
        inside = value.get(path[0]) if isinstance(value, dict) else None
        if inside is not None or len(path) == 1:
            yield from _required(inside, path[1:], f"{where}.{path[0]}", permitted)
    elif value not in permitted:
        yield BadValue("not_one_of", name=where, value=value, allowed=tuple(sorted(permitted)))


def _codings(value: Any, where: str) -> Iterator[Fault]:
    """Codes of the small code systems, wherever they stand."""
    if isinstance(value, list):
        for number, item in enumerate(value, 1):
            yield from _codings(item, f"{where}[{number}]")
    elif isinstance(value, dict):
        permitted = SYSTEMS.get(str(value.get("system")))
        if permitted is not None and value.get("code") not in permitted:
            allowed = tuple(sorted(permitted))
            yield BadValue("not_one_of", name=f"{where}.code", value=value.get("code"), allowed=allowed)
        for name, item in value.items():
            yield from _codings(item, f"{where}.{name}")


def _levels(goal: Mapping[str, Any], where: str) -> Iterator[Fault]:
    """The attainment levels: at most five, each of the answer list, each once, each with its text."""
    scales = [each for each in goal.get("extension", []) if each.get("url") == GAS_EXTENSION]
    known = {code for code, _ in GAS_LEVELS.values()}
    seen = []
    for number, scale in enumerate(scales, 1):
        parts = {part.get("url"): part for part in scale.get("extension", [])}
        code = parts.get("level", {}).get("valueCoding", {}).get("code")
        seen.append(code)
        if code not in known:
            allowed = tuple(sorted(known))
            yield BadValue(
                "not_one_of", name=f"{where}.extension[{number}].level", value=code, allowed=allowed
            )
        if not str(parts.get("progressText", {}).get("valueString", "")).strip():
            name = f"{where}.extension[{number}].progressText"
            yield BadValue("missing", name=name, value=None, allowed="text")
    if len(scales) > len(GAS_LEVELS) or len(set(seen)) < len(seen):
        yield BadValue("repeated", name=f"{where}.extension", value=len(scales), allowed="each level once")


def _reference_faults(value: Any, where: str, there: frozenset[str]) -> Iterator[Fault]:
    """References that lead to nothing in the bundle."""
    if isinstance(value, list):
        for number, item in enumerate(value, 1):
            yield from _reference_faults(item, f"{where}[{number}]", there)
    elif isinstance(value, dict):
        told = value.get("reference")
        if told is not None and told not in there:
            yield BadValue("not_one_of", name=f"{where}.reference", value=told, allowed="in the bundle")
        for name, item in value.items():
            yield from _reference_faults(item, f"{where}.{name}", there)
