"""What comes next: the rounds, waters and limits of the hours ahead, in order of time."""

from dataclasses import replace
from math import nan

import pytest

from alongside.cycle.picture import Picture
from alongside.cycle.to_come import ToCome, to_come, water
from alongside.forecast.model import Forecast, RoundAhead, Tending
from alongside.stay.stage import Stage
from tests.screens import invented
from tests.screens.invented import NOW

PICTURE = invented.normal()
assert PICTURE.forecast is not None
FORECAST: Forecast = PICTURE.forecast
FIRST, SECOND = FORECAST.tending.rounds
HIGH = NOW + 12.4 * 900.0
"""The invented tide is a sine of 12.4 h that rises now."""


def of(picture: Picture = PICTURE, **changes: object) -> tuple[ToCome, ...]:
    return to_come(replace(picture, forecast=replace(FORECAST, **changes)))  # type: ignore[arg-type]


def with_rounds(*rounds: RoundAhead) -> dict[str, object]:
    return {"tending": Tending(rounds, verified=True, holds=0.96, good_until=NOW + 43000.0)}


def test_rounds_and_waters_stand_in_order_of_time_a_round_at_its_latest() -> None:
    coming = of()
    assert [each.kind for each in coming] == ["round", "water", "round", "water"]
    assert [each.time for each in coming] == sorted(each.time for each in coming)
    assert coming[0] == ToCome(FIRST.latest, "round", "slack B1 and B2 by 0.40 m")
    high = coming[1]
    assert high.time == pytest.approx(HIGH, abs=300.0)
    assert high.words == "HW 4.8 m"
    assert coming[3].words == "LW 2.0 m"


@pytest.mark.parametrize(
    "late", [replace(FIRST, overdue=True), replace(FIRST, latest=NOW - 60.0, not_before=NOW - 600.0)]
)
def test_a_round_whose_time_is_past_is_due_now(late: RoundAhead) -> None:
    first = of(**with_rounds(late))[0]
    assert first.overdue
    assert first.time == NOW
    assert first.at(NOW, PICTURE.stay.display, count_down=True) == "now"


def test_a_round_that_is_no_plan_yet_is_left_out() -> None:
    coming = of(**with_rounds(FIRST, replace(SECOND, holds=0.4)))
    assert [each.kind for each in coming].count("round") == 1


def test_limits_stand_only_where_no_round_keeps_them_away() -> None:
    assert not [each for each in of() if each.kind == "limit"]
    limits = [each for each in of(**with_rounds()) if each.kind == "limit"]
    assert [(each.time, each.words) for each in limits] == [
        (NOW + 6600.0, "Line B1 stretch: warning"),
        (NOW + 10800.0, "Line B1 stretch: alarm"),
    ], "a caution is none, the first time at which each may be reached"


@pytest.mark.parametrize("change", [{"standing": True}, {"not_before": NOW - 1.0}, {"stage": Stage.CAUTION}])
def test_a_limit_that_is_reached_already_does_not_come(change: dict[str, object]) -> None:
    limits = tuple(replace(each, **change) for each in FORECAST.limits)  # type: ignore[arg-type]
    assert not [each for each in of(limits=limits, **with_rounds()) if each.kind == "limit"]


@pytest.mark.parametrize(
    "picture",
    [
        replace(PICTURE, forecast=None),
        replace(PICTURE, forecast_hidden=True),
        replace(PICTURE, time=nan),
        replace(PICTURE, forecast=replace(FORECAST, reason="tide not known")),
    ],
    ids=["none", "hidden", "before the first figures", "not known"],
)
def test_nothing_comes_where_nothing_is_known_or_to_be_shown(picture: Picture) -> None:
    assert to_come(picture) == ()
    assert water(picture) is None


def test_the_next_water_is_the_first_after_now() -> None:
    name, at, height = water(PICTURE) or ("", 0.0, 0.0)
    assert (name, round(height, 1)) == ("HW", 4.8)
    assert at == pytest.approx(HIGH, abs=300.0)
    name, _at, height = water(replace(PICTURE, time=HIGH + 600.0)) or ("", 0.0, 0.0)
    assert (name, round(height, 1)) == ("LW", 2.0)


def test_its_time_in_words() -> None:
    display = PICTURE.stay.display
    deed = ToCome(NOW + 1440.0, "round", "slack 4")
    assert deed.at(NOW, display, count_down=True) == "by 04:36, in 24 min"
    assert deed.at(NOW, display) == "by 04:36"
    assert ToCome(NOW + 1440.0, "water", "HW").at(NOW, display) == "04:36"


def test_what_is_due_stands_also_while_the_hours_ahead_are_worked_out_anew() -> None:
    deciding = replace(invented.deciding(), forecast=None)
    assert [each.kind for each in to_come(deciding)] == ["decide"]
    assert to_come(replace(deciding, forecast_hidden=True)) == ()
