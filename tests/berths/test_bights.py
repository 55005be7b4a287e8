"""Bights: both parts of one rope have one tension."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.actions import TendLine
from alongside.cycle.lengths import Lengths, tend_by_hand
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.balance_forces import forces_at
from alongside.mechanics.geometry import leads_of
from alongside.mechanics.hold import hold
from alongside.mechanics.lines import line_states
from alongside.mechanics.tension import tensions_of
from alongside.stay.model import Stay
from tests.berth import STAY_TEXT
from tests.mechanics.moored import blown, compiled, made_fast
from tests.mechanics.stays import Lead, afloat, moved, situation, stay_with, straight
from tests.stay.measured.sheet import faults_with
from tests.stay.measured.sheet import stay_with as sheet_with
from tests.worlds import watched

ROPE = straight("straight", 800.0, 8000.0)
"""800 kN at 10 %: EA 8000 kN."""
LEADS = [
    Lead((60.0, -10.0, 10.0), (100.0, -25.0, 4.0), ROPE),
    Lead((64.0, -10.0, 10.0), (104.0, -40.0, 4.0), ROPE),
    Lead((110.0, -8.0, 10.0), (170.0, -15.0, 4.0), ROPE),
    Lead((10.0, -8.0, 10.0), (30.0, -15.0, 4.0), ROPE),
]
"""Of the first two, 25 m and 40 m long across at tide 0 and 6 m of draught: 10 - 6 = 4 m, as the bollards."""
LENGTHS = np.array([24.0, 40.0, 60.0, 40.0])


def as_bight(stay: Stay) -> Stay:
    first, second, *rest = stay.lines
    return replace(stay, lines=(first, replace(second, bight_with="1"), *rest))


BIGHT = as_bight(stay_with(LEADS))


def test_both_parts_carry_what_a_rope_as_long_as_both_would() -> None:
    """By hand: from the side at y 0 the paths are 25 and 40 m; of 64 m of rope 1 m is stretch: 8000 / 64 =
    125 kN. By themselves the first would carry 8000 / 24 = 333 kN, the second nothing."""
    pose = afloat()
    found = line_states(arrangement_of(BIGHT), pose, LENGTHS)
    assert found.tension_kn[0, :2] == pytest.approx([125.0, 125.0])
    assert found.outboard_m[0, :2] == pytest.approx([25.0, 40.0])
    apart = line_states(arrangement_of(stay_with(LEADS)), pose, LENGTHS)
    assert apart.tension_kn[0, :2] == pytest.approx([8000.0 / 24.0, 0.0])


def test_a_table_of_tensions_gives_the_same() -> None:
    arrangement = arrangement_of(BIGHT)
    path = leads_of(arrangement, afloat()).path
    assert tensions_of(arrangement, LENGTHS)(path)[0][:2, 0] == pytest.approx([125.0, 125.0])


def test_stiffness_is_the_change_of_force() -> None:
    """Second derivative by central differences, in yaw too."""
    bight = compiled(BIGHT, LENGTHS).mooring(blown(1))
    at = np.array([[0.1], [0.05], [0.3]])
    found = forces_at(bight, at).stiffness[:, 0]
    step = 1e-5
    for axis, rows in enumerate(([0, 1, 2], [1, 3, 4], [2, 4, 5])):
        more, less = at.copy(), at.copy()
        more[axis] += step
        less[axis] -= step
        change = -(forces_at(bight, more).net - forces_at(bight, less).net)[:, 0] / (2.0 * step)
        assert found[rows] == pytest.approx(change, rel=1e-4, abs=0.05)


def test_she_lies_where_both_parts_and_all_the_rest_balance() -> None:
    moored = made_fast(BIGHT, 60.0)
    seen = blown(3, wind=(np.array([5.0, 10.0, 15.0]), 0.0))
    found = moored.balance(seen)
    assert (found.reason == 0).all()
    pose = np.array([found.surge, found.sway, found.yaw * moored.mooring(seen).radius])
    forces = forces_at(moored.mooring(seen), pose)
    assert np.abs(forces.net).max() < 1e-4 * forces.largest.max()
    lines = hold(moored.arrangement, seen, moored.unstretched).lines
    assert lines.tension_kn[:, 0] == pytest.approx(lines.tension_kn[:, 1])


def test_metres_paid_out_at_one_part_ease_both() -> None:
    """1 m more in 64: no stretch is left. Set to 60 kN at one part both carry it."""
    arrangement, seen = arrangement_of(replace(BIGHT, balance=False)), situation(afloat())
    eased = LENGTHS + np.array([0.5, 0.0, 0.0, 0.0])
    assert hold(arrangement, seen, eased).lines.tension_kn[0, :2] == pytest.approx(8000.0 * 0.5 / 64.5)
    lengths = replace(Lengths.before_all(BIGHT), fast=(True,) * 4, unstretched=LENGTHS)
    tended, _ = tend_by_hand(BIGHT, arrangement, lengths, seen, [TendLine("2", by="AB", to_tension_kn=60.0)])
    assert tended.unstretched[0] == 24.0
    assert hold(arrangement, seen, tended.unstretched).lines.tension_kn[0, :2] == pytest.approx(60.0)


def test_a_part_that_parted_leaves_nothing_in_the_other() -> None:
    arrangement = arrangement_of(BIGHT)
    gone = LENGTHS.copy()
    gone[1] = np.nan
    assert tensions_of(arrangement, gone)(leads_of(arrangement, afloat()).path)[0][:2, 0] == pytest.approx(
        0.0
    )
    assert np.isnan(line_states(arrangement, afloat(), gone).tension_kn[0, :2]).all()


def test_a_bight_that_turns_with_her_keeps_one_tension() -> None:
    pose = moved(afloat([0.0, 1.0]), 1.0, 0.2, 0.01)
    found = line_states(arrangement_of(BIGHT), pose, LENGTHS).tension_kn
    assert found[:, 0] == pytest.approx(found[:, 1])


MADE_FAST = (
    "made_fast: {at: 2026-03-02T04:00:00Z, tension_kn: 20, tide: 2.0, draught_fwd: 4.0, draught_aft: 4.5}}"
)
HARDER = MADE_FAST.replace("20, tide", "30, tide")
PART = f"""\
  - {{id: "2b", role: breast, fairlead: FB, bollard: B2, rope: polyester, bight_with: "2",
     {MADE_FAST}
"""
DOUBLED = ("feeds:\n", PART + "feeds:\n")


def test_a_bight_of_the_file_is_watched_with_one_tension(tmp_path: Path) -> None:
    """Live: from fairleads 20 m apart both carry the 20 kN they were made fast with."""
    seen = watched(sheet_with(tmp_path, DOUBLED)).block.hold.lines.tension_kn
    assert seen[-1, 1] == pytest.approx(seen[-1, 3])
    assert seen[-1, 1] > 20.0  # the readings have a metre more of tide


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (('bight_with: "2"', 'bight_with: "7"'), "lines[3].bight_with: there is no other line '7'"),
        (('bight_with: "2"', 'bight_with: "2b"'), "lines[3].bight_with: there is no other line '2b'"),
        (('id: "3", role', 'id: "3", bight_with: "2", role'), "a third part of a bight"),
        (('bight_with: "2",', 'bight_with: "2", tail: {rope: polyester, length: 5},'), "line 2b has a tail"),
        (('bight_with: "2",', 'bight_with: "2", residual_strength: 0.9,'), "not the rope of line 2"),
        ((f'"2",\n     {MADE_FAST}', f'"2",\n     {HARDER}'), "not made fast as line 2"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_at_its_place(change: tuple[str, str], fault: str, tmp_path: Path) -> None:
    assert fault in faults_with(tmp_path, change, text=STAY_TEXT.replace(*DOUBLED))
