"""A photograph that cannot be trusted is refused with a code; `library.wording.sheet` has the sentences."""

from __future__ import annotations

from bylittle.core.faults import Fault


class Refused(Fault):
    """Why a photograph was not read: one of the codes of `library.wording.sheet.REFUSALS`."""

    code = "no_sheet"
