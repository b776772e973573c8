"""The help ladder: the levels of help a plan uses, ordered from most help to none.

The default order (pointing needs more independence than showing, words more than pointing) is our
choice, adjustable for each child; published hierarchies differ (University of Nevada Reno NDSIP, for one).
"""

from __future__ import annotations

from dataclasses import dataclass

from bylittle.core.faults import BadValue, Fault, raise_all

ALONE = "alone"
FEWEST_LEVELS, MOST_LEVELS = 2, 8


@dataclass(frozen=True, slots=True)
class Ladder:
    """Names of the help levels; index 0 is the fullest help, the last one is `alone`."""

    names: tuple[str, ...]

    def __post_init__(self) -> None:
        raise_all(_faults_of(self.names))

    @property
    def top(self) -> int:
        """Index of `alone`, written L in the formulas."""
        return len(self.names) - 1

    def __len__(self) -> int:
        return len(self.names)

    def index(self, name: str) -> int:
        """Index of a level by its name, whatever its case; BadValue when it is not on this ladder."""
        wanted = " ".join(name.split()).casefold()
        for index, known in enumerate(self.names):
            if known.casefold() == wanted:
                return index
        raise BadValue("level_not_on_ladder", name="level", value=name, allowed=self.names)

    def name(self, index: int) -> str:
        """Name of a level by its index; BadValue outside 0..L."""
        if not 0 <= index < len(self.names):
            raise BadValue("level_not_on_ladder", name="level", value=index, allowed=self.names)
        return self.names[index]


def _faults_of(names: tuple[str, ...]) -> list[Fault]:
    found: list[Fault] = []
    if not FEWEST_LEVELS <= len(names) <= MOST_LEVELS:
        allowed = (FEWEST_LEVELS, MOST_LEVELS)
        found.append(BadValue("ladder_length", name="levels", value=len(names), allowed=allowed))
    folded = [name.strip().casefold() for name in names]
    if len(set(folded)) != len(folded) or "" in folded:
        found.append(BadValue("ladder_names", name="levels", value=names, allowed="different, not empty"))
    return found


DEFAULT_LADDER = Ladder(("hand over hand", "light touch", "showing", "pointing", "words", ALONE))
