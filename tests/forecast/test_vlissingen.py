"""The real series of January 2018, its storm and its outage of 34 hours, through the whole program."""

import json

import numpy as np
import pytest

from alongside.cli.headless import replay_headless
from alongside.cycle.gauge_samples import present_at, sampled
from alongside.forecast.basis import Basis
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.tide.prediction import expected_level, tide_table
from alongside.runtime.log_player import Player
from alongside.units import unix_time
from tests.forecast.vlissingen import feed_log, observed, stay_at_vlissingen

HOUR = 3600.0
LEADS_H = (1, 3, 6, 9, 12)


def replayed(folder, begin, end):
    stay, log = stay_at_vlissingen(folder, begin), feed_log(folder, begin, end)
    states, events = folder / "states", folder / "events"
    replay_headless(stay, log, states=states, events=events, every=600.0)
    return (
        stay,
        [json.loads(line) for line in states.read_text().splitlines()],
        [json.loads(line) for line in events.read_text().splitlines()],
    )


@pytest.mark.slow
def test_through_the_outage_the_expected_level_stands_in(tmp_path):
    stay, states, events = replayed(tmp_path, "2018-01-16T12:00:00Z", "2018-01-18T20:00:00Z")
    # heard last at 05:20, lost 1300 s later; heard again at 16:00 the next day
    lost = [event for event in events if event["event"] == "feed_lost"]
    back = [event for event in events if event["event"] == "feed_back"]
    assert [event["time"] for event in lost] == ["2018-01-17T05:41:41Z"]
    assert [event["time"] for event in back] == ["2018-01-18T16:00:00Z"]
    assert "expected, not measured" in lost[0]["text"]
    silent = [state for state in states if "2018-01-17T05:50:00Z" <= state["time"] < "2018-01-18T16:00:00Z"]
    assert len(silent) > 200
    assert {state["quality"] for state in silent} == {"expected"}
    assert all(line["tension_kn"] is not None for state in silent for line in state["lines"])
    # what stands in is prediction and the residual of then, fading by exp(-h / 24 h)
    time = np.array([unix_time(state["time"]) for state in silent])
    added = np.array([state["tide"] for state in silent]) - expected_level(tide_table(stay.tide), time).metres
    assert added == pytest.approx(added[0] * np.exp(-(time - time[0]) / (24 * HOUR)), abs=1e-5)
    assert added[0] == pytest.approx(0.84, abs=0.01)  # the surge that had just been measured


@pytest.mark.slow
def test_what_stands_in_is_near_what_is_heard_again(tmp_path):
    _, states, _ = replayed(tmp_path, "2018-01-16T12:00:00Z", "2018-01-18T20:00:00Z")
    level = {state["time"]: state["tide"] for state in states}
    time, metres = observed("2018-01-18T16:00:00Z", "2018-01-18T16:00:00Z")
    assert time.size == 1
    # within the band that weather alone leaves, 0.62 m, of a tide of four metres
    assert level["2018-01-18T15:50:00Z"] == pytest.approx(float(metres[0]), abs=0.62)


@pytest.mark.slow
def test_the_storm_is_watched_as_it_is_measured(tmp_path):
    begin, end = "2018-01-03T00:00:00Z", "2018-01-04T00:00:00Z"
    _, states, _ = replayed(tmp_path, begin, end)
    level = {unix_time(state["time"]): state["tide"] for state in states}
    time, metres = observed(begin, end)
    for at, height in list(zip(time, metres, strict=True))[1:-1]:
        assert level[at] == pytest.approx(height, abs=1e-9)
    assert all(line["tension_kn"] is not None for line in states[-5]["lines"])


@pytest.mark.slow
def test_nine_levels_in_ten_lie_in_the_band_storm_and_outage_included(tmp_path):
    begin, end = "2018-01-01T00:00:00Z", "2018-01-21T23:50:00Z"
    stay, log = stay_at_vlissingen(tmp_path, begin), feed_log(tmp_path, begin, end)
    basis, samples = Basis.of(stay), ()
    player, level = Player(basis, log), dict(zip(*observed(begin, end), strict=True))
    at, inside, missed = player.starts_at, [], {lead: [] for lead in LEADS_H}
    while at + 15 * HOUR < unix_time(end):
        at += 3 * HOUR
        for block in player.play_to(at):
            samples = sampled(samples, block)
        forecast = look_ahead(
            basis, present_at(block, player.memory, samples), Far(12.0, 600.0, 50), tend=False
        )
        for lead in LEADS_H:
            true = level.get(float(forecast.times[6 * lead]))
            if true is not None:
                tide = forecast.tide
                inside.append(tide.low[6 * lead] <= true <= tide.high[6 * lead])
                missed[lead].append(tide.expected[6 * lead] - true)
    assert len(inside) > 700
    assert np.mean(inside) == pytest.approx(0.90, abs=0.02)
    # rms of astronomy alone on this series is 0.37 m at every lead (documentation)
    for lead in LEADS_H:
        assert np.sqrt(np.mean(np.square(missed[lead]))) < 0.37
