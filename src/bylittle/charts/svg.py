"""A small typed writer of SVG: elements are values, text is always escaped.

No inline styles and no scripts, so that a page with a strict content security policy can carry it: looks
are presentation attributes, which a style sheet may override by class (the dark theme does).
"""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import TypeAlias

from bylittle.core.faults import BadValue

Value: TypeAlias = str | float | int | None
NAMESPACE = "http://www.w3.org/2000/svg"


@dataclass(frozen=True, slots=True)
class Element:
    """One SVG element with its attributes and what stands inside it."""

    tag: str
    attributes: tuple[tuple[str, str], ...] = ()
    children: tuple[Element | str, ...] = ()

    def render(self) -> str:
        """The markup of this element."""
        told = "".join(f' {name}="{escape(value)}"' for name, value in self.attributes)
        if not self.children:
            return f"<{self.tag}{told}/>"
        inside = "".join(child if isinstance(child, str) else child.render() for child in self._safe())
        return f"<{self.tag}{told}>{inside}</{self.tag}>"

    def _safe(self) -> tuple[Element | str, ...]:
        return tuple(escape(child) if isinstance(child, str) else child for child in self.children)


def element(tag: str, *children: Element | str, **attributes: Value) -> Element:
    """An element; in names `_` stands for `-`, a trailing `_` guards Python's own words; None is absent."""
    pairs = ((_name(name), _told(value)) for name, value in attributes.items() if value is not None)
    return Element(tag, tuple(pairs), children)


def path(points: list[tuple[float, float]], *, closed: bool = False) -> str:
    """The `d` of a line through points."""
    steps = [f"{'L' if i else 'M'}{_told(x)} {_told(y)}" for i, (x, y) in enumerate(points)]
    return "".join(steps) + ("Z" if closed else "")


def _name(name: str) -> str:
    plain = name.rstrip("_").replace("_", "-")
    if plain == "style" or plain.startswith("on"):
        raise BadValue("svg_attribute", name=plain, value=name, allowed="no inline style, no script")
    return "viewBox" if plain == "view-box" else plain


def _told(value: Value) -> str:
    if isinstance(value, float):
        return f"{value:.2f}".rstrip("0").rstrip(".") if abs(value) >= 0.005 else "0"
    return str(value)
