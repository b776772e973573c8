"""What known points say of the bend between them."""

from __future__ import annotations

import numpy as np
import pytest

from bylittle.reading.bend import MOST_AT_ONCE, Bend


def wave(points: np.ndarray) -> np.ndarray:
    return np.stack([2 * np.sin(points[:, 0] / 60), np.cos(points[:, 1] / 80)], 1)


@pytest.fixture
def known() -> Bend:
    points = np.stack(np.meshgrid(np.arange(0, 200, 25.0), np.arange(0, 280, 25.0)), 2).reshape(-1, 2)
    return Bend(points, wave(points), np.full(len(points), 0.1))


def test_between_known_points_the_wave_is_found_again(known: Bend) -> None:
    places = np.array([[37.0, 61.0], [110.0, 140.0], [160.0, 201.0]])
    told, unsure = known.at(places)
    assert np.abs(told - wave(places)).max() < 0.3
    assert unsure.max() < 0.5


def test_far_from_all_that_is_known_nothing_is_claimed(known: Bend) -> None:
    told, unsure = known.at(np.array([[900.0, 900.0]]))
    assert np.abs(told).max() < 0.01
    assert unsure[0] > 5


def test_what_the_others_say_is_the_same_as_leaving_a_point_out(known: Bend) -> None:
    said, spread = known.others()
    rest = np.arange(len(known.points)) != 40
    left_out = Bend(known.points[rest], known.shifts[rest], known.noise[rest])
    told, unsure = left_out.at(known.points[40:41])
    assert said[40] == pytest.approx(told[0], abs=1e-6)
    assert spread[40] ** 2 == pytest.approx(unsure[0] ** 2 + 0.1**2, rel=1e-3)


def test_the_nearest_points_alone_tell_nearly_what_all_of_them_tell(known: Bend) -> None:
    rng = np.random.default_rng(4)
    more = rng.uniform([0, 0], [200, 280], (150, 2))
    every = known.joined(more, wave(more), np.full(len(more), 0.1))
    places = np.array([[60.0, 100.0], [75.0, 120.0]])
    few = every.near(places)
    assert len(few.points) == MOST_AT_ONCE < len(every.points)
    assert np.abs(few.at(places)[0] - every.at(places)[0]).max() < 0.05
    assert few.near(places) is few


def test_thinned_points_still_lie_all_over_the_page(known: Bend) -> None:
    thin = known.thinned()
    assert len(thin.points) <= MOST_AT_ONCE < len(known.points)
    assert np.ptp(thin.points, axis=0) == pytest.approx(np.ptp(known.points, axis=0), abs=30)
