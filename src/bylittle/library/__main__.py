"""Renew the pack after a data file was edited: `python -m bylittle.library`."""

from __future__ import annotations

from bylittle.library import pack

print(f"packed {pack.renew()} files")
