"""In which order help is given on the asked steps of a plan."""

from __future__ import annotations

from enum import StrEnum


class OrderOfHelp(StrEnum):
    """`fixed offer`: the adult gives one level at once, faded from most to least over the weeks.

    `least-to-most`: the adult starts from alone and adds help until it works.
    """

    FIXED_OFFER = "fixed offer"
    LEAST_TO_MOST = "least-to-most"
