"""The service's own expectation of a new child: `prior.json` in the data directory, made by `fit-prior`."""

from __future__ import annotations

import logging
from functools import lru_cache
from pathlib import Path

from django.conf import settings

from bylittle.core.faults import Fault
from bylittle.core.learning.prior import Prior
from bylittle.workflows.fit_prior import prior_from_text

FILE = "prior.json"
SHIPPED = "shipped"


def own_prior() -> Prior | None:
    """The service's own prior; None where there is none or it cannot be read: the shipped one serves then."""
    return _read(_path(), which())


def which() -> str:
    """Tells one prior from another: advice kept under another one is stale."""
    path = _path()
    return str(path.stat().st_mtime_ns) if path.is_file() else SHIPPED


def _path() -> Path:
    return Path(settings.DATA_DIR) / FILE


@lru_cache(maxsize=2)
def _read(path: Path, told: str) -> Prior | None:
    if told == SHIPPED:
        return None
    try:
        return prior_from_text(path.read_text(encoding="utf-8"))
    except (Fault, OSError, UnicodeDecodeError):
        logging.getLogger(__name__).warning("%s is not what fit-prior wrote; the shipped prior serves", path)
        return None
