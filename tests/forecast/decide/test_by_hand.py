"""Limits and orders worked by hand. The structure (two sets, thresholds to stop transfer, disconnect, call
tugs, leave) is that of ISGOTT 16.3, read; every figure is invented."""

from dataclasses import replace
from math import inf, isnan, nan

import numpy as np
import pytest

from alongside.forecast.basis import Basis
from alongside.forecast.decide_by import decide_by, limit_to_come
from alongside.forecast.decide_orders import orders_of, rows_of
from alongside.forecast.decide_words import note_rows
from alongside.forecast.decided import LimitToCome
from alongside.forecast.transfer import TransferSaid, connected_at
from alongside.forecast.wind_held import Held
from alongside.forecast.wind_limits import in_sector, share_of
from alongside.mechanics.holding import NO_WEAK_SPOT
from alongside.stay.model import CargoOperation, DecideBy, LeadTimes, WindLimit
from alongside.stay.wind_means import GUST
from alongside.wording.decide import due_words, reached_words, wind_and_limit
from alongside.wording.times import DayClock
from tests.forecast.decide.made import (
    HERE,
    HOUR,
    LEAD,
    MINUTE,
    NOW,
    basis_with,
    kn,
    ramps,
    said,
    stay_with,
)

TUGS_30 = WindLimit("tugs", kn(30.0))
REACH = [1.0 + 0.25 * k for k in range(21)]
"""Hours at which 21 members reach 30 kn: 1:00, 1:15, … 6:00; the first 5 % of them the second, 1:15."""


def found(
    limit: WindLimit | None, held: Held | None = None, reach: list[float] = REACH
) -> LimitToCome | None:
    expected = ramps([3.0, *reach])
    always = np.ones(expected.time.size, dtype=bool)
    present = replace(HERE, wind_speed=nan, wind_from=nan)
    return limit_to_come(limit, always, present, expected, held, always)


def test_the_earliest_of_the_cases_counts_not_the_middle_nor_the_peak() -> None:
    limit = found(TUGS_30)
    assert limit is not None
    assert (limit.first - NOW) / HOUR == pytest.approx(1.25, abs=1e-6), "of 22, the second"
    assert (limit.expected - NOW) / HOUR == pytest.approx(3.25, abs=0.26)
    assert limit.chance == 1.0
    assert limit.peak_at == pytest.approx(NOW + 12 * HOUR)
    assert limit.peak_ms == pytest.approx(kn(120.0)), "10 kn an hour for nine hours past 30 kn"


def test_chance_is_the_share_of_the_cases_that_reach_it() -> None:
    limit = found(TUGS_30, reach=[2.0] * 10 + [99.0] * 9)
    assert limit is not None
    assert limit.chance == pytest.approx(11 / 20)
    assert found(TUGS_30, reach=[99.0] * 40) is None, "one of 41 is hardly ever"


def test_a_gust_is_more_than_the_mean() -> None:
    """A gust of 34.48 kn is a mean of 30 kn (0.87, US Navy; read)."""
    as_mean, as_gust = found(TUGS_30), found(WindLimit("tugs", kn(30.0) / GUST, gust=True))
    assert as_mean is not None
    assert as_gust is not None
    assert as_gust.first == pytest.approx(as_mean.first, abs=1e-3)
    assert as_gust.peak_ms == pytest.approx(as_mean.peak_ms / GUST)


def test_lines_that_hold_less_than_the_wind_call_for_tugs() -> None:
    expected = ramps([3.0, *REACH])
    holds = np.full(expected.wind_speed.shape, kn(33.0))
    held = Held(holds, np.ones(expected.time.size, dtype=bool), expected.time[:1], (NO_WEAK_SPOT,))
    limit = found(None, held)
    assert limit is not None
    assert (limit.do, limit.agreed) == ("tugs", None)
    assert (limit.first - NOW) / HOUR == pytest.approx(1.55, abs=1e-6), "3 kn above 30 kn are 18 min"
    assert limit.limit_ms == pytest.approx(kn(33.0))


def test_what_the_lines_hold_stands_beside_the_wind_of_the_same_time() -> None:
    """38 kn six hours from now, of which the lines then hold 27, as it has come round to her weak side: not
    what they held two hours before, when they were passed first."""
    expected = ramps([4.0, *(3.2 + 0.1 * k for k in range(21))])
    hours = (expected.time - NOW) / HOUR
    expected = replace(expected, wind_speed=np.minimum(expected.wind_speed, kn(38.0)))
    holds = np.tile(np.interp(hours, [4.0, 6.0], [kn(39.0), kn(27.0)]), (expected.members, 1))
    always = np.ones(expected.time.size, dtype=bool)
    held = Held(holds, always, expected.time[:1], (NO_WEAK_SPOT,))
    present = replace(HERE, wind_speed=nan, wind_from=nan)
    limit = limit_to_come(None, always, present, expected, held, always)
    assert limit is not None
    assert limit.first < NOW + 4.5 * HOUR
    assert limit.peak_at == NOW + 6 * HOUR
    assert (limit.peak_ms, limit.limit_ms) == pytest.approx((kn(38.0), kn(27.0)))


@pytest.mark.parametrize(
    ("sector", "inside", "outside"),
    [
        ((170.0, 260.0), (170.0, 200.0, 260.0), (169.0, 261.0, 0.0)),
        ((350.0, 20.0), (350.0, 0.0, 359.9, 20.0), (21.0, 349.0, 180.0)),
        ((0.0, 360.0), (0.0, 90.0, 359.0), ()),
        ((90.0, 0.0), (90.0, 270.0, 0.0), (1.0, 89.0)),
    ],
)
def test_sectors_go_clockwise_also_across_north(
    sector: tuple[float, float], inside: tuple[float, ...], outside: tuple[float, ...]
) -> None:
    assert in_sector(np.array(inside), sector).all()
    assert not in_sector(np.array(outside), sector).any()


def test_wind_from_elsewhere_reaches_no_limit_one_from_nobody_knows_where_does() -> None:
    limit = WindLimit("tugs", kn(30.0), sector=(350.0, 20.0))
    speed, counts = np.full((1, 3), kn(60.0)), np.ones(3, dtype=bool)
    share = share_of(limit, None, speed, np.array([[10.0, 90.0, nan]]), counts)
    assert share[0] == pytest.approx([2.0, 0.0, 2.0])
    assert share_of(limit, None, speed * nan, np.zeros((1, 3)), counts).tolist() == [[0.0] * 3]


def limit_at(do: str, hours: float = 6.0, with_transfer: bool = True) -> LimitToCome:
    agreed = WindLimit(do, kn(30.0))  # type: ignore[arg-type]
    return LimitToCome(
        agreed.do, agreed, kn(30.0), NOW + hours * HOUR, inf, 0.6, kn(38.0), NOW, 200.0, with_transfer
    )


@pytest.mark.parametrize(
    ("do", "with_transfer", "minutes"),
    [
        ("tugs", True, {"tugs": 90}),
        ("stop_cargo", True, {"stop_cargo": 15}),
        ("disconnect", True, {"stop_cargo": 60, "gang": 75, "disconnect": 45}),
        ("leave", False, {"leave": 20, "tugs": 110, "pilot": 140, "gang": 50}),
        (
            "leave",
            True,
            {"leave": 20, "tugs": 110, "pilot": 140, "stop_cargo": 80, "gang": 95, "disconnect": 65},
        ),
    ],
)
def test_what_a_limit_calls_for_and_how_long_before(
    do: str, with_transfer: bool, minutes: dict[str, float]
) -> None:
    """Sums of the lead times above: to disconnect takes 45 min, the gang 30 min before that, cargo 15."""
    limit = limit_at(do, with_transfer=with_transfer)
    rows = orders_of(LEAD, limit)
    assert {row.order: row.lead_s / MINUTE for row in rows} == minutes
    assert all(row.by == limit.first - row.lead_s for row in rows)


def test_each_order_stands_once_by_the_limit_that_calls_for_it_first() -> None:
    early, late = limit_at("disconnect", 4.0), limit_at("leave", 6.0)
    rows = {row.order: row for row in rows_of(LEAD, [late, early])}
    assert rows["gang"].limit is early
    assert (rows["gang"].by - NOW) / MINUTE == pytest.approx(240 - 75)
    assert rows["pilot"].limit is late
    order = [row.by for row in rows_of(LEAD, [late, early])]
    assert order == sorted(order)


def test_a_lead_time_that_is_not_given_leaves_no_time() -> None:
    (row,) = rows_of(replace(LEAD, tugs=nan), [limit_at("tugs")])
    assert isnan(row.by)
    assert row.lacking == ("tugs",)
    words = due_words(
        "tugs", "tugs", row.by, row.lead_s, row.limit.first, NOW, DayClock(stay_with().display, NOW)
    )
    assert words == "Order tugs: lead time not given, limit may be reached 10:00"


def test_the_words_are_those_of_a_seaman() -> None:
    """At 05:10 38 kn from 200, lines hold 33, tugs take 90 min: order them by 03:40."""
    stay = stay_with("display: {force: t, speed: kn, zone: '+00:00'}\n")
    midnight = NOW - 4 * HOUR
    clock = DayClock(stay.display, midnight)
    first = midnight + 5 * HOUR + 10 * MINUTE
    due = due_words("tugs", "tugs", first - 90 * MINUTE, 90 * MINUTE, first, midnight + 2 * HOUR, clock)
    assert due == "Order tugs by 03:40"
    why = wind_and_limit((kn(38.0), 200.0, first), kn(33.4), False, False, "brake of line 4", clock)
    assert why == "38 kn from 200° at 05:10, lines hold 33 kn (brake of line 4)"
    assert reached_words(first, 0.6, midnight, clock) == "may be reached 05:10, in 6 of 10 cases"
    late = due_words("tugs", "tugs", first - 90 * MINUTE, 90 * MINUTE, first, midnight + 4 * HOUR, clock)
    assert late == "Order tugs now, due 03:40: tugs come 05:30, 20 min after the limit"


def test_past_midnight_a_time_bears_its_day() -> None:
    stay = stay_with()
    clock, evening = DayClock(stay.display, NOW + 19 * HOUR), NOW + 19 * HOUR
    due = due_words("tugs", "tugs", evening + 2 * HOUR, 60.0, evening + 3 * HOUR, evening, clock)
    assert due == "Order tugs by 3 Mar 01:00" or due == "Order tugs by 03 Mar 01:00"


def operation(begin_h: float, end_h: float, name: str = "A") -> CargoOperation:
    return CargoOperation(name, NOW + begin_h * HOUR, -1000.0, 1000.0 / (end_h - begin_h), 40.0)


def test_the_plan_says_when_arms_are_connected_and_the_watch_can_say_otherwise() -> None:
    stay = replace(stay_with(), cargo=(operation(1.0, 2.0), operation(4.0, 5.0, "B")))
    time = NOW + HOUR * np.array([0.5, 1.5, 3.0, 4.5, 5.5])
    assert connected_at(stay, None, time).tolist() == [False, True, True, True, False], "between parcels too"
    off = TransferSaid(False, NOW + 2.5 * HOUR)
    assert connected_at(stay, off, time).tolist() == [False, False, False, True, False]
    assert connected_at(stay, TransferSaid(True, NOW), time).all()
    waits = replace(stay, cargo=(operation(1.0, 2.0),), cargo_as_of=NOW, cargo_waits=(operation(0.0, 1.0),))
    assert connected_at(waits, None, time).all(), "stopped by the watch, arms still on"
    named = replace(stay, decide=DecideBy((), (TUGS_30,), LeadTimes(), ("B",)))
    assert connected_at(named, None, time).tolist() == [False, False, False, True, False], "ballast is none"


def test_each_set_counts_while_it_is_so() -> None:
    """Without transfer 40 kn, with it 25 kn, which counts from 4 h on: until then 30 kn are no matter."""
    stay = replace(
        stay_with(decide=DecideBy((WindLimit("tugs", kn(25.0)),), (WindLimit("tugs", kn(60.0)),), LEAD)),
        cargo=(operation(4.0, 8.0),),
    )
    present = replace(HERE, wind_speed=kn(28.0), wind_forecast=(said(12.0, 28.0),))
    decisions = decide_by(Basis.of(stay), present)
    assert decisions is not None
    first = min(limit.first for limit in decisions.limits if limit.agreed == WindLimit("tugs", kn(25.0)))
    assert 3.9 <= (first - NOW) / HOUR <= 4.1
    assert not decisions.connected
    assert (decisions.turns[0] - NOW) / HOUR == pytest.approx(4.0, abs=0.1)


def test_what_is_measured_now_counts_as_it_is() -> None:
    basis = basis_with(TUGS_30, WindLimit("leave", kn(45.0), gust=True))
    blows = replace(HERE, wind_speed=kn(31.0), wind_gust=kn(44.0))
    decisions = decide_by(basis, blows)
    assert decisions is not None
    tugs = next(limit for limit in decisions.limits if limit.do == "tugs")
    assert tugs.standing(NOW)
    assert tugs.chance == 1.0
    leave = next(limit for limit in decisions.limits if limit.do == "leave")
    assert not leave.standing(NOW), "44 kn are no 45"
    decisions = decide_by(basis, replace(blows, wind_gust=kn(46.0)))
    assert decisions is not None
    assert next(limit for limit in decisions.limits if limit.do == "leave").standing(NOW)


def test_without_a_forecast_with_an_old_one_and_one_that_ends_it_says_so() -> None:
    basis = basis_with(TUGS_30)

    def notes(*forecast: object, hours: float = 0.0) -> str:
        present = replace(HERE, time=NOW + hours * HOUR, wind_forecast=forecast)  # type: ignore[arg-type]
        decisions = decide_by(basis, present)
        assert decisions is not None
        return "; ".join(decisions.notes)

    assert notes() == "no wind forecast: the wind goes on as now, with a spread"
    assert notes(said(-1.0, 20.0)) == "wind forecast is past: the wind goes on as now, with a spread"
    after = "what comes after is not known, and taken as its last row"
    assert notes(said(2.0, 20.0)) == f"wind forecast ends 06:00: {after}; enter a later one"
    assert notes(said(10.0, 20.0)) == f"wind forecast ends 14:00: {after}"
    assert notes(said(12.0, 20.0)) == ""
    assert notes(said(19.0, 20.0), hours=7.0) == "wind forecast is 7 h 00 min old: enter the newest"


def test_a_wind_that_nobody_knows_reaches_nothing_and_says_so() -> None:
    decisions = decide_by(basis_with(TUGS_30), replace(HERE, wind_speed=nan, wind_from=nan))
    assert decisions is not None
    assert decisions.rows == ()
    assert decisions.notes == ("wind not known, and none is forecast: no limit is looked for",)


def test_what_nobody_has_agreed_is_said_and_never_compared() -> None:
    decisions = decide_by(basis_with(TUGS_30, lead=LeadTimes(tugs=60.0)), replace(HERE, wind_speed=kn(60.0)))
    assert decisions is not None
    assert [row.order for row in decisions.rows] == ["tugs"]
    assert decisions.not_given == (
        "no limit for tugs with transfer: no wind calls for them",
        "no limit to stop cargo, to disconnect and to leave with transfer: no wind calls for it",
        "no limit to leave without transfer: no wind calls for it",
        "no lead time given of pilot, gang and disconnect: by when is not known",
        "no time given to stop cargo and to leave: taken as none",
    )
    assert decisions.why_not_held == "balance is off, the ship is held in place"
    clock = DayClock(stay_with().display, NOW)
    rows = note_rows(decisions, stay_with().display, clock)
    assert rows[0] == "What the lines hold is not known: balance is off, the ship is held in place"
    assert rows[-1] == "No time given to stop cargo and to leave: taken as none"
    assert decide_by(Basis.of(stay_with()), HERE) is None


def test_cargo_is_not_to_be_begun_where_a_limit_may_be_reached_after_it() -> None:
    stop = WindLimit("stop_cargo", kn(25.0))
    stay = replace(stay_with(decide=DecideBy((stop,), (), LEAD)), cargo=(operation(4.0, 8.0),))
    present = replace(HERE, wind_speed=kn(15.0), wind_forecast=(said(3.0, 40.0), said(12.0, 40.0)))
    decisions = decide_by(Basis.of(stay), present)
    assert decisions is not None
    (note,) = (note for note in decisions.notes if note.startswith("cargo is not begun"))
    assert note.endswith("ask before beginning it 08:00")
