"""Tide, draughts and heel of a simulated stay."""

import numpy as np
import pytest

from alongside.training.simulate.truth import Truth
from tests.training.simulate.conftest import START


def block(stay, *hours):
    return Truth(stay, stay.simulate).next_block(START + 3600.0 * np.array(hours))


def test_tide_follows_half_a_cosine(stay):
    # ours: LW 0.50 at 00:10, HW 5.20 at 06:25 -> 2.507 m at 03:00
    assert block(stay, 0.0)["tide"][0] == pytest.approx(2.507, abs=0.0005)


def test_surge_comes_and_goes_within_a_day(stay, change):
    raised = change(stay, surge_m=0.40)
    lift = block(raised, 0.0, 3.0, 6.0)["tide"] - block(stay, 0.0, 3.0, 6.0)["tide"]
    np.testing.assert_allclose(lift, 0.40 * (1.0 - np.cos(2 * np.pi * np.array([0, 3, 6]) / 24)) / 2)


def test_discharge_lifts_trims_and_lists_her(stay):
    # ours: 300 t off by 05:00 at 20 t/cm = 15 cm bodily, 300 x 12 m by the head of LCF = 14.4 cm of trim
    start, later = 0.0, 2.0
    so = block(stay, start, later)
    slope = (so["draught_aft"] - so["draught_fwd"]) / 95.0
    assert (so["draught_aft"] - slope * 47.0)[1] - (so["draught_aft"] - slope * 47.0)[0] == pytest.approx(
        -0.15, abs=1e-9
    )
    assert (slope[1] - slope[0]) * 100.0 == pytest.approx(0.144, abs=1e-9)
    # taken off on the port side she lists to starboard: 1200 t m / (displacement x GM 2.0 m)
    displacement = 2000.0 * (so["draught_aft"][0] - slope[0] * 47.0) - 300.0
    assert np.tan(np.radians(so["heel"][1])) == pytest.approx(1200.0 / (displacement * 2.0), rel=1e-9)
    assert so["draught_mid_stbd"][1] > so["draught_mid_port"][1]


def test_heading_is_that_of_the_ship_in_her_berth(stay):
    assert block(stay, 0.0)["heading"][0] == 100.0
