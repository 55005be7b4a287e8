"""The live watch on a real pseudo-terminal in place of a gauge: lines in, Pictures out, unplug and plug."""

import os
import pty
import tty
from collections.abc import Iterator
from contextlib import contextmanager
from math import isnan
from pathlib import Path

import pytest

from alongside.actions import Note, TendLine
from alongside.errors import WrongInput
from alongside.feeds.log import FeedLog
from alongside.record.feedfiles import feed_logs
from alongside.runtime.live import LiveDesk
from alongside.stay.model import Stay
from tests.berth import STAY_TEXT, a_stay, sentence
from tests.runtime.test_replay import Shown

LINE = sentence("IIXDR,D,2.000,M,TIDE,D,4.000,M,DRF,D,4.500,M,DRA") + b"\r\n"


class Gauge:
    """A gauge behind a serial port that can be pulled and put back under the same name."""

    def __init__(self, folder: Path) -> None:
        self.name = folder / "gauge"
        self._ends: tuple[int, int] | None = None

    def plug(self) -> None:
        master, slave = pty.openpty()
        tty.setraw(slave)
        self._ends = master, slave
        self.name.unlink(missing_ok=True)
        self.name.symlink_to(os.ttyname(slave))

    def say(self, line: bytes = LINE) -> None:
        assert self._ends is not None
        os.write(self._ends[0], line)

    def unplug(self) -> None:
        if self._ends is not None:
            self.name.unlink(missing_ok=True)
            for end in self._ends:
                os.close(end)
            self._ends = None


@pytest.fixture
def gauge(tmp_path: Path) -> Iterator[Gauge]:
    made = Gauge(tmp_path)
    yield made
    made.unplug()


def stay_on(gauge: Gauge, folder: Path) -> Stay:
    # The lines were made fast long before this test runs, whenever it runs.
    return a_stay(
        folder, STAY_TEXT.replace("serial:/dev/ttyUSB0?baud=4800", f"serial:{gauge.name}?baud=4800")
    )


@contextmanager
def watching(stay: Stay, record: Path | None = None) -> Iterator[tuple[LiveDesk, Shown]]:
    shown = Shown()
    desk = LiveDesk(stay, record)
    desk.start(shown)
    try:
        yield desk, shown
    finally:
        desk.stop()


def test_from_the_port_to_the_picture_and_back_after_an_unplug(gauge: Gauge, tmp_path: Path) -> None:
    with watching(stay_on(gauge, tmp_path)) as (_, shown):
        missing = shown.wait(lambda p: True)
        assert isnan(missing.tide)
        assert not missing.feeds[0].open
        assert "no such port" in shown.wait(lambda p: "no such port" in p.feeds[0].note).feeds[0].note
        gauge.plug()
        shown.wait(lambda p: p.feeds[0].open)
        gauge.say()
        heard = shown.wait(lambda p: p.tide == 2.0)
        assert heard.lines[1].tension_kn > 0.0
        gauge.unplug()
        gone = shown.wait(lambda p: not p.feeds[0].open)
        assert gone.tide == 2.0, "a value serves until it is too old"
        assert gone.feeds[0].note
        gauge.plug()
        shown.wait(lambda p: p.feeds[0].open, 20.0)
        gauge.say(LINE)
        shown.wait(lambda p: p.feeds[0].sentences == 2)


def test_garbage_is_counted_and_makes_no_numbers(gauge: Gauge, tmp_path: Path) -> None:
    gauge.plug()
    with watching(stay_on(gauge, tmp_path)) as (_, shown):
        shown.wait(lambda p: p.feeds[0].open)
        for line in (
            b"\xff\x00\x80 rubbish\r\n",
            b"$IIXDR,D,9.9,M,TIDE*00\r\n",
            sentence("IIXDR,D,nan,M,TIDE") + b"\r\n",
            b"x" * 5000 + b"\r\n",
        ):
            gauge.say(line)
        seen = shown.wait(lambda p: p.feeds[0].faults >= 3)
        assert isnan(seen.tide)
        gauge.say()
        assert shown.wait(lambda p: not isnan(p.tide)).tide == 2.0


def test_what_the_watch_does_shows_at_once(gauge: Gauge, tmp_path: Path) -> None:
    gauge.plug()
    with watching(stay_on(gauge, tmp_path)) as (desk, shown):
        shown.wait(lambda p: p.feeds[0].open)
        gauge.say()
        before = shown.wait(lambda p: p.lines[1].tension_kn > 0.0)
        desk.act(TendLine("2", paid_out=0.3, by="TK"))
        desk.act(Note("hello"))
        after = shown.wait(lambda p: any(event.event == "note" and event.text == "hello" for event in p.log))
        assert after.lines[1].unstretched_m == pytest.approx(before.lines[1].unstretched_m + 0.3)
        assert after.time - before.time < 3.0


def test_a_recording_is_a_feed_log_of_what_came_in(gauge: Gauge, tmp_path: Path) -> None:
    gauge.plug()
    record = tmp_path / "record"
    junk = b"half a line \xff"
    with watching(stay_on(gauge, tmp_path), record) as (_, shown):
        shown.wait(lambda p: p.feeds[0].open)
        gauge.say(LINE + junk + b"\r\n")
        shown.wait(lambda p: p.feeds[0].sentences == 2)
    (log,) = feed_logs(record)
    written = log.read_bytes().split(b"\r\n")
    assert written[0].endswith(LINE.strip())
    assert written[1].endswith(junk)
    assert sum(len(batch) for batch in FeedLog(log)) == 2


@pytest.mark.parametrize("never_set", [0.0, 631_151_999.0, 4_102_444_800.0])
def test_a_machine_whose_clock_was_never_set_keeps_no_watch(tmp_path: Path, never_set: float) -> None:
    with pytest.raises(WrongInput, match="never set"):
        LiveDesk(a_stay(tmp_path), tmp_path / "record", wall=lambda: never_set)
    assert not (tmp_path / "record").exists()
