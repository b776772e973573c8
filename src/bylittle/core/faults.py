"""Faults of the core: each is a code and its values, never a sentence.

The sentences for people, in each language, stand in `bylittle.library.wording`; the web and the
command line map a fault once to what they show. A calculation that cannot be done is a named refusal,
never a quiet NaN.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any


class Fault(Exception):
    """Something that must be mended by whoever gave the value.

    `code` names the kind of fault in snake_case; `values` carries what a sentence about it needs.
    """

    code = "fault"

    def __init__(self, code: str | None = None, **values: Any) -> None:
        self.code = code or type(self).code
        self.values: dict[str, Any] = values
        super().__init__(self.code, values)

    def __str__(self) -> str:
        told = ", ".join(f"{name}={value!r}" for name, value in self.values.items())
        return f"{self.code}({told})"


class BadValue(Fault):
    """A value outside what is permitted: `name`, `value` and `allowed` say which, what and the range."""

    code = "bad_value"


class NotEnoughData(Fault):
    """Too few data for an honest answer: `n` were there, `needed` would do."""

    code = "not_enough_data"

    def __init__(self, code: str | None = None, *, n: int, needed: int, **values: Any) -> None:
        super().__init__(code, n=n, needed=needed, **values)
        self.n = n
        self.needed = needed


class Undefined(Fault):
    """The data are enough in number, but the answer does not exist (a zero in a denominator, say)."""

    code = "undefined"


class Contradiction(Fault):
    """Two records claim to be the same and differ: `there` is the old one, `new` the one refused."""

    code = "contradiction"


class ManyFaults(Fault):
    """All faults found at one door, told together; `faults` keeps them in the order found."""

    code = "many_faults"

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults: tuple[Fault, ...] = tuple(faults)
        super().__init__(None, faults=[str(fault) for fault in self.faults])


def raise_all(faults: Iterable[Fault]) -> None:
    """Raise what was found: nothing for none, the fault itself for one, `ManyFaults` for more."""
    found = tuple(faults)
    if len(found) == 1:
        raise found[0]
    if found:
        raise ManyFaults(found)
