"""Automatic winches: between recovery and rendering load the length stands, at either it changes. By hand."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.cycle.advance import advance
from alongside.cycle.memory import Memory
from alongside.forecast.basis import Basis
from alongside.forecast.expected.ensemble import expected_situations
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.members import hold_members
from alongside.forecast.present import Heard, Present
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.automatic import opposed
from alongside.mechanics.hold import hold
from alongside.mechanics.lines import line_states
from alongside.mechanics.tension import tensions_of
from alongside.readings import Floats, Readings
from alongside.reports.critique.on_board import on_board_notes
from alongside.reports.critique.planned import Planned
from alongside.stay.model import Point, Stay, Winch
from tests.berth import START
from tests.mechanics.moored import blown
from tests.mechanics.stays import Lead, afloat, stay_with, straight
from tests.stay.measured.sheet import faults_with
from tests.stay.measured.sheet import stay_with as sheet_with
from tests.worlds import readings, watched

ROPE = straight("straight", 800.0, 8000.0)
"""800 kN at 10 %: EA 8000 kN."""
BREAST = Lead((60.0, -10.0, 10.0), (100.0, -30.0, 4.0), ROPE, winch=(60.0, -10.0, 10.0))
"""At tide 0 and 6 m of draught level and 30 m long; at a tide of 16 m 34 m."""


def on_automatic(stay: Stay, low: float = 50.0, high: float = 100.0) -> Stay:
    winches = {
        name: replace(each, brake_kn=None, recovery_kn=low, rendering_kn=high)
        for name, each in stay.ship.winches.items()
    }
    return replace(stay, ship=replace(stay.ship, winches=winches))


ONE = replace(on_automatic(stay_with([BREAST])), balance=False)


def length_of(path: float, load: float) -> float:
    """By hand: L (1 + T / EA) = P."""
    return path / (1.0 + load / 8000.0)


@pytest.mark.parametrize(
    ("made_with", "tide", "load"),
    [(75.0, 0.0, 75.0), (75.0, 0.5, 76.1), (75.0, 16.0, 100.0), (20.0, 0.0, 50.0), (180.0, 0.0, 100.0)],
)
def test_the_length_stands_between_both_loads(made_with: float, tide: float, load: float) -> None:
    """Made fast with 75 kN it stays as it is, at half a metre of tide too: path sqrt(30^2 + 0.5^2) is 4 mm
    longer, 1.1 kN. At 16 m the path is 34 m: paid out to 100 kN. One with 20 or 180 kN is heaved in or paid
    out at once."""
    length = length_of(30.0, made_with)
    found = line_states(arrangement_of(ONE), afloat(tide), np.array([length]))
    assert found.tension_kn[0, 0] == pytest.approx(load, abs=0.05)
    path = float(np.hypot(30.0, tide))
    stands = length if 50.0 <= made_with <= 100.0 and tide < 1.0 else length_of(path, load)
    assert found.unstretched_m[0, 0] == pytest.approx(stands, abs=1e-4)


def test_tensions_of_the_balance_are_kept_between_both() -> None:
    arrangement = arrangement_of(ONE)
    path = np.array([[29.0, 30.0, 34.0]])
    tension, stiffness = tensions_of(arrangement, np.array([length_of(30.0, 75.0)]))(path)
    assert tension[0] == pytest.approx([50.0, 75.0, 100.0])
    assert stiffness[0] == pytest.approx([0.0, 8000.0 / length_of(30.0, 75.0), 0.0])
    gone, _ = tensions_of(arrangement, np.array([np.nan]))(path)
    assert gone[0] == pytest.approx(0.0)


HEAD_LINE = "made_fast: {at: 2026-03-02T04:00:00Z, tension_kn: 20}}"
SHEET = [
    ("brake_kn: 120}", "recovery_kn: 20, rendering_kn: 30}"),
    (HEAD_LINE, HEAD_LINE.replace("20}", "25, tide: 2.0, draught_fwd: 4.0, draught_aft: 4.5}")),
]


def tides(level: Floats) -> Readings:
    steady = readings(level.size)
    steady.value[:, 0] = level
    return replace(steady, time=START + 60.0 * np.arange(level.size))


UP_AND_DOWN = 3.5 - 1.5 * np.cos(np.linspace(0.0, 2.0 * np.pi, 241))
"""From 2 m up to 5 and back."""


def test_live_what_was_paid_out_is_still_out_as_the_water_falls(tmp_path: Path) -> None:
    """Line 1 is paid out to 30 kN on the flood, then stands on the ebb until 20 kN, then is heaved in."""
    lines = watched(sheet_with(tmp_path, *SHEET), tides(UP_AND_DOWN)).block.hold.lines
    load, out = lines.tension_kn[:, 0], lines.unstretched_m[:, 0]
    assert load.min() >= 20.0 - 1e-6
    assert load.max() <= 30.0 + 1e-6
    assert load[120] == pytest.approx(30.0)
    assert load[-1] == pytest.approx(20.0, abs=0.5)
    assert out[120] > out[0] + 0.05
    assert out[135] == pytest.approx(out[125], abs=0.011)  # it stands
    assert out[-1] < out[120] - 0.02


def test_however_the_readings_are_cut_the_lengths_are_the_same(tmp_path: Path) -> None:
    stay, heard = sheet_with(tmp_path, *SHEET), tides(UP_AND_DOWN)
    at_once = watched(stay, heard)
    whole = at_once.block.hold.lines.unstretched_m
    basis, memory, parts = Basis.of(stay), Memory.at_start(stay), []
    for start, stop in ((0, 7), (7, 100), (100, 101), (101, 241)):
        memory, block = advance(basis, memory, heard.rows(start, stop))
        parts.append(block.hold.lines.unstretched_m)
    assert np.array_equal(np.concatenate(parts), whole)
    assert np.array_equal(memory.lengths.unstretched, at_once.memory.lengths.unstretched)
    assert memory.motion == at_once.memory.motion
    assert np.array_equal(memory.lengths_changed_at, at_once.memory.lengths_changed_at)


@pytest.mark.slow
def test_the_look_ahead_finds_what_the_watch_finds(tmp_path: Path) -> None:
    """By the same tide the expected member has the loads of the watch, within the step of 1 cm."""
    rows = "[2026-03-02T03:00:00Z, 2.0], [2026-03-02T09:00:00Z, 5.0], [2026-03-02T15:00:00Z, 2.0]"
    tide = f"tide: {{high_low: [{rows}]}}\n"
    stay = sheet_with(tmp_path, *SHEET, ("balance: off\n", "balance: off\n" + tide))
    basis = Basis.of(stay)
    first = watched(stay, tides(np.full(2, 2.0)))
    here = first.block.situation.rows(1, 2)
    before = here.time[0] - 7200.0 + 600.0 * np.arange(13)
    nothing = np.full(13, np.nan)
    was = Heard(before, nothing, np.full(13, 4.0), np.full(13, 4.5), nothing, nothing, nothing)
    present = Present.of(here, first.memory.lengths.unstretched, was)
    times = here.time[0] + 300.0 * np.arange(132)
    expected = expected_situations(stay, present, times, 5)
    ahead = hold_members(basis, expected, present.unstretched, 1).lines
    heard = tides(expected.tide[0])
    live = watched(stay, replace(heard, time=times)).block.hold.lines
    assert ahead.tension_kn[:, 0] == pytest.approx(live.tension_kn[:, 0], abs=2.5)
    assert ahead.unstretched_m[:, 0] == pytest.approx(live.unstretched_m[:, 0], abs=0.011)
    forecast = look_ahead(basis, present, Far(10.0, 300.0, 5))
    assert not any(move.line == "1" for each in forecast.tending.rounds for move in each.moves)


HEAD = Lead((110.0, -8.0, 10.0), (180.0, -15.0, 4.0), ROPE, winch=(110.0, -8.0, 10.0), role="head")
STERN = Lead((10.0, -8.0, 10.0), (20.0, -15.0, 4.0), ROPE, winch=(10.0, -8.0, 10.0), role="stern")


def test_a_balance_with_winches_that_render() -> None:
    """All lie between both loads at the pose that is found, and the fenders carry what they pull in."""
    arrangement = arrangement_of(on_automatic(stay_with([HEAD, BREAST, STERN])))
    lengths = np.array([70.0, 29.8, 40.0])
    found = hold(arrangement, blown(1), lengths)
    assert (found.lines.tension_kn <= 100.0 + 1e-6).all()
    assert (found.lines.tension_kn >= 50.0 - 1e-6).all()
    assert found.fenders.reaction_kn.sum() == pytest.approx(found.lines.in_kn.sum(), rel=1e-3)


def test_opposed_winches_are_said_to_let_her_creep() -> None:
    stay = on_automatic(stay_with([HEAD, BREAST, STERN]))
    assert opposed(arrangement_of(stay), afloat()) == (["1"], ["3"])
    assert opposed(arrangement_of(on_automatic(stay_with([HEAD, BREAST]))), afloat()) == ([], [])
    said = [each.text for each in on_board_notes(Planned(stay))]
    assert any("lines 1 and 3 are opposed on automatic winches" in each for each in said)


def test_a_layer_changes_both_loads() -> None:
    """On layer 3 of a drum of 450 mm with rope of 60 mm: 255 / 375 of those on the first."""
    winch = Winch(
        Point(0.0, 0.0, 0.0), drum_mm=450.0, rope_mm=60.0, layer=3, recovery_kn=50.0, rendering_kn=100.0
    )
    assert winch.automatic_kn == pytest.approx((50.0 * 255.0 / 375.0, 100.0 * 255.0 / 375.0))


@pytest.mark.parametrize(
    ("winch", "fault"),
    [
        ("recovery_kn: 50", "recovery_kn without rendering_kn"),
        ("recovery_kn: 50, rendering_kn: 40", "rendering_kn: 40 kN, not above recovery_kn"),
        ("recovery_kn: 50, rendering_kn: 100, brake_kn: 120", "brake_kn of a winch on automatic"),
    ],
)
def test_what_cannot_be_is_refused_at_its_place(winch: str, fault: str, tmp_path: Path) -> None:
    assert fault in faults_with(tmp_path, ("brake_kn: 120", winch))


def test_no_bight_on_an_automatic_winch(tmp_path: Path) -> None:
    bight = ("bollard: B1, rope: polyester,", 'bollard: B1, rope: polyester, bight_with: "2",')
    assert "line 1 is part of a bight, expected a winch not on automatic" in faults_with(
        tmp_path, SHEET[0], bight
    )
