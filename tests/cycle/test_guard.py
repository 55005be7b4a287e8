"""A fault of ours in one part of the cycle leaves only what that part gives unknown: the watch goes on,
rings, and keeps its other alerts."""

import sys
from collections.abc import Sequence
from dataclasses import replace
from math import nan
from pathlib import Path
from random import Random

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from alongside.alerts.event_text import Describe
from alongside.alerts.gear_text import expected_text
from alongside.alerts.model import Event, Onset, Standing
from alongside.alerts.text import Facts, describe
from alongside.cycle.advance import advance, advance_guarded
from alongside.cycle.memory import Memory
from alongside.cycle.picture_of import no_advice
from alongside.forecast.basis import Basis
from alongside.readings import Quality, Readings, Reason
from alongside.stay.stage import Stage
from tests.berth import START, STAY_TEXT, a_stay
from tests.record.kept import Watch
from tests.screens.invented import alert

TABLE = """\
tide:
  high_low:
    - [2026-03-02T01:00:00Z, 1.0]
    - [2026-03-02T07:00:00Z, 4.0]
    - [2026-03-02T13:00:00Z, 1.0]
    - [2026-03-02T19:00:00Z, 4.0]
"""
WITH_TIDE = STAY_TEXT + TABLE


def planted(*_arguments: object, **_named: object) -> None:
    raise KeyError("planted")


def plain(basis: Basis, tide: float, n: int = 30, start: float = START) -> Readings:
    channels = ("tide", "draught_fwd", "draught_aft")
    value = np.tile([tide, 4.0, 4.5], (n, 1))
    codes = np.zeros(value.shape, dtype=np.int8)
    return Readings(start + np.arange(n, dtype=float), channels, value, codes, codes, np.zeros(value.shape))


@pytest.fixture
def basis(tmp_path: Path) -> Basis:
    return Basis.of(a_stay(tmp_path, WITH_TIDE))


@pytest.mark.parametrize(
    ("part", "lines_known", "calculation"),
    [
        ("alongside.cycle.mooring.believed", True, True),
        ("alongside.cycle.mooring.situation_of", False, True),
        ("alongside.cycle.brakes.two_states.hold", False, True),
        ("alongside.cycle.advance.findings_of", True, True),
        ("alongside.cycle.advance.feed_events", True, False),
        ("alongside.cycle.guard.describe", True, False),
        ("alongside.alerts.text.feed_text", True, False),
        ("alongside.alerts.text.alert_text", True, False),
    ],
)
def test_a_fault_in_one_part_leaves_the_others(
    basis: Basis, monkeypatch: pytest.MonkeyPatch, part: str, lines_known: bool, calculation: bool
) -> None:
    memory, _ = advance(basis, Memory.at_start(basis.stay), plain(basis, 2.0))
    monkeypatch.setattr(part, planted)
    memory, block = advance_guarded(basis, memory, plain(basis, 3.7, 30, START + 40))
    assert np.isnan(block.hold.lines.tension_kn).all() != lines_known
    alerts = memory.watchlist.alerts
    assert (("calculation", "") in alerts) == calculation
    if lines_known and "findings" not in part:
        assert alerts["stretch", "2"].stage is Stage.ALARM, "the other alerts are raised as ever"
        assert alerts["stretch", "2"].standing is Standing.UNACKNOWLEDGED


def test_a_text_that_fails_is_a_plain_one(basis: Basis, monkeypatch: pytest.MonkeyPatch) -> None:
    memory, _ = advance(basis, Memory.at_start(basis.stay), plain(basis, 2.0))
    monkeypatch.setattr("alongside.alerts.text.alert_text", planted)
    memory, block = advance_guarded(basis, memory, plain(basis, 3.7, 30, START + 40))
    (raised, *_) = [e for e in block.events if e.alert == "stretch" and e.line == "2"]
    assert raised.text.startswith("Line 2 stretch 1")
    assert "planted" in block.fault


@pytest.mark.parametrize("cause", ["steep", "stretch", "slack", "under_keel"])
def test_a_cause_that_fails_leaves_the_others(
    basis: Basis, monkeypatch: pytest.MonkeyPatch, cause: str
) -> None:
    module = sys.modules["alongside.alerts.assess"]
    broken = {**module._RULE_SET, cause: replace(module._RULE_SET[cause], measure=planted)}
    monkeypatch.setattr(module, "_RULE_SET", broken)
    _, block = advance_guarded(basis, Memory.at_start(basis.stay), plain(basis, 2.0))
    known = {rule.cause: k for k, rule in enumerate(basis.rules)}
    assert not block.assessment.known[:, known[cause]].any()
    for other in {"steep", "stretch", "slack", "under_keel"} - {cause}:
        assert block.assessment.known[:, known[other]].all()
    assert any(e.alert == "calculation" and e.stage is Stage.ALARM for e in block.events)


def course(seconds: int) -> Readings:
    """A fast flood with a pause of the tide gauge, so that alerts rise, worsen, suspend and clear."""
    time = START + np.arange(seconds, dtype=float)
    tide = 2.0 + 1.7 * np.sin((time - START) / 250.0)
    value = np.column_stack([tide, np.full(seconds, 4.0), np.full(seconds, 4.5)])
    lost = np.zeros(value.shape, dtype=bool)
    lost[seconds // 2 : seconds // 2 + 40, 0] = True
    value[lost] = nan
    quality = np.where(lost, Quality.LOST, Quality.GOOD).astype(np.int8)
    reason = np.where(lost, Reason.SILENT, Reason.NONE).astype(np.int8)
    channels = ("tide", "draught_fwd", "draught_aft")
    return Readings(time, channels, value, quality, reason, np.zeros(value.shape))


def without_texts(memory: Memory, events: Sequence[Event]) -> tuple[object, ...]:
    alerts = {key: replace(alert, text="") for key, alert in memory.watchlist.alerts.items()}
    return replace(memory.watchlist, alerts=alerts), tuple(replace(event, text="") for event in events)


@pytest.mark.slow
@given(st.randoms(use_true_random=False), st.floats(0.1, 1.0))
@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_texts_that_fail_at_random_change_no_stage_time_or_event(
    basis: Basis, random: Random, share: float
) -> None:
    def maybe(facts: Facts) -> Describe:
        def words(k: int, stage: Stage, onset: Onset) -> str:
            if random.random() < share:
                raise ValueError("planted")
            return describe(facts)(k, stage, onset)

        return words

    heard = course(700)
    memory, block = advance(basis, Memory.at_start(basis.stay), heard)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("alongside.cycle.guard.describe", maybe)
        patch.setattr("alongside.alerts.hearing.channel_words", planted)
        guarded_memory, guarded = advance_guarded(basis, Memory.at_start(basis.stay), heard)
    assert "planted" in guarded.fault
    assert without_texts(guarded_memory, guarded.events) == without_texts(memory, block.events)
    assert all(event.text for event in guarded.events)
    assert {"raised", "feed_lost", "feed_back"} <= {event.event for event in guarded.events}


@pytest.mark.parametrize(
    "part",
    [
        "alongside.cycle.picture_of.advise",
        "alongside.runtime.picture_maker.LastPolar.of",
        "alongside.runtime.picture_maker.ForecastWorker.look",
    ],
)
def test_a_picture_comes_although_a_part_of_it_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, part: str
) -> None:
    watch = Watch(a_stay(tmp_path, WITH_TIDE), None)
    monkeypatch.setattr(part, planted)
    watch.run(3)
    assert len(watch.pictures) == 3
    if part.endswith("advise"):
        assert watch.last.advice.large == "CHECK LINES"
        assert watch.last.advice.stage >= Stage.CAUTION, "never normal, though no alert stands"


def test_advice_that_failed_is_never_normal() -> None:
    assert no_advice(()).stage is Stage.CAUTION
    cleared = alert("stretch", "4", Stage.ALARM, "Line 4 stretch 88 %", standing=Standing.RECTIFIED)
    assert no_advice([cleared]).stage is Stage.CAUTION
    assert no_advice([cleared, replace(cleared, standing=Standing.ACKNOWLEDGED)]).stage is Stage.ALARM


def test_a_watch_whose_tide_is_silent_since_its_start_goes_on(tmp_path: Path) -> None:
    """The tide was heard before a restart, so that its residual is remembered, and never after it."""
    stay = a_stay(tmp_path, WITH_TIDE)
    basis = Basis.of(stay)
    readings = plain(basis, nan)
    lost = np.array([Quality.LOST, 0, 0], dtype=np.int8) * np.ones((30, 1), dtype=np.int8)
    waiting = np.where(lost == Quality.LOST, np.int8(Reason.WAITING), np.int8(0)).astype(np.int8)
    age = np.where(lost == Quality.LOST, nan, 0.0)
    silent = replace(readings, quality=lost, reason=waiting, age=age)
    before = replace(Memory.at_start(stay), residuals=((START - 600.0, 0.1),))
    _, block = advance(basis, before, silent)
    assert block.situation.tide[-1] == pytest.approx(2.5, abs=0.3), "the table serves"
    words = expected_text(block.readings, len(block.readings) - 1, [0], stay.display)
    assert "not heard yet" in words
    assert "since" not in words
    assert not np.isnan(block.hold.lines.tension_kn[:, 1]).any()
