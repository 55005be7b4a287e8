"""How she ranges: natural periods that others give, and the answer near and far from them."""

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from alongside.cycle.lengths import Lengths
from alongside.cycle.line_history import line_history
from alongside.mechanics.arrangement import Arrangement, arrangement_of
from alongside.mechanics.exposure import loads_of
from alongside.mechanics.hold import hold
from alongside.mechanics.mooring import mooring_of
from alongside.mechanics.ranging import (
    DAMPING,
    FARTHEST_M,
    Inertia,
    Motion,
    at_rest,
    inertia_of,
    natural_periods,
    ranged,
    stiffness_at,
)
from alongside.mechanics.situation import Situation, joined
from alongside.mechanics.tension import tensions_of
from alongside.readings import Floats
from alongside.stay.model import Marks, Ship
from tests.berth import a_stay
from tests.mechanics.ranging_berth import BALANCED, OFF_MIDSHIPS, PORT_SIDE

START = 1_772_424_000.0


def calm(n: int, step_s: float = 1.0) -> Situation:
    nothing = np.zeros(n)
    return Situation(
        time=START + 60.0 + step_s * np.arange(n),
        tide=nothing + 2.0,
        draught_fwd=nothing + 4.0,
        draught_aft=nothing + 4.5,
        heel_deg=nothing,
        heel_measured=True,
        wind_speed=nothing,
        wind_gust=nothing,
        wind_from=nothing,
        current_speed=nothing,
        current_to=nothing,
        quality=np.zeros(n, dtype=np.int8),
    )


class Moored:
    """The small berth with all lines fast, and what resists her motion."""

    def __init__(self, folder: Path, text: str = BALANCED) -> None:
        self.stay = a_stay(folder, text)
        self.arrangement: Arrangement = arrangement_of(self.stay)
        first = calm(1)
        history = line_history(self.stay, self.arrangement, Lengths.before_all(self.stay), first, (), False)
        self.lengths = history.lengths.unstretched
        self.inertia: Inertia = inertia_of(self.stay.ship, 4.25, 8.0)
        self.rest: Motion = at_rest(self.arrangement, first, self.lengths)
        tensions = tensions_of(self.arrangement, self.lengths)
        loads, _ = loads_of(self.arrangement.exposure, first)
        mooring = mooring_of(self.arrangement, self.arrangement.fenders, first, tensions, loads)
        self.stiffness = stiffness_at(mooring, self.rest.place)
        self.periods = natural_periods(self.inertia.matrix(self.arrangement.exposure), self.stiffness)

    def pushed(self, along: Floats, across: Floats | float = 0.0, step_s: float = 1.0) -> Situation:
        """The situation with the force that gives her motion while she is pushed so, kN (n,)."""
        situation = calm(along.size, step_s)
        push = np.column_stack([along, np.zeros(along.size) + across, np.zeros(along.size)])

        def pushes(time: Floats) -> Floats:
            return np.column_stack([np.interp(time, situation.time, column) for column in push.T])

        force, _ = ranged(self.arrangement, situation, self.lengths, pushes, self.rest, self.inertia, step_s)
        return replace(situation, other_force=force)

    def held(self, situation: Situation) -> Floats:
        """Surge of the balance, m."""
        return hold(self.arrangement, situation, self.lengths).pose.surge


@pytest.fixture
def moored(tmp_path: Path) -> Moored:
    return Moored(tmp_path)


@pytest.mark.parametrize(
    ("kn_per_m", "tonnes", "seconds", "within"),
    [
        # Coastal Engineering Manual II-7, example II-7-7: 166 700 and 164 800 N/m, 64 239 200 kg: 124 s
        (0.5 * (166.7 + 164.8), 64_239.2, 124.0, 0.5),
        # its lines with the cosine squared, 127.5 s: k smaller by (123.7 / 127.5) squared
        (0.5 * (166.7 + 164.8) * (123.7 / 127.5) ** 2, 64_239.2, 127.5, 0.1),
        # a classification society's paper: 148 and 52 s of surge
        (500.0, 277_400.0, 148.0, 0.5),
        (4000.0, 274_000.0, 52.0, 0.5),
    ],
)
def test_natural_periods_that_others_give(
    kn_per_m: float, tonnes: float, seconds: float, within: float
) -> None:
    mass, stiffness = np.diag([tonnes, 1.0, 1.0]), np.diag([kn_per_m, 1e9, 1e9])
    assert natural_periods(mass, stiffness)[0] == pytest.approx(seconds, abs=within)


def test_a_motion_that_nothing_draws_back_has_no_period() -> None:
    assert natural_periods(np.eye(3), np.diag([0.0, 1.0, 1.0]))[0] == np.inf


@pytest.mark.parametrize(
    ("clearance", "across"), [(0.05, 1.8), (0.1, 1.8), (0.3, 1.65), (0.5, 1.5), (4.0, 1.5)]
)
def test_added_mass_across_goes_by_the_water_under_her_keel(clearance: float, across: float) -> None:
    """PIANC 2002: 1.8, 1.875 - 0.75 Kc/D, 1.5."""
    ship = Ship("Box", 183.0, 176.0, 31.0, 17.0, Marks(172.0, 4.0), {}, {})
    inertia = inertia_of(ship, 10.0, 10.0 * (1.0 + clearance))
    assert inertia.across / inertia.still == pytest.approx(across)
    assert inertia.ahead / inertia.still == pytest.approx(1.08)
    assert inertia.still == pytest.approx(1.025 * 0.80 * 176.0 * 31.0 * 10.0)
    assert inertia_of(ship, 10.0, np.nan).across / inertia.still == pytest.approx(1.8)
    assert inertia_of(ship, 10.0, np.inf).across / inertia.still == pytest.approx(1.5)


@pytest.mark.parametrize("text", [BALANCED, PORT_SIDE, OFF_MIDSHIPS])
def test_the_balance_with_the_force_gives_the_pose_she_then_has(tmp_path: Path, text: str) -> None:
    moored = Moored(tmp_path, text)
    seconds = np.arange(240.0)
    situation = calm(240)
    push = np.column_stack(
        [15.0 * np.sin(seconds / 9.0), 30.0 * np.sin(seconds / 5.0), 400.0 * np.sin(seconds / 7.0)]
    )

    def pushes(time: Floats) -> Floats:
        return np.column_stack([np.interp(time, situation.time, column) for column in push.T])

    force, end = ranged(
        moored.arrangement, situation, moored.lengths, pushes, moored.rest, moored.inertia, 1.0
    )
    pose = hold(moored.arrangement, replace(situation, other_force=force), moored.lengths).pose
    assert end.place == pytest.approx([pose.surge[-1], pose.sway[-1], pose.yaw[-1]], abs=1e-6)
    assert np.ptp(pose.surge) > 0.05
    assert np.ptp(pose.yaw) > 1e-4


def test_she_swings_at_her_natural_period_and_dies_away(moored: Moored) -> None:
    period = moored.periods[0]
    assert 10.0 < period < 120.0
    seconds = np.arange(0.0, 6.0 * period, 0.5)
    push = np.where(seconds < 0.25 * period, 8.0, 0.0)
    surge = moored.held(moored.pushed(push, step_s=0.5)) - moored.rest.place[0]
    after = seconds > 0.5 * period
    up = np.flatnonzero(after[1:] & (surge[1:] >= 0.0) & (surge[:-1] < 0.0))
    assert np.diff(seconds[up]).mean() == pytest.approx(period, rel=0.05)
    crests = [surge[a:b].max() for a, b in pairwise(up)]
    # ours: each swing is smaller by exp(-2 pi z / sqrt(1 - z^2)), within what ropes that stiffen change
    decay = np.exp(-2.0 * np.pi * DAMPING / np.sqrt(1.0 - DAMPING**2))
    assert np.array(crests[1:]) / np.array(crests[:-1]) == pytest.approx(
        np.full(len(crests) - 1, decay), rel=0.1
    )


@pytest.mark.slow
@pytest.mark.parametrize(("ratio", "least", "most"), [(8.0, 0.9, 1.15), (1.0, 4.0, 5.2), (0.4, 0.1, 0.3)])
def test_near_her_period_she_ranges_far_from_it_not(
    moored: Moored, ratio: float, least: float, most: float
) -> None:
    """Surge over that of the balance by itself; of an oscillator with a tenth of critical damping 1.02, 5.0
    and 0.19 (ours: 1 / |1 - r^2 + 2 i z r|)."""
    period = ratio * moored.periods[0]
    seconds = np.arange(0.0, max(8.0 * moored.periods[0], 2.5 * period), 0.5)
    rise = np.minimum(seconds / (2.0 * moored.periods[0]), 1.0)
    push = 1.5 * rise * np.sin(2.0 * np.pi * seconds / period)
    moving = moored.held(moored.pushed(push, step_s=0.5))
    still_force = np.column_stack([push, np.zeros((push.size, 2))])
    still = moored.held(replace(calm(push.size, 0.5), other_force=still_force))
    last = seconds > seconds[-1] - 1.2 * period
    assert least < np.ptp(moving[last]) / np.ptp(still) < most


def test_what_nothing_holds_is_given_up(moored: Moored) -> None:
    with pytest.raises(ValueError, match=f"{FARTHEST_M:g} m off her place"):
        moored.pushed(np.full(600, 40_000.0), across=5_000.0)


def test_a_force_goes_along_with_the_instants_that_it_belongs_to() -> None:
    forced = replace(calm(4), other_force=np.arange(12.0).reshape(4, 3))
    assert forced.rows(1, 3).other_force == pytest.approx(np.arange(3.0, 9.0).reshape(2, 3))
    both = joined([calm(2), forced])
    assert both.other_force is not None
    assert both.other_force[:2].tolist() == [[0.0] * 3] * 2
    assert both.other_force[2:] == pytest.approx(np.arange(12.0).reshape(4, 3))
    assert joined([calm(2), calm(1)]).other_force is None


def test_a_force_moves_her_as_far_as_the_same_wind_would(moored: Moored) -> None:
    """Ahead and to port in the ship frame, the moment about midships: as of a tug (UFC frame)."""
    ahead = replace(calm(1), other_force=np.array([[10.0, 0.0, 0.0]]))
    assert moored.held(ahead)[0] > moored.rest.place[0] + 0.01
    astern = replace(calm(1), other_force=np.array([[-10.0, 0.0, 0.0]]))
    assert moored.held(astern)[0] < moored.rest.place[0] - 0.01
    off = hold(moored.arrangement, replace(calm(1), other_force=np.array([[0.0, 60.0, 0.0]])), moored.lengths)
    assert off.pose.sway[0] > moored.rest.place[1]


def test_she_moves_alike_whichever_station_names_her_place(tmp_path: Path) -> None:
    """Surge, sway of midships and yaw: a push across about midships, named from there or 15 m abaft. Left is
    what a small angle leaves out: 15 m (1 - cos yaw), 3 mm."""
    ends = []
    for text in (BALANCED, OFF_MIDSHIPS):
        moored = Moored(tmp_path, text)
        situation = calm(90)

        def pushes(time: Floats) -> Floats:
            return np.column_stack([0.0 * time, 60.0 * np.sin(time / 6.0), 300.0 * np.sin(time / 8.0)])

        _, end = ranged(
            moored.arrangement, situation, moored.lengths, pushes, moored.rest, moored.inertia, 1.0
        )
        surge, sway, yaw = end.place
        ends.append((surge, sway + moored.arrangement.exposure.arm * yaw, yaw))
    assert abs(ends[0][2]) > 1e-4
    assert ends[1] == pytest.approx(ends[0], abs=0.006)
