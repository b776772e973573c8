"""Rows made from a file that somebody else wrote: each field held against what it may hold."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, TypeVar

from django.core.exceptions import ValidationError
from django.db.models import BinaryField, Field, JSONField, Model

from bylittle.core.faults import BadValue

M = TypeVar("M", bound=Model)


def kept(row: M) -> M:
    """Save a row that is sound; BadValue names the field that is not."""
    check([row])
    row.save(force_insert=True)
    return row


def check(rows: Sequence[Model]) -> None:
    """BadValue for a text that is too long, a word that is none of its choices, a number out of range.

    All rows are of one model; what many of them say alike is looked at once.
    """
    for field in rows[0]._meta.concrete_fields if rows else ():
        if not field.is_relation and not isinstance(field, JSONField | BinaryField):
            said = dict.fromkeys(getattr(row, field.attname) for row in rows)
            _check(field, [value for value in said if value not in (None, "")], rows[0])


def _check(field: Field, values: Sequence[Any], row: Model) -> None:
    for value in values:
        try:
            field.clean(value, row)
        except ValidationError as problem:
            name = f"{row._meta.model_name}.{field.name}"
            raise BadValue(
                "not_one_of", name=name, value=str(value)[:60], allowed=_allowed(field)
            ) from problem


def _allowed(field: Field) -> tuple[str, ...]:
    """What a field may hold, for the sentence."""
    if field.choices:
        return tuple(str(word) for word, _ in field.flatchoices)
    longest = getattr(field, "max_length", None)
    return (f"at most {longest} letters",) if longest else ("a number in the field's range",)
