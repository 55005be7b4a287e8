"""What comes soon, told by a replay that looks ahead as it goes: at the desk as without a screen, wherever
the log is cut, and no longer once the line was tended."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.actions import TendLine
from alongside.actions.controls import Pause, Seek
from alongside.cli.headless import replay_headless
from alongside.cycle.forecast_memory import ForecastMemory
from alongside.cycle.memory import Memory
from alongside.cycle.with_forecast import EVERY_S, advance_with_forecast, far_of_caution
from alongside.forecast.basis import Basis
from alongside.forecast.next_limit import next_limits_of
from alongside.record.codec import from_plain, to_plain
from alongside.record.entries import same
from alongside.runtime.log_player import LogSource, Player, with_forecast
from alongside.runtime.picture_maker import PictureMaker
from alongside.runtime.replay import ReplayDesk
from alongside.stay.model import Stay
from alongside.units import iso_time
from tests.berth import START, gauges
from tests.forecast.scene import stay_ahead
from tests.runtime.test_replay import Shown, known

SECONDS = 4000


@pytest.fixture(scope="module")
def stay(tmp_path_factory: pytest.TempPathFactory) -> Stay:
    stay = stay_ahead(tmp_path_factory.mktemp("stay"), members=6, hours=4.0)
    return replace(stay, outlook=replace(stay.outlook, soon_min=120.0))


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An hour of a rising tide, with a gap longer than is watched."""
    path = tmp_path_factory.mktemp("log") / "stay.log"
    heard = [s for s in range(SECONDS) if not 2000 <= s < 3100]
    path.write_bytes(b"".join(gauges(START + s, 2.0 + s * 0.0004) for s in heard))
    return path


def told(player: Player, until: float) -> list[tuple[float, str, str]]:
    return [
        (event.time, event.event, event.text)
        for block in player.play_to(until)
        for event in block.events
        if event.alert == "ahead"
    ]


def test_a_replay_tells_what_comes_soon(stay: Stay, log: Path) -> None:
    player = Player(Basis.of(stay, ahead=True), log, cycle=advance_with_forecast, every=EVERY_S)
    found = told(player, np.inf)
    assert any(kind == "raised" for _, kind, _ in found)
    assert all(" expected " in text for _, kind, text in found if kind == "raised")


@pytest.mark.slow
@pytest.mark.parametrize("step", [7.0, 599.0, 1234.0])
def test_it_sees_the_same_however_it_is_cut(stay: Stay, log: Path, step: float) -> None:
    basis = Basis.of(stay, ahead=True)
    whole = Player(basis, log, cycle=advance_with_forecast, every=EVERY_S)
    expected = told(whole, START + 1800.0)
    parts = Player(basis, log, cycle=advance_with_forecast, every=EVERY_S)
    found = [event for until in np.arange(START, START + 1801.0, step) for event in told(parts, until)]
    found += told(parts, START + 1800.0)
    assert found == expected
    assert [each.time for each in soon(parts.memory)] == pytest.approx(
        [each.time for each in soon(whole.memory)]
    )


@pytest.mark.slow
@pytest.mark.parametrize("at", [START + 599.0, START + 601.0, START + 2890.0, START + 2899.0])
def test_it_sees_the_same_resumed_anywhere(stay: Stay, log: Path, at: float) -> None:
    """In particular just before a gap that was slept through."""
    tape = with_forecast(LogSource(Basis.of(stay, ahead=True), log))
    whole = tape.rewound()
    for _ in whole.play_to(at):
        pass
    assert whole.time is not None
    resumed = tape.resumed(whole.memory, whole.time)
    assert told(resumed, np.inf) == told(whole, np.inf)
    assert resumed.time == whole.time == START + SECONDS - 1


def test_the_desk_tells_what_is_told_without_a_screen(stay: Stay, log: Path, tmp_path: Path) -> None:
    events = tmp_path / "events.jsonl"
    replay_headless(stay, log, events=events, ahead=True)
    written = [json.loads(line) for line in events.read_text().splitlines()]
    times = [event["time"] for event in written if event["alert"] == "ahead"]
    to = START + SECONDS - 1.0
    shown = Shown()
    desk = ReplayDesk(stay, log, start=to)
    desk.start(shown)
    try:
        desk.control(Pause(True))
        picture = shown.wait(lambda p: p.paused and p.time == to)
        desk.control(Seek(START + 1000.0))
        shown.wait(lambda p: p.time == START + 1000.0)
        desk.control(Seek(to))
        again = shown.wait(lambda p: p.time == to)
    finally:
        desk.stop()
    assert [iso_time(e.time) for e in picture.log if e.alert == "ahead"] == times
    assert times
    assert known(again) == known(picture)


def test_a_tending_is_seen_at_once(stay: Stay, log: Path) -> None:
    player = Player(Basis.of(stay, ahead=True), log, cycle=advance_with_forecast, every=EVERY_S)
    for _ in player.play_to(START + 1000.0):
        pass
    before = player.memory
    first = next(each for each in soon(before) if each.cause != "slack")
    slack = TendLine(first.subject, paid_out=0.8)
    for _ in player.play_to(player.next_time, [slack]):
        pass
    assert player.memory.foresight is not None
    assert same(player.memory.foresight.trail, (before.foresight or ForecastMemory()).trail)
    assert first not in soon(player.memory)


def test_the_page_shows_what_the_caution_rests_on(stay: Stay, log: Path) -> None:
    """Same instant, same samples, same cases: a limit within the caution's reach is expected at one time."""
    basis = Basis.of(stay, ahead=True)
    player = Player(basis, log, cycle=advance_with_forecast, every=EVERY_S)
    maker = PictureMaker(basis, player.intake.channels)
    for block in player.play_to(START + 1500.0):
        maker.add(block)
    maker.picture(player.memory, ())
    maker.forecasts.wait(60.0)
    picture = maker.picture(player.memory, ())
    assert picture is not None
    assert picture.forecast is not None
    assert picture.forecast.time == START + 1199.0
    near = START + 1199.0 + 3600.0 * far_of_caution(basis).hours
    page = [each for each in next_limits_of(picture.forecast) or () if each.time <= near]
    assert page
    assert [(each.subject, each.cause, each.stage) for each in page] == [
        (each.subject, each.cause, each.stage) for each in soon(player.memory)
    ]
    assert [each.time for each in page] == pytest.approx(
        [each.time for each in soon(player.memory)], abs=1e-3
    )


def test_a_memory_without_the_instant_it_was_looked_ahead_from_is_read(stay: Stay, log: Path) -> None:
    """As written by a program that did not keep it: the page looks ahead from the instant at hand."""
    player = Player(Basis.of(stay, ahead=True), log, cycle=advance_with_forecast, every=EVERY_S)
    for _ in player.play_to(START + 700.0):
        pass
    plain = to_plain(player.memory.foresight)
    assert plain.pop("asked") is not None
    assert plain.pop("asked_row")
    read = from_plain(ForecastMemory, plain, "foresight")
    assert read.present is None
    assert same(read.soon, soon(player.memory))


def test_a_fault_in_it_leaves_the_watch_as_it_is(
    stay: Stay, log: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def wrong(*_args: object, **_named: object) -> None:
        raise RuntimeError("no such forecast")

    monkeypatch.setattr("alongside.cycle.with_forecast.look_ahead", wrong)
    player = with_forecast(LogSource(Basis.of(stay, ahead=True), log)).rewound()
    blocks = list(player.play_to(START + 600.0))
    assert not blocks[0].fault, "nothing is looked ahead from before the first block"
    assert "no such forecast" in blocks[-1].fault
    assert player.time == START + 600.0
    assert not soon(player.memory)


def soon(memory: Memory):  # type: ignore[no-untyped-def]
    return memory.foresight.soon if memory.foresight else ()
