"""A slack line is not heaved to be slacked again within two hours: the tide to come takes up its part."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.cli.examples import example_stay
from alongside.cycle.advice.advise import advise
from alongside.cycle.advice.coming import with_coming
from alongside.cycle.advice.deed_metres import BEARS, STEP_M
from alongside.cycle.advice.scene import Scene
from alongside.cycle.advice.trial import Trial
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_present
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.model import Forecast
from alongside.mechanics.hold import hold
from alongside.readings import Floats
from alongside.stay.model import StageLimits
from alongside.stay.read import read_stay
from alongside.stay.stage import Stage
from alongside.units import unix_time
from tests.cycle.test_advice import alert, line

LINE = "10"
RISING = "04:15"
"""The tide makes 1.1 m in the hour after."""


@pytest.fixture(scope="module")
def basis() -> Basis:
    return Basis.of(read_stay(example_stay("coal_berth")), ahead=True)


def slack_by(basis: Basis, metres: float, clock: str = RISING) -> tuple[Trial, Forecast]:
    """The coal berth as planned, with one line so much longer; and its look ahead."""
    present = planned_present(basis.stay, basis.arrangement, unix_time(f"2026-03-20T{clock}:00Z"))
    lengths = present.unstretched.copy()
    lengths[basis.arrangement.ids.index(LINE)] += metres
    present = replace(present.in_wind(3.0, 0.0), unstretched=lengths)
    forecast = look_ahead(basis, present, Far(3.0, 900.0, 2), tend=False)
    return Trial(basis, present.situation(), lengths), forecast


def shares(trial: Trial, forecast: Forecast, heaved: float) -> tuple[Floats, Floats]:
    """Stretch and load by WLL of the line now and in the next two hours, by the mechanics, one by one."""
    at = trial.basis.arrangement.ids.index(LINE)
    lengths = trial.lengths.copy()
    lengths[at] -= heaved
    rows = [trial.situation]
    for row, time in enumerate(forecast.times.tolist()):
        if forecast.time < time <= forecast.time + 7200.0:
            four = (forecast.tide, forecast.draught_fwd, forecast.draught_aft, forecast.heel_deg)
            tide, fwd, aft, heel = (np.array([of.expected[row]]) for of in four)
            rows.append(replace(trial.situation, tide=tide, draught_fwd=fwd, draught_aft=aft, heel_deg=heel))
    lines = [hold(trial.basis.arrangement, each, lengths).lines for each in rows]
    return (np.array([each.stretch_share[0, at] for each in lines]),
            np.array([each.load_share[0, at] for each in lines]))  # fmt: skip


def said_of(trial: Trial, forecast: Forecast | None) -> str:
    slack = alert("slack", LINE, Stage.CAUTION, 0.0)
    scene = Scene(trial.basis.stay, forecast.time if forecast else 0.0, [line(LINE)], [slack],
                  forecast=forecast, trial=trial)  # fmt: skip
    return advise(scene).text


def test_a_line_that_the_tide_takes_up_is_watched(basis: Basis) -> None:
    trial, forecast = slack_by(basis, 1.4)
    _, load = shares(trial, forecast, 0.0)
    assert load[0] < 0.03
    assert load.max() > BEARS
    assert trial.metres.to_heave([LINE]) > 0.0
    assert said_of(trial, forecast).startswith(f"Watch line {LINE}: slack, no load")
    assert "takes up by itself within 1 h" in said_of(trial, forecast)
    assert said_of(trial, None).startswith(f"Heave line {LINE} by")


@pytest.mark.slow
@pytest.mark.parametrize("slack", [1.8, 2.2, 3.0])
@pytest.mark.parametrize("caution", [0.70, 0.20])
def test_no_more_is_heaved_than_serves_for_two_hours(basis: Basis, slack: float, caution: float) -> None:
    limits = replace(basis.stay.limits, stretch_share=StageLimits(caution, 0.85, 1.0))
    careful = replace(basis, stay=replace(basis.stay, limits=limits))
    trial, forecast = slack_by(careful, slack)
    metres = trial.metres.to_heave_for([LINE], with_coming(trial.situation, forecast))
    at_once = trial.metres.to_heave([LINE])
    assert 0.0 < metres <= at_once
    stretch, load = shares(trial, forecast, metres)
    assert stretch.max() < caution
    assert load[0] >= BEARS or shares(trial, forecast, metres + STEP_M)[0].max() >= caution
    assert (metres < at_once) == (caution < 0.70)


def test_on_the_ebb_it_is_heaved_until_it_bears_now(basis: Basis) -> None:
    trial, forecast = slack_by(basis, 0.6, "10:30")
    coming = with_coming(trial.situation, forecast)
    assert trial.metres.to_heave_for([LINE], coming) == trial.metres.to_heave([LINE]) > 0.0
