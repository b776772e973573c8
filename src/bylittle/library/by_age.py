"""What most children do by an age: for talking, never for starting or stopping a service."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from bylittle.library.catalogue import opened
from bylittle.library.datafile import Reader, tell_duplicates
from bylittle.library.faults import FileFault
from bylittle.library.text import Text

AREAS = ("movement", "hands", "self-care", "play")


@dataclass(frozen=True, slots=True)
class Milestone:
    """One thing that most children do by `months`."""

    id: str
    months: int
    area: str
    name: Text
    source: str
    mark: str


@dataclass(frozen=True, slots=True)
class Milestones:
    """All items with their basis; iterate over it for the items. The caveat stands beside every use."""

    items: tuple[Milestone, ...]
    ages_months: tuple[int, ...]
    basis_percent: int
    basis_source: str
    caveat: Text

    def __iter__(self) -> Iterator[Milestone]:
        return iter(self.items)

    def __len__(self) -> int:
        return len(self.items)


def read_milestones(marks: Mapping[str, str], faults: list[FileFault]) -> Milestones:
    """The milestones; `marks` says how well each source is known."""
    reader = opened("milestones.toml", faults)
    items = tuple(_item(part, marks) for part in reader.each("items", at_least=1))
    tell_duplicates([item.id for item in items], "items", reader.file, faults)
    made = Milestones(
        items=items,
        ages_months=tuple(int(age) for age in reader.names("ages")),
        basis_percent=reader.whole("basis_percent"),
        basis_source=reader.choice("basis_source", marks),
        caveat=reader.text("caveat"),
    )
    reader.close()
    return made


def _item(part: Reader, marks: Mapping[str, str]) -> Milestone:
    source = part.choice("source", marks)
    made = Milestone(
        id=part.words("id"),
        months=part.whole("months"),
        area=part.choice("area", AREAS),
        name=part.text("name"),
        source=source,
        mark=marks.get(source, ""),
    )
    part.close()
    return made
