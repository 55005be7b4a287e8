"""Each witness by itself, just within its limit and just beyond it, on a ship that has every gauge."""

from dataclasses import replace
from math import nan

import numpy as np
import pytest

from alongside.actions import JudgeChannel
from alongside.cycle.plausibility.alternative import situation_by_witnesses, spread_ends
from alongside.cycle.plausibility.believed import believed
from alongside.cycle.plausibility.model import NOTHING_KNOWN
from alongside.mechanics.situation import situation_of
from alongside.readings import Floats, Readings, Reason
from alongside.stay.model import Stay
from tests.cycle.plausibility.heard import Heard, hear
from tests.cycle.plausibility.made import COASTER, as_readings, instants, quiet, witnesses_of

AT = 60
NO_PLAN = replace(COASTER, cargo=())


def gauges(stay: Stay, time: Floats) -> dict[str, Floats]:
    """What every gauge says on a ship that lies still, upright, alongside; the tide follows the table."""
    same = np.ones(time.size)
    tide = witnesses_of(stay).table(time)
    assert stay.berth.charted_depth is not None
    return {
        "tide": tide,
        "draught_fwd": 10.10 * same,
        "draught_aft": 10.50 * same,
        "draught_mid_port": 10.30 * same,
        "draught_mid_stbd": 10.30 * same,
        "heel": 0.0 * same,
        "heading": 70.0 * same,
        "depth": stay.berth.charted_depth + tide,
        "wind_speed": 7.0 + np.sin(time / 600.0),
        "wind_from": 200.0 + 20.0 * np.sin(time / 900.0),
        "tension.1": 60.0 + 5.0 * np.sin(time / 1000.0),
    }


def with_change(stay: Stay, changes: dict[str, float], hours: float = 2.0, from_start: bool = False) -> Heard:
    """Some gauges so much higher from an hour on, slowly enough to be no jump, or from the start."""
    assert stay.simulate is not None
    time = stay.simulate.start + 60.0 * np.arange(60.0 * hours)
    columns = gauges(stay, time)
    grown = np.ones(time.size) if from_start else np.clip((np.arange(time.size) - AT) / 20.0, 0.0, 1.0)
    for channel, by in changes.items():
        columns[channel] = columns[channel] + by * grown
    return hear(replace(stay, cargo=()), as_readings(time, columns))


@pytest.mark.parametrize(
    ("changes", "named"),
    [
        ({}, set()),
        ({"draught_mid_port": 0.34, "draught_mid_stbd": 0.34}, set()),
        (
            {"draught_mid_port": 0.40, "draught_mid_stbd": 0.40},
            {"draught_fwd", "draught_aft", "draught_mid_port", "draught_mid_stbd"},
        ),
        ({"heading": 9.0}, set()),
        ({"heading": 11.0}, {"heading", "wind_from"}),
        ({"heading": -11.0}, {"heading", "wind_from"}),
        ({"heel": 0.8}, set()),
        ({"heel": 1.0}, {"heel"}),
        ({"depth": 1.4}, set()),
        ({"depth": 1.7}, {"depth"}),
        ({"depth": -1.7}, {"depth"}),
        # sounder and table agree, and the gauge is alone
        ({"tide": 1.7}, {"tide"}),
    ],
)
def test_a_witness_speaks_beyond_its_limit_only(
    full_stay: Stay, changes: dict[str, float], named: set[str]
) -> None:
    heard = with_change(full_stay, changes)
    assert {doubt.channel for doubt in heard.last} == named


@pytest.mark.parametrize(("channel", "size"), [("heel", 1.7), ("heel", 2.0), ("depth", 0.8), ("depth", 1.1)])
def test_heel_and_depth_jump(full_stay: Stay, channel: str, size: float) -> None:
    assert full_stay.simulate is not None
    time = full_stay.simulate.start + 60.0 * np.arange(120)
    columns = gauges(full_stay, time)
    columns["draught_mid_port"][:] = nan  # nothing else knows the heel
    columns[channel][AT:] += size
    heard = hear(full_stay, as_readings(time, columns))
    jumped = Reason.JUMPED in {doubt.reason for _, doubt in heard.of(channel)}
    assert jumped == (size in (2.0, 1.1))


def test_a_sounder_that_rises_with_the_tide_speaks_for_it(full_stay: Stay) -> None:
    """Both went up by 1.2 m at once: the water did, or a lock was opened; not two gauges."""
    assert full_stay.simulate is not None
    time = full_stay.simulate.start + 60.0 * np.arange(120)
    columns = gauges(full_stay, time)
    for channel in ("tide", "depth"):
        columns[channel][AT:] += 1.2
    heard = hear(replace(full_stay, cargo=()), as_readings(time, columns))
    assert ("tide", "JUMPED itself ") in heard.first
    assert "JUMPED" not in {doubt.reason.name for doubt in heard.last if doubt.channel == "tide"}


def test_a_heel_of_the_wrong_sign_is_named_so(full_stay: Stay) -> None:
    breadth = full_stay.ship.breadth
    deeper = breadth * np.tan(np.radians(1.0)) / 2.0
    changes = {"draught_mid_port": -deeper, "draught_mid_stbd": deeper}
    assert not with_change(full_stay, {**changes, "heel": 1.0}).last
    wrong = with_change(full_stay, {**changes, "heel": -1.0})
    assert {doubt.likely for doubt in wrong.last} == {"sign"}
    assert {doubt.channel for doubt in wrong.last} == {"heel", "draught_mid_port", "draught_mid_stbd"}


@pytest.mark.parametrize(
    ("load", "before_s", "named"), [(60.0, 3600.0, True), (15.0, 3600.0, False), (60.0, -1.0, False)]
)
def test_a_load_is_no_load_of_a_line_that_is_not_made_fast(
    full_stay: Stay, load: float, before_s: float, named: bool
) -> None:
    time = full_stay.lines[0].made_fast.at - before_s + 60.0 * np.arange(40.0)
    columns = gauges(full_stay, time) | {"tension.1": np.full(time.size, load) + np.sin(time)}
    heard = hear(full_stay, as_readings(time, columns))
    assert (Reason.NO_LINE in {doubt.reason for _, doubt in heard.of("tension.1")}) == named


def stood(column: Floats, since: int) -> None:
    column[since:] = column[since]


def test_a_load_cell_that_stands_while_the_tide_moves_is_stuck(full_stay: Stay) -> None:
    assert full_stay.simulate is not None
    time = full_stay.simulate.start + 60.0 * np.arange(300)
    columns = gauges(full_stay, time)
    stood(columns["tension.1"], AT)
    heard = hear(full_stay, as_readings(time, columns))
    assert {doubt.reason for _, doubt in heard.of("tension.1")} == {Reason.STILL}
    assert 120 <= (heard.of("tension.1")[0][0] - time[AT]) / 60.0 <= 130


@pytest.mark.parametrize(
    ("speed", "minutes", "named"), [(5.0, 55, False), (5.0, 70, True), (0.0, 170, False), (0.0, 190, True)]
)
def test_a_wind_that_stands(speed: float, minutes: int, named: bool) -> None:
    time = instants(6.0)
    columns = quiet(time)
    columns["wind_speed"][AT : AT + minutes] = speed
    assert bool(hear(COASTER, as_readings(time, columns)).of("wind_speed")) == named


@pytest.mark.parametrize(("speed", "named"), [(1.0, False), (6.0, True)])
def test_a_vane_may_stand_in_light_airs(speed: float, named: bool) -> None:
    time = instants(6.0)
    columns = quiet(time)
    columns["wind_from"][AT:] = 123.0
    columns["wind_speed"] = speed + 0.2 * np.sin(time / 500.0)
    assert bool(hear(COASTER, as_readings(time, columns)).of("wind_from")) == named


def test_both_draughts_that_stand_are_a_gang_that_stands() -> None:
    time = instants(12.0)
    columns = quiet(time)
    assert np.ptp(columns["draught_fwd"][120:330]) > 0.25
    for channel in ("draught_fwd", "draught_aft"):
        stood(columns[channel], 120)
    heard = hear(COASTER, as_readings(time, columns))
    assert Reason.STILL not in {doubt.reason for _, doubt in heard.first.values()}


@pytest.mark.parametrize(("metres", "named"), [(0.9, False), (1.3, True), (-1.3, True)])
def test_a_standing_offset_is_seen_at_once_where_it_is_more_than_weather(metres: float, named: bool) -> None:
    """The stay begins half an hour after high water, where the cosine is exact."""
    time = instants(0.5)
    columns = quiet(time)
    columns["tide"] += metres
    heard = hear(COASTER, as_readings(time, columns))
    assert {doubt.likely for doubt in heard.last} == ({"datum"} if named else set())


@pytest.mark.parametrize(("metres", "named"), [(0.3, False), (0.5, True), (-0.5, True)])
def test_a_smaller_one_once_it_has_stood_for_a_tide_and_a_half(metres: float, named: bool) -> None:
    time = instants(20.0)
    columns = quiet(time)
    columns["tide"] += metres
    heard = hear(COASTER, as_readings(time, columns))
    assert {doubt.likely for doubt in heard.last} == ({"datum"} if named else set())


def test_weather_that_wanders_is_no_datum() -> None:
    time = instants(24.0)
    columns = quiet(time)
    columns["tide"] += 0.5 + 0.17 * np.sin(time / 9000.0)
    assert not hear(COASTER, as_readings(time, columns)).first


def test_a_departure_of_more_than_two_metres_is_doubted_however_slowly_it_came() -> None:
    time = instants(30.0)
    columns = quiet(time)
    columns["tide"] += np.clip((time - time[0]) / 3600.0 * 0.2 - 1.0, 0.0, 2.6)
    off = columns["tide"] - witnesses_of().table(time)
    first = hear(COASTER, as_readings(time, columns)).of("tide")[0][0]
    assert 2.0 < off[int((first - time[0]) / 60.0)] < 2.4


def test_a_departure_faster_than_a_surge_is_doubted() -> None:
    time = instants(9.0)
    for per_h, named in ((0.45, False), (0.9, True)):
        columns = quiet(time)
        columns["tide"] += np.clip((time - time[0] - 3600.0) / 3600.0 * per_h, 0.0, 1.6)
        assert bool(hear(COASTER, as_readings(time, columns)).first) == named


def test_without_a_plan_draughts_move_no_faster_than_a_gang_can() -> None:
    """Six tenths of a metre an hour since she was made fast, twenty minutes before the log begins."""
    time = instants(6.0)
    for per_h, named in ((0.5, False), (0.9, True)):
        columns = quiet(time)
        for channel in ("draught_fwd", "draught_aft"):
            columns[channel] = columns[channel][0] + per_h * (time - time[0]) / 3600.0
        heard = hear(NO_PLAN, as_readings(time, columns))
        assert {doubt.against for _, doubt in heard.first.values()} == ({"plan"} if named else set())


def test_a_gang_two_hours_ahead_of_its_plan_is_no_fault() -> None:
    time = instants(12.0)
    columns = quiet(time)
    ahead = quiet(time + 5400.0)
    for channel in ("draught_fwd", "draught_aft"):
        begun = np.clip((time - time[0]) / 5400.0, 0.0, 1.0)
        columns[channel] = columns[channel] * (1.0 - begun) + ahead[channel] * begun
    assert not hear(COASTER, as_readings(time, columns)).first


def witness_says(stay: Stay, readings: Readings) -> object:
    witnesses = witnesses_of(stay)
    belief = believed(witnesses, NOTHING_KNOWN, (), readings)
    situation = situation_of(stay, belief.readings)
    return situation_by_witnesses(witnesses, belief, situation), situation


def test_what_the_witness_has_instead() -> None:
    time = instants(5.0)
    right = quiet(time)
    wrong = {name: column.copy() for name, column in right.items()}
    wrong["draught_fwd"][120:], wrong["draught_aft"][120:] = (
        right["draught_aft"][120:],
        right["draught_fwd"][120:],
    )
    wrong["tide"][200:] += 1.4
    other, situation = witness_says(COASTER, as_readings(time, wrong))  # type: ignore[misc]
    for part, since in (("draught_fwd", 130), ("draught_aft", 130), ("tide", 210)):
        says, gauge = getattr(other, part), getattr(situation, part)
        assert says[since:] == pytest.approx(right[part][since:], abs=0.12)
        assert np.abs(gauge[since:] - right[part][since:]).min() > 0.3
        assert says[:100] == pytest.approx(gauge[:100])


def test_a_midship_difference_once_accepted_is_known(full_stay: Stay) -> None:
    assert full_stay.simulate is not None
    time = full_stay.simulate.start + 60.0 * np.arange(240)
    columns = gauges(full_stay, time)
    for channel in ("draught_mid_port", "draught_mid_stbd"):
        columns[channel] += 0.5
    stay = replace(full_stay, cargo=())
    heard = hear(stay, as_readings(time, columns), actions={60: [JudgeChannel("draught_mid_port", "gauge")]})
    assert heard.of("draught_fwd")
    assert not heard.last


@pytest.mark.parametrize(("channel", "by"), [("heading", 15.0), ("heel", 1.2), ("depth", 2.0)])
def test_any_other_difference_once_accepted_is_known(full_stay: Stay, channel: str, by: float) -> None:
    assert full_stay.simulate is not None
    time = full_stay.simulate.start + 60.0 * np.arange(200)
    columns = gauges(full_stay, time)
    columns[channel] += by
    columns["wind_from"][:] = nan
    stay = replace(full_stay, cargo=())
    heard = hear(stay, as_readings(time, columns), actions={60: [JudgeChannel(channel, "gauge")]})
    assert heard.of(channel)
    assert not heard.last


def test_where_the_table_is_sharp_what_grows_faster_than_a_surge_is_doubted() -> None:
    """A tide of four decimetres: no cosine can be far off."""
    assert COASTER.tide is not None
    flat = tuple((at, 2.0 + 0.1 * (height - 2.7)) for at, height in COASTER.tide.high_low)
    stay = replace(COASTER, tide=replace(COASTER.tide, high_low=flat))
    time = instants(9.0)
    for per_h, named in ((0.45, False), (0.9, True)):
        columns = quiet(time) | {"tide": witnesses_of(stay).table(time)}
        columns["tide"] += np.clip((time - time[0] - 3600.0) / 3600.0 * per_h, 0.0, 1.6)
        assert bool(hear(stay, as_readings(time, columns)).first) == named


def test_draughts_beside_a_gap_of_the_log_are_no_neighbours() -> None:
    time = instants(5.0)
    columns = quiet(time)
    for channel in ("draught_fwd", "draught_aft"):
        columns[channel] = columns[channel][0] + 0.5 * (time - time[0]) / 3600.0
    there = np.r_[0:100, 140 : time.size]
    cut = {name: column[there] for name, column in columns.items()}
    assert not hear(NO_PLAN, as_readings(time[there], cut)).first


def test_one_wrong_value_of_a_gauge_that_speaks_seldom_is_no_level() -> None:
    time = instants(6.0)
    columns = quiet(time)
    spoken = np.arange(time.size) // 10 * 10
    columns["tide"][160] += 1.6
    columns["tide"] = columns["tide"][spoken]
    readings = as_readings(time, columns)
    readings.age[:, 0] = time - time[spoken]
    assert not hear(COASTER, readings).first


def test_of_a_stuck_gauge_the_table_says_the_tide() -> None:
    time = instants(8.0)
    right = quiet(time)
    wrong = {name: column.copy() for name, column in right.items()}
    stood(wrong["tide"], 90)
    other, _ = witness_says(COASTER, as_readings(time, wrong))  # type: ignore[misc]
    assert other.tide[300:] == pytest.approx(right["tide"][300:], abs=0.1)


@pytest.mark.parametrize("likely", ["zone", "half", "sign", "port"])
def test_a_tide_and_a_half_tells_what_makes_the_gauge_follow_its_table(likely: str) -> None:
    time = instants(20.0)
    table = witnesses_of().table
    columns = quiet(time)
    columns["tide"] += {
        "zone": table(time - 3600.0),
        "half": 2.8 + 0.5 * (table(time) - 2.8),
        "sign": 5.6 - table(time),
        "port": 2.8 + 0.6 * (table(time - 7200.0) - 2.8),
    }[likely] - table(time)
    heard = hear(COASTER, as_readings(time, columns))
    assert likely in {doubt.likely for _, doubt in heard.of("tide")}


def test_sounder_and_table_speak_against_the_gauge_together(full_stay: Stay) -> None:
    heard = with_change(full_stay, {"tide": 1.7})
    assert ("tide", "DISAGREES sounder ") in heard.first


def test_a_draught_that_jumps_to_where_its_plan_wants_it_was_set_right() -> None:
    time = instants(4.0)
    columns = quiet(time)
    columns["draught_fwd"][:100] += 1.2
    heard = hear(COASTER, as_readings(time, columns))
    assert {seen.reason for _, seen in heard.of("draught_fwd")} == {Reason.DIFFERS, Reason.JUMPED}
    assert not heard.last


def test_one_draught_that_jumped_is_doubted_alone(full_stay: Stay) -> None:
    assert full_stay.simulate is not None
    time = full_stay.simulate.start + 60.0 * np.arange(120)
    columns = gauges(full_stay, time)
    columns["draught_fwd"][AT:] += 0.9
    heard = hear(replace(full_stay, cargo=()), as_readings(time, columns))
    assert {doubt.channel for doubt in heard.last} == {"draught_fwd"}


def test_what_is_only_expected_has_a_low_end_and_a_high_one() -> None:
    time = instants(4.0)
    columns = quiet(time)
    for channel in ("tide", "draught_fwd", "draught_aft"):
        columns[channel][120:] = nan
    belief = believed(witnesses_of(), NOTHING_KNOWN, (), as_readings(time, columns))
    situation = situation_of(COASTER, belief.readings)
    low, high = spread_ends(belief.readings, situation)
    for part, sign in (("tide", -1.0), ("draught_fwd", 1.0), ("draught_aft", 1.0)):
        apart = sign * (getattr(low, part) - getattr(situation, part))
        assert apart[:100] == pytest.approx(0.0)
        assert apart[150:].min() > 0.04
        assert sign * (getattr(situation, part) - getattr(high, part)) == pytest.approx(apart)


@pytest.mark.parametrize("by", [1.2, 3.0])
def test_the_witness_against_a_heel(full_stay: Stay, by: float) -> None:
    """Midship draughts, or what it was before it jumped."""
    assert full_stay.simulate is not None
    time = full_stay.simulate.start + 60.0 * np.arange(120)
    columns = gauges(full_stay, time)
    columns["heel"][AT:] += by
    other, situation = witness_says(replace(full_stay, cargo=()), as_readings(time, columns))  # type: ignore[misc]
    assert situation.heel_deg[80:] == pytest.approx(by)
    assert other.heel_deg[80:] == pytest.approx(0.0, abs=0.05)


def test_a_gust_is_as_doubtful_as_its_wind() -> None:
    time = instants(3.0)
    columns = quiet(time)
    columns["wind_speed"][AT:] = 5.0
    columns["wind_gust"] = columns["wind_speed"] + 2.0
    readings = as_readings(time, columns)
    at = [readings.channels.index(name) for name in ("wind_speed", "wind_gust")]
    stuck = believed(witnesses_of(), NOTHING_KNOWN, (), readings).readings
    assert (stuck.reason[-1, at] == Reason.STILL).all()
    first = readings.rows(0, 30)
    shut = believed(witnesses_of(), NOTHING_KNOWN, (), first, closed=("wind",)).readings
    assert (shut.reason[:, at] == Reason.CLOSED).all()
