"""Small pieces every page uses: a form's fields, a share of help, a date in words."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from django import template
from django.forms import BaseForm
from django.utils import timezone
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from bylittle.library import wording

register = template.Library()


@register.inclusion_tag("people/fields.html")
def fields(form: BaseForm) -> dict[str, BaseForm]:
    """The fields of a form with labels, help and faults at their place."""
    return {"form": form}


@register.simple_tag
def share(level: int | None, top: int) -> SafeString:
    """The help bar: as many cells as rungs above the fullest help, filled for what the child does."""
    if level is None:
        return mark_safe("")
    cells = "".join(
        f'<rect x="{1 + 9 * cell}" y="1" width="8" height="10" class="{"on" if cell < level else "off"}"/>'
        for cell in range(top)
    )
    width = 9 * top + 2
    return mark_safe(f'<svg class="share" viewBox="0 0 {width} 12" aria-hidden="true">{cells}</svg>')


@register.simple_tag
def level_words(level: int | None, names: Sequence[str]) -> str:
    """A help level in a phrase: "with light touch", "alone"."""
    if level is None or not 0 <= level < len(names):
        return ""
    return names[level] if level == len(names) - 1 else f"with {names[level]}"


@register.filter
def day(value: date | None) -> str:
    """A date the way a person says it: Mon 3 Mar, with the year when it is another."""
    if value is None:
        return ""
    year = "" if value.year == timezone.localdate().year else f" {value.year}"
    return f"{value:%a} {value.day} {value:%b}{year}"


@register.filter
def percent(value: float | None) -> str:
    """A chance as a whole percentage."""
    return "" if value is None else f"{round(100 * value)} %"


@register.filter
def age(child: object, on: date | None = None) -> str:
    """Years and months: 3 y 1 m."""
    years, months = child.age_on(on or timezone.localdate())  # type: ignore[attr-defined]
    return f"{years} y {months} m"


@register.simple_tag
def chance_range(chance: tuple[float, float, float]) -> SafeString:
    """A chance with its 90 % interval: 72 % (50 to 90)."""
    mean, low, high = chance
    share = format_html('<span class="num">{}</span>', wording.percent(mean))
    between = wording.percent_range(low, high)
    return format_html('{} <span class="quiet small num">({})</span>', share, between) if between else share


@register.filter
def get(mapping: dict[object, object], key: object) -> object:
    """A value of a mapping by a key that is only known in the template."""
    return mapping.get(key)


@register.filter
def at(items: list[object], index: int) -> object:
    """An item of a list by a place that is only known in the template."""
    return items[index]
