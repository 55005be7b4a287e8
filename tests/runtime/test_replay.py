"""The desk of a replay: its pace, its pauses, and going to any time with the same outcome."""

import threading
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import astuple, replace
from pathlib import Path

import pytest

from alongside.actions import Acknowledge, Note, TendLine
from alongside.actions.controls import Pause, Seek, Speed, Step, ToAlert, ToTend
from alongside.cycle.advance import advance
from alongside.cycle.block import Block
from alongside.cycle.memory import Memory
from alongside.cycle.picture import DeskActs, Picture
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.runtime.log_player import LogSource, Player
from alongside.runtime.replay import ReplayDesk
from alongside.runtime.replay_clock import ReplayClock
from tests.berth import START, a_stay, gauges

SECONDS = 3000


class Shown:
    """Pictures as a screen would receive them."""

    def __init__(self) -> None:
        self.pictures: list[Picture] = []
        self._more = threading.Condition()

    def __call__(self, picture: Picture) -> None:
        with self._more:
            self.pictures.append(picture)
            self._more.notify_all()

    def wait(self, wanted: Callable[[Picture], bool], seconds: float = 10.0) -> Picture:
        """The first Picture from now on that is as wanted."""
        until = time.monotonic() + seconds
        with self._more:
            while not (self.pictures and wanted(self.pictures[-1])):
                left = until - time.monotonic()
                assert left > 0, f"not shown within {seconds} s; last: {self.pictures[-1:]}"
                self._more.wait(left)
            return self.pictures[-1]


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("log") / "stay.log"
    path.write_bytes(b"".join(gauges(START + s, 2.0 + s * 0.0008) for s in range(SECONDS)))
    return path


@contextmanager
def desk(folder: Path, log: Path, **options: float) -> Iterator[tuple[ReplayDesk, Shown]]:
    shown = Shown()
    running = ReplayDesk(a_stay(folder), log, **options)
    running.start(shown)
    try:
        yield running, shown
    finally:
        running.stop()


def _rounded(bars: Mapping[str, float]) -> str:
    return ", ".join(f"{cause} {bar:.6f}" for cause, bar in bars.items())


def known(picture: Picture) -> tuple[object, ...]:
    """What must be the same however a time was reached: to a micron and a microkilonewton, since means taken
    from another beginning round otherwise. Trends rest on the past, which is thinned as it was played."""
    lines = [
        [
            value if isinstance(value, str | dict | None) else f"{value:.6f}"
            for value in astuple(
                replace(
                    row, trend_per_h=0.0, bar_per_h=0.0, bars={}, why=f"{row.why}{_rounded({**row.bars})}"
                )
            )
        ]
        for row in picture.lines
    ]
    alerts = [(alert.key, alert.stage, alert.standing, alert.raised_at) for alert in picture.alerts]
    events = [(event.time, event.event, event.text) for event in picture.log]
    return picture.time, lines, alerts, f"{picture.tide:.6f}", events


def test_going_back_and_forth_shows_what_playing_straight_shows(tmp_path: Path, log: Path) -> None:
    to = START + 2000
    with desk(tmp_path, log, start=to) as (straight, shown):
        straight.control(Pause(True))
        expected = shown.wait(lambda p: p.paused)
    with desk(tmp_path, log, start=START + 2900) as (moving, shown):
        moving.control(Pause(True))
        shown.wait(lambda p: p.paused)
        for there in (START + 100, START + 2500, expected.time):
            moving.control(Seek(there))
            found = shown.wait(lambda p, there=there: p.time == there)
    assert known(found) == known(expected)


def test_while_the_log_is_read_on_it_is_said_how_far(tmp_path: Path, log: Path) -> None:
    def slowly(*given: object) -> tuple[Memory, Block]:
        time.sleep(0.2)
        return advance(*given)  # type: ignore[arg-type]

    stay, to = a_stay(tmp_path), START + 2900.0
    shown = Shown()
    running = ReplayDesk(stay, log, start=to, source=LogSource(Basis.of(stay), log, cycle=slowly))
    running.start(shown)
    try:
        reading = shown.wait(lambda p: p.reading is not None and p.reading[0] > START + 500.0)
        assert reading.replay
        assert reading.time != reading.time, "nothing is known yet"
        assert reading.reading is not None
        assert START < reading.reading[0] < to == reading.reading[1]
        assert shown.wait(lambda p: p.time >= to).reading is None
    finally:
        running.stop()


def test_what_was_done_is_undone_by_going_back(tmp_path: Path, log: Path) -> None:
    with desk(tmp_path, log, start=START + 1000) as (running, shown):
        running.control(Pause(True))
        before = shown.wait(lambda p: p.paused)
        running.act(TendLine("2", paid_out=0.5, by="TK"))
        after = shown.wait(lambda p: p.lines[1].unstretched_m > before.lines[1].unstretched_m + 0.4)
        assert any(event.event == "tended" for event in after.log)
        running.control(Seek(START + 900))
        back = shown.wait(lambda p: p.time == START + 900)
        assert back.lines[1].unstretched_m == pytest.approx(before.lines[1].unstretched_m)
        assert not any(event.event == "tended" for event in back.log)


def test_pause_stands_still_and_speed_runs(tmp_path: Path, log: Path) -> None:
    with desk(tmp_path, log) as (running, shown):
        first = shown.wait(lambda p: p.reading is None)
        running.control(Speed(600.0))
        shown.wait(lambda p: p.time > first.time + 500)
        running.control(Pause(True))
        stopped = shown.wait(lambda p: p.paused)
        running.act(Note("[b]look over the side"))
        noted = shown.wait(lambda p: any("[b]look" in event.text for event in p.log))
        assert noted.time - stopped.time <= 1.0, "an action takes one cycle, no more"


def test_the_end_of_the_log_is_shown_as_the_end(tmp_path: Path, log: Path) -> None:
    with desk(tmp_path, log, speed=3600.0, start=START + SECONDS - 600) as (_, shown):
        last = shown.wait(lambda p: p.paused)
        assert last.time == START + SECONDS - 1


def test_acknowledging_in_a_replay(tmp_path: Path, log: Path) -> None:
    with desk(tmp_path, log, start=START + 2900) as (running, shown):
        seen = shown.wait(lambda p: any(alert.owed for alert in p.alerts))
        alert = next(alert for alert in seen.alerts if alert.owed)
        running.act(Acknowledge(alert.cause, alert.subject, by="TK"))
        shown.wait(lambda p: all(not a.owed for a in p.alerts if a.key == alert.key))


def test_a_log_without_times_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "no.log"
    path.write_bytes(b"$GPZDA,160012.71,11,03,2004,-1,00*7D\r\n")
    with pytest.raises(WrongInput, match=r"no\.log"):
        ReplayDesk(a_stay(tmp_path), path)


def test_pace_keeps_log_time_through_changes() -> None:
    pace = ReplayClock(60.0, 1000.0, wall=10.0)
    assert pace.now(12.0) == pytest.approx(1120.0)
    assert ReplayClock(60.0, 1120.0, 12.0, paused=True).now(99.0) == pytest.approx(1120.0)
    assert pace.moved(5000.0, 12.0).now(13.0) == pytest.approx(5060.0)


def test_a_step_is_one_cycle_and_stands_still(tmp_path: Path, log: Path) -> None:
    with desk(tmp_path, log, speed=600.0, start=START + 500) as (running, shown):
        running.control(Pause(True))
        still = shown.wait(lambda p: p.paused)
        running.control(Step())
        assert shown.wait(lambda p: p.time > still.time).time == still.time + 1.0
        running.control(Pause(False))
        shown.wait(lambda p: not p.paused and p.time > still.time + 100.0)
        running.control(Step())
        running.control(Step(3))
        stepped = shown.wait(lambda p: p.paused)
        assert shown.pictures[-2].time < stepped.time <= shown.pictures[-2].time + 4.0


def test_to_alerts_and_back_as_headless_tells_them(tmp_path: Path, log: Path) -> None:
    player = Player(Basis.of(a_stay(tmp_path)), log)
    events = [event for block in player.play_to(START + SECONDS) for event in block.events]
    rises = sorted({event.time for event in events if event.event in ("raised", "worsened", "escalated")})
    assert len(rises) > 2
    with desk(tmp_path, log) as (running, shown):
        running.control(Pause(True))
        shown.wait(lambda p: p.paused)
        for at in rises:
            running.control(ToAlert(1))
            picture = shown.wait(lambda p, at=at: p.time == at)
            assert picture.paused
            assert any(alert.changed_at == at for alert in picture.alerts)
        running.control(ToAlert(1))
        shown.wait(lambda p: p.log[-1].text == "No later alert")
        for at in reversed(rises[:-1]):
            running.control(ToAlert(-1))
            shown.wait(lambda p, at=at: p.time == at)


def test_what_is_done_changes_which_alerts_follow(tmp_path: Path, log: Path) -> None:
    with desk(tmp_path, log) as (running, shown):
        running.control(Pause(True))
        shown.wait(lambda p: p.paused)
        running.control(ToAlert(1))
        first = shown.wait(lambda p: p.time > START and p.alerts)
        line = first.alerts[0].line
        running.control(Seek(first.time - 120.0))
        shown.wait(lambda p: p.time == first.time - 120.0)
        running.act(TendLine(line, to_tension_kn=20.0, by="TK"))
        shown.wait(lambda p: p.log[-1].event == "tended")
        running.control(ToAlert(1))
        other = shown.wait(lambda p: p.time > first.time - 60.0)
        assert not any(alert.key == first.alerts[0].key for alert in other.alerts)
        running.control(ToTend(-1))
        tended = shown.wait(lambda p: p.log[-1].event == "tended")
        assert tended.time == first.time - 119.0
        assert [done.time for done in running.done] == [tended.time]
        running.control(Seek(tended.time - 1.0))
        shown.wait(lambda p: p.time == tended.time - 1.0)
        assert running.done == []
        running.control(ToAlert(1))
        again = shown.wait(lambda p: p.time > tended.time)
        assert (again.time, again.alerts[0].key) == (first.time, first.alerts[0].key)


def test_going_beyond_the_end_goes_to_the_end(tmp_path: Path, log: Path) -> None:
    with desk(tmp_path, log) as (running, shown):
        running.control(Seek(START + SECONDS + 900))
        assert shown.wait(lambda p: p.paused).time == START + SECONDS - 1


def test_a_gap_that_was_slept_through_can_be_gone_over_both_ways(tmp_path: Path) -> None:
    path = tmp_path / "gap.log"
    watched = [*range(1200), *range(9000, 10200)]
    path.write_bytes(b"".join(gauges(START + s, 2.0 + s * 0.0001) for s in watched))
    with desk(tmp_path, path, start=START + 10000) as (straight, shown):
        straight.control(Pause(True))
        expected = shown.wait(lambda p: p.paused)
    with desk(tmp_path, path) as (running, shown):
        running.control(Pause(True))
        shown.wait(lambda p: p.paused)
        for to, at in ((2098, 2098), (5000, 9000), (9100, 9100), (2099, 2099), (2100, 9000), (10000, 10000)):
            running.control(Seek(START + to))
            found = shown.wait(lambda p, at=at: p.time == START + at)
        assert known(found) == known(expected)
        (gap,) = [event for event in found.log if event.event == "gap"]
        assert gap.text == "no data for 115 min, 04:34:59 to 06:30:00"
        running.control(Seek(START + 2099))
        shown.wait(lambda p: p.time == START + 2099)
        running.control(Step())
        assert shown.wait(lambda p: p.time > START + 2099).time == START + 9000


def test_nothing_can_be_done_after_the_end(tmp_path: Path, log: Path) -> None:
    with desk(tmp_path, log, start=START + SECONDS - 1) as (running, shown):
        shown.wait(lambda p: p.time == START + SECONDS - 1)
        running.act(TendLine("2", paid_out=0.5))
        shown.wait(lambda p: p.log[-1].text == "Not done: the log is at its end")
        assert running.done == []
        assert shown.wait(lambda p: p.acts.taken == 1).acts == DeskActs(taken=1, refused=(1,))
