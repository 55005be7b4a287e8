"""The list that a wind gives, by hand; and that it enters holding power and the hours ahead."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.cli.examples import example_stay
from alongside.forecast.basis import Basis
from alongside.forecast.expected.ensemble import expected_situations
from alongside.forecast.in_the_wind import stood
from alongside.forecast.present import Present, nothing_heard
from alongside.mechanics.exposure import exposure_of
from alongside.mechanics.hold import hold
from alongside.mechanics.holding import holding_power
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.pose import in_place
from alongside.mechanics.situation import Situation, situation_of
from alongside.mechanics.usage import Criteria
from alongside.mechanics.wind_heel import listed_by_wind, wind_heel_deg
from alongside.reports.holding_text import heel_when_held, holding_object
from alongside.stay.model import HydrostaticRow, Stay, WindAreas
from alongside.stay.read import read_stay
from alongside.units import AIR
from tests.cycle.test_advance import readings_of
from tests.mechanics.stays import Lead, stay_with

HYDROSTATICS = (HydrostaticRow(8.0, 26_000, 40, 300, 100), HydrostaticRow(10.0, 34_000, 41, 310, 100))


def car_carrier(gm: float | None = 1.5) -> Stay:
    """8000 m2 of side at 9 m, 30,000 t, GM 1.5 m."""
    leads = [
        Lead((x, -14.0, 16.0), (x + way, -30.0, 4.0))
        for x, way in ((20.0, -20.0), (90.0, 0.0), (160.0, 20.0))
    ]
    plain = stay_with(leads)
    wind = WindAreas(front_m2=900.0, side_m2=8000.0, at_draught=9.0)
    ship = replace(
        plain.ship, loa=230.0, lbp=220.0, breadth=32.0, wind=wind, gm=gm, hydrostatics=HYDROSTATICS
    )
    return replace(plain, ship=ship, balance=True)


def afloat(stay: Stay, ms: float, come_from: float, heel: float = 0.0, measured: bool = False) -> Situation:
    here = situation_of(stay, readings_of(np.array([2.0])))
    one = np.ones(1)
    return replace(
        here,
        draught_fwd=9.0 * one,
        draught_aft=9.0 * one,
        heel_deg=heel * one,
        heel_measured=measured,
        wind_speed=ms * one,
        wind_from=come_from * one,
    )


def test_a_car_carrier_in_twenty_metres_a_second_abeam() -> None:
    """FY = 0.892 x 0.5 rho V^2 x 8000; lever 8000 / 220 / 2 + 4.5 = 22.68 m; tan = FY lever / (30,000 x 9.807
    x 1.5). Plane statics, by hand."""
    stay = car_carrier()
    exposure = exposure_of(stay)
    force = 0.892 * 0.0005 * AIR * 400.0 * 8000.0
    by_hand = np.degrees(np.arctan(force * (8000.0 / 440.0 + 4.5) / (30_000.0 * 9.80665 * 1.5)))
    assert by_hand == pytest.approx(5.1, abs=0.2)
    from_starboard, from_port = (
        wind_heel_deg(exposure, afloat(stay, 20.0, exposure.heading + angle))[0] for angle in (90.0, 270.0)
    )
    assert from_port == pytest.approx(by_hand, rel=1e-9)  # starboard down
    assert from_starboard == pytest.approx(-by_hand, rel=1e-9)
    assert wind_heel_deg(exposure, afloat(stay, 20.0, exposure.heading))[0] == pytest.approx(0.0, abs=1e-9)


@given(st.floats(0.0, 30.0), st.floats(0.0, 360.0), st.floats(-3.0, 3.0))
def test_the_wind_of_now_lists_her_as_measured(ms: float, come_from: float, heel: float) -> None:
    """In the wind of now a measured list stays what it is; one that is not measured gets the wind's."""
    stay = car_carrier()
    exposure, here = exposure_of(stay), afloat(stay, ms, come_from, heel, measured=True)
    assert listed_by_wind(exposure, here, here).heel_deg[0] == pytest.approx(heel, abs=1e-12)
    unmeasured = replace(here, heel_measured=False)
    assert listed_by_wind(exposure, unmeasured, unmeasured).heel_deg[0] == pytest.approx(
        heel + wind_heel_deg(exposure, here)[0], abs=1e-12
    )


@pytest.mark.parametrize("change", ["gm", "hydrostatics", "wind", "unknown wind"])
def test_nothing_known_is_no_list(change: str) -> None:
    stay = car_carrier(None if change == "gm" else 1.5)
    if change in ("hydrostatics", "wind"):
        missing = {"hydrostatics": ()} if change == "hydrostatics" else {"wind": None}
        stay = replace(stay, ship=replace(stay.ship, **missing))
    here = afloat(stay, np.nan if change == "unknown wind" else 20.0, 0.0)
    assert wind_heel_deg(exposure_of(stay), here).tolist() == [0.0]


@pytest.mark.slow
def test_the_list_enters_what_lines_hold() -> None:
    """Wind that blows her off lifts the quay side and its fairleads: with a GM of 1.5 m another wind is held
    than by a ship that stays upright, and the less GM the farther off."""
    held = []
    for gm in (None, 30.0, 1.5):
        stay = car_carrier(gm)
        arrangement, calm = Basis.of(stay).arrangement, afloat(stay, 0.0, 0.0)
        lengths = unstretched_for(arrangement, in_place(calm), np.full(3, 60.0))[0]
        held.append(holding_power(arrangement, calm, lengths).holds_ms)
    upright, stiff, tender = held
    assert (upright > 1.0).any()
    assert np.isfinite(upright).all()
    assert np.abs(stiff - upright).max() < np.abs(tender - upright).max()
    assert np.abs(tender - upright).max() > 0.1


def test_a_deed_is_tried_with_the_list_of_the_wind() -> None:
    """As what is held: the less GM, the farther is what a wind uses from that of an upright ship."""
    used = []
    for gm in (None, 300.0, 1.5):
        stay = car_carrier(gm)
        basis = replace(Basis.of(stay), criteria=Criteria())
        calm = afloat(stay, 0.0, 0.0)
        lengths = unstretched_for(basis.arrangement, in_place(calm), np.full(3, 60.0))[0]
        used.append(float(stood(basis, afloat(stay, 20.0, 275.0), lengths, 0.9).share[0]))
    upright, stiff, tender = used
    assert np.isfinite(upright)
    assert abs(stiff - upright) < 0.05 * abs(tender - upright)
    assert abs(tender - upright) > 1e-3


def test_the_list_enters_the_hours_ahead() -> None:
    """The wind as now goes on: what is measured now stays; where nothing measures the list, that of the wind
    comes with it."""
    stay = car_carrier()
    exposure = exposure_of(stay)
    lists = []
    for measured in (True, False):
        here = afloat(stay, 15.0, exposure.heading + 90.0, heel=-0.5 if measured else 0.0, measured=measured)
        present = Present.of(here, np.full(3, 23.0), nothing_heard(), planned=True)
        time = here.time[0] + np.arange(3) * 600.0
        lists.append(expected_situations(stay, present, time, members=2).heel_deg[0])
    by_wind = wind_heel_deg(exposure, here)[0]
    assert lists[0][0] == pytest.approx(-0.5, abs=1e-6)
    assert lists[1][0] == pytest.approx(by_wind, abs=1e-6)


@pytest.mark.slow
def test_the_list_in_the_wind_that_is_held_is_given_to_other_programs() -> None:
    """By direction the list of plane statics at the wind held there, to leeward; not known without GM."""
    stay = car_carrier()
    basis, calm = Basis.of(stay), afloat(stay, 0.0, 0.0)
    length = unstretched_for(basis.arrangement, in_place(calm), np.full(3, 60.0))[0]
    plain = holding_power(basis.arrangement, calm, length)
    power = replace(plain, holds_ms=np.linspace(8.0, 24.0, 72))
    heel = heel_when_held(basis, calm, power)
    off = int(np.abs((power.from_deg - stay.berth.bearing_of_x - 90.0 + 180.0) % 360.0 - 180.0).argmin())
    for at in (off, (off + 36) % 72):
        force = 0.892 * 0.0005 * AIR * float(power.holds_ms[at]) ** 2 * 8000.0
        tan = force * 22.68 / (30_000.0 * 9.80665 * 1.5)
        assert abs(heel[at]) == pytest.approx(np.degrees(np.arctan(tan)), rel=0.01)
    assert heel[off] * heel[(off + 36) % 72] < 0.0
    rows = holding_object(power, heel_deg=heel)["directions"]
    assert rows[off]["heel_deg"] == pytest.approx(heel[off], abs=1e-6)
    without = Basis.of(car_carrier(gm=None))
    assert np.isnan(heel_when_held(without, calm, power)).all()
    assert {row["heel_deg"] for row in holding_object(power)["directions"]} == {None}


@pytest.mark.slow
def test_what_heavy_lines_hold_is_the_wind_that_brings_a_load_to_its_limit() -> None:
    """The search for what is held and the state in that wind say the same, sag counted in both."""
    plain = read_stay(example_stay("product_jetty"))
    lines = tuple(
        replace(line, rope=replace(line.rope, weight_kg_per_m=40.0), tail=None) for line in plain.lines
    )
    stay = replace(plain, lines=lines)
    arrangement, calm = Basis.of(stay).arrangement, afloat(stay, 0.0, 0.0)
    lengths = unstretched_for(arrangement, in_place(calm), np.full(len(lines), 30.0))[0]
    power = holding_power(arrangement, calm, lengths, Criteria())
    tried = 0
    for come_from, holds, gives in zip(power.from_deg, power.holds_ms, power.gives_first, strict=True):
        if gives not in ("wll", "brake") or not 5.0 < holds < 55.0:
            continue
        state = hold(arrangement, afloat(stay, float(holds), float(come_from)), lengths).lines
        brake = np.nanmax(state.tension_kn[0] / arrangement.brake_kn)
        used = state.load_share[0].max() if gives == "wll" else brake
        assert used == pytest.approx(1.0, abs=1e-3), come_from
        tried += 1
    assert tried > 20
