"""Frozen values to JSON data and back, led by the fields' types: one rule for every value we keep in files.

Dates are ISO texts, tuples lists, words of a set their text, values objects with one key a field; where a
field may hold one of several values, the key `is` names which. All faults of a file are told together, each
with its place (`skills[1].plans[2].number`, lists counted from 1).
"""

from __future__ import annotations

import dataclasses
import json
import math
from collections.abc import Mapping
from datetime import date, datetime
from enum import StrEnum
from functools import cache
from types import NoneType, UnionType
from typing import Any, TypeVar, Union, cast, get_args, get_origin, get_type_hints

from bylittle.core.faults import BadValue, Fault, ManyFaults, raise_all
from bylittle.files.plan_json import WrongJson

Value = TypeVar("Value")
KIND = "is"


def to_data(value: Any) -> Any:
    """A value as JSON data; TypeError for something that no file of ours may hold."""
    if value is None or isinstance(value, bool | int | float):
        return value
    if isinstance(value, str):
        return str(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple):
        return [to_data(item) for item in value]
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return _object(value)
    raise TypeError(f"{type(value).__name__} has no form in our files")


def to_text(value: Any) -> str:
    """A value as JSON text."""
    return dumped(to_data(value))


def dumped(data: Any) -> str:
    """JSON data as text in the form of all our files; ValueError for NaN and infinity."""
    return json.dumps(data, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def from_text(kind: type[Value], text: str, where: str = "") -> Value:
    """The value in JSON text; WrongJson for text that is no JSON, else as `from_data`."""
    return from_data(kind, parsed(text), where)


def from_data(kind: type[Value], data: Any, where: str = "") -> Value:
    """The value in JSON data; every fault with its place, told together."""
    faults: list[Fault] = []
    value = _read(kind, data, where, faults)
    raise_all(faults)
    return cast("Value", value)


def parsed(text: str) -> Any:
    """JSON data of a text; a key twice, NaN and anything that is no JSON is WrongJson."""
    try:
        return json.loads(text, object_pairs_hook=_no_doubles, parse_constant=_no_constant)
    except json.JSONDecodeError as problem:
        raise WrongJson(line=problem.lineno, reason=problem.msg) from problem
    except (RecursionError, ValueError) as problem:
        raise WrongJson(line=1, reason="too deep or a number too long") from problem


def _no_doubles(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    data = dict(pairs)
    if len(data) < len(pairs):
        names = [name for name, _ in pairs]
        raise WrongJson(line=1, reason=f"twice: {next(name for name in names if names.count(name) > 1)}")
    return data


def _no_constant(name: str) -> Any:
    raise WrongJson(line=1, reason=f"not a number: {name}")


def _object(value: Any) -> dict[str, Any]:
    told = {field.name: to_data(getattr(value, field.name)) for field in _fields(type(value))}
    hint = _KINDS.get(type(value).__name__)
    return {KIND: hint, **told} if hint else told


_KINDS: dict[str, str] = {"Entry": "entry", "Change": "change"}
"""Values that stand in a field which may hold one of several."""


def _fields(kind: type) -> list[dataclasses.Field[Any]]:
    """The fields that a file holds: worked-out ones begin with an underscore and are left out."""
    return [field for field in dataclasses.fields(kind) if not field.name.startswith("_")]


@cache
def _hints(kind: type) -> Mapping[str, Any]:
    return get_type_hints(kind)


def _read(kind: Any, data: Any, where: str, faults: list[Fault]) -> Any:
    """The value, or None with a fault added."""
    origin = get_origin(kind)
    if origin in (Union, UnionType):
        return _one_of(get_args(kind), data, where, faults)
    if origin is tuple:
        return _tuple(get_args(kind), data, where, faults)
    if dataclasses.is_dataclass(kind):
        return _value(cast("type", kind), data, where, faults)
    return _plain(kind, data, where, faults)


def _one_of(kinds: tuple[Any, ...], data: Any, where: str, faults: list[Fault]) -> Any:
    if data is None and NoneType in kinds:
        return None
    several = [kind for kind in kinds if kind is not NoneType]
    if len(several) == 1:
        return _read(several[0], data, where, faults)
    names = {_KINDS[kind.__name__]: kind for kind in several}
    told = data.get(KIND) if isinstance(data, dict) else None
    if told not in names:
        faults.append(BadValue("not_one_of", name=f"{where}.{KIND}", value=told, allowed=tuple(names)))
        return None
    return _read(names[told], data, where, faults)


def _tuple(kinds: tuple[Any, ...], data: Any, where: str, faults: list[Fault]) -> Any:
    if not isinstance(data, list):
        faults.append(BadValue("not_list", name=where, value=data, allowed="list"))
        return None
    endless = len(kinds) == 2 and kinds[1] is Ellipsis
    if not endless and len(data) != len(kinds):
        n = len(kinds)
        faults.append(BadValue("out_of_range", name=where, value=len(data), allowed=(n, n)))
        return None
    each = [kinds[0]] * len(data) if endless else list(kinds)
    pairs = zip(each, data, strict=True)
    return tuple(_read(kind, item, f"{where}[{n}]", faults) for n, (kind, item) in enumerate(pairs, 1))


def _value(kind: type, data: Any, where: str, faults: list[Fault]) -> Any:
    if not isinstance(data, dict):
        faults.append(BadValue("not_object", name=where or "file", value=data, allowed="object"))
        return None
    lead, before = f"{where}." if where else "", len(faults)
    fields = {field.name: field for field in _fields(kind)}
    unknown = [name for name in data if name not in fields and name != KIND]
    faults.extend(
        BadValue("unknown_field", name=lead + name, value=data[name], allowed=tuple(fields))
        for name in unknown
    )
    told = {}
    for name, field in fields.items():
        if name in data:
            told[name] = _read(_hints(kind)[name], data[name], lead + name, faults)
        elif field.default is dataclasses.MISSING and field.default_factory is dataclasses.MISSING:
            faults.append(BadValue("missing", name=lead + name, value=None, allowed="a value"))
    return _made(kind, told, lead, faults) if len(faults) == before else None


def _made(kind: type, told: Mapping[str, Any], lead: str, faults: list[Fault]) -> Any:
    """The value itself, whose own checks may find more; their names get the place in front."""
    try:
        return kind(**told)
    except ManyFaults as many:
        faults.extend(_placed(fault, lead) for fault in many.faults)
    except Fault as fault:
        faults.append(_placed(fault, lead))
    return None


def _placed(fault: Fault, lead: str) -> Fault:
    fault.values["name"] = lead + str(fault.values.get("name", ""))
    return fault


def _plain(kind: Any, data: Any, where: str, faults: list[Fault]) -> Any:
    try:
        return _READERS[_form(kind)](kind, data)
    except (TypeError, ValueError):
        code, allowed = _WANTED[_form(kind)]
        permitted = tuple(word.value for word in kind) if _form(kind) is StrEnum else allowed
        faults.append(BadValue(code, name=where, value=data, allowed=permitted))
        return None


def _form(kind: Any) -> Any:
    return StrEnum if isinstance(kind, type) and issubclass(kind, StrEnum) else kind


def _only(form: type) -> Any:
    def read(_: Any, data: Any) -> Any:
        if type(data) is not form:
            raise TypeError
        return data

    return read


def _number(_: Any, data: Any) -> float:
    if type(data) not in (int, float) or not math.isfinite(data):
        raise TypeError
    return float(data)


def _word(kind: Any, data: Any) -> Any:
    return kind(_only(str)(str, data))


def _day(_: Any, data: Any) -> date:
    text = _only(str)(str, data)
    if len(text) != len("2026-03-02"):
        raise ValueError
    return date.fromisoformat(text)


def _never(_: Any, data: Any) -> Any:
    """Pictures stand beside the texts of a file, never in them."""
    raise TypeError


def _moment(_: Any, data: Any) -> datetime:
    return datetime.fromisoformat(_only(str)(str, data))


_READERS: Mapping[Any, Any] = {
    str: _only(str),
    int: _only(int),
    bool: _only(bool),
    float: _number,
    StrEnum: _word,
    date: _day,
    datetime: _moment,
    bytes: _never,
}
_WANTED: Mapping[Any, tuple[str, str]] = {
    str: ("not_text", "text"),
    int: ("not_one_of", "a whole number"),
    bool: ("not_one_of", "true or false"),
    float: ("not_one_of", "a number"),
    StrEnum: ("not_one_of", ""),
    date: ("not_a_date", "2026-11-30"),
    datetime: ("not_a_date", "2026-11-30T17:30:00+00:00"),
    bytes: ("not_one_of", "a file of its own"),
}
