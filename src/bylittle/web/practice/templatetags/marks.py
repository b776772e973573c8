"""A row of the record in words, for templates."""

from __future__ import annotations

from django import template

from bylittle.web.practice.models import Record
from bylittle.web.practice.queries import as_entry
from bylittle.web.practice.words import says

register = template.Library()


@register.filter
def said(row: Record, levels: list[str]) -> str:
    """What a row says: "needed showing"."""
    return says(as_entry(row), levels)
