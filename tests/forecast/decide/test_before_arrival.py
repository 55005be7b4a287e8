"""Before arrival nothing is measured: what times to decide by rest on then, and that no calm is made up."""

from dataclasses import replace
from functools import cache
from math import inf, nan
from pathlib import Path

import pytest

from alongside.cli.main import main
from alongside.forecast.basis import Basis
from alongside.forecast.decide_by import decide_by
from alongside.forecast.decide_orders import orders_of, rows_of
from alongside.forecast.decide_words import NO_WIND, NOT_FORECAST, NOTHING, decide_rows, order_words
from alongside.forecast.decided import Decisions, LimitToCome, comes_at
from alongside.runtime.log_moment import present_of
from alongside.stay.read import read_stay
from alongside.units import KNOT
from alongside.wording.decide import answered_words, due_words
from alongside.wording.times import DayClock
from tests.forecast.decide.made import HOUR, LEAD, NOW, stay_with

JETTY = Path(__file__).parents[3] / "configs" / "product_jetty.yaml"
AT = 1789239600.0  # 2026-09-12T19:00:00Z, with parcels still to come


@cache
def decided(simulated: bool, forecast: bool) -> tuple[Decisions, list[str]]:
    stay = read_stay(JETTY)
    stay = stay if simulated else replace(stay, simulate=None)
    stay = stay if forecast else replace(stay, wind_forecast=())
    basis = Basis.of(stay)
    decisions = decide_by(basis, present_of(basis, None, AT))
    assert decisions is not None
    return decisions, decide_rows(decisions, stay.display)


def test_a_calm_that_nobody_knows_of_is_not_taken_for_nothing_to_decide() -> None:
    decisions, rows = decided(simulated=False, forecast=False)
    assert not decisions.rows
    assert NO_WIND in rows
    assert NOTHING not in rows
    assert "Wind not known, and none is forecast: no limit is looked for" in rows
    assert not any("goes on as" in row for row in rows)


def test_without_a_forecast_it_says_whose_wind_it_is() -> None:
    _, rows = decided(simulated=True, forecast=False)
    assert "No wind forecast: the wind goes on as that of simulate in the stay file, with a spread" in rows


def test_with_a_forecast_that_alone_serves() -> None:
    made, _ = decided(simulated=True, forecast=True)
    alone, _ = decided(simulated=False, forecast=True)
    assert made.wind == alone.wind
    assert not made.measured


def test_that_nothing_is_known_before_the_first_row_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    at = ["decide", str(JETTY), "--at", "2026-09-12T19:00:00Z"]
    assert main([*at, "--wind", "2026-09-13T01:00:00Z 25 from 280"]) == 0
    words = "Wind not known: by the forecast from 13 Sep 02:00 on, nothing is known before; enter that of now"
    assert words in capsys.readouterr().out
    assert main([*at, "--wind", "20:00 10 from 280", "--wind", "2026-09-13T01:00:00Z 25 from 280"]) == 0
    assert "nothing is known before" not in capsys.readouterr().out


def test_asked_for_no_time_it_is_when_the_forecast_is_issued(capsys: pytest.CaptureFixture[str]) -> None:
    """The lines are fast 05:30, the newest forecast of the file is issued 16:00Z."""
    assert main(["decide", str(JETTY)]) == 0
    out = capsys.readouterr().out
    assert out.startswith("17:00 to"), "local time"
    assert "Asked for 17:00, when the stay file's wind forecast is issued: all lines are fast" in out
    assert "No wind forecast" not in out
    assert "by the forecast that somebody has typed and a spread" in out


def test_asked_for_a_time_before_its_issue_it_says_with_which_to_ask(
    capsys: pytest.CaptureFixture[str],
) -> None:
    early = ["decide", str(JETTY), "--at", "2026-09-12T06:00:00Z"]
    assert main(early) == 0
    out = capsys.readouterr().out
    assert "No wind forecast: the wind goes on as that of simulate" in out
    late = "The stay file's wind forecast is issued 17:00, later than the time asked for: ask with --at "
    assert f"{late}2026-09-12T16:00:00Z" in out
    assert "somebody has typed" not in out
    assert "by a wind that goes on as said above, with no forecast," in out
    assert main([*early, "--wind", "2026-09-12T16:00:00Z 25 from 280"]) == 0
    assert "ask with --at" not in capsys.readouterr().out, "the forecast asked with stands in its place"


def test_nothing_to_decide_says_so_where_nothing_is_forecast() -> None:
    stay = read_stay(JETTY)
    quiet = replace(stay.simulate, wind=(replace(stay.simulate.wind[0], mean_ms=2.0 * KNOT),))  # type: ignore
    basis = Basis.of(replace(stay, simulate=quiet, wind_forecast=()))
    decisions = decide_by(basis, present_of(basis, None, AT))
    assert decisions is not None
    assert NOT_FORECAST in decide_rows(decisions, stay.display)


def test_minutes_after_the_limit_are_those_between_the_times_that_stand_there() -> None:
    # Ordered at 00:00:00 with 75 min, 01:15; the limit at 01:09:30 stands as 01:09.
    clock = DayClock(stay_with().display, NOW)
    first = NOW + 69 * 60.0 + 30.0
    due = due_words("disconnect", "gang", first - 75 * 60.0, 75 * 60.0, first, NOW, clock)
    assert due.endswith(", 6 min after the limit")
    answered = answered_words("tugs", "tugs", NOW, 75 * 60.0, first, clock)
    assert answered.endswith(", 6 min after the limit")


def test_what_is_called_for_her_to_leave_is_off_no_earlier_than_the_slowest_part() -> None:
    """Gang called 20 min ago, tugs 10 min ago and by a limit of their own, no pilot yet: 30 min for the gang,
    90 for the tugs, 120 for a pilot ordered now, each with 20 to leave."""
    leave = LimitToCome("leave", None, 20.0, NOW + 5 * HOUR, NOW, 1.0, 25.0, NOW, 200.0, False)
    leave = replace(leave, needs=tuple((row.order, row.lead_s) for row in orders_of(LEAD, leave)))
    tugs = replace(leave, do="tugs", first=NOW + HOUR, needs=(("tugs", LEAD.tugs),))
    given = {"gang": NOW - 20 * 60.0, "tugs": NOW - 10 * 60.0}
    rows = [replace(row, answered=given.get(row.order, nan)) for row in rows_of(LEAD, [leave, tugs])]
    gang = next(row for row in rows if row.order == "gang")
    assert comes_at(gang, rows, NOW) - NOW == 140 * 60.0
    clock = DayClock(stay_with().display, NOW)
    here = Decisions(NOW, NOW + 12 * HOUR, 50, tuple(rows), (leave, tugs), False)
    said = order_words(gang, here, NOW, clock)
    assert said == "Gang called 03:40: off the berth no earlier than 06:20"
    assert order_words(next(row for row in rows if row.order == "tugs"), here, NOW, clock) == (
        "Tugs ordered 03:50: tugs come 05:20, 20 min after the limit"
    )
    piloted = [replace(row, answered=NOW - 60 * 60.0) if row.order == "pilot" else row for row in rows]
    assert comes_at(gang, piloted, NOW) - NOW == 100 * 60.0, "the tugs are the slowest then"


def test_each_limit_knows_all_that_it_calls_for() -> None:
    decisions, _ = decided(simulated=True, forecast=True)
    assert decisions.limits
    assert all(limit.do in dict(limit.needs) for limit in decisions.limits)


def test_what_is_late_is_done_no_earlier_than_the_slowest_part_of_it() -> None:
    # Gang 30 min and disconnecting 45 make 75; cargo 15 and 45 make 60; disconnecting alone 45.
    limit = LimitToCome("disconnect", None, 15.0, NOW + 600.0, NOW, 1.0, 16.0, NOW, 200.0, True)
    rows = rows_of(LEAD, [limit])
    at = NOW + 75 * 60.0
    assert [comes_at(row, rows, NOW) for row in rows] == [at] * 3
    clock = DayClock(stay_with().display, NOW)
    words = [
        due_words("disconnect", row.order, row.by, row.lead_s, limit.first, NOW, clock, at) for row in rows
    ]
    assert all(f": disconnected {clock(NOW + 75 * 60.0)}, 65 min after the limit" in each for each in words)
    called = {"gang": NOW - 20 * 60.0}
    given = [replace(row, answered=called.get(row.order, nan)) for row in rows]
    assert comes_at(given[2], given, NOW) - NOW == 60 * 60.0
    there = {"gang": -inf, "stop_cargo": -inf}
    given = [replace(row, answered=there.get(row.order, nan)) for row in rows]
    assert comes_at(given[2], given, NOW) - NOW == 45 * 60.0
