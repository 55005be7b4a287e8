"""Squalls on an awkward berth, second by second: however the wind goes, no alert is raised more than three
times within 60 s (ours; that three within a minute are chatter is common practice)."""

from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Final

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from alongside.actions import Accept, Acknowledge, Action
from alongside.alerts.model import Event
from alongside.cycle.advance import advance
from alongside.cycle.memory import Memory
from alongside.forecast.basis import Basis
from alongside.readings import Readings
from tests.worlds import CHANNELS, awkward_stay, readings

SECONDS: Final = 900
BLOCK: Final = 50
RISING: Final = ("raised", "worsened", "escalated")


@st.composite
def squally(draw: st.DrawFn) -> Readings:
    """A quarter of an hour of squalls and lulls from all sides, with gusts, on a sea that heaves."""
    heard = readings(SECONDS)
    value, at = heard.value.copy(), 0
    rng = np.random.default_rng(draw(st.integers(0, 10_000)))
    time = np.arange(SECONDS)
    while at < SECONDS:
        value[at:, CHANNELS.index("wind_speed")] = draw(st.floats(0.0, 45.0))
        value[at:, CHANNELS.index("wind_from")] = draw(st.sampled_from([340.0, 160.0, 70.0, 250.0, 15.0]))
        at += draw(st.integers(5, 120))
    gusts = rng.normal(1.0, draw(st.floats(0.0, 0.4)), SECONDS)
    value[:, CHANNELS.index("wind_speed")] *= np.maximum(gusts, 0.0)
    swell = draw(st.floats(0.0, 0.5)) * np.sin(2.0 * np.pi * time / draw(st.floats(5.0, 120.0)))
    value[:, CHANNELS.index("tide")] += swell
    return replace(heard, value=value)


def lived(folder: Path, heard: Readings, answers: st.DataObject) -> list[Event]:
    """Return what happened; in between some alerts are acknowledged, some accepted."""
    stay = awkward_stay(folder)
    basis, memory, events = Basis.of(stay), Memory.at_start(stay), list[Event]()
    for first in range(0, SECONDS, BLOCK):
        acts: list[Action] = []
        for key in memory.watchlist.alerts:
            act = answers.draw(st.sampled_from(["", "acknowledge", "accept"]))
            if act == "acknowledge":
                acts.append(Acknowledge(*key, by="KM"))
            elif act:
                acts.append(Accept(*key, until=float(heard.time[first]) + 120.0, reason="squall", by="KM"))
        memory, block = advance(basis, memory, heard.rows(first, first + BLOCK), acts)
        events += block.events
    return events


@pytest.mark.slow
@settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow])
@given(squally(), st.data())
def test_no_alert_is_raised_more_than_three_times_in_a_minute(
    tmp_path_factory: pytest.TempPathFactory, heard: Readings, answers: st.DataObject
) -> None:
    times: dict[tuple[str | None, str | None], list[float]] = {}
    for event in lived(tmp_path_factory.mktemp("squall"), heard, answers):
        if event.event in RISING:
            times.setdefault((event.alert, event.subject), []).append(event.time)
    assert times
    for key, rises in times.items():
        assert all(fourth - first >= 60.0 for first, fourth in zip(rises, rises[3:], strict=False)), key
        assert all(later >= time for time, later in pairwise(rises))
