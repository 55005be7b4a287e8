"""The pull of a ship that passes, against peaks worked out elsewhere, to all the digits that are given.

Authority: integrals of Wang's slender bodies (1975; structure read, constants from memory), peaks computed by
others from the same formula and handed over as check values. Tolerance: half a unit of the last digit given,
in the unit of the column; places of peaks to the step in which they are sought.
"""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.mechanics.passing import Hull, Pull, passing_pull, range_ms
from alongside.readings import Floats

DEEP = np.inf
MOORED, PASSING = Hull(180.0, 30.0, 9.0), Hull(220.0, 32.0, 11.0)
ABREAST = np.arange(-500.0, 500.5, 1.0)


def peak(value: Floats, place: Floats) -> tuple[float, float]:
    return float(value.max()), float(place[value.argmax()])


@pytest.mark.parametrize(
    ("off", "along", "across", "back", "turning"),
    [
        (0.3, (1.340, 0.345), 4.662, (-2.157, 0.740), (0.939, 0.305)),
        (1.0, (0.079, 0.505), 0.241, (-0.083, 1.105), (0.0276, 0.425)),
    ],
)
def test_peaks_of_equal_lengths_in_deep_water(
    off: float,
    along: tuple[float, float],
    across: float,
    back: tuple[float, float],
    turning: tuple[float, float],
) -> None:
    """X and Y in rho V^2 S1 S2 / L^2, N in rho V^2 S1 S2 / L; places in L."""
    hull = Hull(200.0, 20.0, 8.0)
    place = 200.0 * np.arange(-2.0, 2.0001, 0.005)
    pull = passing_pull(hull, hull, place, off * 200.0, 3.0, DEEP)
    unit = 1.025 * 3.0**2 * (20.0 * 8.0 * 0.98) ** 2 / 200.0**2
    assert peak(pull.along / unit, place / 200.0) == pytest.approx(along, abs=0.0006)
    assert peak(pull.across / unit, place / 200.0) == pytest.approx((across, 0.0), abs=0.0006)
    least, where = peak(-pull.across / unit, place / 200.0)
    assert (-least, abs(where)) == pytest.approx(back, abs=0.0006)
    assert peak(pull.turning / unit / 200.0, place / 200.0) == pytest.approx(turning, abs=0.0006)


@pytest.mark.parametrize(
    ("depth", "along", "at", "across", "back", "turning"),
    [(DEEP, 10.4, 80.0, 32.8, -14.0, 0.87), (20.0, 55.8, 85.0, 138.7, -52.9, 3.34)],
)
def test_peaks_of_a_ship_that_passes_at_a_hundred_metres(
    depth: float, along: float, at: float, across: float, back: float, turning: float
) -> None:
    """kN and MN m; 3 m/s through the water."""
    pull = passing_pull(MOORED, PASSING, ABREAST, 100.0, 3.0, depth)
    most, where = peak(pull.along, ABREAST)
    assert most == pytest.approx(along, abs=0.05)
    assert where == pytest.approx(at, abs=1.0)
    assert peak(pull.across, ABREAST) == pytest.approx((across, 0.0), abs=0.05)
    assert pull.across.min() == pytest.approx(back, abs=0.05)
    assert pull.turning.max() / 1000.0 == pytest.approx(turning, abs=0.005)


@pytest.mark.parametrize("depth", [DEEP, 20.0])
def test_along_and_turning_are_odd_across_is_even(depth: float) -> None:
    pull = passing_pull(MOORED, PASSING, ABREAST, 100.0, 3.0, depth)
    largest = np.abs(pull.across).max()
    np.testing.assert_allclose(pull.along[::-1], -pull.along, atol=1e-9 * largest)
    np.testing.assert_allclose(pull.across[::-1], pull.across, atol=1e-9 * largest)
    np.testing.assert_allclose(pull.turning[::-1], -pull.turning, atol=1e-7 * largest)


def test_first_towards_her_then_off_the_quay_then_after_her() -> None:
    pull = passing_pull(MOORED, PASSING, np.array([-85.0, 0.0, 85.0]), 100.0, 3.0, 20.0)
    assert pull.along[0] < -50.0
    assert pull.across[1] > 130.0
    assert pull.along[2] > 50.0


def test_twice_the_speed_pulls_four_times_and_the_way_she_goes_is_nothing() -> None:
    slow, fast, back = (passing_pull(MOORED, PASSING, ABREAST, 100.0, v, 20.0) for v in (2.5, 5.0, -2.5))
    for name in Pull.__dataclass_fields__:
        np.testing.assert_allclose(getattr(fast, name), 4.0 * getattr(slow, name), rtol=1e-12)
        np.testing.assert_array_equal(getattr(back, name), getattr(slow, name))


def test_each_instant_has_its_own_speed() -> None:
    speed = np.linspace(1.0, 4.0, ABREAST.size)
    one = passing_pull(MOORED, PASSING, ABREAST, 100.0, 1.0, 20.0)
    many = passing_pull(MOORED, PASSING, ABREAST, 100.0, speed, 20.0)
    np.testing.assert_allclose(many.across, one.across * speed**2, rtol=1e-12)


def by_plain_sums(depth: float, ahead: float, off: float, images: int) -> tuple[float, float, float]:
    """The three double integrals as they stand, by midpoints, image by image; ours."""
    x1 = (np.arange(600) + 0.5) / 600.0 * 180.0 - 90.0
    x2 = (np.arange(600) + 0.5) / 600.0 * 220.0 - 110.0
    cell = (180.0 / 600.0) * (220.0 / 600.0)
    one, other = 0.98 * 30.0 * 9.0, 0.98 * 32.0 * 11.0
    s1, g1 = one * (1.0 - 4.0 * x1**2 / 180.0**2), -8.0 * one * x1 / 180.0**2
    g2 = -8.0 * other * x2 / 220.0**2
    d = x2[None, :] - x1[:, None] + ahead
    kernel = np.zeros_like(d)
    for n in range(-images, images + 1):
        kernel += (d**2 + off**2 + (0.0 if n == 0 else 4.0 * n**2 * depth**2)) ** -1.5
    rv = 1.025 * 9.0
    along = rv / (2.0 * np.pi) * (g1[:, None] * g2 * d * kernel).sum() * cell
    across = rv * off / np.pi * (g1[:, None] * g2 * kernel).sum() * cell
    turning = rv * off / np.pi * ((g1 * x1 + s1)[:, None] * g2 * kernel).sum() * cell
    return float(along), float(across), float(turning)


@pytest.mark.slow
@pytest.mark.parametrize(("depth", "images"), [(DEEP, 0), (15.0, 400)])
@pytest.mark.parametrize("ahead", [-210.0, -40.0, 0.0, 85.0])
def test_one_integral_is_the_double_one(depth: float, images: int, ahead: float) -> None:
    pull = passing_pull(MOORED, PASSING, np.array([ahead]), 60.0, 3.0, depth)
    got = pull.along[0], pull.across[0], pull.turning[0]
    deep = depth if images else 1.0
    expected = by_plain_sums(deep, ahead, 60.0, images)
    assert got == pytest.approx(expected, rel=2e-3, abs=2e-3 * abs(expected[1]))


@settings(deadline=None, max_examples=40)
@given(st.floats(11.5, 200.0), st.floats(35.0, 400.0), st.floats(-600.0, 600.0))
def test_water_less_deep_pulls_harder_abeam(depth: float, off: float, ahead: float) -> None:
    at = np.array([0.0, ahead])
    shallow = passing_pull(MOORED, PASSING, at, off, 3.0, depth)
    deep = passing_pull(MOORED, PASSING, at, off, 3.0, DEEP)
    assert shallow.across[0] >= deep.across[0] - 1e-9
    assert np.isfinite([shallow.along, shallow.across, shallow.turning]).all()


def test_very_deep_water_is_deep_water() -> None:
    deep = passing_pull(MOORED, PASSING, ABREAST, 100.0, 3.0, DEEP)
    nearly = passing_pull(MOORED, PASSING, ABREAST, 100.0, 3.0, 20_000.0)
    np.testing.assert_allclose(nearly.across, deep.across, atol=1e-5)


def test_beyond_a_depth_froude_number_of_six_tenths_nothing_is_known() -> None:
    """0.6 sqrt(9.80665 x 20) = 8.40285 m/s, by hand; the limit is common practice, no source."""
    assert range_ms(20.0) == pytest.approx(8.40285, abs=5e-6)  # m/s
    assert range_ms(DEEP) == DEEP
    speed = np.array([8.40, -8.40, 8.41, -8.41])
    pull = passing_pull(MOORED, PASSING, np.zeros(4), 100.0, speed, 20.0)
    for name in Pull.__dataclass_fields__:
        assert np.isnan(getattr(pull, name)).tolist() == [False, False, True, True]
    deep = passing_pull(MOORED, PASSING, np.zeros(1), 100.0, 15.0, DEEP)
    assert np.isfinite(deep.across).all()


def test_what_is_no_passing_is_refused_and_what_is_not_known_is_nan() -> None:
    with pytest.raises(ValueError, match="a track 31 m off touches her"):
        passing_pull(MOORED, PASSING, ABREAST, 31.0, 3.0, 20.0)
    with pytest.raises(ValueError, match=r"11\.0 m of water do not float a draught of 11\.0 m"):
        passing_pull(MOORED, PASSING, ABREAST, 100.0, 3.0, 11.0)
    pull = passing_pull(MOORED, PASSING, np.array([np.nan, 0.0]), 100.0, 3.0, 20.0)
    assert np.isnan(pull.across[0])
    assert pull.across[1] == pytest.approx(138.7, abs=0.05)
