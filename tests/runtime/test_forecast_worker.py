"""Beside a watch forecasts come without a cycle waiting; rounds never outlive their lengths."""

import json
import re
import threading
from dataclasses import replace
from math import inf

import numpy as np
import pytest

import alongside.runtime.forecast_worker
from alongside.actions import TendLine
from alongside.alerts.assess import line_levels
from alongside.alerts.rule_model import NextLimit
from alongside.alerts.rules import rules_of
from alongside.alerts.text import ahead_text
from alongside.cli.headless import replay_headless
from alongside.cycle.advance import advance
from alongside.cycle.block import Circumstances
from alongside.cycle.memory import Memory
from alongside.forecast.basis import Basis
from alongside.forecast.next_limit import next_limits_of
from alongside.runtime.forecast_worker import ANEW, ForecastWorker
from alongside.runtime.picture_maker import PictureMaker
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from tests.berth import START, gauges
from tests.forecast.scene import looked, stay_ahead
from tests.forecast.tide.test_stand_in import CHANNELS, readings


@pytest.fixture
def stay(tmp_path):
    return stay_ahead(tmp_path, members=6, hours=4.0)


class Desk:
    """A keeper fed by hand, second by second."""

    def __init__(self, stay):
        self.basis = Basis.of(stay, ahead=True)
        self.keeper = PictureMaker(self.basis, CHANNELS)
        self.memory = Memory.at_start(stay)
        self.read = readings(stay, heard_s=4000, silent_s=0)
        self.at = 0

    def cycles(self, count, actions=()):
        rows = self.read.rows(self.at, self.at + count)
        soon = self.keeper.forecasts.next_limits
        self.memory, block = advance(self.basis, self.memory, rows, actions, Circumstances(next_limits=soon))
        self.keeper.add(block)
        self.at += count
        return self.keeper.picture(self.memory, ())


def test_a_forecast_comes_into_the_picture(stay):
    desk = Desk(stay)
    assert desk.cycles(60).forecast is None
    desk.keeper.forecasts.wait(30.0)
    forecast = desk.cycles(1).forecast
    assert forecast.time == START + 59.0
    assert forecast.lines == ("1", "2", "3")


def test_no_cycle_waits_for_it(stay, monkeypatch):
    begun, may_end = threading.Event(), threading.Event()
    real = alongside.runtime.forecast_worker.look_ahead

    def held_up(*arguments, **named):
        begun.set()
        may_end.wait(30.0)
        return real(*arguments, **named)

    monkeypatch.setattr(alongside.runtime.forecast_worker, "look_ahead", held_up)
    desk = Desk(stay)
    desk.cycles(60)
    assert begun.wait(30.0)
    for _ in range(50):  # all this while it is being worked out
        assert desk.cycles(1).forecast is None
    may_end.set()
    desk.keeper.forecasts.wait(30.0)
    assert desk.cycles(1).forecast.time == START + 59.0


def test_a_fault_is_told_once_and_the_watch_goes_on(stay, monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))

    def wrong(*_args, **_kwargs):
        raise RuntimeError("no such forecast")

    monkeypatch.setattr(alongside.runtime.forecast_worker, "look_ahead", wrong)
    desk = Desk(stay)
    desk.cycles(60)
    desk.keeper.forecasts.wait(30.0)
    for _ in range(3):
        picture = desk.cycles(1)
    assert picture.forecast is None
    assert sum("cannot be worked out" in event.text for event in desk.keeper.log) == 1


def test_a_tending_by_hand_is_planned_anew_at_once(stay):
    desk = Desk(stay)
    desk.cycles(60)
    desk.keeper.forecasts.wait(30.0)
    before = desk.cycles(1).forecast
    tended = desk.cycles(1, [TendLine("2", paid_out=0.30)])
    assert tended.forecast.tending.rounds == ()
    assert ANEW in tended.forecast.notes
    desk.keeper.forecasts.wait(30.0)
    after = desk.cycles(1).forecast
    assert after.time == START + 61.0
    assert ANEW not in after.notes
    assert after.stretch_share[0, 1] < before.stretch_share[0, 1]


def test_going_back_in_a_replay_shows_no_forecast_from_later(stay):
    worker = ForecastWorker(Basis.of(stay))
    worker.forecast = looked(stay, hours=1.0, members=3)
    desk = Desk(stay)
    desk.cycles(10)
    block = replace_time(desk, -3600.0)
    assert worker.look(block, desk.memory, desk.keeper.past.history()) is None


def replace_time(desk, shift):
    _, block = advance(desk.basis, desk.memory, desk.read.rows(10, 11))
    return replace(block, situation=replace(block.situation, time=block.situation.time + shift))


# --- the caution `ahead`


def soon(minutes, subject="2", stage=Stage.WARNING):
    return NextLimit(subject, "stretch", subject, stage, START + 60.0 * minutes)


def test_a_limit_within_the_hour_is_a_caution_that_names_line_and_time(stay):
    desk = Desk(stay)
    desk.keeper.forecasts.next_limits = (soon(45.0),)
    desk.cycles(120)
    alert = desk.memory.watchlist.alerts["ahead", "2"]
    assert alert.stage is Stage.CAUTION
    assert alert.line == "2"
    assert alert.text == "Line 2 stretch: warning expected 04:45"
    assert desk.memory.watchlist.alerts.get(("ahead", "1")) is None


def test_a_limit_beyond_the_time_set_is_none(stay):
    desk = Desk(replace(stay, outlook=replace(stay.outlook, soon_min=30.0)))
    desk.keeper.forecasts.next_limits = (soon(45.0),)
    desk.cycles(120)
    assert ("ahead", "2") not in desk.memory.watchlist.alerts


def test_what_is_expected_does_not_colour_the_line_now(stay):
    basis = Basis.of(stay, ahead=True)
    _, block = advance(
        basis,
        Memory.at_start(stay),
        readings(stay).rows(0, 5),
        around=Circumstances(next_limits=(soon(10.0),)),
    )
    at = [rule.key for rule in basis.rules].index(("ahead", "2"))
    assert block.assessment.level[-1, at] == Stage.CAUTION
    without = tuple(rule for rule in basis.rules if rule.cause != "ahead")
    assert len(without) == len(rules_of(stay))
    levels = line_levels(block.assessment, ("2",))
    others = [k for k, rule in enumerate(basis.rules) if rule.line == "2" and rule.cause != "ahead"]
    assert levels[-1, 0] == block.assessment.level[-1, others].max()


def test_without_a_forecast_soon_is_not_known(stay):
    basis = Basis.of(stay, ahead=True)
    _, block = advance(basis, Memory.at_start(stay), readings(stay).rows(0, 5))
    columns = [k for k, rule in enumerate(basis.rules) if rule.cause == "ahead"]
    assert np.isnan(block.assessment.value[:, columns]).all()


def test_words_of_a_limit_that_has_gone(stay):
    rule = next(rule for rule in rules_of(stay, ahead=True) if rule.key == ("ahead", "2"))
    assert (
        ahead_text(Display(), rule, Stage.NORMAL, 90.0, (soon(90.0),)) == "Line 2: no further limit expected"
    )
    assert (
        ahead_text(Display(), rule, Stage.CAUTION, 0.0, (soon(0.0),))
        == "Line 2 stretch: warning expected now"
    )
    past = ahead_text(Display(), rule, Stage.CAUTION, inf, (soon(0.0),))
    assert re.fullmatch(r"Line 2 stretch: warning expected \d\d:\d\d is reached or past", past)


def test_headless_with_a_forecast_gives_the_same_bytes_each_time(stay, tmp_path):
    log = tmp_path / "feed.log"
    level = readings(stay, heard_s=1500, silent_s=0).value[:, 0]
    log.write_bytes(b"".join(gauges(START + s, float(level[s])) for s in range(0, 1500, 5)))
    told = []
    for run in range(2):
        events = tmp_path / f"events{run}"
        replay_headless(stay, log, events=events, ahead=True)
        told.append(events.read_bytes())
    assert told[0] == told[1]
    soons = [json.loads(line) for line in told[0].splitlines() if b'"ahead"' in line]
    assert all(event["stage"] == "caution" for event in soons)
    assert next_limits_of(looked(stay))
