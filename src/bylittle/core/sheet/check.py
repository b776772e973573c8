"""The check character of a sheet's id: ISO/IEC 7064, hybrid system MOD 37,36.

It catches every single wrong character and every swap of two neighbours but a few (ISO/IEC 7064:2003).
"""

from __future__ import annotations

ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_M = len(ALPHABET)


def check_character(body: str) -> str:
    """The character that follows `body` (digits and capital letters only)."""
    return ALPHABET[(_M + 1 - _carry(body)) % _M]


def holds(text: str) -> bool:
    """Whether the last character of `text` is the check character of the rest."""
    known = len(text) > 1 and all(letter in ALPHABET for letter in text)
    return known and check_character(text[:-1]) == text[-1]


def _carry(body: str) -> int:
    product = _M
    for letter in body:
        total = (product + ALPHABET.index(letter)) % _M or _M
        product = total * 2 % (_M + 1)
    return product
