"""What a raw value must pass, and what becomes of quality, reason and age."""

import numpy as np
import pytest

from alongside.feeds.checks import RateCheck
from alongside.feeds.flaws import Flaw
from alongside.feeds.intake import Intake
from alongside.feeds.sentence import sentence
from alongside.feeds.spikes import LEAST, SpikeFilter
from alongside.readings import Quality, Readings, Reason
from alongside.stay.model import Source
from tests.feeds.stays import START, one_channel, tide, tide_gauge, wind

GOOD, SUSPECT, LOST = Quality.GOOD, Quality.SUSPECT, Quality.LOST


def heard(values: dict[float, float], cycles: int, **limits: object) -> Readings:
    """Readings each second after tide values (by second) were heard."""
    intake = Intake(tide_gauge(**limits))
    for at, value in sorted(values.items()):
        intake.take(START + at, "gauges", tide(value))
    return intake.readings(START + np.arange(float(cycles)))


def states(readings: Readings) -> list[tuple[Quality, Reason]]:
    pairs = zip(readings.quality[:, 0].tolist(), readings.reason[:, 0].tolist(), strict=True)
    return [(Quality(quality), Reason(reason)) for quality, reason in pairs]


def test_waiting_good_stale_silent() -> None:
    readings = heard({2: 1.5}, 12, stale_s=3, lost_s=6)
    assert states(readings) == [
        *[(LOST, Reason.WAITING)] * 2,
        *[(GOOD, Reason.NONE)] * 4,
        *[(SUSPECT, Reason.STALE)] * 3,
        *[(LOST, Reason.SILENT)] * 3,
    ]
    np.testing.assert_array_equal(readings.value[:, 0], [np.nan] * 2 + [1.5] * 7 + [np.nan] * 3)
    np.testing.assert_array_equal(readings.age[:, 0], [np.nan] * 2 + [float(k) for k in range(10)])


def test_out_of_range_is_refused_and_the_last_value_kept() -> None:
    values = dict.fromkeys(range(10), 1.5) | {5: 99.0}
    readings = heard(values, 10, range=(-5, 20))
    np.testing.assert_array_equal(readings.value[:, 0], [1.5] * 10)
    assert readings.age[5, 0] == 1.0
    assert set(states(readings)) == {(GOOD, Reason.NONE)}


def test_a_gauge_that_goes_on_out_of_range_is_suspect_then_lost() -> None:
    values = dict.fromkeys(range(5), 1.5) | dict.fromkeys(range(5, 20), 99.0)
    found = states(heard(values, 20, range=(-5, 20), stale_s=5, lost_s=10))
    assert found[6] == (GOOD, Reason.NONE)
    assert found[7] == (SUSPECT, Reason.OUT_OF_RANGE)
    assert found[14] == (SUSPECT, Reason.OUT_OF_RANGE)
    assert found[15] == (LOST, Reason.OUT_OF_RANGE)


def test_one_value_that_jumps_is_refused_a_new_level_is_taken_up_with_the_fifth() -> None:
    values = dict.fromkeys(range(20), 1.5) | {5: 3.0} | dict.fromkeys(range(10, 20), 3.0)
    readings = heard(values, 20, rate_per_s=0.05)
    assert readings.value[5, 0] == 1.5
    np.testing.assert_array_equal(readings.value[10:, 0], [1.5] * 4 + [3.0] * 6)
    found = states(readings)
    assert found[5] == (GOOD, Reason.NONE)
    assert found[12:14] == [(SUSPECT, Reason.TOO_FAST)] * 2
    assert found[14] == (GOOD, Reason.NONE)


def test_values_that_jump_about_are_refused_for_as_long_as_the_rate_does_not_reach_them() -> None:
    """Ours: from 1.5 m in the last accepted second to 5 m at 0.05 m/s takes 70 s."""
    values = dict.fromkeys(range(5), 1.5) | {k: 5.0 + 3.0 * (k % 2) for k in range(5, 80)}
    readings = heard(values, 80, rate_per_s=0.05, stale_s=1000, lost_s=1000)
    np.testing.assert_array_equal(readings.value[:74, 0], [1.5] * 74)
    assert readings.value[74, 0] == 5.0


def test_a_false_first_value_is_forgotten_with_the_new_level() -> None:
    values = {0: 9.0} | dict.fromkeys(range(1, 20), 1.5)
    readings = heard(values, 20, rate_per_s=0.05, smooth_s=180)
    np.testing.assert_array_equal(readings.value[5:, 0], [1.5] * 15)


def test_rate_on_the_circle_goes_the_short_way() -> None:
    intake = Intake(one_channel(Source("heading", "HDT", rate_per_s=1.0)))
    for at, heading in enumerate([359.5, 0.3, 359.8]):
        intake.take(START + at, "gauges", sentence(f"HEHDT,{heading},T"))
    assert intake.readings(START + np.arange(3.0)).column("heading").tolist() == [359.5, 0.3, 359.8]


def test_frozen_after_the_time_given_and_good_again_with_the_first_change() -> None:
    values = dict.fromkeys(range(20), 1.5) | {20: 1.501}
    found = states(heard(values, 21, freeze_s=10))
    assert found[9] == (GOOD, Reason.NONE)
    assert found[10:20] == [(SUSPECT, Reason.FROZEN)] * 10
    assert found[20] == (GOOD, Reason.NONE)


def test_a_spike_does_not_reach_the_mean() -> None:
    values = {k: 1.5 + 0.01 * (k % 3) for k in range(200)} | {100: 9.0}
    clean = {k: v for k, v in values.items() if k != 100}
    readings, without = (heard(v, 200, smooth_s=180) for v in (values, clean))
    np.testing.assert_allclose(readings.value, without.value, rtol=0, atol=1e-12)
    assert set(states(readings)) == {(GOOD, Reason.NONE)}


def test_many_spikes_make_the_mean_suspect() -> None:
    values = {k: 9.0 + k if k % 5 in (1, 3) else 1.5 for k in range(200)}
    readings = heard(values, 200, smooth_s=60)
    assert states(readings)[-1] == (SUSPECT, Reason.SPIKES)
    assert readings.value[-1, 0] == pytest.approx(1.5, abs=1e-9)


def test_a_wind_gauge_that_says_invalid_is_suspect_then_lost_for_that_reason() -> None:
    source = Source("wind_speed", "MWV", stale_s=5, lost_s=10)
    intake = Intake(one_channel(source))
    for at in range(20):
        line = wind(10.0, 8.0) if at < 5 else b"$WIMWV,,T,,N,V*32"
        intake.take(START + at, "gauges", line)
    found = states(intake.readings(START + np.arange(20.0)))
    assert found[4] == (GOOD, Reason.NONE)
    assert found[7] == (SUSPECT, Reason.INVALID)
    assert found[19] == (LOST, Reason.INVALID)
    assert intake.tallies["gauges"][Flaw.NO_VALUE] == 15


def test_an_empty_field_is_unknown_and_never_zero() -> None:
    intake = Intake(tide_gauge())
    intake.take(START, "gauges", sentence(b"WLXDR,D,,M,TIDE"))
    readings = intake.readings(np.array([START]))
    assert np.isnan(readings.value[0, 0])
    assert states(readings) == [(LOST, Reason.INVALID)]


def test_two_digits_swapped_pass_the_checksum_and_fail_the_rate() -> None:
    """XOR does not see 214.8 become 241.8; the checks must."""
    source = Source("draught_fwd", "XDR", names=("DRF",), rate_per_s=1.0)
    intake = Intake(one_channel(source))
    line = sentence(b"YXXDR,D,8.42,M,DRF")
    swapped = line.replace(b"8.42", b"4.82")
    for at in range(5):
        intake.take(START + at, "gauges", swapped if at == 3 else line)
    assert intake.readings(START + np.arange(5.0)).value[:, 0].tolist() == [8.42] * 5


def test_a_value_later_than_the_cycle_waits() -> None:
    intake = Intake(tide_gauge())
    intake.take(START + 0.4, "gauges", tide(1.0))
    intake.take(START + 1.4, "gauges", tide(2.0))
    assert intake.readings(np.array([START + 1.0])).value[0, 0] == 1.0
    assert intake.readings(np.array([START + 2.0])).value[0, 0] == 2.0


def test_a_line_from_long_ago_is_counted_and_not_used() -> None:
    intake = Intake(tide_gauge())
    for at, value in ((10.0, 1.0), (1.0, 2.0), (-5.0, 3.0)):
        intake.take(START + at, "gauges", tide(value))
    assert intake.tallies["gauges"][Flaw.TIME_BACK] == 1
    assert intake.readings(np.array([START + 10.0])).value[0, 0] == 2.0


def test_no_cycles_give_no_rows() -> None:
    readings = Intake(tide_gauge()).readings(np.zeros(0))
    assert readings.value.shape == readings.quality.shape == (0, 1)


@pytest.mark.parametrize("cut", [1, 2, 5, 100])
def test_a_run_that_is_refused_ends_when_the_last_good_value_is_forgotten(cut: int) -> None:
    """Values that agree neither with the last good one nor with each other: after `forget_s` without a good
    one there is nothing left to compare with, and the next is taken up at once."""
    check = RateCheck(per_s=0.01, forget_s=60.0, circular=False)
    time = np.array([0.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 60.5, 61.0])
    value = np.array([1.0, 9.0, 4.0, 8.0, 3.0, 7.0, 2.0, 6.0, 6.0])
    accepted, fresh = [], []
    for at in range(0, time.size, cut):
        good, new = check.judge(time[at : at + cut], value[at : at + cut])
        accepted += good.tolist()
        fresh += new.tolist()
    assert accepted == [True, *[False] * 6, True, True], "60 s is not yet too long, 60.5 s is"
    assert fresh[1:] == [*[False] * 6, True, False], "nothing is averaged across"


@pytest.mark.parametrize("cut", [1, 7, 1000])
def test_no_spike_is_looked_for_across_a_new_level(cut: int) -> None:
    """A barge goes, the gauge is shifted: the first quarter of a minute of the new level is judged by
    nothing, and after it the new level by itself."""
    before, after = 40, LEAST + 5
    time = np.arange(float(before + after))
    value = np.where(time < before, 1.0, 3.0) + 0.01 * np.sin(time)
    value[-1] += 1.0
    level = (time >= before).astype(np.int64)
    spikes: list[bool] = []
    filtered = SpikeFilter(0.16)
    for at in range(0, time.size, cut):
        rows = slice(at, at + cut)
        spikes += filtered.judge(time[rows], value[rows], level[rows]).tolist()
    assert spikes == [*[False] * (before + after - 1), True]
