"""What is held from where it blows: one figure at one instant, anew when it must be, and never one that rests
on what is no longer known."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.actions import TendLine
from alongside.cycle.advance import advance
from alongside.cycle.holding_epochs import ANEW_S
from alongside.cycle.holding_now import Held, holding_now
from alongside.cycle.last_polar import LastPolar
from alongside.cycle.memory import Memory
from alongside.forecast.basis import Basis
from alongside.mechanics.holding import HoldingPower, holding_power
from alongside.mechanics.holding_search import WITHIN_MS
from alongside.readings import Quality, Readings, Reason
from alongside.record.codec import from_text, to_text
from alongside.stay.stage import Stage
from tests.berth import START
from tests.worlds import CHANNELS, awkward_stay, readings


@pytest.fixture(scope="module")
def basis(tmp_path_factory: pytest.TempPathFactory) -> Basis:
    return Basis.of(awkward_stay(tmp_path_factory.mktemp("awkward")))


def going(seconds: int, tide_m_per_h: float = 1.2, veers_deg_per_s: float = 0.02) -> Readings:
    """A tide that rises and a wind that veers."""
    steady = readings(seconds)
    value = steady.value.copy()
    value[:, CHANNELS.index("tide")] += tide_m_per_h * np.arange(seconds) / 3600.0
    value[:, CHANNELS.index("wind_from")] -= veers_deg_per_s * np.arange(seconds)
    return Readings(steady.time, CHANNELS, value, steady.quality, steady.reason, steady.age)


def lost(heard: Readings, channel: str, rows: slice) -> Readings:
    at = CHANNELS.index(channel)
    value, quality, reason = heard.value.copy(), heard.quality.copy(), heard.reason.copy()
    value[rows, at], quality[rows, at], reason[rows, at] = np.nan, Quality.LOST, Reason.SILENT
    return Readings(heard.time, CHANNELS, value, quality, reason, heard.age)


def turned(heard: Readings, row: int, to_deg: float) -> Readings:
    """A wind that shifts to another direction at once."""
    value = heard.value.copy()
    value[row:, CHANNELS.index("wind_from")] = to_deg
    return Readings(heard.time, CHANNELS, value, heard.quality, heard.reason, heard.age)


def share(basis: Basis, block) -> np.ndarray:
    at = [rule.cause for rule in basis.rules].index("holding")
    return block.assessment.value[:, at]


def held_of(memory: Memory) -> Held:
    assert memory.held is not None
    return memory.held


def test_it_is_worked_out_at_every_full_minute_and_stands_in_between(basis: Basis) -> None:
    heard = going(200)
    _, block = advance(basis, Memory.at_start(basis.stay), heard)
    holds = heard.value[:, CHANNELS.index("wind_speed")] / share(basis, block)
    steps = np.flatnonzero(np.abs(np.diff(holds)) > 1e-9) + 1
    assert steps.tolist() == [row for row in range(1, 200) if (START + row) % ANEW_S == 0.0]


def least_within(power: HoldingPower, come_from: float, within: float = 15.0) -> float:
    """What the polar says of every direction so near, one by one."""
    away = np.abs((power.from_deg - come_from + 180.0) % 360.0 - 180.0)
    return float(power.holds_ms[away <= within + 1e-9].min())


def polar_at(basis: Basis, block, row: int) -> HoldingPower:
    then = block.situation.at(np.array([row]))
    return holding_power(basis.arrangement, then, block.hold.lines.unstretched_m[row], basis.criteria)


def test_it_is_the_least_of_the_polar_within_15_degrees(basis: Basis) -> None:
    heard = going(90)
    memory, block = advance(basis, Memory.at_start(basis.stay), heard)
    come_from = float(block.situation.wind_from[89])
    expected = least_within(polar_at(basis, block, 60), come_from)
    assert held_of(memory).holds_ms == pytest.approx(expected, abs=WITHIN_MS)
    assert held_of(memory).weak.holds_ms == held_of(memory).holds_ms


def test_a_shift_counts_in_the_very_cycle_in_which_it_is_read(basis: Basis) -> None:
    heard = turned(going(120), 75, 200.0)
    _, block = advance(basis, Memory.at_start(basis.stay), heard)
    holds = heard.value[:, CHANNELS.index("wind_speed")] / share(basis, block)
    polar = polar_at(basis, block, 60)
    for row in (74, 75):
        expected = least_within(polar, float(block.situation.wind_from[row]))
        assert holds[row] == pytest.approx(expected, abs=WITHIN_MS)
    assert abs(holds[75] - holds[74]) > 0.2


def test_it_is_anew_when_tide_draught_or_heel_has_moved_by_five_centimetres(basis: Basis) -> None:
    for channel, step in (("tide", 0.049), ("tide", 0.051), ("draught_fwd", 0.051), ("draught_aft", -0.051)):
        heard = going(50, 0.0, 0.0)
        heard.value[10:, CHANNELS.index(channel)] += step
        _, block = advance(basis, Memory.at_start(basis.stay), heard)
        assert (np.diff(share(basis, block))[9] != 0.0) == (abs(step) >= 0.05)
        assert not np.delete(np.diff(share(basis, block)), 9).any()


def test_a_gust_warns_at_most(basis: Basis) -> None:
    """0.87 of it is held against the limits (US Navy, UFC 4-159-03); 46 m/s are over all of them."""
    heard = going(90, 0.0, 0.0)
    gusts = Readings(
        heard.time,
        (*CHANNELS, "wind_gust"),
        np.column_stack((heard.value, np.full(90, 46.0))),
        np.column_stack((heard.quality, heard.quality[:, 0])),
        np.column_stack((heard.reason, heard.reason[:, 0])),
        np.column_stack((heard.age, heard.age[:, 0])),
    )
    memory, block = advance(basis, Memory.at_start(basis.stay), gusts)
    at = [rule.cause for rule in basis.rules].index("holding")
    assert set(block.assessment.level[:, at].tolist()) == {Stage.WARNING}
    assert block.assessment.value[-1, at] == pytest.approx(0.87 * 46.0 / held_of(memory).holds_ms)
    alert = memory.watchlist.alerts["holding", ""]
    assert alert.stage is Stage.WARNING
    assert "gusts 89 kn, ship off place from" in alert.text


@pytest.mark.slow
@settings(max_examples=8)
@given(st.lists(st.integers(1, 239), max_size=6))
def test_however_the_time_is_cut(basis: Basis, cuts: list[int]) -> None:
    heard = turned(lost(going(240, 8.0), "wind_from", slice(100, 110)), 170, 140.0)
    _, whole = advance(basis, Memory.at_start(basis.stay), heard)
    memory, parts = Memory.at_start(basis.stay), []
    for start, stop in pairwise(sorted({0, *cuts, 240})):
        memory, block = advance(basis, memory, heard.rows(start, stop))
        parts.append(share(basis, block))
    np.testing.assert_array_equal(np.concatenate(parts), share(basis, whole))


def test_a_figure_that_rests_on_what_is_lost_does_not_stand(basis: Basis) -> None:
    heard = lost(going(60), "tide", slice(20, 40))
    _, block = advance(basis, Memory.at_start(basis.stay), heard)
    unknown = np.isnan(share(basis, block))
    assert np.flatnonzero(unknown).tolist() == list(range(20, 40))


def test_a_wind_from_nobody_knows_where_may_come_from_the_weakest_direction(basis: Basis) -> None:
    heard = lost(going(60), "wind_from", slice(20, 60))
    memory, block = advance(basis, Memory.at_start(basis.stay), heard)
    weakest = float(polar_at(basis, block, 0).holds_ms.min())
    wind = heard.value[:, CHANNELS.index("wind_speed")]
    np.testing.assert_allclose(wind[20:] / share(basis, block)[20:], weakest, atol=WITHIN_MS)
    assert held_of(memory).weak.from_deg is not None


def test_a_line_that_is_tended_makes_it_anew_at_once(basis: Basis) -> None:
    memory, _ = advance(basis, Memory.at_start(basis.stay), going(10))
    before = held_of(memory).holds_ms
    heard = readings(1, start=START + 10.0)
    memory, _ = advance(basis, memory, heard, [TendLine("2", paid_out=0.40)])
    assert held_of(memory).holds_ms != before
    assert held_of(memory).lengths is not None
    np.testing.assert_array_equal(held_of(memory).lengths, memory.lengths.unstretched)


def test_the_polar_is_that_of_the_same_instant_and_worked_out_once(basis: Basis) -> None:
    memory, block = advance(basis, Memory.at_start(basis.stay), going(100))
    last = LastPolar(basis)
    polar, text = last.of(memory.held, 0.0)
    assert polar is not None
    assert polar.time == START + 60.0
    then = block.situation.at(np.array([60]))
    expected = holding_power(basis.arrangement, then, block.hold.lines.unstretched_m[60], basis.criteria)
    np.testing.assert_array_equal(polar.holds_ms, expected.holds_ms)
    memory, _ = advance(basis, memory, readings(1, start=START + 100.0))
    assert last.of(memory.held, 0.0)[0] is polar
    assert "(weakest from" in text


def test_a_memory_that_is_read_anew_each_second_gives_the_very_polar_of_before(basis: Basis) -> None:
    """A second console reads the memory from the record: what says the same is not worked out again."""
    memory, _ = advance(basis, Memory.at_start(basis.stay), going(100))
    last = LastPolar(basis)
    polar, _ = last.of(memory.held, 0.0)
    who = last.who(memory.held, None)
    assert who
    again = from_text(Memory, to_text(memory))
    assert again.held is not memory.held
    assert last.of(again.held, 0.0)[0] is polar
    assert last.who(again.held, None) is who
    assert again.held is not None
    assert again.held.lengths is not None
    longer = replace(again.held, lengths=again.held.lengths + 0.3)
    assert last.of(longer, 0.0)[0] is not polar
    assert last.who(longer, None) is not who


def test_the_figure_from_the_wind_lies_between_those_of_the_polar_beside_it(basis: Basis) -> None:
    memory, block = advance(basis, Memory.at_start(basis.stay), readings(30, wind=(6.0, 342.0)))
    polar, _ = LastPolar(basis).of(memory.held, 0.0)
    assert polar is not None
    beside = polar.holds_ms[[68, 69]]
    assert beside.min() - 0.2 <= held_of(memory).holds_ms <= beside.max() + 0.2
    assert share(basis, block)[-1] == pytest.approx(6.0 / held_of(memory).holds_ms)


def test_what_it_rests_on_is_remembered_over_a_restart_and_old_records_begin_anew(basis: Basis) -> None:
    heard = going(120)
    memory, _ = advance(basis, Memory.at_start(basis.stay), heard.rows(0, 70))
    _, whole = advance(basis, memory, heard.rows(70, 120))
    again = from_text(Memory, to_text(memory))
    _, resumed = advance(basis, again, heard.rows(70, 120))
    np.testing.assert_array_equal(share(basis, resumed), share(basis, whole))
    old = from_text(Held, '{"period":29540401,"holds_ms":21.5}')
    assert (old.situation, LastPolar(basis).of(old, 0.0)) == (None, (None, ""))


def test_rope_that_runs_out_bit_by_bit_counts_by_five_centimetres(basis: Basis) -> None:
    """0.01 m a second from the tenth second on: anew at the fourteenth, and every five seconds from there."""
    _, block = advance(basis, Memory.at_start(basis.stay), readings(60))
    lengths = block.hold.lines.unstretched_m + 0.01 * np.maximum(np.arange(60) - 9, 0)[:, None]
    states = replace(block.hold, lines=replace(block.hold.lines, unstretched_m=lengths))
    now = holding_now(basis.arrangement, basis.criteria, block.situation, states, None)
    assert now.share is not None
    steps = np.flatnonzero(np.diff(now.share) != 0.0) + 1
    assert steps.tolist() == list(range(14, 60, 5))
    assert now.last is not None
    assert now.last.lengths is not None
    np.testing.assert_array_equal(now.last.lengths, lengths[59])
