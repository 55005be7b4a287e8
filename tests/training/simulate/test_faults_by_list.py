"""Faults of a simulated log, one after the other: what the feed then reads, and nothing before or after."""

from pathlib import Path

import numpy as np
import pytest

from alongside.errors import StayFaults, WrongInput
from alongside.feeds.flaws import Flaw
from alongside.readings import Floats
from alongside.stay.model import Stay
from alongside.training.simulate.log import simulate
from tests.berth import STAY_TEXT, a_stay
from tests.training.simulate.heard import Heard

START = 1_772_422_200.0
"""2026-03-02T03:30:00Z"""
FROM, TO = START + 600.0, START + 900.0
SPELL = "at: 2026-03-02T03:40:00Z, until: 2026-03-02T03:45:00Z"
SIMULATE = """\
tide: {levels: [{at: 2026-03-01T00:00:00Z, level: 2.0}]}
simulate:
  start: 2026-03-02T03:30:00Z
  hours: 0.5
  draught_fwd: 4.0
  draught_aft: 4.5
  interval_s: 5
  noise_m: 0
  faults: [FAULTS]
"""
WIND = """\
  - {name: w, port: "serial:/dev/w", channels: {wind_speed: {sentence: MWV}, wind_from: {sentence: MWV}}}
"""


def stay_with(folder: Path, *faults: str, text: str = STAY_TEXT, simulated: str = SIMULATE) -> Stay:
    return a_stay(folder, text + simulated.replace("FAULTS", ", ".join(f"{{{each}}}" for each in faults)))


def heard(folder: Path, *faults: str, text: str = STAY_TEXT) -> Heard:
    stay = stay_with(folder, *faults, text=text)
    return Heard(stay, simulate(stay))


def during(time: Floats) -> np.ndarray:
    there: np.ndarray = (time >= FROM) & (time < TO)
    return there


@pytest.mark.parametrize(
    ("fault", "expected"),
    [
        ("kind: offset, channel: tide, by: 0.4", 2.4),
        ("kind: false_zero, channel: tide", 0.0),
        ("kind: wrong_unit, channel: tide, unit: ft", 2.0 / 0.3048),
        ("kind: swapped, channel: tide, other: draught_fwd", 4.0),
        ("kind: frozen, channel: tide", 2.0),
    ],
)
def test_what_a_gauge_shows_instead(tmp_path: Path, fault: str, expected: float) -> None:
    time, value = heard(tmp_path, f"{fault}, {SPELL}").of("tide")
    assert value[during(time)] == pytest.approx(np.full(60, expected), abs=0.006)
    assert value[~during(time)] == pytest.approx(np.full(301, 2.0), abs=1e-9)


def test_swapped_gauges_show_each_the_other(tmp_path: Path) -> None:
    swapped = heard(tmp_path, f"kind: swapped, channel: draught_fwd, other: draught_aft, {SPELL}")
    for channel, own, other in (("draught_fwd", 4.0, 4.5), ("draught_aft", 4.5, 4.0)):
        time, value = swapped.of(channel)
        assert value[during(time)] == pytest.approx(np.full(60, other))
        assert value[~during(time)] == pytest.approx(np.full(301, own))


def test_a_drift_goes_on_at_so_much_an_hour(tmp_path: Path) -> None:
    time, value = heard(tmp_path, f"kind: drift, channel: tide, by: -6.0, {SPELL}").of("tide")
    there = during(time)
    assert value[there] == pytest.approx(2.0 - 6.0 * (time[there] - FROM) / 3600.0, abs=0.0051)
    assert value[there][-1] == pytest.approx(1.51, abs=0.011)
    assert value[~there] == pytest.approx(np.full(301, 2.0))


def test_spikes_of_a_size_at_a_count(tmp_path: Path) -> None:
    time, value = heard(tmp_path, f"kind: spike, channel: tide, by: -0.7, every: 4, {SPELL}").of("tide")
    there = value[during(time)]
    assert there[::4] == pytest.approx(np.full(15, 1.3))
    assert np.delete(there, np.s_[::4]) == pytest.approx(np.full(45, 2.0))


def test_a_feed_that_is_dead_says_nothing_and_the_other_goes_on(tmp_path: Path) -> None:
    wind = STAY_TEXT.replace("balance: off\n", f"{WIND}balance: off\n")
    more = SIMULATE + "  wind: [{at: 2026-03-02T03:00:00Z, mean_ms: 9, gust_ms: 12, from_deg: 180}]\n"
    stay = stay_with(tmp_path, f"kind: silent, feed: gauges, {SPELL}", text=wind, simulated=more)
    all_heard = Heard(stay, simulate(stay))
    time, _ = all_heard.of("tide")
    assert not during(time).any()
    assert time.size == 301
    assert all_heard.of("wind_speed")[0].size == 361


def test_a_garbled_line_is_no_figure(tmp_path: Path) -> None:
    garbled = heard(tmp_path, f"kind: garbled, channel: tide, {SPELL}")
    time, value = garbled.of("tide")
    assert not during(time).any()
    assert value == pytest.approx(np.full(301, 2.0))
    assert garbled.intake.tallies["gauges"].unused >= 55  # what is left of a line may be no sentence at all


def test_another_sender_is_heard_as_one_and_not_used(tmp_path: Path) -> None:
    network = STAY_TEXT.replace("serial:/dev/ttyUSB0?baud=4800", "udp:10110")
    told_twice = heard(tmp_path, f"kind: second_sender, channel: tide, by: 0.9, {SPELL}", text=network)
    time, value = told_twice.of("tide")
    assert value == pytest.approx(np.full(361, 2.0))
    assert time.size == 361
    assert told_twice.intake.tallies["gauges"][Flaw.OTHER_SENDER] == 3 * 60
    news = told_twice.intake.feed_news(START, START + 1800.0)
    assert "192.0.2.20" in str(news)
    assert "192.0.2.10" in str(news)


def test_a_clock_that_jumps_ahead_is_not_believed_and_one_set_back_neither(tmp_path: Path) -> None:
    for by in (86_400.0, -600.0):
        jumped = heard(tmp_path, f"kind: clock, feed: gauges, by: {by}, {SPELL}")
        stay = stay_with(tmp_path, f"kind: clock, feed: gauges, by: {by}, {SPELL}")
        stamps = [float(line.split(b"c:")[1].split(b"*")[0]) for line in simulate(stay)]
        assert [stamp for stamp in stamps if abs(stamp - FROM - by) < 1.0], by
        assert len(stamps) == 361
        assert jumped.intake.tallies["gauges"].unused > 0 or by > 0


def test_a_row_with_its_own_time_bears_that_of_its_clock(tmp_path: Path) -> None:
    rows = STAY_TEXT.replace(
        'port: "serial:/dev/ttyUSB0?baud=4800"',
        "port: \"file:g.csv\"\n    pattern: '^(?P<at>[0-9]{10}) (?P<t>[0-9.]+)'\n"
        "    time: {group: at, form: unix}",
    ).replace("tide: {sentence: XDR, name: TIDE}", "tide: {group: t}")
    stay = stay_with(tmp_path, f"kind: clock, feed: gauges, by: -900, {SPELL}", text=rows)
    lines = [line for line in simulate(stay) if b"XDR" not in line]
    stamps = [float(line.split(b"c:")[1].split(b"*")[0]) for line in lines]
    own = [float(line.rpartition(b"\\")[2].split(b" ")[0]) for line in lines]
    off = np.array(own) - np.array(stamps)
    assert off[during(np.array(stamps))] == pytest.approx(np.full(60, -900.0))
    assert off[~during(np.array(stamps))] == pytest.approx(np.zeros(301))


def test_the_same_list_gives_the_same_bytes(tmp_path: Path) -> None:
    faults = (f"kind: garbled, channel: tide, {SPELL}", f"kind: spike, channel: draught_fwd, {SPELL}")
    assert list(simulate(stay_with(tmp_path, *faults))) == list(simulate(stay_with(tmp_path, *faults)))


@pytest.mark.parametrize(
    ("fault", "why"),
    [
        (f"kind: offset, channel: tide, {SPELL}", "by: missing, expected a number"),
        (f"kind: wrong_unit, channel: tide, unit: kn, {SPELL}", "'kn' is no other unit than m"),
        (f"kind: wrong_unit, channel: tide, unit: m, {SPELL}", "'m' is no other unit than m"),
        (f"kind: swapped, channel: tide, other: tide, {SPELL}", "the same channel, expected another one"),
        (f"kind: silent, {SPELL}", "one key is missing, expected channel or feed"),
        (f"kind: silent, feed: gouges, {SPELL}", "there is no feed 'gouges', expected perhaps 'gauges'"),
        (f"kind: clock, channel: tide, by: 3, {SPELL}", "channel: unknown key"),
        ("kind: frozen, channel: tide, at: 2026-03-02T03:40:00Z", "expected seconds or until"),
        (
            "kind: frozen, channel: tide, at: 2026-03-02T03:40:00Z, until: 2026-03-02T03:40:00Z",
            "the end is not after the beginning, expected later than 2026-03-02T03:40:00Z",
        ),
        (f"kind: stuck, channel: tide, {SPELL}", "'stuck' is not known here, expected silent, frozen, spike"),
    ],
)
def test_what_does_not_fit_is_said(tmp_path: Path, fault: str, why: str) -> None:
    with pytest.raises(StayFaults) as refused:
        stay_with(tmp_path, fault)
    assert why in str(refused.value)


def test_a_plain_line_has_no_checksum_to_be_wrong(tmp_path: Path) -> None:
    plain = STAY_TEXT.replace(
        'port: "serial:/dev/ttyUSB0?baud=4800"', "port: \"serial:/dev/x\"\n    pattern: '^T (?P<t>[0-9.]+)'"
    ).replace("tide: {sentence: XDR, name: TIDE}", "tide: {group: t}")
    stay = stay_with(tmp_path, f"kind: checksum, channel: tide, {SPELL}", text=plain)
    with pytest.raises(WrongInput, match="tide: a plain line has no checksum"):
        simulate(stay)
