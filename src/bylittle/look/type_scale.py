"""Type sizes, once for screen and print. Family pages keep 14 to 18 pt (large-print guides: APH, ACB)."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType

from bylittle.core.faults import BadValue

FAMILY_SMALLEST_PT = 14.0
FAMILY_LARGEST_PT = 18.0
THERAPIST_PT = 12.0
SCREEN_BODY_PX = 18

# Each size as a share of the body text, so that a page grows and shrinks as one thing.
SHARES = MappingProxyType(
    {"title": 1.9, "heading": 1.12, "body": 1.0, "small": 0.8, "cue": 2.3, "step": 0.95}
)

SCREEN_PX = MappingProxyType({name: round(SCREEN_BODY_PX * share) for name, share in SHARES.items()})


@dataclass(frozen=True, slots=True)
class TypeScale:
    """Point sizes of one printed page."""

    title: float
    heading: float
    body: float
    small: float
    cue: float
    step: float


def for_print(body_pt: float) -> TypeScale:
    """The scale of a page whose body text is `body_pt` points."""
    return TypeScale(**{name: round(body_pt * share, 2) for name, share in SHARES.items()})


def check_family_size(size_pt: float) -> float:
    """`size_pt` if a family page may use it; BadValue outside 14 to 18 pt."""
    if not FAMILY_SMALLEST_PT <= size_pt <= FAMILY_LARGEST_PT:
        allowed = (FAMILY_SMALLEST_PT, FAMILY_LARGEST_PT)
        raise BadValue("text_size", name="text_size", value=size_pt, allowed=allowed)
    return size_pt
