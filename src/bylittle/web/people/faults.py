"""A fault of the core in words: mapped once for all pages."""

from __future__ import annotations

from bylittle.core.faults import Fault, ManyFaults
from bylittle.library.wording.faults import Told, sentence


def told_all(fault: Fault) -> list[Told]:
    """Each fault with what is wrong and how to mend it; several are told together."""
    several = fault.faults if isinstance(fault, ManyFaults) else (fault,)
    return [sentence(one) for one in several]
