"""A chain drawn as a line of steps in the order they are done: asked steps solid, the adult's open."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from bylittle.core.plan.home_plan import PlannedStep

RADIUS, PITCH, MARGIN = 11, 44, 3


@dataclass(frozen=True, slots=True)
class Node:
    """One step on the line: its number from 1, solid where the child is asked to do it."""

    step_id: str
    number: int
    solid: bool


def nodes(steps: Sequence[PlannedStep]) -> tuple[Node, ...]:
    """The nodes of a chain, in the order the steps are done."""
    return tuple(Node(step.step_id, number, step.asked) for number, step in enumerate(steps, start=1))


def rows(count: int, widest: int) -> tuple[int, ...]:
    """How many steps stand on each line when at most `widest` fit: as even as can be, fuller lines first.

    >>> rows(8, 5)
    (4, 4)
    """
    lines = max(1, -(-count // widest))
    shortest, longer = divmod(count, lines)
    return tuple(shortest + (line < longer) for line in range(lines))


def svg(chain: Sequence[Node], told: str, *, right_to_left: bool = False) -> str:
    """The bare line with its nodes for the screen; `told` says in words who does what."""
    width = 2 * (RADIUS + MARGIN) + PITCH * (len(chain) - 1)
    middle = RADIUS + MARGIN
    drawn = "".join(_node(node, _x(place, width, right_to_left), middle) for place, node in enumerate(chain))
    label = escape(told, quote=True)
    return (
        f'<svg class="chain-line" xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{label}" '
        f'viewBox="0 0 {width} {2 * middle}"><title>{label}</title>'
        f'<path d="M{middle} {middle}H{width - middle}" stroke="currentColor" stroke-width="2"/>{drawn}</svg>'
    )


def _x(place: int, width: int, right_to_left: bool) -> int:
    along = RADIUS + MARGIN + PITCH * place
    return width - along if right_to_left else along


def _node(node: Node, x: int, y: int) -> str:
    fill, ink = ("currentColor", "var(--paper, #FCFAF5)")
    if not node.solid:
        fill, ink = ink, fill
    return (
        f'<circle cx="{x}" cy="{y}" r="{RADIUS}" fill="{fill}" stroke="currentColor" stroke-width="2"/>'
        f'<text x="{x}" y="{y}" dy="0.36em" text-anchor="middle" font-size="13" font-weight="700" '
        f'fill="{ink}">{node.number}</text>'
    )
