"""SIGKILL from another process at random instants: what was shown is on record, and the watch goes on."""

import json
import random
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from alongside.record.layout import journal_of
from alongside.record.reader import RecordReader
from tests.record.kept import Watch, flood_stay

SECONDS_APART = 5000
"""Of the watch's own time between two starts."""
RESUME_S = 1.0
"""What the record promises; nothing here waits for it."""


def killed(folder: Path, record: Path, second: float, after: float, at_work: bool) -> list[dict[str, Any]]:
    """What a console showed before it was killed so many seconds after its start, or `at_work`: after its
    first Picture."""
    command = [sys.executable, "-m", "tests.record.under_load", folder, record, str(second)]
    child = subprocess.Popen(command, stdout=subprocess.PIPE)
    assert child.stdout is not None
    first = child.stdout.readline() if at_work else b""
    time.sleep(after)
    child.send_signal(signal.SIGKILL)
    said = first + child.communicate()[0]
    assert child.returncode == -signal.SIGKILL, "it had ended by itself"
    return [json.loads(line) for line in said.split(b"\n")[:-1]]


def check_all_there(folder: Path, record: Path, second: float, shown: list[dict[str, Any]]) -> float:
    """That the journal and its chain are whole and hold all that was shown, and that a watch goes on from
    there; returns how long its start took."""
    try:
        with RecordReader(record) as kept:
            events = {(event.time, event.event, event.text) for _, event in kept.events()}
            assert kept.chain().whole
            assert not kept.missing()
    except FileNotFoundError:  # cut off before the journal was whole: nothing is lost, and it begins anew
        assert not shown
        watch = Watch(flood_stay(folder), record, second).run(1)
        assert "journal" not in watch.last.unrecorded.lower()
        watch.kill()
        return 0.0
    lacking = [event for said in shown for event in said["events"] if tuple(event) not in events]
    assert lacking == []
    with sqlite3.connect(journal_of(record)) as journal:
        assert journal.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    journal.close()
    begun = time.perf_counter()
    watch = Watch(flood_stay(folder), record, second)
    took = time.perf_counter() - begun
    if shown:
        check_goes_on(watch, record, shown[-1])
    watch.kill()
    return took


def check_goes_on(watch: Watch, record: Path, last: dict[str, Any]) -> None:
    """That the watch remembers what the last Picture showed, or the one cycle after it that was on record
    and not shown any more."""
    memory = watch.desk._memory
    lengths = memory.lengths.unstretched.tolist()
    with RecordReader(record) as kept:
        later = [event for _, event in kept.events() if event.time > last["time"]]
    tended = sum(event.value or 0.0 for event in later if event.event == "tended")
    assert lengths[1] == pytest.approx(last["lengths"][1] + tended, abs=1e-9)
    changed = {(event.alert, event.subject) for event in later}
    for cause, subject in last["acknowledged"]:
        if (cause, subject) not in changed:
            assert memory.watchlist.alerts[cause, subject].standing.name == "ACKNOWLEDGED"


@pytest.mark.parametrize("times", [10, pytest.param(200, marks=pytest.mark.slow)])
def test_nothing_shown_is_lost_by_a_kill(tmp_path: Path, times: int) -> None:
    chance = random.Random(times)
    record = tmp_path / "record"
    starts = []
    showed = 0
    for count in range(times):
        second = count * SECONDS_APART
        at_work = count % 4 > 0
        shown = killed(tmp_path, record, second, chance.uniform(0.0, 0.8), at_work)
        showed += bool(shown)
        starts.append(check_all_there(tmp_path, record, second + SECONDS_APART / 2, shown))
    assert showed >= times * 3 // 4
    print(f"killed {times} times, {showed} had shown something; longest resume {max(starts):.2f} s")
