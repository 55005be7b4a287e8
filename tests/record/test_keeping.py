"""What is kept of states, memories and sentences, and how it is found again."""

import gzip
import json
import os
import shutil
import sqlite3
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.actions import Acknowledge, Note, TendLine
from alongside.alerts.assess import line_levels
from alongside.cycle.advance import advance
from alongside.cycle.memory import Memory
from alongside.feeds.inbox import FeedLine
from alongside.feeds.intake import Intake
from alongside.feeds.log import FeedLog
from alongside.forecast.basis import Basis
from alongside.mechanics.state import LineStates
from alongside.record.entries import Entry, Run, pack_memory, same
from alongside.record.faults import WrongRecord
from alongside.record.feedfiles import FeedFiles, feed_logs
from alongside.record.journal import MEMORY_EVERY_S, Journal
from alongside.record.layout import NOW, default_folder
from alongside.record.need import need_of
from alongside.record.nowfile import read_now
from alongside.record.reader import RecordReader
from alongside.record.recorder import Recorder
from alongside.record.states import Columns, pack, unpack
from alongside.record.thinning import AFTER_S, BEFORE_S, DENSE_S, EVERY_S, Thinning
from alongside.record.words import need_text
from tests.berth import START, a_stay, write_stay
from tests.record.kept import Watch, flood_stay, said

SEVEN_DIGITS = 1e-7


def test_a_state_comes_back_to_seven_digits(tmp_path: Path) -> None:
    stay = flood_stay(tmp_path)
    basis, intake = Basis.of(stay), Intake(stay)
    for second in range(300):
        intake.take(START + second, "gauges", said(second))
    memory, block = advance(basis, Memory.at_start(stay), intake.readings(START + np.arange(300.0)))
    columns = Columns.of(stay, intake.channels)
    rows = [0, 17, 299]
    packed = [pack(block, row, columns.lines) for row in rows]
    states = unpack(stay, columns, block.readings.time[rows].tolist(), packed)
    back = states.block(basis, memory)
    for name in LineStates.__dataclass_fields__:
        kept, was = getattr(back.hold.lines, name), getattr(block.hold.lines, name)[rows]
        np.testing.assert_allclose(kept, was, rtol=SEVEN_DIGITS, err_msg=name)
    np.testing.assert_allclose(back.readings.value, block.readings.value[rows], rtol=SEVEN_DIGITS)
    np.testing.assert_array_equal(back.readings.quality, block.readings.quality[rows])
    np.testing.assert_array_equal(back.readings.reason, block.readings.reason[rows])
    np.testing.assert_allclose(back.hold.fenders.reaction_kn, block.hold.fenders.reaction_kn[rows])
    np.testing.assert_array_equal(back.assessment.level, block.assessment.level[rows])
    shown = line_levels(block.assessment, columns.lines)[rows]
    assert shown.any(), "some stage is reached"
    np.testing.assert_array_equal(states.stages(), shown)
    assert np.isnan(states.numbers("tension_kn.99")).all(), "never kept is not known"
    with pytest.raises(WrongRecord):
        unpack(stay, columns, [START], [packed[0][:-3]])
    with pytest.raises(WrongRecord):
        unpack(stay, Columns.of(stay, ("tide", "depth")), [START], [packed[0]])


@pytest.mark.slow
@given(
    st.lists(st.integers(0, 7200), max_size=4).map(sorted),
    st.sampled_from([1, 7, 600, 7201]),
)
def test_states_are_kept_evenly_and_densely_around_alerts(alerts: list[int], block: int) -> None:
    thinning = Thinning()
    kept = []
    for start in range(0, 7201, block):
        times = np.arange(start, min(start + block, 7201), dtype=np.float64)
        here = [float(at) for at in alerts if times[0] <= at <= times[-1]]
        kept += thinning.chosen(times, here, lambda row: b"")
    even = sorted(state.time for state in kept if not state.dense)
    assert even == np.arange(0.0, 7201.0, EVERY_S).tolist()
    every = sorted(state.time for state in kept)
    assert len(set(every)) == len(every), "none twice"
    for at in alerts:
        near = [t for t in every if at - BEFORE_S + DENSE_S <= t <= min(at + AFTER_S, 7200)]
        assert all(later - time <= DENSE_S for time, later in pairwise(near))
    far = [s for s in kept if s.dense and not any(-BEFORE_S <= s.time - at <= AFTER_S for at in alerts)]
    assert far == []


@pytest.mark.slow
def test_a_record_read_back(tmp_path: Path) -> None:
    folder = tmp_path / "record"
    done = {450: TendLine("2", paid_out=0.1, by="TK"), 460: Acknowledge("stretch", "2"), 470: Note("n")}
    watch = Watch(flood_stay(tmp_path), folder).run(500, done)
    watch.end()
    with RecordReader(folder) as record:
        (run,) = record.runs()
        assert run.stay.name == "Test stay"
        assert "Test quay" in run.stay_text
        assert [(d.time - START, type(d.action).__name__) for d in record.actions()] == [
            (450.0, "TendLine"),
            (460.0, "Acknowledge"),
            (470.0, "Note"),
        ]
        assert [event for _, event in record.events(START + 1.5)][:-1] == [
            event for event in watch.last.log if event.time > START + 1.5
        ]
        assert [event.event for _, event in record.last_events(1)] == ["stopped"]
        state = record.state_at(START + 333.0)
        assert state is not None
        assert 0.0 <= START + 333.0 - state.time[0] <= EVERY_S
        shown = next(p for p in watch.pictures if p.time == state.time[0])
        assert state.hold().lines.tension_kn[0, 1] == pytest.approx(
            shown.lines[1].tension_kn, rel=SEVEN_DIGITS
        )
        assert record.state_at(START - 10.0) is None
        at, memory, _ = record.memory_at(START + 470.0) or (0.0, None, None)
        assert at <= START + 470.0
        assert memory is not None
        _last, newest, _ = record.memory_at() or (0.0, None, None)
        assert newest is not None
        assert newest.lengths.unstretched[1] == watch.last.lines[1].unstretched_m
        assert record.span() == (run.started, pytest.approx(START + 500.0, abs=1.1))
        (log,) = record.feed_logs()
    assert sum(len(batch) for batch in FeedLog(log)) == 500


def line(second: int) -> FeedLine:
    return FeedLine(START + second, "gauges", said(second))


def test_feed_files_change_with_the_hour_and_are_compressed_when_closed(tmp_path: Path) -> None:
    files = FeedFiles(tmp_path)
    for second in range(3500, 7300, 20):
        files.write(START + second, [line(second)])
        files.tidy()
    files.close()
    names = [path.name for path in feed_logs(tmp_path)]
    assert names == [
        "feeds-20260302T04Z-00.log.gz",
        "feeds-20260302T05Z-00.log.gz",
        "feeds-20260302T06Z-00.log",
    ]
    assert len(list(tmp_path.iterdir())) == 3, "nothing else is left"
    times = [time for path in feed_logs(tmp_path) for batch in FeedLog(path) for time in batch.time.tolist()]
    assert times == [START + second for second in range(3500, 7300, 20)]
    assert [p.name for p in feed_logs(tmp_path, START + 3700, START + 3800)] == names[1:2]


def test_feed_files_change_when_large_and_are_gone_on_with(tmp_path: Path) -> None:
    for start in range(0, 300, 50):
        files = FeedFiles(tmp_path, largest=8000)
        for second in range(start, start + 50):
            files.write(START + second, [line(second)])
            files.tidy()
        files.close()
    assert len(feed_logs(tmp_path)) == 4
    times = [time for path in feed_logs(tmp_path) for batch in FeedLog(path) for time in batch.time.tolist()]
    assert times == [START + second for second in range(300)]


def test_a_compression_cut_off_is_done_again(tmp_path: Path) -> None:
    files = FeedFiles(tmp_path)
    files.write(START, [line(0)])
    files.close()
    (tmp_path / "feeds-20260302T04Z-00.log.gz.part").write_bytes(b"half")
    files = FeedFiles(tmp_path)
    for second in (3600, 3601, 3602):
        files.write(START + second, [line(second)])
        files.tidy()
    files.close()
    with gzip.open(tmp_path / "feeds-20260302T04Z-00.log.gz") as packed:
        assert packed.read().endswith(said(0) + b"\r\n")
    assert not list(tmp_path.glob("*.part"))


def test_the_present_instant_survives_a_torn_write(tmp_path: Path) -> None:
    folder = tmp_path / "record"
    watch = Watch(flood_stay(tmp_path), folder).run(31)
    newest = read_now(folder)
    assert newest is not None
    assert newest.time == START + 31
    for name in NOW:
        whole = (folder / name).read_bytes()
        if b'"seq": 31' in whole:
            (folder / name).write_bytes(whole[:60] + os.urandom(20) + whole[80:])
    before = read_now(folder)
    assert before is not None
    assert before.time == START + 30
    watch.end()


@pytest.mark.slow
def test_the_need_is_said_beforehand_and_is_enough(tmp_path: Path) -> None:
    """Of a run with alerts that change all the time, a day of which would need this much."""
    stay, folder = flood_stay(tmp_path), tmp_path / "record"
    watch = Watch(stay, folder)
    assert "30 days need at most" in need_text(need_of(stay), folder)
    watch.run(600)
    watch.end()
    size = (folder / "journal.sqlite").stat().st_size - 60_000  # empty tables, the stay
    assert size / 600 <= need_of(stay, 1.0).journal / 86_400
    assert need_of(stay, 30.0).total < 1e9


def test_the_folder_of_a_stay_is_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    (tmp_path / "a").mkdir()
    one, other = default_folder(write_stay(tmp_path)), default_folder(write_stay(tmp_path / "a"))
    assert one.parent == other.parent == tmp_path / "state" / "alongside" / "records"
    assert one.name.startswith("stay-")
    assert one != other


def test_the_journal_is_plain_to_other_programs(tmp_path: Path) -> None:
    import sqlite3

    Watch(a_stay(tmp_path), tmp_path / "record").run(3, {2: Note("hello", by="TK")}).end()
    with sqlite3.connect(tmp_path / "record" / "journal.sqlite") as journal:
        assert journal.execute("SELECT text FROM events WHERE event = 'note'").fetchall()[-1] == (
            "hello (TK)",
        )
        (action,) = journal.execute("SELECT action FROM actions WHERE kind = 'Note'").fetchone()
        assert json.loads(action) == {"text": "hello", "by": "TK"}
        assert journal.execute("PRAGMA user_version").fetchone() == (2,)
    journal.close()


@pytest.mark.slow
def test_memories_do_not_pile_up(tmp_path: Path) -> None:
    """One in five minutes is kept for good, and the newest, however often they change."""
    stay = flood_stay(tmp_path)
    journal = Journal(tmp_path / "journal.sqlite")
    journal.begin(Run(START, "test", stay, "", Columns.of(stay, ())))
    memory = pack_memory(Memory.at_start(stay))
    for second in range(1000):
        journal.write([Entry(START + second, memory=memory)])
    journal.close()
    with sqlite3.connect(tmp_path / "journal.sqlite") as file:
        times = [time - START for (time,) in file.execute("SELECT time FROM memories ORDER BY seq")]
    file.close()
    assert times == [0.0, MEMORY_EVERY_S, 2 * MEMORY_EVERY_S, 3 * MEMORY_EVERY_S, 999.0]


def test_a_watch_compresses_the_feed_logs_of_hours_that_are_over(tmp_path: Path) -> None:
    folder = tmp_path / "record"
    watch = Watch(flood_stay(tmp_path), folder, 3580.0).run(15)
    assert [path.name for path in feed_logs(folder)] == ["feeds-20260302T04Z-00.log"]
    watch.run(15)
    assert [path.name for path in feed_logs(folder)] == [
        "feeds-20260302T04Z-00.log.gz",
        "feeds-20260302T05Z-00.log",
    ]
    assert not (folder / "feeds-20260302T04Z-00.log").exists()
    lines = [line for path in feed_logs(folder) for batch in FeedLog(path) for _, _, line, *_ in batch.rows()]
    assert len(lines) == 30
    watch.end()


def test_a_new_journal_begins_with_what_the_watch_remembers(tmp_path: Path) -> None:
    """The folder is taken away while nothing changes: the lengths must not wait for the next tending."""
    stay, folder = flood_stay(tmp_path), tmp_path / "record"
    basis, intake = Basis.of(stay), Intake(stay)
    for second in range(60):
        intake.take(START + second, "gauges", said(float(second)))
    memory, begun = advance(basis, Memory.at_start(stay), intake.readings(START + np.arange(30.0)))
    _, later = advance(basis, memory, intake.readings(START + np.arange(30.0, 60.0)))
    recorder = Recorder(folder, Run(START, "test", stay, "", Columns.of(stay, intake.channels)))
    recorder.keep(begun, memory)
    shutil.rmtree(folder)
    recorder.keep(replace(later, events=()), memory)
    with RecordReader(folder) as record:
        kept = record.memory_at()
        assert kept is not None
        assert same(kept[1], memory)
    recorder.close()


def test_which_files_make_a_whole_copy(tmp_path: Path) -> None:
    """As the manual has it: the journal alone once the watch was ended, with its -wal before."""
    watch = Watch(flood_stay(tmp_path), tmp_path / "record").run(30, {10: Note("here")})

    def copied(*names: str) -> list[str]:
        copy = tmp_path / "copy"
        copy.mkdir()
        for name in names:
            shutil.copy(tmp_path / "record" / name, copy)
        try:
            with RecordReader(copy) as record:
                return [event.text for _, event in record.events()]
        except FileNotFoundError:
            return []
        finally:
            shutil.rmtree(copy)

    assert "here" not in copied("journal.sqlite"), "the newest is in the -wal still"
    assert "here" in copied("journal.sqlite", "journal.sqlite-wal")
    watch.end()
    assert not (tmp_path / "record" / "journal.sqlite-wal").exists()
    assert copied("journal.sqlite")[-1] == "the watch was ended"
