"""The cells of the corner markers, so that printing needs no vision library.

OpenCV's predefined dictionary DICT_4X4_50 (Garrido-Jurado et al. 2014, Pattern Recognition 47:2280-2292):
six by six cells, the outer ones black; a test compares them with the library's own drawing.
"""

from __future__ import annotations

from types import MappingProxyType

CELLS = 6
_INNER = MappingProxyType(
    {
        0: ("1011", "0101", "0011", "0010"),
        2: ("0011", "0011", "0010", "1101"),
        4: ("0101", "0100", "1001", "1110"),
        8: ("1111", "1110", "1101", "1010"),
        9: ("1100", "1111", "0101", "0110"),
        14: ("0010", "0100", "1011", "0001"),
        15: ("0010", "0110", "0011", "1110"),
        20: ("1000", "0110", "1000", "1011"),
    }
)


def black_cells(code: int) -> tuple[tuple[int, int], ...]:
    """Row and column, from the top left, of the black cells of marker `code`."""
    inner = _INNER[code]
    return tuple(
        (row, column)
        for row in range(CELLS)
        for column in range(CELLS)
        if not (0 < row < CELLS - 1 and 0 < column < CELLS - 1 and inner[row - 1][column - 1] == "1")
    )
