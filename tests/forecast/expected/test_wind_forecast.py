"""The wind of a weather forecast: what stands of it, what blows by it, what goes by it."""

from dataclasses import fields, replace
from math import nan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.actions import Action, Correct, ForecastWind
from alongside.cycle.advance import advance
from alongside.cycle.advice.trial import winds_to_meet
from alongside.cycle.gauge_samples import present_at
from alongside.cycle.memory import Memory
from alongside.cycle.with_forecast import advance_with_forecast
from alongside.forecast.basis import Basis
from alongside.forecast.expected.wind import expected_wind, standing_in
from alongside.forecast.expected.wind_forecast import WIND_FORECAST, WindAt, by_forecast, forecast_after
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.present import Heard, Present, nothing_heard
from alongside.record.codec import from_text, to_text
from tests.cycle.by_hand.test_serving import NO_FEED, lived, nothing
from tests.cycle.plausibility.made import COASTER, as_readings, instants, quiet

NOW = 1_772_424_000.0
HOUR = 3600.0
HERE = Present(NOW, 2.0, 7.0, 7.0, 0.0, False, 8.0, 350.0, 0.0, 0.0, np.ones(3), nothing_heard())


def names_of(heard: Heard) -> list[str]:
    return [each.name for each in fields(heard)]


def said(hours: float, mean: float, come_from: float, gust: float = 0.0, entered: float = NOW) -> WindAt:
    return WindAt(NOW + hours * HOUR, mean, gust, come_from, "AB", entered)


def test_wind_goes_from_that_of_now_to_each_forecast_in_turn() -> None:
    time = NOW + HOUR * np.array([0.0, 1.0, 2.0, 4.0, 20.0])
    present = replace(HERE, wind_forecast=(said(2.0, 12.0, 10.0), said(4.0, 20.0, 30.0)))
    speed, come_from = expected_wind(present, time)
    assert speed == pytest.approx([8.0, 10.0, 12.0, 20.0, 20.0])
    assert come_from == pytest.approx([350.0, 0.0, 10.0, 30.0, 30.0]), "the shorter way round"


def test_a_gust_counts_where_its_mean_is_more() -> None:
    assert said(1.0, 10.0, 0.0, gust=20.0).speed_ms == pytest.approx(17.4)
    assert said(1.0, 10.0, 0.0, gust=11.0).speed_ms == 10.0


def test_where_nothing_is_measured_the_forecast_serves_from_now_on() -> None:
    time = NOW + HOUR * np.array([0.0, 0.1, 3.0])
    blind = replace(HERE, wind_speed=nan, wind_from=nan)
    speed, _ = expected_wind(replace(blind, wind_forecast=(said(3.0, 15.0, 0.0),)), time)
    assert speed == pytest.approx([nan, nan, 15.0], nan_ok=True), "no row of the future blows now"
    speed, _ = expected_wind(replace(blind, wind_forecast=(said(-3.0, 9.0, 0.0), said(3.0, 15.0, 0.0))), time)
    assert speed == pytest.approx([nan, 12.1, 15.0], nan_ok=True), "by hand: 12 + 3 x 0.1/3"
    speed, _ = expected_wind(replace(blind, wind_forecast=(said(-7.0, 9.0, 0.0),)), time)
    assert np.isnan(speed).all(), "of too long ago"
    past = replace(blind, wind_forecast=(said(-1.0, 30.0, 0.0),))
    speed, _ = expected_wind(past, time)
    assert np.isnan(speed).all(), "a row of the past blows neither now nor later where no wind was ever heard"
    heard = replace(nothing_heard(), **{name: np.array([8.0]) for name in names_of(nothing_heard())})
    lost = replace(past, heard=replace(heard, time=np.array([NOW - 2.0 * HOUR])))
    speed, _ = expected_wind(lost, time)
    assert speed == pytest.approx([nan, 30.0, 30.0], nan_ok=True), "a gauge that was heard and is lost"
    speed, _ = expected_wind(replace(HERE, wind_forecast=(said(-1.0, 30.0, 0.0),)), time)
    assert speed == pytest.approx([8.0, 8.0, 8.0]), "what is measured goes before one of the past"


def test_of_a_sparse_forecast_it_is_straight_between_rows_however_far_they_lie_apart() -> None:
    """Rows 12 h apart, now 7 h after the first, nothing measured: by hand, 10 + 20 x 7/12 kn and on; round
    the shorter way, over north."""
    blind = replace(HERE, wind_speed=nan, wind_from=nan)
    present = replace(blind, wind_forecast=(said(-7.0, 10.0, 340.0), said(5.0, 30.0, 40.0)))
    speed, come_from = expected_wind(present, NOW + HOUR * np.array([0.0, 0.5, 2.0, 5.0]))
    assert speed == pytest.approx([nan, 10.0 + 20.0 * 7.5 / 12, 10.0 + 20.0 * 9 / 12, 30.0], nan_ok=True)
    turned = [340.0 + 60.0 * hours / 12 for hours in (7.0, 7.5, 9.0, 12.0)]
    assert come_from == pytest.approx([each % 360.0 for each in turned])
    assert standing_in(present) == (None, False, False), "the row before now says what blows"


def test_before_the_first_row_it_stands_in_only_for_what_no_gauge_says_and_that_is_said() -> None:
    first = said(3.0, 15.0, 40.0)
    blind = replace(HERE, wind_speed=nan, wind_from=nan, wind_forecast=(first,))
    assert standing_in(blind) == (first, True, True)
    no_vane = replace(HERE, wind_speed=25.0, wind_from=nan, wind_forecast=(first,))
    speed, come_from = expected_wind(no_vane, NOW + HOUR * np.array([0.0, 1.5, 3.0]))
    assert speed == pytest.approx([25.0, 20.0, 15.0]), "what is measured is not given up for a weaker wind"
    assert come_from == pytest.approx([40.0, 40.0, 40.0])
    assert standing_in(no_vane) == (first, False, True)
    assert standing_in(replace(HERE, wind_forecast=(first,))) == (None, False, False)


def test_of_one_time_the_last_counts_and_the_one_before_when_that_is_taken_back() -> None:
    acts: list[Action] = [ForecastWind(NOW + HOUR, speed, 0.0, 0.0, "AB") for speed in (12.0, 52.0)]
    forecast = forecast_after((), acts, NOW)
    time = np.array([NOW + HOUR])
    found = by_forecast(forecast, NOW, (8.0, 0.0), time)
    assert found is not None
    assert found[0] == pytest.approx([52.0])
    found = by_forecast(forecast_after(forecast, [Correct(WIND_FORECAST)], NOW), NOW, (8.0, 0.0), time)
    assert found is not None
    assert found[0] == pytest.approx([12.0])
    assert forecast_after((), [Correct(WIND_FORECAST)], NOW) == ()


@given(
    st.lists(st.builds(said, st.floats(-10, 48), st.floats(0, 40), st.floats(0, 360)), max_size=5),
    st.floats(0, 30) | st.just(nan),
)
def test_what_blows_lies_between_what_is_said_and_known_or_not_at_all(rows: list[WindAt], now: float) -> None:
    time = NOW + HOUR * np.linspace(0.0, 24.0, 25)
    found = by_forecast(tuple(rows), NOW, (now, 10.0), time)
    if found is None:
        return
    figures = [each.speed_ms for each in rows] + ([] if np.isnan(now) else [now])
    assert np.isfinite(found).all()
    assert min(figures) - 1e-9 <= found[0].min()
    assert found[0].max() <= max(figures) + 1e-9
    assert ((found[1] >= 0.0) & (found[1] < 360.0)).all()


def test_another_wind_asked_for_stands_alone() -> None:
    asked = replace(HERE, wind_forecast=(said(1.0, 30.0, 0.0),)).in_wind(5.0, 90.0)
    assert expected_wind(asked, np.array([NOW + HOUR]))[0] == pytest.approx([5.0])


def entered(hours: float, speed: float) -> ForecastWind:
    return ForecastWind(float(instants(1.0)[0]) + hours * HOUR, speed, 0.0, 200.0, "AB")


def test_it_is_kept_noted_taken_back_and_resumed() -> None:
    time = instants(1.0)
    blocks, memory = lived(NO_FEED, nothing(time), {10: [entered(3.0, 18.0)]})
    (event,) = [each for each in blocks[1].events if each.subject == WIND_FORECAST]
    assert event.event == "note"
    assert event.text.startswith("Wind forecast: 35 kn from 200° at ")
    assert event.text.endswith("(AB)")
    assert from_text(Memory, to_text(memory)).wind_forecast == memory.wind_forecast
    assert present_at(blocks[-1], memory).wind_forecast == memory.wind_forecast
    acts: dict[int, list[Action]] = {10: [entered(3.0, 18.0)], 20: [Correct(WIND_FORECAST, "AB")]}
    blocks, memory = lived(NO_FEED, nothing(time), acts)
    assert memory.wind_forecast == ()
    assert next(each.text for each in blocks[2].events).startswith("Wind forecast taken back: 35 kn")
    old = to_text(Memory.at_start(NO_FEED)).replace(',"wind_forecast":[]', "")
    assert from_text(Memory, old).wind_forecast == ()


def test_a_watch_without_a_wind_gauge_looks_ahead_in_the_forecast() -> None:
    time = instants(1.0)
    basis = Basis.of(NO_FEED)
    looked = {}
    for speed in (3.0, 25.0):
        blocks, memory = lived(NO_FEED, nothing(time), {10: [entered(3.0, speed)]})
        looked[speed] = look_ahead(basis, present_at(blocks[-1], memory), Far(6.0, 1800.0, 4), tend=False)
    assert not looked[25.0].reason
    assert looked[25.0].wind_ms.expected[-1] == 25.0
    assert "wind not known" not in " ".join(looked[25.0].notes)
    assert (
        looked[25.0].holding_share.expected[-1] > 2.0 * looked[3.0].holding_share.expected[-1]
    ) or np.isnan(looked[3.0].holding_share.expected[-1])


def test_a_replay_looks_ahead_anew_when_a_forecast_is_entered() -> None:
    time = instants(0.2)
    readings, basis = as_readings(time, quiet(time)), Basis.of(COASTER, ahead=True)
    memory, _ = advance_with_forecast(basis, Memory.at_start(COASTER), readings.rows(0, 5))
    memory, _ = advance_with_forecast(basis, memory, readings.rows(5, 8), [entered(1.0, 20.0)])
    assert memory.foresight is not None
    assert memory.foresight.asked is not None
    assert memory.foresight.asked.wind_forecast == memory.wind_forecast != ()


def test_deeds_are_tried_in_what_is_forecast_for_the_next_two_hours() -> None:
    time = instants(0.2)
    memory, block = advance(Basis.of(COASTER), Memory.at_start(COASTER), as_readings(time, quiet(time)))
    here = block.situation.rows(len(time) - 1, len(time))
    now = float(here.time[0])
    soon, late = (WindAt(now + hours * HOUR, 26.0, 0.0, 200.0, "AB", now) for hours in (1.5, 6.0))
    assert max(wind.speed_ms for wind in winds_to_meet(here, None, (soon,))) == pytest.approx(26.0)
    assert [wind.kind for wind in winds_to_meet(here, None, (soon,))][-1] == "expected"
    assert max(wind.speed_ms for wind in winds_to_meet(here, None, (late,))) < 15.0
    assert memory.wind_forecast == ()
