"""Help drawn as share: as many cells as the ladder has rungs above the fullest help, filled = the child's.

*Alone* is full, the fullest help is empty. The bar never stands without its word.
"""

from __future__ import annotations

from html import escape

from bylittle.core.faults import BadValue
from bylittle.core.skill.ladder import Ladder

CELL_WIDTH, CELL_HEIGHT, GAP = 10.0, 10.0, 2.0


def cells(level: int, ladder: Ladder, *, right_to_left: bool = False) -> tuple[bool, ...]:
    """The cells from left to right, true where filled; BadValue for a level off the ladder.

    >>> cells(1, Ladder(("hand over hand", "light touch", "alone")))
    (True, False)
    """
    if not 0 <= level <= ladder.top:
        raise BadValue("level_not_on_ladder", name="level", value=level, allowed=(0, ladder.top))
    filled = tuple(place < level for place in range(ladder.top))
    return filled[::-1] if right_to_left else filled


def svg(level: int, ladder: Ladder, word: str, *, right_to_left: bool = False) -> str:
    """The bar for the screen, in the text's own colour; `word` (the level's name) is its accessible name."""
    shares = cells(level, ladder, right_to_left=right_to_left)
    width = len(shares) * (CELL_WIDTH + GAP) - GAP + 2
    told = escape(word, quote=True)
    return (
        f'<svg class="help-bar" xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{told}" '
        f'viewBox="0 0 {width:g} {CELL_HEIGHT + 2:g}"><title>{told}</title>{_rects(shares)}</svg>'
    )


def _rects(shares: tuple[bool, ...]) -> str:
    return "".join(
        f'<rect x="{1 + place * (CELL_WIDTH + GAP):g}" y="1" width="{CELL_WIDTH:g}" '
        f'height="{CELL_HEIGHT:g}" rx="1.5" stroke="currentColor" stroke-width="1.2" '
        f'fill="{"currentColor" if filled else "none"}"/>'
        for place, filled in enumerate(shares)
    )
