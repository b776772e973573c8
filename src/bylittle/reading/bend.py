"""How paper is bent between the places that are known, and how well that is known.

The shift of each point from the flat plane is a smooth field: a Gaussian process (Rasmussen and Williams
2006, algorithm 2.1 and equation 5.12) with a long wave for curled paper and a short one for crumpled paper.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import linalg

Field = NDArray[np.float64]

WAVES = ((5.0, 75.0), (0.6, 22.0))  # size and length of each, millimetres
MOST_AT_ONCE = 64  # points that are asked at once: the nearest tell enough
NOISE = 0.12  # millimetres; of a corner of a marker or of a ring that was clearly seen


@dataclass(frozen=True, slots=True)
class Bend:
    """The bend that the known `points` tell of: shifts (points, 2) and the noise of each, millimetres."""

    points: Field
    shifts: Field
    noise: Field

    def joined(self, points: Field, shifts: Field, noise: Field) -> Bend:
        """With more known points."""
        return Bend(
            np.concatenate([self.points, points]),
            np.concatenate([self.shifts, shifts]),
            np.concatenate([self.noise, noise]),
        )

    def near(self, places: Field, most: int = MOST_AT_ONCE) -> Bend:
        """With the `most` points alone that lie nearest to any of `places`, in their order."""
        if len(self.points) <= most:
            return self
        far = _square_apart(self.points, places).min(1)
        return self.chosen(np.sort(np.argsort(far, kind="stable")[:most]))

    def thinned(self) -> Bend:
        """With so few of the points that they can be asked at once, all over the page."""
        return self.chosen(np.arange(0, len(self.points), -(-len(self.points) // MOST_AT_ONCE)))

    def chosen(self, which: NDArray[np.int_] | NDArray[np.bool_]) -> Bend:
        """With the points of these numbers, or flags, alone."""
        return Bend(self.points[which], self.shifts[which], self.noise[which])

    def at(self, places: Field) -> tuple[Field, Field]:
        """The likeliest shift at each of `places` and its standard deviation along each axis."""
        factor = linalg.cho_factor(self._matrix(), lower=True, check_finite=False)
        across = _likeness(places, self.points)
        told = across @ linalg.cho_solve(factor, self.shifts, check_finite=False)
        known = linalg.solve_triangular(factor[0], across.T, lower=True, check_finite=False)
        full = sum(size**2 for size, _ in WAVES)
        return told, np.sqrt(np.maximum(full - (known**2).sum(0), 1e-4))

    def others(self) -> tuple[Field, Field]:
        """What all other points say at each known point, and the standard deviation of that."""
        inverse = np.linalg.inv(self._matrix())
        own = np.diag(inverse)
        return self.shifts - (inverse @ self.shifts) / own[:, None], np.sqrt(1 / own)

    def _matrix(self) -> Field:
        return _likeness(self.points, self.points) + np.diag(self.noise**2)


def _likeness(one: Field, other: Field) -> Field:
    square = _square_apart(one, other)
    return np.asarray(sum(size**2 * np.exp(square / (-2 * length**2)) for size, length in WAVES))


def _square_apart(one: Field, other: Field) -> Field:
    return np.asarray((one**2).sum(1)[:, None] + (other**2).sum(1) - 2 * one @ other.T)
