"""What if: changes are reckoned beside what is, and nothing is changed."""

import numpy as np
import pytest

from alongside.cli.examples import example_stay
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_present
from alongside.forecast.look_ahead import Far
from alongside.forecast.what_if.answer import what_if
from alongside.forecast.what_if.changes import LetGo, OtherWind, PayOut, Shift, StopCargo
from alongside.stay.read import read_stay
from alongside.units import unix_time
from tests.forecast.scene import basis, planned, stay_ahead

FAR = Far(6.0, 600.0, 10)


def reckoned(stay, *changes):
    return what_if(basis(stay), planned(stay), changes, FAR)


def test_slacking_a_line_eases_it_and_no_other_where_she_is_held_in_place(tmp_path):
    found = reckoned(stay_ahead(tmp_path), PayOut("2", 0.2))
    assert found.then.hold.lines.tension_kn[0, 1] < found.now.hold.lines.tension_kn[0, 1]
    assert np.array_equal(
        found.then.hold.lines.tension_kn[0, [0, 2]], found.now.hold.lines.tension_kn[0, [0, 2]]
    )
    assert (found.changed.stretch_share[:, 1] <= found.as_it_stands.stretch_share[:, 1]).all()
    assert np.array_equal(found.as_it_stands.times, found.changed.times)


def test_slack_and_heave_undo_each_other(tmp_path):
    stay = stay_ahead(tmp_path)
    both = reckoned(stay, PayOut("2", 0.25), PayOut("2", -0.25))
    assert both.then.tension_kn == pytest.approx(both.now.tension_kn, abs=1e-9)


def test_a_line_let_go_leaves_its_load_to_the_others(tmp_path):
    stay = stay_ahead(tmp_path, balance=True)
    found = reckoned(stay, LetGo("1"))
    assert np.isnan(found.then.hold.lines.tension_kn[0, 0])
    assert "without line 1 (let go)" in found.changed.notes
    # the head line pulled ahead with the rest astern: without it she lies elsewhere
    assert abs(found.changed.surge.expected[0] - found.as_it_stands.surge.expected[0]) > 0.01


def test_a_line_shifted_to_a_farther_bollard_is_less_steep(tmp_path):
    stay = stay_ahead(tmp_path)
    found = reckoned(stay, Shift("2", bollard="B1"))
    assert abs(found.then.hold.lines.vertical_deg[0, 1]) < abs(found.now.hold.lines.vertical_deg[0, 1])
    assert found.then.hold.lines.tension_kn[0, 1] == pytest.approx(
        stay.lines[1].made_fast.tension_kn, abs=1e-6
    )
    assert stay.lines[1].bollard == "B2"


def test_a_stop_of_cargo_keeps_the_draughts(tmp_path):
    found = reckoned(stay_ahead(tmp_path), StopCargo())
    assert np.ptp(found.changed.draught_fwd.expected) == 0.0
    assert np.ptp(found.as_it_stands.draught_fwd.expected) > 0.1


def test_another_wind_is_that_wind(tmp_path):
    found = reckoned(stay_ahead(tmp_path, balance=True), OtherWind(20.0, 210.0))
    assert found.changed.wind_ms.expected == pytest.approx(20.0)
    assert found.changed.wind_from_deg == pytest.approx(210.0)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (PayOut("9", 0.1), "no line 9, expected one of 1, 2, 3"),
        (PayOut("2", -500.0), "more to heave in than is out"),
        (Shift("2", bollard="B9"), "no bollard B9, expected one of B1, B2, B3"),
        (Shift("2", fairlead="F9"), "no fairlead F9"),
    ],
)
def test_what_is_not_there_is_refused(tmp_path, change, said):
    with pytest.raises(WrongInput, match=said):
        reckoned(stay_ahead(tmp_path), change)


def test_changes_leave_the_present_alone(tmp_path):
    stay = stay_ahead(tmp_path)
    present = planned(stay)
    before = present.unstretched.copy()
    what_if(basis(stay), present, [PayOut("2", 0.5), LetGo("1"), Shift("3", bollard="B1")], FAR)
    assert np.array_equal(present.unstretched, before)


@pytest.mark.slow
def test_a_line_that_is_shifted_is_let_go_of_first():
    """The coal berth. With the old length on the new bollard it would drag her there, and be made fast where
    she never lies: made fast anew with its tension, it carries about that."""
    stay = read_stay(example_stay("coal_berth"))
    at = Basis.of(stay)
    present = planned_present(stay, at.arrangement, unix_time("2026-03-20T03:30:00Z"))
    found = what_if(at, present, [Shift("4", bollard="C5")], Far(1.0, 300.0, 3))
    column = found.then.lines.index("4")
    assert found.then.hold.lines.tension_kn[0, column] == pytest.approx(
        stay.lines[column].made_fast.tension_kn, rel=0.2
    )
    assert found.then.hold.lines.stretch_share[0].max() < 0.6
