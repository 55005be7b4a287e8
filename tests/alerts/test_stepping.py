"""Stepping only where something changes or is due gives what stepping every second gives."""

from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.actions import Acknowledge, Action, Silence
from alongside.alerts.assess import changed_rows
from alongside.alerts.event_text import worded
from alongside.alerts.model import Event, Standing, Watchlist
from alongside.alerts.rule_model import AssessedInstant, Assessment, Rule
from alongside.alerts.step import next_due, step
from alongside.stay.stage import Stage
from tests.alerts.bridge import LIMITS, START, rule

RULES = (rule("stretch", "1"), rule("steep", "1"), rule("feed", "gauges", slow=False), rule("load", "2"))
LENGTHS = st.one_of(st.integers(1, 25), st.integers(1, 25), st.integers(40, 400))
STATE = st.sampled_from([(0, 0), (0, 1), (1, 1), (1, 2), (2, 2), (2, 3), (3, 3), (0, -1)])
"""(level, keep); keep -1: not known."""


@st.composite
def column(draw: st.DrawFn, n: int) -> list[tuple[int, int]]:
    rows: list[tuple[int, int]] = []
    while len(rows) < n:
        rows += [draw(STATE)] * draw(LENGTHS)
    return rows[:n]


@st.composite
def passage(draw: st.DrawFn) -> tuple[Assessment, dict[int, Action]]:
    n = draw(st.integers(50, 900))
    table = np.array([draw(column(n)) for _ in RULES])
    level = table[:, :, 0].T.astype(np.int8)
    keep = table[:, :, 1].T.astype(np.int8)
    value = np.where(keep < 0, np.nan, level / 4.0)
    keep = np.maximum(keep, level)
    acts = st.one_of(st.just(Silence()), st.sampled_from([Acknowledge(*one.key) for one in RULES]))
    actions = draw(st.dictionaries(st.integers(0, n - 1), acts, max_size=6))
    times = START + np.arange(n, dtype=np.float64)
    return Assessment(times, RULES, value, level, keep), actions


def stepped(
    assessment: Assessment, actions: dict[int, Action], every: bool
) -> tuple[Watchlist, list[Event], int]:
    """Final watchlist, events, and how many steps it took."""
    watch, events, row, steps = Watchlist(), [], 0, 0
    n = assessment.time.size
    stops = sorted({*changed_rows(assessment).tolist(), *actions, n})
    while row < n:
        now = float(assessment.time[row])
        acts: Sequence[Action] = (actions[row],) if row in actions else ()
        watch, changes = step(watch, assessment.at(row), acts)
        watch, new = worded(watch, changes, lambda k, stage, _onset: f"{k} {stage.word}")
        events += new
        steps += 1
        due = int(np.searchsorted(assessment.time, next_due(watch, now)))
        nearest = next(stop for stop in stops if stop > row)
        row = row + 1 if every else min(nearest, max(due, row + 1))
    return watch, events, steps


@pytest.mark.slow
@settings(max_examples=150, deadline=None)
@given(passage())
def test_stepping_where_something_happens_equals_stepping_every_second(
    case: tuple[Assessment, dict[int, Action]],
) -> None:
    watch, events, _ = stepped(*case, every=True)
    leaping, told, _ = stepped(*case, every=False)
    assert told == events
    assert leaping == watch


@pytest.mark.slow
@settings(max_examples=100, deadline=None)
@given(passage())
def test_every_alert_is_told_in_a_sequence_that_makes_sense(
    case: tuple[Assessment, dict[int, Action]],
) -> None:
    """Replaying the events gives the stages that stand: the record alone proves what was known."""
    watch, events, _ = stepped(*case, every=False)
    stages: dict[tuple[str | None, str | None], Stage] = {}
    waited_for: set[tuple[str | None, str | None]] = set()
    for event in events:
        key = (event.alert, event.subject)
        if event.event in ("raised", "worsened"):
            assert event.value is not None
            assert event.stage is not None
            assert event.value >= event.stage / 4.0, "a value told of a stage reaches it"
        match event.event:
            case "raised":
                assert stages.get(key, Stage.NORMAL) is Stage.NORMAL
            case "worsened" if key in waited_for:
                assert event.stage is Stage.ALARM, "an alarm made by waiting has become one by its value"
                waited_for.discard(key)
            case "worsened" | "escalated":
                assert event.stage is not None
                assert event.stage > stages[key]
                waited_for |= {key} if event.event == "escalated" else set()
            case "acknowledged":
                waited_for.discard(key)
                continue
            case "eased":
                assert event.stage is not None
                assert event.stage < stages[key]
            case "silenced":
                continue
            case "rectified" | "cleared":
                stages[key] = Stage.NORMAL
                waited_for.discard(key)
                continue
        assert event.stage is not None
        stages[key] = event.stage
    assert {key: stage for key, stage in stages.items() if stage} == {
        key: alert.stage for key, alert in watch.alerts.items() if alert.standing is not Standing.RECTIFIED
    }


@pytest.mark.slow
@settings(max_examples=100, deadline=None)
@given(passage())
def test_an_alarm_that_lasts_is_never_missed_nor_late(case: tuple[Assessment, dict[int, Action]]) -> None:
    assessment, _actions = case
    _, events, _ = stepped(assessment, {}, every=False)
    for k, one in enumerate(assessment.rules):
        run = 0
        for row, level in enumerate(assessment.level[:, k].tolist()):
            run = run + 1 if level == 3 else 0
            if run == 6:
                now = assessment.time[row]
                mine = [e for e in events if (e.alert, e.subject) == one.key and e.time <= now]
                assert last_stage(mine) is Stage.ALARM


def last_stage(events: Sequence[Event]) -> Stage:
    """The stage that the latest of these events left an alert at."""
    telling = [
        e for e in events if e.event in ("raised", "worsened", "eased", "escalated", "cleared", "rectified")
    ]
    if not telling or telling[-1].event in ("cleared", "rectified"):
        return Stage.NORMAL
    assert telling[-1].stage is not None
    return telling[-1].stage


def test_a_quiet_watch_is_due_never() -> None:
    assert next_due(Watchlist(), START) == float("inf")


def test_rules_that_say_nothing_cost_no_memory() -> None:
    quiet = np.zeros(1, dtype=np.int8)
    alone = (Rule("steep", "1", LIMITS),)
    watch, changes = step(Watchlist(), AssessedInstant(START, alone, np.array([0.1]), quiet, quiet))
    assert (watch, changes) == (Watchlist(), ())
