"""A ship in swell: in the long limit she rides with the water, in the short one she lies still."""

import numpy as np
import pytest

from alongside.mechanics.ranging import Inertia
from alongside.mechanics.swell import SwellMotion, Waves, ship_in_swell, wave_numbers
from alongside.readings import Floats

G = 9.80665
INERTIA = Inertia(1.08e4, 1.6e4, 5e6, 1e4)
TIME = np.arange(0.0, 240.0, 0.25)


def one_wave(period: float, runs_deg: float, height: float = 1.0, depth: float = 15.0) -> Waves:
    """A wave of this height that runs so many degrees to starboard of the way in which her bow points."""
    frequency = np.array([2.0 * np.pi / period])
    number, turn = wave_numbers(frequency, depth), np.radians(runs_deg)
    ahead, to_port = number * np.cos(turn), -number * np.sin(turn)
    return Waves(frequency, np.array([height / 2.0]), np.zeros(1), ahead, to_port, depth)


def moved(waves: Waves, length: float = 100.0, breadth: float = 16.0, draught: float = 5.0) -> SwellMotion:
    return ship_in_swell(waves, length, breadth, draught, 1.5, INERTIA, TIME)


def amplitude(value: Floats) -> float:
    return float(np.ptp(value)) / 2.0


@pytest.mark.parametrize(
    ("period", "depth", "length"),
    [
        # Shore Protection Manual, tables of d/L for d/L0 (from memory): 10 m and 10 s: 92.4 m
        (10.0, 10.0, 92.4),
        # deep water: g T^2 / (2 pi); ours, exact
        (6.0, np.inf, G * 36.0 / (2.0 * np.pi)),
        # very long: T sqrt(g h); ours, exact in the limit
        (400.0, 10.0, 400.0 * np.sqrt(G * 10.0)),
    ],
)
def test_lengths_of_waves(period: float, depth: float, length: float) -> None:
    number = wave_numbers(np.array([2.0 * np.pi / period]), depth)
    assert 2.0 * np.pi / number[0] == pytest.approx(length, rel=2e-3)


def test_a_wave_satisfies_its_dispersion() -> None:
    for period in (3.0, 8.0, 15.0, 60.0):
        frequency = np.array([2.0 * np.pi / period])
        number = wave_numbers(frequency, 12.0)
        assert G * number * np.tanh(number * 12.0) == pytest.approx(frequency**2, rel=1e-9)


@pytest.mark.parametrize("runs", [0.0, 70.0, 180.0, 250.0])
def test_on_a_long_wave_she_rides_with_the_water(runs: float) -> None:
    waves = one_wave(90.0, runs)
    motion = moved(waves)
    for x in (-45.0, 0.0, 45.0):
        assert motion.rise_at(x) == pytest.approx(waves.level(TIME, x, 0.0), abs=0.025)
    for y in (-8.0, 8.0):
        rise = motion.heave + y * np.tan(np.radians(motion.heel_deg))
        assert rise == pytest.approx(waves.level(TIME, 0.0, y), abs=0.025)


def test_on_a_short_one_she_lies_still() -> None:
    motion = moved(one_wave(4.0, 0.0))
    assert amplitude(motion.heave) < 0.02
    assert amplitude(motion.trim) * 50.0 < 0.05


def test_a_wave_from_ahead_trims_and_one_from_the_side_lists_her() -> None:
    from_ahead, from_port = moved(one_wave(11.0, 180.0)), moved(one_wave(11.0, 90.0))
    assert amplitude(from_ahead.trim) > 20.0 * amplitude(from_port.trim)
    assert amplitude(from_ahead.heel_deg) < 1e-9
    assert amplitude(from_port.heel_deg) > 1.0
    assert amplitude(from_port.push) < 1e-6


def test_she_rolls_most_near_her_own_period() -> None:
    """w0 = sqrt(g GM) / (0.38 B): 9.96 s with 16 m and 1.5 m."""
    own = 2.0 * np.pi * 0.38 * 16.0 / np.sqrt(G * 1.5)
    assert own == pytest.approx(9.96, abs=0.01)
    slopes = {}
    for period in (0.6 * own, own, 3.0 * own):
        waves = one_wave(period, 90.0)
        slope = float(waves.number[0] * waves.amplitude[0])
        slopes[period] = amplitude(np.tan(np.radians(moved(waves).heel_deg))) / slope
    small, near, long = slopes.values()
    assert near > 3.0
    assert long == pytest.approx(1.12, abs=0.1)
    assert small < 1.0


def test_a_long_wave_drives_her_as_its_slope_does() -> None:
    """Mass and added mass x g x slope (ours): the same as of a long wave."""
    waves = one_wave(120.0, 0.0, height=0.4)
    slope = float(waves.number[0]) * 0.2
    assert amplitude(moved(waves).push) == pytest.approx(1.08e4 * G * slope, rel=0.02)


def test_twice_the_height_moves_her_twice() -> None:
    low, high = moved(one_wave(9.0, 150.0)), moved(one_wave(9.0, 150.0, height=2.0))
    np.testing.assert_allclose(high.heave, 2.0 * low.heave)
    np.testing.assert_allclose(high.push, 2.0 * low.push)
