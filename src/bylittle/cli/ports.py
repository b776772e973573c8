"""The number of a port, checked."""

from __future__ import annotations

import argparse

HIGHEST = 65535


def port(told: str) -> int:
    """A port from 1 to 65535; argparse tells what is wrong otherwise."""
    if not (told.isascii() and told.isdecimal() and 1 <= int(told) <= HIGHEST):
        raise argparse.ArgumentTypeError(f"{told} is not a port; give a whole number from 1 to {HIGHEST}")
    return int(told)
