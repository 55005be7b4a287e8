"""What is put into a stay comes through the door that belongs to it, and all that rests on it follows."""

from math import cos, isnan, pi
from pathlib import Path

import numpy as np
import pytest

from alongside.readings import Quality
from alongside.training.exercise.cargo import draught_shift
from alongside.training.exercise.model import CargoRate, Gust, TideSurge
from alongside.training.exercise.spoilt_gauges import gust_at, surge_at
from alongside.units import KNOT
from tests.berth import START
from tests.training.exercise.lived import BALANCED, TENDED, flood, lived, second


def test_without_injections_it_is_the_stay_as_recorded(tmp_path: Path) -> None:
    tide = lived(tmp_path, "", tide=flood).readings("tide")
    assert min(tide) == 900.0
    assert max(tide) == 3500.0
    # ours: the mean over three minutes of a steady flood is that of 90 s before
    assert tide[2000.0] == pytest.approx(flood(2000 - 90), abs=0.002)


def test_a_silent_gauge_goes_stale_then_lost_and_comes_back(tmp_path: Path) -> None:
    outcome = lived(tmp_path, f"  - {{kind: silent, channel: tide, at: {second(1000)}, seconds: 600}}\n")
    notes = [(event, text) for _, event, text in outcome.events if event in ("feed_lost", "feed_back")]
    assert notes[0][0] == "feed_lost"
    assert "tide" in notes[0][1]
    assert notes[-1] == ("feed_back", "Feed gauges: tide heard again")
    assert isnan(outcome.readings("tide")[1500.0])
    assert not isnan(outcome.readings("draught_fwd")[1500.0]), "the other gauges of the sentence go on"


def test_a_frozen_gauge_keeps_its_last_value(tmp_path: Path) -> None:
    injection = f"  - {{kind: frozen, channel: tide, at: {second(1000)}, seconds: 1200}}\n"
    tide = lived(tmp_path, injection, tide=flood).readings("tide")
    assert tide[1900.0] == pytest.approx(flood(999), abs=0.002)
    assert tide[3000.0] == pytest.approx(flood(3000 - 90), abs=0.002)


def test_spikes_are_thrown_out_by_the_checks_as_of_any_gauge(tmp_path: Path) -> None:
    injection = f"  - {{kind: spike, channel: tide, at: {second(1000)}, seconds: 600, by: 3.0, every: 6}}\n"
    tide = lived(tmp_path, injection).readings("tide")
    assert tide[1500.0] == pytest.approx(2.0, abs=0.01)


def test_a_gauge_that_says_zero_is_doubted_and_then_believed(tmp_path: Path) -> None:
    """A dead gauge that says 0 within its range is the one that no check can catch for long."""
    injection = f"  - {{kind: false_zero, channel: draught_fwd, at: {second(1000)}, seconds: 600}}\n"
    outcome = lived(tmp_path, injection)
    draught = outcome.readings("draught_fwd")
    assert draught[999.0] == pytest.approx(4.0, abs=0.01)
    quality = [
        Quality(int(block.readings.quality[row, block.readings.channels.index("draught_fwd")]))
        for block in outcome.blocks
        for row in np.flatnonzero(np.isin(block.readings.time, START + np.arange(1000.0, 1600.0)))
    ]
    assert max(quality) > Quality.GOOD


@pytest.mark.parametrize(
    ("injection", "shown"),
    [
        ("kind: offset, channel: tide, by: 0.1", 2.1),
        ("kind: drift, channel: tide, by: 0.9", 2.1),
        ("kind: wrong_unit, channel: tide, unit: ft", 2.0 / 0.3048),
    ],
)
def test_a_gauge_that_is_off_shows_what_a_simulated_one_would(
    tmp_path: Path, injection: str, shown: float
) -> None:
    """After 400 s at 0.9 m an hour: 0.1 m."""
    lasts = f"at: {second(1000)}, until: {second(1800)}"
    outcome = lived(tmp_path, f"  - {{{injection}, {lasts}}}\n")
    tide = outcome.readings("tide")
    assert tide[999.0] == pytest.approx(2.0, abs=0.001)
    late = tide[1490.0]
    assert late == pytest.approx(shown, abs=0.03)
    assert tide[3400.0] == pytest.approx(2.0, abs=0.001)


def test_a_surge_lifts_the_ship_and_with_her_the_lines(tmp_path: Path) -> None:
    injection = f"  - {{kind: tide_surge, at: {second(1000)}, seconds: 2000, metres: 0.6}}\n"
    calm, surged = lived(tmp_path, ""), lived(tmp_path, injection)
    assert surged.readings("tide")[2000.0] == pytest.approx(2.6, abs=0.02)
    assert surged.readings("tide")[3400.0] == pytest.approx(2.0, abs=0.01)
    assert surged.line("2", "vertical_deg")[2000.0] > calm.line("2", "vertical_deg")[2000.0] + 3.0
    assert surged.line("2", "tension_kn")[2000.0] > calm.line("2", "tension_kn")[2000.0]


def test_a_surge_is_a_raised_cosine() -> None:
    surge = TideSurge(0.0, 100.0, 0.8)
    # ours: 0.8 (1 - cos(2 pi t / 100)) / 2
    expected = [0.0, 0.4 * (1.0 - cos(pi / 5.0)), 0.8, 0.0, 0.0]
    assert surge_at(surge, np.array([-5.0, 10.0, 50.0, 100.0, 140.0])) == pytest.approx(expected, abs=1e-12)


def test_a_gust_comes_up_holds_and_goes(tmp_path: Path) -> None:
    speed, turned = gust_at(Gust(0.0, 100.0, 20.0), np.array([0.0, 10.0, 50.0, 100.0]))
    assert speed[[0, 3]] == pytest.approx([0.0, 0.0], abs=1e-9)
    assert turned.tolist() == [0.0, 0.5, 1.0, 0.0]
    assert 0.92 * 20.0 <= speed[2] <= 20.0
    injection = f"  - {{kind: gust, at: {second(1000)}, seconds: 600, speed_kn: 40, from_deg: 180}}\n"
    outcome = lived(tmp_path, injection, stay=BALANCED)
    wind, gust = outcome.readings("wind_speed"), outcome.readings("wind_gust")
    assert wind[1300.0] == pytest.approx(40.0 * KNOT * 0.96, rel=0.03)
    assert gust[1300.0] <= 40.0 * KNOT
    assert wind[3000.0] == pytest.approx(5.1, abs=0.1)
    # The bow lies at 090: a wind from 180 comes over the starboard side, off the quay.
    assert outcome.readings("wind_from")[1300.0] == pytest.approx(180.0, abs=1.0)
    calm = lived(tmp_path, "", stay=BALANCED)
    assert outcome.line("2", "tension_kn")[1300.0] > calm.line("2", "tension_kn")[1300.0] + 2.0


def test_a_tending_that_is_forgotten_is_not_done(tmp_path: Path) -> None:
    done = lived(tmp_path, "", stay=TENDED)
    injection = f'  - {{kind: forgotten_line, line: "2", tend_at: {second(600)}}}\n'
    forgotten = lived(tmp_path, injection, stay=TENDED)
    at = 1000.0
    assert done.line("2", "unstretched_m")[at] - forgotten.line("2", "unstretched_m")[at] == pytest.approx(
        0.1
    )


def test_tendings_after_the_start_are_the_trainees_unless_said(tmp_path: Path) -> None:
    trainee = lived(tmp_path, "", stay=TENDED).line("2", "unstretched_m")
    stay = lived(tmp_path, "", stay=TENDED, more="tending: stay").line("2", "unstretched_m")
    assert trainee[3400.0] == pytest.approx(trainee[900.0])
    assert stay[3400.0] - stay[900.0] == pytest.approx(0.2)


def test_a_line_made_fast_too_tight_carries_that(tmp_path: Path) -> None:
    injection = '  - {kind: forgotten_line, line: "2", tension_kn: 60}\n'
    assert lived(tmp_path, injection).line("2", "tension_kn")[1000.0] == pytest.approx(60.0, abs=0.5)


def test_a_parted_line_is_gone_for_good_and_the_others_take_its_share(tmp_path: Path) -> None:
    injection = f'  - {{kind: parted_line, line: "2", at: {second(2000)}}}\n'
    gust = f"  - {{kind: gust, at: {second(1000)}, seconds: 2400, speed_ms: 15, from_deg: 180}}\n"
    outcome = lived(
        tmp_path,
        injection + gust,
        stay=BALANCED.replace("wind_from: {sentence: MWV}", "wind_from: {sentence: MWV}"),
    )
    tension = outcome.line("2", "tension_kn")
    assert tension[1999.0] > 0.0
    assert isnan(tension[2000.0])
    assert isnan(tension[3400.0])
    others = [outcome.line(line, "tension_kn") for line in ("1", "3")]
    assert all(each[2010.0] > each[1990.0] for each in others)
    assert (2000.0, "parted", "Line 2 has parted") in outcome.events
    last = outcome.blocks[-1].assessment
    bollards = {
        rule.subject: value
        for rule, value in zip(last.rules, last.value[-1], strict=True)
        if rule.cause == "bollard"
    }
    assert bollards["B2"] == 0.0, "nothing is left on it, which is known"


def test_a_brake_that_holds_less_is_in_question(tmp_path: Path) -> None:
    injection = f'  - {{kind: brake_rendering, line: "1", at: {second(2000)}, brake_kn: 15}}\n'
    outcome = lived(tmp_path, injection, stay=BALANCED, end=2600)
    length, tension = outcome.line("1", "unstretched_m"), outcome.line("1", "tension_kn")
    assert tension[1999.0] > 15.0
    assert length[2100.0] == length[1999.0]
    assert any("Line 1 over its brake: slipped" in text for _, _, text in outcome.events)
    slipped = outcome.blocks[-1].others.slipped
    assert slipped is not None
    assert slipped.hold.lines.tension_kn[-1, 0] == pytest.approx(15.0, abs=0.2)
    assert slipped.over.ran_out_m[-1, 0] > 0.01


def test_cargo_at_twice_its_rate(tmp_path: Path) -> None:
    """ours: 500 t/h more for half an hour are 250 t less, TPC 10: 25 cm less draught; by their lever of 20 m
    from the centre of flotation, MCTC 40, over 80 m: 125 cm of trim by the stern, shared out by the marks."""
    exercise = lived(tmp_path, "").exercise
    shift = draught_shift(exercise.stay, [CargoRate("hold 1", START, 2.0)])
    at = np.array([START - 60.0, START + 1800.0, START + 3 * 3600.0])
    fwd, aft = shift["draught_fwd"](at), shift["draught_aft"](at)
    slope = -(250.0 * 20.0 / (100.0 * 40.0)) / 80.0
    assert fwd[:2] == pytest.approx([0.0, -0.25 + slope * (78.0 - 40.0)], abs=1e-9)
    assert aft[:2] == pytest.approx([0.0, -0.25 + slope * (2.0 - 40.0)], abs=1e-9)
    assert (fwd[2], aft[2]) == pytest.approx((0.0, 0.0), abs=1e-9), "the same tonnes are out in the end"
    injection = f'  - {{kind: cargo_rate, operation: "hold 1", at: {second(1000)}}}\n'
    outcome = lived(tmp_path, injection)
    assert outcome.readings("draught_fwd")[3000.0] < 4.0 - 0.5
    assert outcome.readings("draught_aft")[3000.0] > 4.5 + 0.1


def test_the_story_is_told_once_at_the_start(tmp_path: Path) -> None:
    outcome = lived(tmp_path, "", more='story: "Keep her fast."')
    assert [event for event in outcome.events if event[2] == "Keep her fast."] == [
        (900.0, "note", "Keep her fast.")
    ]


def test_load_cells_are_left_out(tmp_path: Path) -> None:
    """They would tell of the stay as it was recorded, not as it is lived here."""
    assert "tension.2" not in lived(tmp_path, "").blocks[0].readings.channels
