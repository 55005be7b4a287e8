"""Ships that pass, long waves and swell in a simulated log: what gauges and load cells then say."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.cycle.lengths import Lengths
from alongside.errors import StayFaults, WrongInput
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.hold import hold
from alongside.mechanics.passing import Hull, passing_pull
from alongside.mechanics.situation import Situation
from alongside.readings import Floats
from alongside.stay.model import Stay
from alongside.training.simulate.loads import CellLoads
from alongside.training.simulate.log import simulate
from alongside.training.simulate.ranging_pieces import Ranging
from alongside.training.simulate.sea import Sea
from alongside.training.simulate.truth import Truth
from tests.berth import a_stay
from tests.mechanics.ranging_berth import BALANCED, PORT_SIDE
from tests.training.simulate.heard import Heard

START = 1_772_424_600.0
"""2026-03-02T04:10:00Z, ten minutes after she was made fast."""
LINES = ("1", "2", "3", "4", "5")
CELLS = "".join(f"      tension.{line}: {{sentence: XDR, name: C{line}}}\n" for line in LINES)
SIMULATE = """\
tide: {levels: [{at: 2026-03-01T00:00:00Z, level: 2.0}]}
simulate:
  start: 2026-03-02T04:00:00Z
  hours: 1
  draught_fwd: 4.0
  draught_aft: 4.5
  interval_s: 2
  noise_m: 0
  cell_noise_kn: 0
"""
SHIP = "length: 120, breadth: 20, draught: 5, distance_m: 60, speed_ms: 4"
PASSES = f"  passing_ships: [{{at: 2026-03-02T04:30:00Z, {SHIP}}}]\n"
ABREAST = 1800.0
WAVE = """\
  long_waves: [{at: 2026-03-02T04:15:00Z, until: 2026-03-02T04:45:00Z, period_s: %s, slope_mm_m: 0.1%s}]
"""
SWELL = """\
  swell: [{at: 2026-03-02T04:15:00Z, until: 2026-03-02T04:45:00Z, height: 0.5, period_s: %s, from_deg: %s}]
"""


def stay_with(folder: Path, more: str, text: str = BALANCED) -> Stay:
    last = "      draught_aft: {sentence: XDR, name: DRA}\n"
    return a_stay(folder, text.replace(last, last + CELLS) + SIMULATE + more)


def truth_of(stay: Stay) -> dict[str, Floats]:
    """Channels, every 2 s of the hour, and `time` from its start."""
    assert stay.simulate is not None
    seconds = 2.0 * np.arange(1800)
    truth = Truth(stay, stay.simulate, [f"tension.{line}" for line in LINES])
    return {**truth.next_block(stay.simulate.start + seconds), "time": seconds}


def sea_of(stay: Stay) -> Sea:
    assert stay.simulate is not None

    def afloat(time: Floats) -> dict[str, Floats]:
        values = {"tide": 2.0, "draught_fwd": 4.0, "draught_aft": 4.5}
        return {name: np.full(time.size, value) for name, value in values.items()}

    return Sea(stay, stay.simulate, afloat)


def test_without_any_of_them_the_bytes_are_as_before(tmp_path: Path) -> None:
    before = list(simulate(stay_with(tmp_path, "")))
    with_ship = list(simulate(stay_with(tmp_path, PASSES)))
    assert before[:700] == with_ship[:700]
    assert before != with_ship
    assert len(before) == len(with_ship)


@pytest.mark.parametrize(("text", "head"), [(BALANCED, 1.0), (PORT_SIDE, -1.0)])
def test_the_pull_is_that_of_the_kernel_in_the_ship_frame(tmp_path: Path, text: str, head: float) -> None:
    stay = stay_with(tmp_path, PASSES, text)
    time = START + 1200.0 + np.array([-20.0, 0.0, 20.0])
    push = sea_of(stay).push(time)
    ours, theirs, ahead = Hull(80.0, 14.0, 4.25), Hull(120.0, 20.0, 5.0), np.array([-80.0, 0.0, 80.0])
    pull = passing_pull(ours, theirs, ahead, 60.0, 4.0, 8.0)
    expected = np.column_stack([pull.along, head * pull.across, head * pull.turning])
    assert push == pytest.approx(expected, rel=1e-9)


def test_she_who_passes_the_other_way_pulls_first_from_ahead(tmp_path: Path) -> None:
    ways = [PASSES.replace("_ms: 4", f"_ms: 4, goes: {way}") for way in ("ahead", "astern")]
    ahead, astern = (sea_of(stay_with(tmp_path, way)) for way in ways)
    time = START + 1200.0 + np.arange(-40.0, 41.0)
    assert astern.push(time)[:, 0] == pytest.approx(ahead.push(time)[::-1, 0], abs=1e-9)
    assert ahead.push(time)[20, 0] < 0.0 < astern.push(time)[20, 0]


@pytest.mark.slow
def test_load_cells_are_those_of_the_balance_with_the_same_force(tmp_path: Path) -> None:
    """The force that the ranging ship has, held against the balance by itself."""
    stay = stay_with(tmp_path, PASSES)
    assert stay.simulate is not None
    sea, arrangement = sea_of(stay), arrangement_of(stay)
    time = stay.simulate.start + 2.0 * np.arange(1800)
    quiet = {"tide": 2.0, "draught_fwd": 4.0, "draught_aft": 4.5, "heel": 0.0}
    truth = {name: np.full(1800, value) for name, value in quiet.items()}
    loads = CellLoads(stay, LINES, 2.0, sea)
    measured = loads.next_block(time, truth)
    situation = CellLoads(stay, LINES, 2.0)._situation(time, truth)
    ranging, lengths = Ranging(stay, arrangement, sea, 2.0), Lengths.before_all(stay)
    lengths = replace(lengths, unstretched=loads._lengths.unstretched, fast=loads._lengths.fast)
    row, expected = 1, [np.zeros((1, 5))]
    while row < 1800:
        piece: Situation = ranging.next_piece(situation.rows(row, 1800), stay, loads._lengths)
        expected.append(hold(arrangement, piece, lengths.unstretched).lines.tension_kn)
        row += len(piece)
    tension = np.concatenate(expected)[1:]
    for at, line in enumerate(LINES):
        np.testing.assert_allclose(measured[f"tension.{line}"][1:], tension[:, at], atol=0.01)


def test_a_ship_that_passes_works_the_springs_and_then_she_swings_out(tmp_path: Path) -> None:
    truth = truth_of(stay_with(tmp_path, PASSES))
    time, forward, back = truth["time"], truth["tension.5"], truth["tension.4"]
    before = time < ABREAST - 300.0
    assert np.ptp(forward[before & (time > 10.0)]) < 1e-6
    near = np.abs(time - ABREAST) < 120.0
    assert forward[near].max() > forward[20] + 5.0
    assert back[near].max() > back[20] + 5.0
    # she comes from astern: first aft, so the spring that leads ahead works first
    coming = near & (time < ABREAST)
    assert forward[coming].max() - forward[20] > 2.0 * (back[coming].max() - back[20])
    late = time > ABREAST + 900.0
    assert np.abs(forward[late] - forward[20]).max() < 1.0


def test_twice_the_speed_works_four_times(tmp_path: Path) -> None:
    stays = [stay_with(tmp_path, PASSES.replace("speed_ms: 4", f"speed_ms: {speed}")) for speed in (2, 4)]
    pushes = [sea_of(stay).push(np.array([START + 1200.0]))[0] for stay in stays]
    assert pushes[1] == pytest.approx(4.0 * pushes[0], rel=1e-9)


@pytest.mark.slow
def test_near_her_period_a_long_wave_ranges_her_far_from_it_hardly(tmp_path: Path) -> None:
    ranges = {}
    for period in (20.0, 60.0, 300.0):
        truth = truth_of(stay_with(tmp_path, WAVE % (period, "")))
        there = (truth["time"] > 1500.0) & (truth["time"] < 2400.0)
        ranges[period] = float(np.ptp(truth["tension.4"][there]))
    assert ranges[60.0] > 2.5 * ranges[300.0]
    assert ranges[60.0] > 2.5 * ranges[20.0]


@pytest.mark.slow
def test_a_long_wave_lifts_water_and_ship_alike(tmp_path: Path) -> None:
    truth = truth_of(stay_with(tmp_path, WAVE % (120.0, ", level_m: 0.2")))
    there = (truth["time"] > 1300.0) & (truth["time"] < 2300.0)
    assert truth["tide"][there].max() == pytest.approx(2.2, abs=0.002)
    assert truth["tide"][there].min() == pytest.approx(1.8, abs=0.002)
    assert truth["depth"] == pytest.approx(truth["tide"] + 6.0)
    assert np.ptp(truth["draught_fwd"]) == 0.0


def test_a_flow_is_the_slope_that_drives_it(tmp_path: Path) -> None:
    """u = U sin wt has u' = w U cos wt = g x slope: 0.1 m/s in 120 s is 0.534 mm a metre. Ours."""
    by_flow = stay_with(tmp_path, WAVE.replace("slope_mm_m: 0.1", "flow_ms: 0.1") % (120.0, ""))
    assert by_flow.simulate is not None
    assert by_flow.simulate.long_waves[0].slope * 1000.0 == pytest.approx(0.5339, abs=1e-4)


def test_along_its_axis_only(tmp_path: Path) -> None:
    time = np.array([START + 1200.0])
    along = sea_of(stay_with(tmp_path, WAVE % (60.0, ", axis_deg: 90"))).push(time)[0]
    across = sea_of(stay_with(tmp_path, WAVE % (60.0, ", axis_deg: 0"))).push(time)[0]
    assert along[1] == pytest.approx(0.0, abs=1e-9)
    assert across[0] == pytest.approx(0.0, abs=1e-9)
    # heads 090, so 000 is to port; added mass is more across
    assert across[1] / along[0] == pytest.approx(1.5 / 1.08, abs=0.02)


@pytest.mark.slow
def test_swell_is_seen_by_gauges_and_felt_by_cells(tmp_path: Path) -> None:
    truth = truth_of(stay_with(tmp_path, SWELL % (9, 0)))
    there = (truth["time"] > 1000.0) & (truth["time"] < 2600.0)
    assert 4.0 * truth["tide"][there].std() == pytest.approx(0.5, rel=0.15)
    assert np.ptp(truth["heel"][there]) > 0.5
    assert np.ptp(truth["tension.2"][there]) > 3.0
    assert np.ptp(truth["tension.2"][(truth["time"] > 10.0) & (truth["time"] < 890.0)]) < 1e-6
    assert abs(truth["tide"][there].mean() - 2.0) < 0.01


@pytest.mark.slow
def test_in_a_long_swell_draughts_hardly_change_in_a_short_one_they_do(tmp_path: Path) -> None:
    spread = []
    for period in (25, 5):
        truth = truth_of(stay_with(tmp_path, SWELL % (period, 90)))
        spread.append(float(truth["draught_fwd"].std() / truth["tide"].std()))
    assert spread[0] < 0.35
    assert spread[1] > 0.7


@pytest.mark.slow
def test_the_console_hears_of_it(tmp_path: Path) -> None:
    stay = stay_with(tmp_path, PASSES)
    heard = Heard(stay, simulate(stay))
    _, cells = heard.of("tension.5")
    assert cells[:1800] == pytest.approx(truth_of(stay)["tension.5"], abs=0.051)
    assert np.ptp(cells[100:]) > 10.0


@pytest.mark.slow
def test_a_tending_while_she_ranges_takes_hold(tmp_path: Path) -> None:
    spring = "fairlead: FS, bollard: B1, rope: polyester,"
    tended = "tended: [{at: 2026-03-02T04:25:00Z, paid_out: 1.5}],"
    text = BALANCED.replace(spring, f"{spring}\n     {tended}")
    truth = truth_of(stay_with(tmp_path, WAVE % (60.0, ""), text))
    time, spring = truth["time"], truth["tension.5"]
    assert spring[(time > 1300.0) & (time < 1498.0)].max() > 20.0
    assert spring[(time > 1600.0) & (time < 1700.0)].max() < 13.0


@pytest.mark.slow
@pytest.mark.parametrize(
    ("more", "why"),
    [
        (PASSES.replace("draught: 5", "draught: 8.5"), r"8\.0 m of water do not float a draught of 8\.5 m"),
        # 0.6 sqrt(9.80665 x 8) = 5.31 m/s, the end of the range
        (PASSES.replace("speed_ms: 4", "speed_ms: 5.4"), r"at most 5\.3 m/s in 8\.0 m of water"),
        (PASSES.replace("distance_m: 60", "distance_m: 16"), "a track 16 m off touches her"),
    ],
)
def test_a_ship_that_cannot_pass_there(tmp_path: Path, more: str, why: str) -> None:
    with pytest.raises(WrongInput, match=why):
        simulate(stay_with(tmp_path, more))


def test_depth_that_is_not_known_and_a_ship_that_is_kept_in_place(tmp_path: Path) -> None:
    with pytest.raises(WrongInput, match=r"berth\.charted_depth is missing"):
        simulate(stay_with(tmp_path, PASSES, BALANCED.replace("  charted_depth: 6.0\n", "")))
    with pytest.raises(WrongInput, match="kept in place, expected balance: on and fenders"):
        simulate(stay_with(tmp_path, PASSES, BALANCED.replace("balance: on", "balance: off")))


@pytest.mark.parametrize(
    ("more", "why"),
    [
        (
            WAVE.replace("slope_mm_m: 0.1", "level_m: 0.1") % (60, ""),
            "one key is missing, expected slope_mm_m or flow_ms",
        ),
        (
            WAVE.replace("until: 2026-03-02T04:45", "until: 2026-03-02T04:15") % (60, ""),
            "the end is not after the beginning",
        ),
        (
            PASSES.replace("speed_ms: 4", "speed_ms: 4, goes: home"),
            "'home' is not known here, expected ahead or astern",
        ),
        (SWELL % (1, 0), "period_s: '1' is out of bounds, expected a number in s at least 3"),
    ],
)
def test_what_does_not_fit_is_said(tmp_path: Path, more: str, why: str) -> None:
    with pytest.raises(StayFaults) as refused:
        stay_with(tmp_path, more)
    assert why in str(refused.value)
