"""Two consoles at once: one keeps the watch, the other looks at what it keeps."""

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from alongside.actions import AddLine, CallOut, Correct, Note, TendLine
from alongside.record.reader import RecordReader
from alongside.runtime.look_only import LookDesk
from alongside.stay.stage import Stage
from tests.berth import a_stay
from tests.record.kept import BEGIN, FLOOD_TEXT, Watch, flood_stay
from tests.runtime.test_replay import Shown

SEVEN_DIGITS = 2e-7


@pytest.mark.slow
def test_the_second_shows_what_the_first_shows_and_does_nothing(tmp_path: Path) -> None:
    stay, folder = flood_stay(tmp_path), tmp_path / "record"
    first = Watch(stay, folder, BEGIN).run(220, {300: Note("before", by="TK")})
    shown = Shown()
    second = LookDesk(folder, stay, "process 1")
    second.start(shown)
    try:
        seen = shown.wait(lambda p: p.time == first.last.time)
        for row, there in zip(seen.lines, first.last.lines, strict=True):
            assert (row.id, row.stage) == (there.id, there.stage)
            assert row.tension_kn == pytest.approx(there.tension_kn, rel=SEVEN_DIGITS)
            assert row.stretch_share == pytest.approx(there.stretch_share, rel=SEVEN_DIGITS)
            assert row.trend_per_h == pytest.approx(there.trend_per_h, rel=1e-3, nan_ok=True)
        assert [(a.key, a.stage, a.standing) for a in seen.alerts] == [
            (a.key, a.stage, a.standing) for a in first.last.alerts
        ]
        assert [row.sentences for row in seen.feeds] == [220]
        assert seen.look_only
        assert not first.last.look_only
        said = [event.text for event in seen.log]
        assert "before (TK)" in said
        assert said[-1] == "This console only looks: process 1"
        assert [text for text in said if "only looks" not in text] == [e.text for e in first.last.log]
        second.act(TendLine("2", paid_out=5.0))
        refused = shown.wait(lambda p: "Not done" in p.log[-1].text)
        assert refused.lines[1].unstretched_m == pytest.approx(seen.lines[1].unstretched_m)
        first.run(10, {475: TendLine("2", paid_out=0.3, by="TK")})
        later = shown.wait(lambda p: p.time == first.last.time)
        assert any(event.event == "tended" for event in later.log)
        assert later.lines[1].unstretched_m == pytest.approx(first.last.lines[1].unstretched_m)
        first.kill()
        first = Watch(stay, folder, first.second).run(5)
        again = shown.wait(lambda p: p.time == first.last.time)
        assert any(event.event == "gap" for event in again.log)
    finally:
        second.stop()
        first.end()
    with RecordReader(folder) as record:
        assert not [e for _, e in record.events() if "only looks" in e.text], "looking leaves no trace"


@pytest.mark.slow
def test_the_second_says_when_nobody_keeps_the_watch_any_more(tmp_path: Path) -> None:
    first = Watch(flood_stay(tmp_path), tmp_path / "record").run(30)
    shown = Shown()
    second = LookDesk(tmp_path / "record", flood_stay(tmp_path), "process 1")
    second.start(shown)
    try:
        shown.wait(lambda p: p.time == first.last.time)
        first.kill()
        gone = shown.wait(lambda p: p.unkept, 6.0)
        assert gone.advice.stage is Stage.ALARM
        assert "Nobody keeps the watch" in gone.advice.text
        assert "is gone" in gone.log[-1].text
        shown.wait(lambda p: p.sound is Stage.ALARM, 15.0)
        again = Watch(flood_stay(tmp_path), tmp_path / "record", first.second).run(3)
        shown.wait(lambda p: not p.unkept and p.time == again.last.time, 6.0)
        again.end()
    finally:
        second.stop()


@pytest.mark.slow
def test_two_consoles_on_two_terminals(tmp_path: Path) -> None:
    """The commands themselves: the second says that it looks only, and ends in order."""
    import pty

    stay = flood_stay(tmp_path)
    command = [sys.executable, "-m", "alongside", "watch", stay.file, "--record", str(tmp_path / "record")]
    environment = {**os.environ, "TERM": "xterm-256color", "COLUMNS": "120", "LINES": "30"}
    consoles = []
    for _ in range(2):
        master, slave = pty.openpty()
        process = subprocess.Popen(command, stdin=slave, stdout=slave, stderr=slave, env=environment)
        os.close(slave)
        consoles.append((process, master))
        time.sleep(4.0)
    try:
        said = b"".join(os.read(consoles[1][1], 1 << 20) for _ in range(1))
        until = time.monotonic() + 10.0
        while b"LOOKS" not in said and time.monotonic() < until:
            said += os.read(consoles[1][1], 1 << 20)
        assert b"LOOKS" in said
    finally:
        for process, master in consoles:
            process.terminate()
            while process.poll() is None:
                try:
                    os.read(master, 1 << 16)
                except OSError:
                    break
            process.wait(10.0)
            os.close(master)
    assert [process.returncode for process, _ in consoles] == [130, 130]


@pytest.mark.slow
def test_the_second_goes_by_lines_that_are_put_out_and_taken_back(tmp_path: Path) -> None:
    stay, folder = flood_stay(tmp_path), tmp_path / "record"
    first = Watch(stay, folder, BEGIN).run(20)
    shown = Shown()
    second = LookDesk(folder, stay, "process 1")
    second.start(shown)
    try:
        shown.wait(lambda p: p.time == first.last.time)
        first.run(12, {275: AddLine("9", like="2", tension_kn=25.0, by="TK")})
        seen = shown.wait(lambda p: p.time == first.last.time)
        assert [row.id for row in seen.lines] == ["1", "2", "3", "9"]
        assert seen.lines[3].tension_kn == pytest.approx(first.last.lines[3].tension_kn, rel=SEVEN_DIGITS)
        assert seen.history.series["tension_kn.9"].size == seen.history.time.size
        first.run(5, {285: Correct(line="9", by="TK")})
        seen = shown.wait(lambda p: p.time == first.last.time)
        assert [row.id for row in seen.lines] == ["1", "2", "3"]
    finally:
        second.stop()
        first.end()


DECIDE = """
decide:
  lead_min: {tugs: 60}
  with_transfer: [{do: tugs, mean_kn: 20}]
  without_transfer: [{do: tugs, mean_kn: 20}]
wind_forecast:
  - {at: 2026-03-02T07:00:00Z, mean_kn: 40, from_deg: 200}
"""


@pytest.mark.slow
def test_the_second_says_what_is_to_be_ordered_by_when(tmp_path: Path) -> None:
    """By its own look ahead, and by what is kept of orders."""
    stay, folder = a_stay(tmp_path, FLOOD_TEXT + DECIDE), tmp_path / "record"
    first, shown = Watch(stay, folder, BEGIN).run(30), Shown()
    second = LookDesk(folder, stay, "process 1")
    second.start(shown)
    try:
        shown.wait(lambda p: p.time == first.last.time)
        first.run(1, {int(first.second) + 1: CallOut("tugs", by="TK")})
        for _ in range(20):
            first.run(1)
            time.sleep(0.3)
        seen = shown.wait(lambda p: p.decisions is not None and p.time == first.last.time)
        assert seen.decisions is not None
        (row,) = seen.decisions.rows
        assert (row.order, row.answered_by) == ("tugs", "TK")
        assert [each.order for each in seen.due] == ["tugs"]
    finally:
        second.stop()
        first.end()
