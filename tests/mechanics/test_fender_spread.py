"""Fenders whose stiffness is a guess: what lines carry on stiffer and on softer ones."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.fender_spread import path_on_other_fenders, with_stiffness
from alongside.mechanics.hold import hold
from alongside.mechanics.rope_spread import other_ropes
from alongside.mechanics.settled_lengths import make_fast
from alongside.stay.making_fast import makings_fast
from alongside.stay.model import Fender, Stay, WindAreas
from tests.mechanics.stays import Lead, afloat, situation, stay_with

BREASTS = [Lead((x, -10.0, 9.0), (40.0 + x, -30.0, 4.0)) for x in (30.0, 90.0)]
"""Square off the quay: 30 m in from the side, 1 m up to a bollard 4 m above datum, at tide 0."""


ENDS = (-1.0, 1.0)


def guessed(band: float, pull_kn: float = 60.0) -> Stay:
    """A stay whose fenders alone are in doubt."""
    stay = stay_with(BREASTS)
    sure = {"stiffness_band": 0.0}
    lines = tuple(
        replace(
            line,
            rope=replace(line.rope, **sure),
            made_fast=replace(
                line.made_fast,
                settled=True,
                tension_kn=pull_kn,
                tension_band=0.0,
                tide=0.0,
                draught_fwd=6.0,
                draught_aft=6.0,
            ),
        )
        for line in stay.lines
    )
    fenders = tuple(replace(fender, stiffness_band=band) for fender in stay.berth.fenders)
    return replace(stay, lines=lines, berth=replace(stay.berth, fenders=fenders))


def lengths(stay: Stay) -> np.ndarray:
    (making,) = makings_fast(stay)
    nothing = np.full(2, np.nan)
    here = situation(afloat())
    return make_fast(stay, arrangement_of(stay), making, here, nothing, making.lines).unstretched


@pytest.mark.parametrize("end", ENDS)
def test_made_fast_on_other_fenders_a_line_carries_its_stated_tension(end: float) -> None:
    stay = guessed(0.5)
    own = arrangement_of(stay)
    other = other_ropes(stay, own, end, 0.0)
    held = hold(other.arrangement, situation(afloat()), other.lengths(lengths(stay)))
    assert held.lines.tension_kn[0] == pytest.approx([60.0, 60.0], rel=1e-6)
    # By hand: two lines pull in with 60 x 30 / hypot(30, 1) each, two fenders of 2000 kN/m take it.
    pressed = 2 * 60.0 * 30.0 / np.hypot(30.0, 1.0) / (2 * 2000.0 * (1.0 + 0.5 * end))
    assert -held.pose.sway[0] == pytest.approx(pressed, rel=1e-2)


def test_on_softer_fenders_the_path_was_shorter() -> None:
    stay = guessed(0.5)
    own = arrangement_of(stay)
    softer = arrangement_of(
        replace(
            stay,
            berth=replace(
                stay.berth, fenders=tuple(with_stiffness(each, 0.5) for each in stay.berth.fenders)
            ),
        )
    )
    assert (path_on_other_fenders(stay, own, softer) < -0.02).all()


def test_a_rising_ship_loads_her_lines_more_on_stiffer_fenders() -> None:
    stay = guessed(0.5)
    own, up = arrangement_of(stay), situation(afloat(3.0))
    soft, same, stiff = (
        hold(other.arrangement, up, other.lengths(lengths(stay))).lines.tension_kn[0, 0]
        for other in (other_ropes(stay, own, end, 0.0) for end in (-1.0, 0.0, 1.0))
    )
    assert soft < same < stiff


def test_a_table_of_a_fender_is_scaled_in_its_reactions() -> None:
    table = Fender(0.0, None, ((0.0, 0.0), (0.3, 800.0), (0.5, 760.0)), 0.5)
    assert with_stiffness(table, 1.5).table == ((0.0, 0.0), (0.3, 1200.0), (0.5, 1140.0))
    assert with_stiffness(table, 1.0) is table


def test_areas_that_are_a_guess_are_larger_at_the_stiff_end() -> None:
    stay = guessed(0.0)
    areas = WindAreas(front_m2=300.0, side_m2=1000.0, at_draught=6.0, area_band=0.2)
    stay = replace(stay, ship=replace(stay.ship, wind=areas))
    ends = [other_ropes(stay, arrangement_of(stay), end, 0.0).arrangement.exposure.ship.wind for end in ENDS]
    assert [each.side_m2 for each in ends if each] == pytest.approx([800.0, 1200.0])
    assert [each.front_m2 for each in ends if each] == pytest.approx([240.0, 360.0])
