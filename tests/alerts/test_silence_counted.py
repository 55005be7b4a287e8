"""What a debrief counts as silenced is what was silent to the watch: by events alone the same as the state
machine had it, whatever is said, silenced and acknowledged."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.actions import Accept
from alongside.alerts.episodes import CALLED, episodes_of
from alongside.alerts.model import Event, Standing
from alongside.stay.stage import Stage
from tests.alerts.bridge import START, Bridge

WORDS = (
    "normal",
    "caution",
    "warning",
    "alarm",
    "alarm",
    "alarm",
    "silence",
    "silence",
    "silence",
    "acknowledge",
    "accept",
)
DEEDS = st.tuples(
    st.sampled_from([2, 10, 16, 25, 90]),
    st.integers(0, 2),
    st.sampled_from(WORDS),
)


def check(bridge: Bridge) -> None:
    newest = {episode.key: episode for episode in episodes_of(bridge.events)}
    for key, alert in bridge.watch.alerts.items():
        active = alert.active_stage > Stage.CAUTION
        sounds = active and alert.standing is Standing.UNACKNOWLEDGED
        assert newest[key].sounds_at(START + bridge.clock) == sounds, (key, bridge.clock, alert.standing)


@pytest.mark.slow
@settings(max_examples=300)
@given(st.lists(DEEDS, min_size=5, max_size=25))
def test_events_tell_what_sounds_as_the_watch_heard_it(deeds: list[tuple[int, int, str]]) -> None:
    bridge = Bridge(("steep", "stretch", "load"))
    for after, k, word in deeds:
        second = bridge.clock + after
        match word:
            case "silence":
                bridge.silence(second)
            case "acknowledge":
                bridge.acknowledge(second, k)
            case "accept":
                key = bridge.rules[k].key
                bridge.until(second, Accept(*key, until=START + second + 150.0, reason="ebb", by="KM"))
            case _:
                bridge.until(second).say(word, k)
        check(bridge)


def test_a_new_alarm_ends_the_silence_of_all() -> None:
    bridge = Bridge(("steep", "stretch")).say("warning", 0).until(20).silence(30).say("alarm", 1).until(40)
    (steep, _stretch) = episodes_of(bridge.events)
    assert steep.sounds_at(START + 40)


def test_the_call_of_somebody_ends_no_silence() -> None:
    bridge = Bridge(("stretch",)).say("alarm").until(20).silence(30)
    call = Event(
        START + 31, "escalated", "stretch", "3", Stage.ALARM, "3", text=f"{CALLED}, not acknowledged"
    )
    (episode,) = episodes_of([*bridge.events, call])
    assert not episode.sounds_at(START + 32)
