"""The people of a record by name: told when it goes out, found again or kept as gone when it comes in."""

from __future__ import annotations

import secrets
from collections.abc import Iterable, Mapping

from bylittle.core.evidence.child_record import ChildRecord, TeamAdult
from bylittle.core.evidence.kept_parts import TypedText
from bylittle.web.people.models import Person, Role


class Told:
    """Names under which people go out: one name a person, and whoever was named with the role."""

    def __init__(self) -> None:
        self._by_id: dict[int, TeamAdult] = {}

    def adult(self, person: Person) -> TeamAdult:
        """The person; a second one of the same name is told apart by the name to sign in by."""
        if person.pk not in self._by_id:
            taken = {adult.name for adult in self._by_id.values()}
            name = person.shown_name
            name = f"{name} ({person.username})" if name in taken else name
            self._by_id[person.pk] = TeamAdult(name, person.role, person.username)
        return self._by_id[person.pk]

    def name(self, person: Person | None) -> str:
        """The name; empty for nobody."""
        return self.adult(person).name if person else ""

    @property
    def all(self) -> tuple[TeamAdult, ...]:
        """Everybody named so far, by name."""
        return tuple(sorted(self._by_id.values(), key=lambda adult: adult.name))


class Found:
    """The people that a record names, in these records; one who is not here is kept without a key.

    Only who goes by the same name and signs in by the same name is taken for the same person; an archive
    that does not tell the second (the first version) goes by the first alone.
    """

    def __init__(self, record: ChildRecord, by: Person | None) -> None:
        self._by = by
        self._told = {adult.name: adult for adult in (*record.team, *record.hands)}
        self._known: dict[str, Person] = {}
        self._here: dict[str, list[Person]] = {}
        for person in Person.objects.order_by("pk"):
            self._here.setdefault(person.shown_name, []).append(person)

    def named(self, name: str) -> Person | None:
        """Who it was; None where nobody is named."""
        return self.somebody(name) if name else None

    def somebody(self, name: str) -> Person:
        """Who it was; whoever takes the record in where nobody is named."""
        if not name and self._by is not None:
            return self._by
        if name not in self._known:
            self._known[name] = self._same(name) or self._gone(name)
        return self._known[name]

    def _same(self, name: str) -> Person | None:
        told = self._told.get(name)
        user = told.user if told else ""
        plain = name.removesuffix(f" ({user})") if user else name
        here = [*self._here.get(name, ()), *(self._here.get(plain, ()) if plain != name else ())]
        return next((person for person in here if user in ("", person.username)), None)

    def _gone(self, name: str) -> Person:
        told = self._told.get(name)
        role = told.role if told and told.role in Role.values else Role.ASSISTANT
        person = Person(username=f"archive-{secrets.token_hex(6)}", first_name=name[:150], role=role)
        person.is_active = False
        person.set_unusable_password()
        person.save()
        return person


def typed(texts: Mapping[str, str], held: Mapping[str, Iterable[str]]) -> tuple[TypedText, ...]:
    """The texts that their lines do not say to the letter. `held`: the lines that go out."""
    return tuple(TypedText(name, text) for name, text in texts.items() if text != "\n".join(held[name]))


def as_typed(told: Iterable[TypedText], held: Mapping[str, Iterable[str]]) -> dict[str, str]:
    """The texts to the letter: as typed, else from their lines."""
    exact = {text.field: text.text for text in told}
    return {name: exact.get(name, "\n".join(lines)) for name, lines in held.items()}
