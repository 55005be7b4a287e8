"""What if before a gale: the worst of the hours ahead is named and judged, by the look ahead's own kernel."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.forecast.basis import Basis
from alongside.forecast.expected.wind_forecast import WindAt
from alongside.forecast.look_ahead import Far
from alongside.forecast.present import Present
from alongside.forecast.what_if.answer import WhatIf, what_if
from alongside.forecast.what_if.changes import AddTug, LetGo, OtherWind, PayOut
from alongside.forecast.what_if.losses import Effect, Figure
from alongside.forecast.what_if.sentences import rows_of, verdict_sentence
from alongside.forecast.what_if.verdict import Word
from alongside.mechanics.holding import holding_power
from alongside.mechanics.holding_search import WITHIN_MS
from alongside.reports.ahead_json import ahead_object
from alongside.stay.model import Stay, TidePlan
from tests.berth import START
from tests.forecast.scene import HOUR, planned, stay_ahead
from tests.forecast.test_what_if_holds import quay as three_lines

FAR = Far(4.0, 1800.0, 2)
OFF_THE_QUAY = 90.0
"""Degrees from the bearing of x from where a wind blows her square off, starboard side to."""


def quay(folder) -> Stay:
    """The plain berth with a second breast and stern line, at a neap that leaves all lines within limits."""
    stay = three_lines(folder)
    again = tuple(replace(line, id=name) for line, name in zip(stay.lines[1:], ("4", "5"), strict=True))
    tide = TidePlan(high_low=tuple((START + 6.0 * k * HOUR, 2.0 + 0.1 * (k % 2)) for k in range(-2, 9)))
    return replace(stay, lines=stay.lines + again, tide=tide)


def in_light_airs(stay: Stay, *rows: tuple[float, float]) -> Present:
    """The present in 4 m/s square off the berth; `rows` are (hours ahead, m/s) of a forecast from there."""
    come_from = (stay.berth.bearing_of_x + OFF_THE_QUAY) % 360.0
    forecast = tuple(
        WindAt(START + hours * HOUR, speed, 0.0, come_from, "", START - HOUR) for hours, speed in rows
    )
    return replace(planned(stay), wind_speed=4.0, wind_from=come_from, wind_gust=4.0, wind_forecast=forecast)


def asked(stay: Stay, present: Present, *changes) -> WhatIf:
    return what_if(Basis.of(stay), present, changes, FAR)


def worst(result: WhatIf) -> Figure:
    return next(each for each in result.figures if each.name == "wind_ahead")


def held_then(stay: Stay, present: Present, *changes) -> float:
    """The least wind held over the hours ahead from square off the berth, before a forecast is chosen."""
    found = worst(asked(stay, present, *changes)).worst_wind[1]
    assert found is not None
    return found.holds_ms


def test_the_worst_hour_is_the_forecasts_peak_and_what_the_polar_holds_then(tmp_path) -> None:
    stay = quay(tmp_path)
    present = in_light_airs(stay, (2.0, 9.0), (3.0, 14.0), (4.0, 6.0))
    result = asked(stay, present, LetGo("4"))
    one, other = worst(result).worst_wind
    assert one is not None
    assert other is not None
    # by hand: a row of a forecast stands at its time, and is the peak of the straight lines between
    assert one.time == other.time == START + 3.0 * HOUR
    assert one.wind_ms == other.wind_ms == pytest.approx(14.0, abs=1e-9)
    assert one.forecast
    assert other.forecast
    assert result.as_it_stands is not None
    assert result.changed is not None
    row = int(np.searchsorted(result.changed.times, other.time))
    without = np.where(np.array(Basis.of(stay).arrangement.ids) == "4", np.nan, present.unstretched)
    for each, forecast, lengths in (
        (one, result.as_it_stands, present.unstretched),
        (other, result.changed, without),
    ):
        then = replace(
            present,
            tide=float(forecast.tide.expected[row]),
            draught_fwd=float(forecast.draught_fwd.expected[row]),
            draught_aft=float(forecast.draught_aft.expected[row]),
            heel_deg=float(forecast.heel_deg.expected[row]),
            wind_speed=each.wind_ms,
        ).situation()
        power = holding_power(Basis.of(stay).arrangement, then, lengths, Basis.of(stay).criteria)
        apart = np.abs((power.from_deg - each.from_deg + 180.0) % 360.0 - 180.0)
        least = float(power.holds_ms[apart <= 15.0 + 1e-9].min())
        assert each.holds_ms == pytest.approx(least, abs=3.0 * WITHIN_MS)  # m/s
        assert each.share == pytest.approx(each.wind_ms / each.holds_ms, abs=1e-9)


@pytest.mark.slow
def test_a_line_let_go_hours_before_a_gale_is_refused_by_the_gale(tmp_path) -> None:
    stay = quay(tmp_path)
    calm = in_light_airs(stay)
    held, left = held_then(stay, calm), held_then(stay, calm, LetGo("4"))
    assert left < held - 1.0
    gale = in_light_airs(stay, (3.0, (held + left) / 2.0))
    result = asked(stay, gale, LetGo("4"))
    assert result.then.wind_share < 0.6  # now it holds easily
    assert result.verdict.word is Word.NOTHING_HOLDS
    sentence = verdict_sentence(result)
    assert sentence.startswith("WOULD NOT HOLD: wind ")
    assert " ship off place from " in sentence.split(";")[0]
    row = next(row for row in rows_of(result) if row.label == "Worst ahead")
    assert row.mark == "LOST"
    assert "without forecast" not in row.before + row.after
    assert asked(stay, calm, LetGo("4")).verdict.word is not Word.NOTHING_HOLDS


@pytest.mark.slow
def test_a_gale_at_the_caution_refuses_a_deed_and_is_named_first(tmp_path) -> None:
    stay = quay(tmp_path)
    held = held_then(stay, in_light_airs(stay))
    result = asked(stay, in_light_airs(stay, (3.0, 0.7 * held)), PayOut("2", 0.3))
    assert worst(result).effect is Effect.LOST
    assert result.verdict.word is Word.DO_NOT
    assert verdict_sentence(result).startswith("DO NOT: wind ")
    assert "at 0" in verdict_sentence(result).split(",")[0]


@pytest.mark.slow
def test_a_tug_that_is_not_enough_for_the_gale_is_not_called_better(tmp_path) -> None:
    stay = quay(tmp_path)
    held = held_then(stay, in_light_airs(stay))
    result = asked(stay, in_light_airs(stay, (3.0, 1.3 * held)), AddTug(10.0))
    assert result.verdict.word is Word.NOT_ENOUGH
    assert asked(stay, in_light_airs(stay, (3.0, 0.3 * held)), AddTug(10.0)).verdict.word is Word.BETTER


@pytest.mark.slow
def test_without_a_forecast_it_says_that_the_wind_goes_on(tmp_path) -> None:
    stay = quay(tmp_path)
    result = asked(stay, in_light_airs(stay), LetGo("4"))
    row = next(row for row in rows_of(result) if row.label == "Worst ahead")
    assert row.before.endswith("; wind goes on, without forecast")
    assert row.after.endswith("; wind goes on, without forecast")
    past = asked(stay, in_light_airs(stay, (-1.0, 20.0)), LetGo("4"))
    assert worst(past).worst_wind[0] == worst(result).worst_wind[0]  # a row of the past is no forecast
    typed = asked(stay, in_light_airs(stay, (3.0, 12.0)), OtherWind(6.0, 10.0), LetGo("4"))
    row = next(row for row in rows_of(typed) if row.label == "Worst ahead")
    assert "without forecast" not in row.before
    assert row.after.endswith("; wind goes on, without forecast")


@pytest.mark.slow
def test_what_is_let_go_never_holds_more_in_the_hours_ahead(tmp_path) -> None:
    stay = quay(tmp_path)
    present = in_light_airs(stay, (3.0, 12.0))
    for line in Basis.of(stay).arrangement.ids:
        one, other = worst(asked(stay, present, LetGo(line))).worst_wind
        assert one is not None
        assert other is not None
        assert other.share >= one.share


@pytest.mark.slow
def test_hours_in_which_a_line_is_too_tight_in_a_calm_are_not_the_gales_doing(tmp_path) -> None:
    stay = quay(tmp_path)
    spring = tuple((START + 6.0 * k * HOUR, 2.0 + 3.0 * (k % 2)) for k in range(-2, 9))
    stay = replace(stay, tide=TidePlan(high_low=spring))
    present = in_light_airs(stay, (1.0, 14.0), (1.5, 5.0))
    result = asked(stay, present, AddTug(10.0))
    assert result.as_it_stands is not None
    assert result.as_it_stands.held is not None
    assert result.as_it_stands.held.calm_share[-1] > 1.0  # untended, at the top of the tide
    one, other = worst(result).worst_wind
    assert one is not None
    assert other is not None
    assert one.time == other.time == START + HOUR  # the gale, while lines hold it
    heaved = worst(asked(stay, present, PayOut("2", -0.6)))  # too tight at the gale by what is done
    assert heaved.worst_wind[1] is not None
    assert heaved.after > 1.0
    assert heaved.effect is Effect.LOST


def test_where_it_is_not_known_what_is_held_nothing_is_made_up(tmp_path) -> None:
    stay = stay_ahead(tmp_path)  # kept in place
    result = asked(stay, in_light_airs(stay, (3.0, 14.0)), LetGo("3"))
    assert worst(result).worst_wind == (None, None)
    assert worst(result).effect is Effect.NOT_KNOWN
    row = next(row for row in rows_of(result) if row.label == "Worst ahead")
    assert (row.before, row.after) == ("—", "—")


def test_json_has_the_worst_hour_as_things_stand_and_with_the_change(tmp_path) -> None:
    stay = quay(tmp_path)
    result = asked(stay, in_light_airs(stay, (3.0, 14.0)), LetGo("4"))
    assert result.as_it_stands is not None
    then = ahead_object(result.as_it_stands, result)["what_if"]
    assert isinstance(then, dict)
    one, other = worst(result).worst_wind
    for found, known in ((then["worst_wind_as_it_stands"], one), (then["worst_wind"], other)):
        assert known is not None
        assert found["time"] == "2026-03-02T07:00:00Z"
        assert found["holds_ms"] == pytest.approx(known.holds_ms, abs=1e-6)
        assert found["share"] == pytest.approx(14.0 / known.holds_ms, abs=1e-6)
        assert found["forecast"] is True
    figure = next(each for each in then["figures"] if each["name"] == "wind_share_ahead")
    assert figure["before"] == then["worst_wind_as_it_stands"]["share"]
    assert figure["after"] == then["worst_wind"]["share"]
