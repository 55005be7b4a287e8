"""Geometry worked by hand: exact mathematics (ours), and rules of thumb of the trade (practice)."""

import numpy as np
import pytest

from alongside.mechanics.geometry import leads_of, vertical_deg
from alongside.mechanics.lines import line_states
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.state import LineStates
from alongside.units import G
from tests.mechanics.published import rows
from tests.mechanics.stays import BREADTH, Lead, afloat, arranged, inclined, moved, straight

SHARES = rows("steepness_share")


def carrying(tension_kn: float, *leads: Lead) -> LineStates:
    """The lines made fast with that tension, in place."""
    arrangement = arranged(*leads)
    return line_states(arrangement, afloat(), unstretched_for(arrangement, afloat(), tension_kn))


@pytest.mark.parametrize(
    ("out", "length", "risen", "longer_pct", "steep", "steeper"),
    [
        (25.0, 26.2488, 27.3130, 4.054, 17.745, 23.749),  # G1 (ours)
        (60.0, 60.5310, 61.0000, 0.775, 7.595, 10.389),  # G3 (ours)
    ],
)
def test_a_short_line_takes_the_rise_a_long_one_hardly_feels(
    out: float, length: float, risen: float, longer_pct: float, steep: float, steeper: float
) -> None:
    """Fairlead `out` m out and 8 m up; the ship rises 3 m."""
    leads = leads_of(arranged(inclined(out, 8.0)), afloat([0.0, 3.0]))
    assert leads.outboard[0] == pytest.approx([length, risen], abs=5e-5)  # m
    assert (leads.outboard[0, 1] / leads.outboard[0, 0] - 1.0) * 100.0 == pytest.approx(longer_pct, abs=5e-4)
    assert vertical_deg(leads)[0] == pytest.approx([steep, steeper], abs=5e-4)  # deg


@pytest.mark.parametrize("row", SHARES, ids=lambda row: f"{row['vertical_deg']} deg")
def test_useful_share_of_a_steep_line(row: dict[str, str]) -> None:
    """G4 (ours): what a line at that angle pulls in for each kN it carries."""
    angle = np.radians(float(row["vertical_deg"]))
    states = carrying(100.0, inclined(30.0 * np.cos(angle), 30.0 * np.sin(angle)))
    assert states.vertical_deg[0, 0] == pytest.approx(float(row["vertical_deg"]), abs=1e-10)
    assert states.in_kn[0, 0] / states.tension_kn[0, 0] == pytest.approx(
        float(row["horizontal_share"]), abs=5e-5
    )


def test_a_line_at_45_deg_is_three_quarters_as_effective_as_one_at_20() -> None:
    """G5: 0.7525 (ours); the seamen's "75 %" is from memory."""
    angles = np.radians([45.0, 20.0])
    states = carrying(100.0, *(inclined(30.0 * np.cos(a), 30.0 * np.sin(a)) for a in angles))
    assert states.in_kn[0, 0] / states.in_kn[0, 1] == pytest.approx(0.7525, abs=5e-5)


def test_horizontal_stiffness_of_an_inclined_line() -> None:
    """G7 (ours): (EA/L) cos^2 + (T/L) sin^2 with EA 50 MN, L 40 m, 25 deg, T 100 kN is 1027.2 kN/m. Our line
    is 0.08 m longer under that load, which moves the second term by 0.001 kN/m."""
    angle, tension, ea = np.radians(25.0), 100.0, 50e3
    path = 40.0 * (1.0 + tension / ea)
    arrangement = arranged(inclined(path * np.cos(angle), path * np.sin(angle), straight("wire", 2000.0, ea)))
    length = unstretched_for(arrangement, afloat(), tension)[0]
    assert length[0] == pytest.approx(40.0, abs=1e-10)
    step = 1e-4
    out, back = (line_states(arrangement, moved(afloat(), sway=s), length).in_kn for s in (step, -step))
    assert (out - back)[0, 0] / (2.0 * step) == pytest.approx(1027.2, abs=0.05)  # kN/m


def test_two_tonnes_at_45_deg_down() -> None:
    """K1 (practice, exact): 1.414 t in and 1.414 t down."""
    states = carrying(2.0 * G, inclined(20.0, 20.0))
    assert states.in_kn[0, 0] / G == pytest.approx(1.414, abs=5e-4)
    assert states.down_kn[0, 0] / G == pytest.approx(1.414, abs=5e-4)
    assert states.ahead_kn[0, 0] == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("alongside", ["starboard", "port"])
def test_a_head_line_at_45_deg_to_the_side_is_part_head_line_part_breast(alongside: str) -> None:
    """K2 (practice, exact): 2 t give 1.414 t ahead and 1.414 t in, whichever side is to the quay."""
    starboard = alongside == "starboard"
    quay_side, ahead = (-1.0, 1.0) if starboard else (1.0, -1.0)
    lead = Lead((110.0, quay_side * BREADTH / 2.0, 14.0), (100.0 + ahead * 70.0, -20.0, 8.0), role="head")
    arrangement = arranged(lead, alongside="starboard" if starboard else "port")
    states = line_states(arrangement, afloat(), unstretched_for(arrangement, afloat(), 2.0 * G))
    assert states.horizontal_deg[0, 0] == pytest.approx(45.0, abs=1e-10)
    assert states.ahead_kn[0, 0] / G == pytest.approx(1.414, abs=5e-4)
    assert states.in_kn[0, 0] / G == pytest.approx(1.414, abs=5e-4)


@pytest.mark.parametrize(("along", "angle"), [(1.0, 0.0), (-1.0, 180.0)])
def test_horizontal_angle_runs_from_ahead_to_astern(along: float, angle: float) -> None:
    lead = Lead((60.0, -BREADTH / 2.0, 14.0), (100.0 + along * 30.0, 0.0, 5.0), role="spring")
    states = carrying(50.0, lead)
    assert states.horizontal_deg[0, 0] == pytest.approx(angle, abs=1e-9)
    assert states.ahead_kn[0, 0] * along > 0.0


def test_of_two_lines_of_one_rope_the_short_one_reaches_its_limit_first() -> None:
    """K3 (practice): one twice as long, the same movement of the end along the line: half the elongation."""
    arrangement = arranged(inclined(20.0, 0.0), inclined(40.0, 0.0))
    states = line_states(arrangement, moved(afloat(), sway=1.0), unstretched=np.array([20.0, 40.0]))
    short, long = states.elongation_pct[0]
    assert long == pytest.approx(short / 2.0, abs=1e-10)
    assert states.stretch_share[0, 0] > states.stretch_share[0, 1]


def test_height_of_the_fairlead_above_its_bollard() -> None:
    """D14 (ours): tide 3.20, fairlead 15.00 above the keel, draught there 8.195, bollard 5.50: 4.505 m."""
    arrangement = arranged(Lead((60.0, -BREADTH / 2.0, 15.0), (100.0, -20.0, 5.5)))
    leads = leads_of(arrangement, afloat(3.20, 8.195, 8.195))
    assert -leads.z[0, 0] == pytest.approx(4.505, abs=1e-12)


def test_inboard_part_from_the_winch_adds_to_the_path() -> None:
    lead = Lead((60.0, -BREADTH / 2.0, 15.0), (100.0, -20.0, 5.5), winch=(56.0, -7.0, 15.0))
    leads = leads_of(arranged(lead), afloat())
    assert leads.path[0, 0] - leads.outboard[0, 0] == pytest.approx(5.0, abs=1e-12)
