"""How many timed units the minutes of one day make, by the customary rounding.

A unit is 15 minutes and begins at its eighth: 8 to 22 minutes are one, 23 to 37 two, and so on (common
practice in the US, after the table of the Medicare claims processing manual; payers differ, so this is shown
as information and nothing is billed by it).
"""

from __future__ import annotations

from bylittle.core.faults import BadValue

UNIT, BEGINS = 15, 8
MOST_MINUTES = 24 * 60


def units_of(minutes: int) -> int:
    """Units of the timed minutes of one day: floor((minutes + 7) / 15). BadValue outside 0..1440.

    >>> [units_of(minutes) for minutes in (7, 8, 22, 23, 41, 50)]
    [0, 1, 1, 2, 3, 3]
    """
    if not 0 <= minutes <= MOST_MINUTES:
        raise BadValue("out_of_range", name="minutes", value=minutes, allowed=(0, MOST_MINUTES))
    return (minutes + UNIT - BEGINS) // UNIT
