"""Means in swell, on the circle, gusts; and that cutting into blocks changes nothing."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.feeds.checks import DIRECTIONS
from alongside.feeds.intake import Intake
from alongside.feeds.sentence import sentence
from alongside.feeds.smoothing import direction_between, gust_between, highest_between, mean_between
from alongside.feeds.spikes import median_and_mad
from alongside.readings import Readings
from alongside.stay.model import Feed, Source
from tests.feeds.stays import START, one_channel, stay_with, tide, tide_gauge, wind


@pytest.mark.parametrize("period", [5.3, 9.1, 14.0])
def test_mean_of_a_swell_of_half_a_metre_within_five_millimetres(period: float) -> None:
    """Common practice: a mean over 3 min. Ours: a sine of 0.5 m height on a steady tide of 2 m."""
    intake = Intake(tide_gauge(smooth_s=180.0, rate_per_s=1.0))
    for k in range(3600):
        intake.take(START + k, "gauges", tide(2.0 + 0.25 * np.sin(2 * np.pi * k / period)))
    value = intake.readings(START + np.arange(3600.0)).value[300:, 0]
    assert np.abs(value - 2.0).max() < 0.005


def test_mean_over_180_s_takes_181_values_at_one_a_second() -> None:
    intake = Intake(tide_gauge(smooth_s=180.0))
    values = np.round(np.linspace(2.0, 2.4, 400), 3)
    for k, value in enumerate(values):
        intake.take(START + k, "gauges", tide(value))
    readings = intake.readings(START + np.arange(400.0))
    assert readings.value[399, 0] == pytest.approx(values[399 - 180 :].mean(), abs=1e-12)
    assert values[399 - 180 :].size == 181


def test_direction_is_averaged_on_the_circle() -> None:
    intake = Intake(one_channel(Source("wind_from", "MWV", smooth_s=30.0), bearing_of_x=0.0))
    for k in range(31):
        intake.take(START + k, "gauges", wind(350.0 if k % 2 else 10.0, 8.0))
    mean = intake.readings(START + np.arange(31.0)).value[-1, 0]
    assert (mean + 180.0) % 360.0 - 180.0 == pytest.approx(0.0, abs=0.4)


def test_gust_is_the_highest_mean_of_three_seconds_in_ten_minutes() -> None:
    intake = Intake(one_channel(Source("wind_speed", "MWV", smooth_s=30.0)))
    speed = np.full(1000, 8.0)
    speed[100:103] = 14.0, 17.0, 20.0
    for k, value in enumerate(speed):
        intake.take(START + k, "gauges", wind(0.0, value))
    readings = intake.readings(START + np.arange(1000.0))
    gust = readings.column("wind_gust")
    assert readings.channels == ("wind_speed", "wind_gust")
    assert gust[102:703] == pytest.approx(17.0, abs=1e-9)
    assert gust[710] == pytest.approx(8.0, abs=1e-9)
    assert readings.column("wind_speed")[102] == pytest.approx(8.0 + 27.0 / 31.0, abs=1e-9)


def test_the_peak_of_a_cell_is_its_highest_value_in_ten_minutes() -> None:
    """A ship that passes pulls for 20 s: the mean over 30 s has two thirds of it, the peak all, for 600 s."""
    intake = Intake(one_channel(Source("tension.3", "XDR", names=("L3",), smooth_s=30.0)))
    load = np.full(1000, 60.0)
    load[100:120] = 210.0
    for k, value in enumerate(load):
        intake.take(START + k, "gauges", sentence(f"IIXDR,N,{value:.1f},N,L3"))
    readings = intake.readings(START + np.arange(1000.0))
    assert readings.channels == ("tension.3", "tension_peak.3")
    assert readings.column("tension.3")[119] == pytest.approx(60.0 + 150.0 * 20.0 / 31.0)
    assert readings.column("tension_peak.3")[99] == 60.0
    assert set(readings.column("tension_peak.3")[100:720]) == {210.0}
    assert readings.column("tension_peak.3")[720] == 60.0


def test_a_slow_wind_gauge_gusts_as_it_speaks() -> None:
    time, speed = START + np.arange(5) * 10.0, np.array([5.0, 9.0, 7.0, 6.0, 5.0])
    assert gust_between(time, speed, np.arange(5)).tolist() == [5.0, 9.0, 9.0, 9.0, 9.0]


ROW = st.lists(st.floats(-1e3, 1e3), min_size=1, max_size=60)


@given(ROW, st.data())
def test_windows_agree_with_the_plain_way(row: list[float], data: st.DataObject) -> None:
    value = np.array(row)
    last = np.array(data.draw(st.lists(st.integers(0, value.size - 1), min_size=1, max_size=9)))
    first = np.array([data.draw(st.integers(0, int(end))) for end in last])
    spans = [value[a : b + 1] for a, b in zip(first, last, strict=True)]
    np.testing.assert_array_equal(highest_between(value, first, last), [span.max() for span in spans])
    np.testing.assert_allclose(mean_between(value, first, last), [s.mean() for s in spans], rtol=0, atol=1e-9)


@given(st.lists(st.floats(0, 360), min_size=1, max_size=9), st.floats(0, 360))
def test_turning_all_directions_turns_their_mean(directions: list[float], turn: float) -> None:
    row = np.array(directions)
    ends = np.array([0]), np.array([row.size - 1])
    if abs(np.exp(1j * np.radians(row)).mean()) < 1e-3:
        return
    mean, turned = direction_between(row, *ends), direction_between((row + turn) % 360.0, *ends)
    assert (turned - mean - turn + 180.0) % 360.0 - 180.0 == pytest.approx(0.0, abs=1e-6)
    assert 0.0 <= mean[0] < 360.0


@given(st.lists(st.floats(-9, 9), min_size=61, max_size=61))
def test_median_and_mad_of_a_window(row: list[float]) -> None:
    middle, spread = median_and_mad(np.array([row]))
    assert middle[0] == np.median(row)
    assert spread[0] == np.median(np.abs(np.array(row) - np.median(row)))


def everything() -> Intake:
    limits = {"range": (0.0, 6.0), "rate_per_s": 0.8, "freeze_s": 15.0, "stale_s": 8.0, "lost_s": 20.0}
    feed = Feed(
        "gauges",
        "udp:1",
        (
            Source("tide", "XDR", names=("TIDE",), smooth_s=40.0, **limits),  # type: ignore[arg-type]
            Source("draught_fwd", "XDR", names=("TIDE",), smooth_s=0.0, **limits),  # type: ignore[arg-type]
            Source("wind_speed", "MWV", smooth_s=30.0, rate_per_s=5.0),
            Source("wind_from", "MWV", smooth_s=30.0, lost_s=40.0),
            Source("heading", "XDR", names=("HEAD",), lost_s=25.0),
        ),
    )
    return Intake(stay_with(feed))


def a_bad_day(seed: int, length: int) -> list[tuple[float, bytes]]:
    """Swell, noise, spikes, steps, silences, frozen and empty values, at uneven times."""
    rng = np.random.default_rng(seed)
    time, level, lines = START, 2.0, []
    for _ in range(length):
        time += float(
            rng.choice(
                [0.0, 0.25, 1.0, 1.0, 1.0, 1.003, 7.0, 30.0], p=[0.1, 0.1, 0.3, 0.2, 0.1, 0.1, 0.08, 0.02]
            )
        )
        level += float(rng.choice([0.0, 1.7, -1.7], p=[0.98, 0.01, 0.01]))
        value = level + 0.2 * np.sin(time) + rng.normal(0, 0.02)
        kind = rng.random()
        if kind < 0.05:
            value += rng.normal(0, 3.0)
        text = "" if 0.05 < kind < 0.08 else f"{value if kind < 0.8 else level:.3f}"
        lines.append((time, sentence(f"WLXDR,D,{text},M,TIDE")))
        if rng.random() < 0.7:
            lines.append((time, wind(rng.uniform(0, 360), abs(rng.normal(8, 3)))))
        if rng.random() < 0.2:
            lines.append((time, sentence(f"HEXDR,A,{90 + rng.normal():.2f},D,HEAD")))
    return lines


def read_in_steps(
    lines: list[tuple[float, bytes]], times: np.ndarray, step: Callable[[], int]
) -> list[Readings]:
    """Lines are taken only when a cycle needs them, `step()` cycles at a time."""
    intake, parts, taken, at = everything(), [], 0, 0
    while at < times.size:
        part = times[at : at + step()]
        at += part.size
        while taken < len(lines) and lines[taken][0] <= part[-1]:
            intake.take(lines[taken][0], "gauges", lines[taken][1])
            taken += 1
        parts.append(intake.readings(part))
    return parts


@pytest.mark.slow
@settings(max_examples=12, deadline=None)
@given(st.integers(0, 10**6), st.integers(1, 400), st.integers(1, 50))
def test_one_cycle_at_a_time_gives_what_a_block_gives(seed: int, length: int, step: int) -> None:
    lines = a_bad_day(seed, length)
    times = START + np.arange(np.ceil(lines[-1][0] - START) + 30.0)
    (block,) = read_in_steps(lines, times, lambda: times.size)
    for steps in (1, step):
        parts = read_in_steps(lines, times, lambda steps=steps: steps)  # type: ignore[misc]
        for name in ("value", "age", "quality", "reason"):
            joined = np.concatenate([getattr(part, name) for part in parts]).astype(np.float64)
            whole = getattr(block, name).astype(np.float64)
            np.testing.assert_array_equal(np.isnan(joined), np.isnan(whole), err_msg=name)
            apart = joined - whole
            for at, channel in enumerate(block.channels):
                if name == "value" and channel in DIRECTIONS:  # 359.9999999999999 is 0
                    apart[:, at] = (apart[:, at] + 180.0) % 360.0 - 180.0
            assert np.nanmax(np.abs(apart), initial=0.0) <= 1e-9, name


def test_what_is_kept_does_not_grow_with_the_log() -> None:
    intake = everything()
    kept = []
    for hour in range(3):
        for at, line in a_bad_day(hour, 1500):
            intake.take(at + 10_000 * hour, "gauges", line)
        intake.readings(np.array([START + 10_000 * (hour + 1)]))
        kept.append(sum(channel.rows.time.size + len(channel.samples.time) for channel in intake._channels))
    assert max(kept) < 2000
