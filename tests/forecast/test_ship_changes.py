"""What tending would cost the ship: holding, fenders, drift. Limits are judged with the rounds done too."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.cli.examples import example_log, example_stay
from alongside.forecast.basis import Basis
from alongside.forecast.look_ahead import look_ahead
from alongside.forecast.model import LimitAhead
from alongside.forecast.ship_changes import costs, ship_changes, worst_of_ship
from alongside.runtime.log_moment import present_in_log
from alongside.stay.read import read_stay
from alongside.stay.stage import Stage
from alongside.units import unix_time


def reached(cause: str, stage: Stage, expected: float | None, line: str | None = None) -> LimitAhead:
    return LimitAhead(cause, line or "", line, stage, 1000.0, expected, None)


def test_the_worst_stage_that_is_expected_counts() -> None:
    limits = [
        reached("holding", Stage.CAUTION, 2000.0),
        reached("holding", Stage.WARNING, 3000.0),
        reached("holding", Stage.ALARM, None),
        reached("stretch", Stage.ALARM, 2000.0, line="4"),
    ]
    assert worst_of_ship(limits) == {("holding", ""): limits[1]}


@pytest.mark.parametrize(
    ("before", "after", "worse"),
    [
        (None, (Stage.WARNING, 2000.0), True),
        ((Stage.WARNING, 2000.0), (Stage.ALARM, 9000.0), True),
        ((Stage.WARNING, 9000.0), (Stage.WARNING, 2000.0), True),
        ((Stage.WARNING, 2300.0), (Stage.WARNING, 2000.0), False),
        ((Stage.ALARM, 2000.0), (Stage.WARNING, 2000.0), False),
        ((Stage.WARNING, 2000.0), None, False),
    ],
)
def test_what_is_worse(before, after, worse) -> None:
    one, other = ([reached("holding", *each)] if each else [] for each in (before, after))
    (change,) = ship_changes(one, other)
    assert change.is_worse == worse


@pytest.mark.slow
def test_slacking_breasts_in_a_squall_is_no_round() -> None:
    """The coal berth at 03:56: 45 kn off the berth. Breasts that are slacked let her farther off her fenders:
    that is not planned, and the wind is said."""
    stay = read_stay(example_stay("coal_berth"))
    basis = Basis.of(stay)
    present = present_in_log(basis, Path(example_log("coal_berth")), unix_time("2026-03-20T03:56:00Z"))
    tending = look_ahead(basis, present).tending
    assert tending.rounds == ()
    wind = [each for each in tending.cannot_cure if each.why == "wind"]
    assert {each.line for each in wind} == {"4", "10"}
    assert all(each.wind_ms > 20.0 for each in wind), "the squall that blows now is not over at once"


@pytest.mark.slow
def test_in_light_airs_a_round_costs_nothing() -> None:
    stay = read_stay(example_stay("coal_berth"))
    basis = Basis.of(stay)
    present = present_in_log(basis, Path(example_log("coal_berth")), unix_time("2026-03-20T12:00:00Z"))
    forecast = look_ahead(basis, replace(present, wind_speed=3.0))
    assert forecast.tending.rounds
    assert costs(forecast) == ()
    assert all(np.isfinite(each.holds_after_ms) for each in forecast.tending.rounds)
