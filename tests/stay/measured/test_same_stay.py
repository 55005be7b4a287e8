"""One berth written twice, in the frames of the model and as it is measured: the same stay."""

# ruff: noqa: E501 - a table, one to a line

from dataclasses import replace
from pathlib import Path

import pytest

from alongside.stay.model import Stay
from tests.berth import a_stay
from tests.stay.measured.sheet import stay_with

# fmt: off
MEASURED = (
    ("alongside: starboard\n", "alongside: starboard\nheads: 90\n"),
    ("  bearing_of_x: 90.0\n", "  edge_to_fenders: 0.8\n  pace: 0.8\n"),
    ("  depth: 8.0\n", "  depth: 8.0\n  overhang_aft: 2.0\n  rail_z: 9.0\n"),
    ("FB: {x: 80.0, y: -2.0, z: 9.0}", "FB: {from_stem: 2.0, y: -2.0, above_deck: 1.0}"),
    ("FA: {x: 1.0, y: -4.0, z: 8.5}", "FA: {from_stern: 3.0, y: -4.0, above_deck: 0.5}"),
    ("W1: {x: 74.0, y: 0.0, z: 9.5, brake_kn: 120}", "W1: {from_stem: 8, y: 0.0, above_deck: 1.5, brake_kn: 120 kN}"),
    ("B1: {x: 110.0, y: -10.0, z: 4.0, swl_kn: 300}", "B1: {x: 110, set_back: 9.2, over_water: 2.5, tide: 1.5, swl_kn: 300}"),
    ("B2: {x: 70.0, y: -8.0, z: 4.0, swl_kn: 300}", "B2: {from: B1, along: -50 paces, set_back: 7.2, swl_kn: 300 kN}"),
    ("B3: {x: -20.0, y: -10.0, z: 4.0}", "B3: {from: B1, along: -130, below_rail: 2.5, tide: 1.5, draught_fwd: 4, draught_aft: 4}"),
)
# fmt: on


def without_guesses(stay: Stay) -> Stay:
    return replace(stay, guesses=(), ship=replace(stay.ship, rail_z=None, overhang_aft=None))


def test_what_is_measured_is_the_stay_that_it_measures(tmp_path: Path) -> None:
    plain = a_stay(tmp_path)
    measured = stay_with(tmp_path, *MEASURED)
    assert [each.path for each in measured.guesses] == ["berth.bollards.B2.along"]
    for name, bollard in plain.berth.bollards.items():
        here, there = measured.berth.bollards[name].at, bollard.at
        assert (here.x, here.y, here.z) == pytest.approx((there.x, there.y, there.z), abs=1e-9)
    berth = replace(measured.berth, bollards=plain.berth.bollards)
    assert without_guesses(replace(measured, berth=berth)) == without_guesses(plain)
