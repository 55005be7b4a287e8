"""Blocks of cycles: cut as one likes, the same comes out; what the watch does takes effect."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from alongside.actions import Acknowledge, Note, Silence, TendLine
from alongside.alerts.assess import assess
from alongside.alerts.text import alert_text
from alongside.cycle.advance import advance, advance_guarded
from alongside.cycle.alerting import findings_of
from alongside.cycle.block import Block
from alongside.cycle.facts_now import watchlist_now
from alongside.cycle.guard import Guard
from alongside.cycle.memory import Memory
from alongside.forecast.basis import Basis
from alongside.mechanics.reasons import NoAnswer
from alongside.readings import Quality, Readings, Reason
from alongside.reports.json_lines import event_line, state_lines
from alongside.stay.stage import Stage
from tests.berth import START, a_stay

CHANNELS = ("tide", "draught_fwd", "draught_aft")


@pytest.fixture(scope="module")
def basis(tmp_path_factory: pytest.TempPathFactory) -> Basis:
    return Basis.of(a_stay(tmp_path_factory.mktemp("stay")))


def readings_of(tide: np.ndarray, start: float = START) -> Readings:
    """Readings of a tide with steady draughts; lost where the tide is NaN."""
    n = tide.size
    value = np.column_stack([tide, np.full(n, 4.0), np.full(n, 4.5)])
    lost = np.isnan(value)
    quality = np.where(lost, Quality.LOST, Quality.GOOD).astype(np.int8)
    reason = np.where(lost, Reason.SILENT, Reason.NONE).astype(np.int8)
    return Readings(start + np.arange(n), CHANNELS, value, quality, reason, np.where(lost, 301.0, 0.0))


def played(basis: Basis, readings: Readings, cuts: list[int]) -> tuple[Memory, list[str], list[str]]:
    memory = Memory.at_start(basis.stay)
    states: list[str] = []
    events: list[str] = []
    for start, stop in pairwise([0, *sorted(cuts), len(readings)]):
        if stop > start:
            memory, block = advance(basis, memory, readings.rows(start, stop))
            states += state_lines(basis, block, range(stop - start))
            events += map(event_line, block.events)
    return memory, states, events


@pytest.mark.slow
@settings(deadline=None, max_examples=12)
@given(
    st.lists(st.tuples(st.floats(0.0, 5.0), st.integers(5, 120)), min_size=2, max_size=8),
    st.lists(st.integers(1, 600), max_size=12),
    st.booleans(),
)
@example([(0.0, 5), (2.0, 5)], [], False)  # metres off within a minute
def test_how_blocks_are_cut_makes_no_difference(
    basis: Basis, course: list[tuple[float, int]], cuts: list[int], drops_out: bool
) -> None:
    corners = np.cumsum([seconds for _, seconds in course])
    tide = np.interp(np.arange(corners[-1]), corners, [level for level, _ in course])
    if drops_out:
        tide[tide.size // 3 : tide.size // 2] = np.nan
    readings = readings_of(tide)
    inside = [cut for cut in cuts if cut < len(readings)]
    one_by_one = list(range(1, len(readings)))
    whole = played(basis, readings, [])
    assert played(basis, readings, inside)[1:] == whole[1:]
    assert played(basis, readings, one_by_one)[1:] == whole[1:]


def first_block(basis: Basis, tide: float = 2.0) -> tuple[Memory, Block]:
    return advance(basis, Memory.at_start(basis.stay), readings_of(np.full(5, tide)))


def test_paying_out_takes_effect_at_the_next_cycle(basis: Basis) -> None:
    memory, before = first_block(basis)
    memory, after = advance(
        basis, memory, readings_of(np.full(1, 2.0), START + 5), [TendLine("2", paid_out=0.25, by="TK")]
    )
    change = after.hold.lines.unstretched_m[0] - before.hold.lines.unstretched_m[-1]
    np.testing.assert_allclose(change, [0.0, 0.25, 0.0], atol=1e-9)
    assert after.hold.lines.tension_kn[0, 1] < before.hold.lines.tension_kn[-1, 1]
    told = [event for event in after.events if event.event == "tended"]
    assert [(event.line, event.value) for event in told] == [("2", pytest.approx(0.25))]
    assert "TK" in told[0].text


def test_heaving_to_a_tension_reaches_it(basis: Basis) -> None:
    memory, _ = first_block(basis)
    _, after = advance(
        basis, memory, readings_of(np.full(1, 2.4), START + 5), [TendLine("3", to_tension_kn=33.0)]
    )
    assert after.hold.lines.tension_kn[0, 2] == pytest.approx(33.0, abs=1e-6)


@pytest.mark.parametrize("action", [TendLine("9", paid_out=1.0), TendLine("2", paid_out=-500.0)])
def test_a_tending_that_cannot_be_changes_nothing_and_is_told(basis: Basis, action: TendLine) -> None:
    memory, _ = first_block(basis)
    after_memory, after = advance(basis, memory, readings_of(np.full(1, 2.0), START + 5), [action])
    np.testing.assert_array_equal(after_memory.lengths.unstretched, memory.lengths.unstretched)
    assert any(event.event == "note" and "not tended" in event.text for event in after.events)


def test_acknowledge_silence_and_note(basis: Basis) -> None:
    memory, _ = first_block(basis)
    rising = np.interp(np.arange(900), [0, 600], [2.0, 4.2])
    memory, block = advance(basis, memory, readings_of(rising, START + 5))
    alert = next(a for a in memory.watchlist.alerts.values() if a.owed)
    actions = [
        Silence(),
        Acknowledge(alert.cause, alert.subject, by="TK"),
        Note("[/] slacked by hand", by="TK"),
    ]
    memory, block = advance(basis, memory, readings_of(np.full(1, 4.2), START + 905), actions)
    assert {"silenced", "acknowledged", "note"} <= {event.event for event in block.events}
    assert not memory.watchlist.alerts[alert.key].owed
    assert any(event.text == "[/] slacked by hand (TK)" for event in block.events)


def test_an_alarm_made_by_waiting_goes_on_with_the_line(basis: Basis) -> None:
    """Its figures are those of now, and when the value itself passes the alarm limit that is told."""
    memory, _ = first_block(basis)
    up = np.interp(np.arange(600), [0, 300], [2.0, 3.25])
    memory, block = advance(basis, memory, readings_of(up, START + 5))
    assert [e.event for e in block.events if e.alert == "stretch" and e.line == "2"][-1] == "escalated"
    (shown,) = [
        a
        for a in watchlist_now(basis, memory, block, Guard(strict=True)).alerts.values()
        if a.key == ("stretch", "2")
    ]
    share = block.hold.lines.stretch_share[-1, 1]
    assert shown.value == pytest.approx(share)
    assert f"{share:.0%}".rstrip("%") in shown.text
    assert "; not acknowledged since " in shown.text
    higher = np.interp(np.arange(300), [0, 200], [3.25, 3.6])
    memory, block = advance(basis, memory, readings_of(higher, START + 605))
    worsened = [e for e in block.events if e.event == "worsened" and e.alert == "stretch" and e.line == "2"]
    assert [e.stage for e in worsened] == [Stage.ALARM]
    assert worsened[0].limit == 1.0


def test_a_fault_in_the_calculation_becomes_an_alert_and_the_watch_goes_on(
    basis: Basis, monkeypatch: pytest.MonkeyPatch
) -> None:
    memory, _ = first_block(basis)

    def broken(*_arguments: object) -> None:
        raise ZeroDivisionError("planted")

    with monkeypatch.context() as patched:
        patched.setattr("alongside.cycle.brakes.two_states.hold", broken)
        with pytest.raises(ZeroDivisionError):
            advance(basis, memory, readings_of(np.full(1, 2.0), START + 5))
        memory, block = advance_guarded(basis, memory, readings_of(np.full(60, 2.0), START + 5))
        assert "planted" in block.fault
        assert np.isnan(block.hold.lines.tension_kn).all()
        assert ("calculation", "") in memory.watchlist.alerts
    memory, block = advance_guarded(basis, memory, readings_of(np.full(200, 2.0), START + 65))
    assert not block.fault
    assert not np.isnan(block.hold.lines.tension_kn).any()
    assert any(e.event in ("rectified", "cleared") and e.alert == "calculation" for e in block.events)


@pytest.mark.parametrize(
    ("reason", "stage", "says"),
    [
        (NoAnswer.NOTHING_HOLDS, Stage.ALARM, "nothing holds the ship"),
        (NoAnswer.NOT_BALANCED, Stage.ALARM, "No balance of forces found"),
        (NoAnswer.TIDE_UNKNOWN, Stage.NORMAL, "works again"),
    ],
)
def test_an_instant_without_balance_is_an_alert_and_a_lost_gauge_is_not(
    basis: Basis, reason: NoAnswer, stage: Stage, says: str
) -> None:
    _, block = first_block(basis)
    states = replace(block.hold, reason=np.full(5, reason, dtype=np.int8))
    findings = findings_of(basis, block.readings, block.situation, states)
    assessment = assess(basis.rules, findings)
    at = [rule.cause for rule in basis.rules].index("calculation")
    assert assessment.level[0, at] == stage
    assert says in alert_text(basis.stay, basis.rules[at], stage, float(assessment.value[0, at]))
