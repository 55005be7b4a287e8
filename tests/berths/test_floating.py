"""Pontoons and floating bollards: what rides with the water does not move against a ship that does too."""

from pathlib import Path

import numpy as np
import pytest

from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.gangway import rail_over_quay
from alongside.mechanics.geometry import leads_of, vertical_deg
from alongside.mechanics.hold import hold
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.pose import in_place
from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.berth import berth_remarks
from alongside.stay.model import Stay
from tests.berth import STAY_TEXT
from tests.mechanics.stays import afloat, situation
from tests.stay.measured.sheet import faults_with, stay_with
from tests.worlds import readings, watched

PONTOON = [
    ("  charted_depth: 6.0\n", "  charted_depth: 6.0\n  floats: on\n"),
    ("B1: {x: 110.0, y: -10.0, z: 4.0,", "B1: {x: 110.0, y: -10.0, over_water: 1.5,"),
    ("B2: {x: 70.0, y: -8.0, z: 4.0,", "B2: {x: 70.0, y: -8.0, over_water: 1.5,"),
    ("B3: {x: -20.0, y: -10.0, z: 4.0}", "B3: {x: -20.0, y: -10.0, over_water: 1.5}"),
    ("balance: off\n", "balance: on\n"),
]
GANGWAY = ("balance: off\n", "balance: off\noutlook: {gangway: {ship_x: 30.0, rail_z: 9.0, quay_z: 1.0}}\n")


def pontoon(folder: Path) -> Stay:
    return stay_with(folder, *PONTOON)


def test_two_metres_of_tide_move_nothing(tmp_path: Path) -> None:
    """The whole of it: angles, loads and fenders are those of two metres less."""
    arrangement = arrangement_of(pontoon(tmp_path))
    seen = situation(afloat([2.0, 4.0], 4.0, 4.5))
    lengths = unstretched_for(arrangement, in_place(seen), np.full(3, 20.0))[0]
    found = hold(arrangement, seen, lengths)
    for name in ("vertical_deg", "tension_kn", "path_m"):
        low, high = getattr(found.lines, name)
        assert high == pytest.approx(low, abs=1e-9)
    assert found.fenders.reaction_kn[1] == pytest.approx(found.fenders.reaction_kn[0], abs=1e-6)
    assert found.fenders.reaction_kn[0].sum() > 0.0


def test_a_quay_that_stands_pulls_as_the_tide_rises(tmp_path: Path) -> None:
    """The same berth with bollards over chart datum: the lines do move. What this world guards."""
    arrangement = arrangement_of(stay_with(tmp_path, ("balance: off\n", "balance: on\n")))
    seen = situation(afloat([2.0, 4.0], 4.0, 4.5))
    lengths = unstretched_for(arrangement, in_place(seen), np.full(3, 20.0))[0]
    low, high = hold(arrangement, seen, lengths).lines.tension_kn
    assert (high > low + 5.0).all()


def test_the_lead_by_hand(tmp_path: Path) -> None:
    """FM stands 8.5 m over the keel at x 60, amidships draught 4.25 and keel slope -0.5/76 m a metre; 40 is
    abreast of 50: the waterline at 60 is 4.25 - 20 x 0.5 / 76 + 0.0066 (marks 2 and 78, 40 amidships). So it
    is 4.38 m over the water, 2.88 m over the bollard, and 8 m out from it: 19.8 deg down."""
    leads = leads_of(arrangement_of(pontoon(tmp_path)), afloat([2.0, 4.0], 4.0, 4.5))
    down = 8.5 - (4.25 - 20.0 * 0.5 / 76.0) - 1.5
    assert vertical_deg(leads)[1] == pytest.approx(np.degrees(np.arctan2(down, 8.0)), abs=0.1)


def test_one_bollard_floats_beside_others_that_stand(tmp_path: Path) -> None:
    floating = ("B2: {x: 70.0, y: -8.0, z: 4.0,", "B2: {x: 70.0, y: -8.0, over_water: 1.5, floats: on,")
    stay = stay_with(tmp_path, floating)
    leads = leads_of(arrangement_of(stay), afloat([2.0, 4.0], 4.0, 4.5))
    moved = leads.path[:, 1] - leads.path[:, 0]
    assert moved[1] == pytest.approx(0.0, abs=1e-9)
    assert abs(moved[0]) > 0.05


def test_a_bollard_of_a_row_floats_as_the_one_it_is_measured_from(tmp_path: Path) -> None:
    stay = stay_with(
        tmp_path,
        *PONTOON[1:2],
        ("swl_kn: 300}", "swl_kn: 300, floats: on}"),
        ("B2: {x: 70.0, y: -8.0, z: 4.0,", "B2: {from: B1, along: -40,"),
    )
    assert stay.berth.bollards["B2"].floats
    assert stay.berth.bollards["B2"].at.z == 1.5
    assert not stay.berth.bollards["B3"].floats


def test_the_gangway_of_a_pontoon_rides_with_her(tmp_path: Path) -> None:
    seen = situation(afloat([2.0, 4.0], 4.0, 4.0))
    changes = [*PONTOON[:-1], GANGWAY]
    assert rail_over_quay(stay_with(tmp_path, *changes), seen) == pytest.approx([4.0, 4.0])
    assert rail_over_quay(stay_with(tmp_path, GANGWAY), seen) == pytest.approx([6.0, 8.0])


def test_a_watch_of_a_rising_tide_finds_the_same_loads_all_along(tmp_path: Path) -> None:
    """Live: tide by gauge up by 2 m; no load moves."""
    steady = readings(120)
    steady.value[:, 0] = np.linspace(2.0, 4.0, 120)
    found = watched(pontoon(tmp_path), steady).block.hold.lines.tension_kn
    assert np.ptp(found[1:], axis=0) == pytest.approx(0.0, abs=1e-6)


def test_no_bollard_of_a_pontoon_is_said_to_be_under_water(tmp_path: Path) -> None:
    tide = "balance: off\ntide: {high_low: [[2026-03-02T00:00:00Z, 1.0], [2026-03-02T06:00:00Z, 9.0]]}\n"
    text = STAY_TEXT.replace("balance: off\n", tide)
    assert any("under water" in each.text for each in berth_remarks(Afloat(stay_with(tmp_path, text=text))))
    floating = stay_with(tmp_path, *PONTOON[:-1], text=text)
    assert not any("under water" in each.text for each in berth_remarks(Afloat(floating)))


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (
            ("z: 4.0}", "z: 4.0, floats: on}"),
            "bollards.B3.z: z of a bollard that floats, expected over_water, m",
        ),
        (
            ("B3: {x: -20.0, y: -10.0, z: 4.0}", "B3: {from: B2, along: -90, floats: on}"),
            "does not stand on the same",
        ),
        (("z: 4.0}", "z: 4.0, on: barge}"), "there is no ship 'barge' beside her"),
        (("z: 4.0}", "above_keel: 4.0}"), "above_keel of a bollard of the quay, expected z or over_water"),
    ],
)
def test_what_cannot_be_is_refused_at_its_place(change: tuple[str, str], fault: str, tmp_path: Path) -> None:
    assert fault in faults_with(tmp_path, change)
