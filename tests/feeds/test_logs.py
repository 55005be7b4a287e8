"""Feed logs: what is written, what is read back, and what becomes of logs that are not whole."""

import gzip
import os
import signal
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.errors import WrongInput
from alongside.feeds.clock import LogClock
from alongside.feeds.flaws import Flaw
from alongside.feeds.gzip_members import seek_member
from alongside.feeds.intake import Intake
from alongside.feeds.log import FeedLog
from alongside.feeds.logwriter import LogWriter
from alongside.feeds.sentence import NAN, Tag, split_tags, tag_block
from alongside.units import END_OF_TIME, FIRST_TIME
from tests.feeds.stays import START, tide, tide_gauge, write_log


def times_of(log: FeedLog) -> list[float]:
    return [time for batch in log for time in batch.time]


def hours(path: Path, count: int = 3) -> Path:
    return write_log(path, ((START + k, "gauges", tide(2.0 + k * 1e-4)) for k in range(count * 3600)))


def test_a_line_is_kept_byte_for_byte_behind_its_tag_block(tmp_path: Path) -> None:
    came_in = [tide(2.0), b"H=\xff\x00 3", rb"\s:WI0001,n:23,c:1714564800*56\$WIMWV,214.8,R,12.3,N,A*1C"]
    path = write_log(tmp_path / "a.log", [(START + 0.25, "gauge no. 1", line) for line in came_in])
    lines = path.read_bytes().split(b"\r\n")
    assert [line.split(b"\\", 2)[2] for line in lines[:-1]] == came_in
    assert lines[-1] == b""
    assert split_tags(lines[0])[0] == Tag(START + 0.25, b"gauge_no._1", "")


@pytest.mark.parametrize("name", ["a.log", "a.log.gz"])
def test_a_log_reads_back_as_it_was_written(tmp_path: Path, name: str) -> None:
    log = FeedLog(hours(tmp_path / name))
    assert times_of(log) == [START + k for k in range(3 * 3600)]
    assert (log.note, log.faults) == ("", {})


@pytest.mark.parametrize("name", ["a.log", "a.log.gz"])
@pytest.mark.parametrize("start", [-10.0, 0.0, 0.5, 5000.0, 10799.0, 20000.0])
def test_a_log_reads_from_any_time(tmp_path: Path, name: str, start: float) -> None:
    expected = [START + k for k in range(3 * 3600) if k >= start]
    assert times_of(FeedLog(hours(tmp_path / name), START + start)) == expected


def test_a_gzip_that_breaks_off_gives_everything_before(tmp_path: Path) -> None:
    whole = hours(tmp_path / "a.log.gz")
    broken = tmp_path / "b.log.gz"
    broken.write_bytes(whole.read_bytes()[: whole.stat().st_size // 2])
    log = FeedLog(broken)
    times = times_of(log)
    assert times == [START + k for k in range(len(times))]
    assert 4000 < len(times) < 7000
    assert "breaks off" in log.note


def test_a_damaged_gzip_gives_everything_before(tmp_path: Path) -> None:
    path = hours(tmp_path / "a.log.gz")
    data = bytearray(path.read_bytes())
    middle = len(data) // 2
    data[middle : middle + 50] = b"\xff" * 50
    path.write_bytes(data)
    log = FeedLog(path)
    assert len(times_of(log)) > 4000
    assert "damaged" in log.note


def spiced(gap_s: float) -> tuple[tuple[float, str, bytes], ...]:
    """Return two hours of lines with a silence, a time that is wrong by far and a clock set back."""
    times = [START + 1.3 * k for k in range(6000)]
    times[3000:] = [time + gap_s for time in times[3000:]]
    times[5600], times[4500] = times[5600] + 90_000.0, times[4500] - 90_000.0
    times[5000:] = [time - 200.0 for time in times[5000:]]
    return tuple((time, "gauges", tide(2.0 + k * 1e-4)) for k, time in enumerate(times))


@pytest.mark.slow
@pytest.mark.parametrize("gap_s", [0.0, 2000.0])
def test_from_any_time_a_gzip_in_members_gives_what_one_piece_gives(tmp_path: Path, gap_s: float) -> None:
    members = write_log(tmp_path / "a.log.gz", spiced(gap_s))
    text = gzip.decompress(members.read_bytes())
    assert members.read_bytes().count(b"\x1f\x8b\x08\x04") > 10
    one = tmp_path / "b.log.gz"
    one.write_bytes(gzip.compress(text))
    for start in range(0, 10_000, 487):
        assert read_from(members, START + start) == read_from(one, START + start)


def read_from(path: Path, start: float) -> tuple[list[tuple[float, bytes]], list[tuple[float, float]]]:
    """Return the lines that a log gives from a time on, and the gaps that end after it."""
    batches = list(FeedLog(path, start))
    lines = [(time, line) for each in batches for time, _, line, *_ in each.rows()]
    return lines, [gap for each in batches for gap in each.gaps if gap[1] > start]


def test_little_is_read_of_a_gzip_in_members_to_come_to_a_time(tmp_path: Path) -> None:
    path = hours(tmp_path / "a.log.gz", 24)
    with path.open("rb") as file:
        assert seek_member(file, START + 23.7 * 3600.0)
        assert file.tell() > 0.97 * path.stat().st_size
        text = gzip.decompress(file.read())
    assert float(split_tags(text.partition(b"\r\n")[0])[0].time) == START + 85_200.0


def test_a_gzip_of_several_members_is_one_log(tmp_path: Path) -> None:
    path = tmp_path / "a.log.gz"
    members = [tag_block(b"gauges", START + k) + tide(2.0) + b"\r\n" for k in range(3)]
    path.write_bytes(b"".join(map(gzip.compress, members)))
    assert times_of(FeedLog(path)) == [START, START + 1, START + 2]


@pytest.mark.parametrize("cut", range(1, 40))
def test_a_log_cut_off_in_mid_line_gives_every_line_before(tmp_path: Path, cut: int) -> None:
    path = write_log(tmp_path / "a.log", [(START + k, "gauges", tide(2.0)) for k in range(5)])
    path.write_bytes(path.read_bytes()[:-cut])
    log = FeedLog(path)
    whole = cut <= 2
    assert times_of(log) == [START + k for k in range(5 if whole else 4)]
    assert bool(log.note) == (not whole)


def test_no_log_at_all(tmp_path: Path) -> None:
    with pytest.raises(WrongInput, match="expected a feed log"):
        list(FeedLog(tmp_path / "none.log"))
    (tmp_path / "empty.log").write_bytes(b"")
    assert times_of(FeedLog(tmp_path / "empty.log")) == []


def test_noise_without_line_ends_is_dropped_once(tmp_path: Path) -> None:
    path = tmp_path / "a.log"
    line = tag_block(b"gauges", START) + tide(2.0) + b"\r\n"
    path.write_bytes(line + b"\x55" * 2_000_000 + b"\n" + line)
    log = FeedLog(path)
    assert times_of(log) == [START, START]
    assert log.faults[Flaw.OVERLONG] == 1


def test_a_log_is_on_disk_when_the_writer_is_killed(tmp_path: Path) -> None:
    path = tmp_path / "a.log"
    code = (
        "import os, signal, sys\n"
        "from alongside.feeds.logwriter import LogWriter\n"
        "log = LogWriter(sys.argv[1])\n"
        "for k in range(100): log.write(1772424000.0 + k, 'gauges', b'$WLXDR,D,2.137,M,TIDE*69')\n"
        "os.kill(os.getpid(), signal.SIGKILL)\n"
    )
    done = subprocess.run([sys.executable, "-c", code, str(path)], check=False, env=os.environ)
    assert done.returncode == -signal.SIGKILL
    assert len(times_of(FeedLog(path))) == 100


def test_a_zipped_log_can_be_read_up_to_its_last_flush(tmp_path: Path) -> None:
    now = [0.0]
    log = LogWriter(tmp_path / "a.log.gz", monotonic=lambda: now[0])
    for k in range(10):
        now[0] = k * 0.3
        log.write(START + k, "gauges", tide(2.0))
    assert len(times_of(FeedLog(log.path))) == 9
    log.close()
    assert len(times_of(FeedLog(log.path))) == 10


def test_a_log_goes_on_on_a_new_line(tmp_path: Path) -> None:
    path = tmp_path / "a.log"
    path.write_bytes(tag_block(b"gauges", START) + b"$WLXDR,D,2.1")
    with LogWriter(path, append=True) as log:
        log.write(START + 1, "gauges", tide(2.0))
    assert times_of(FeedLog(path))[-1] == START + 1
    intake = Intake(tide_gauge())
    for batch in FeedLog(path):
        intake.take_batch(batch)
    assert intake.tallies["gauges"] == {Flaw.NO_CHECKSUM: 1}


def judged(*stated: float) -> tuple[list[float], LogClock]:
    """Times used for lines stated so many seconds after START, and the clock; in s after START too."""
    clock = LogClock()
    times = clock.times(START + np.array(stated), end_of_log=True) - START
    clock.gaps = [(begin - START, end - START) for begin, end in clock.gaps]
    return times.tolist(), clock


NONE = pytest.approx(NAN, nan_ok=True)
HOUR = [float(k) for k in range(3600, 3611)]
"""Eleven seconds that begin an hour on: enough to be believed."""


def test_a_line_without_time_has_that_of_the_last_before_it() -> None:
    times, clock = judged(NAN, 100.0, NAN, 101.0)
    assert times == [NONE, 100.0, 100.0, 101.0]
    assert clock.faults == {Flaw.NO_TIME: 1}


def test_small_steps_back_take_the_newest_time_large_ones_are_not_used() -> None:
    times, clock = judged(100.0, 101.0, 91.5, 90.9, NAN, 101.5)
    assert times == [100.0, 101.0, 101.0, NONE, NONE, 101.5]
    assert clock.faults == {Flaw.TIME_BACK: 2}


def test_a_single_leap_is_dropped_a_confirmed_one_is_a_gap() -> None:
    times, clock = judged(100.0, 3700.0, 101.0, *HOUR)
    assert times == [100.0, NONE, 101.0, *HOUR]
    assert clock.faults == {Flaw.LEAP: 1}
    assert clock.gaps == [(101.0, 3600.0)]


@given(st.lists(st.floats(0.0, 9.0), min_size=1, max_size=20), st.floats(80.0, 1e9))
def test_wrong_times_of_one_burst_do_not_confirm_each_other(burst: list[float], leap: float) -> None:
    """Several sentences share one wrong stamp, or ones close to each other: right times go on after them."""
    right = [float(k) for k in range(30)]
    times, clock = judged(*right[:15], *(leap + each for each in burst), *right[15:])
    assert [time for time in times if time == time] == right
    assert clock.faults == {Flaw.LEAP: len(burst)}
    assert clock.gaps == []


@given(
    st.lists(st.floats(0.0, 9.0), min_size=1, max_size=9),
    st.floats(3700.0, 1e9) | st.floats(-1e9, -3700.0),
    st.just(0) | st.integers(12, 25),
)
def test_a_burst_of_wrong_times_anywhere_costs_no_other_line(
    burst: list[float], leap: float, place: int
) -> None:
    """Ahead or behind, also as the first lines of the log. (Within its first ten seconds a burst from long
    ago makes the lines before it look wrong.)"""
    right = [float(k) for k in range(40)]
    times, clock = judged(*right[:place], *(leap + each for each in burst), *right[place:])
    assert [time for time in times if time == time] == right
    assert clock.faults[Flaw.LEAP] + clock.faults[Flaw.TIME_BACK] == len(burst)
    assert clock.gaps == []


@pytest.mark.parametrize(("last", "counts"), [(9.9, False), (10.0, True)])
def test_a_leap_at_the_end_counts_when_ten_seconds_passed_in_it(last: float, counts: bool) -> None:
    times, clock = judged(0.0, 3600.0, 3600.0, 3605.0, 3600.0 + last)
    assert times == [0.0, *([3600.0, 3600.0, 3605.0, 3600.0 + last] if counts else [NONE] * 4)]
    assert clock.faults == ({} if counts else {Flaw.LEAP: 4})


def test_what_confirms_a_leap_is_no_leap_itself() -> None:
    """A wrong time within a spell confirms nothing; the spell goes on without it."""
    times, clock = judged(0.0, 3600.0, 3601.0, 9000.0, 3602.0, 1.0, *(float(k) for k in range(2, 30)))
    assert times == [0.0, *[NONE] * 4, *(float(k) for k in range(1, 30))]
    assert clock.faults == {Flaw.LEAP: 4}
    spell = [3600.0, 3601.0, 9000.0, *(float(k) for k in range(3602, 3615))]
    times, clock = judged(0.0, *spell)
    assert times == [0.0, *(NONE if time == 9000.0 else time for time in spell)]


def test_the_first_time_needs_to_be_confirmed_as_well() -> None:
    times, clock = judged(9999.0, 100.0, 101.0)
    assert times == [NONE, 100.0, 101.0]
    assert judged(100.0)[0] == [100.0]
    assert judged(9999.0, 9999.0, 9999.5, *HOUR)[0] == [NONE, NONE, NONE, *HOUR]
    assert clock.gaps == []


def test_a_log_of_one_line_in_five_minutes_is_used_whole() -> None:
    assert judged(0.0, 300.0, 600.0, 900.0)[0] == [0.0, 300.0, 600.0, NONE]


NO_TIMES = [0.0, 1.0, FIRST_TIME - 0.001, END_OF_TIME, 1e11, 67768036191676.8, 1.8446744073709552e16, 9e300]
"""UNIX seconds. The last but one bears the year 584,556,019."""


@pytest.mark.parametrize("wrong", NO_TIMES)
def test_a_time_before_1990_or_after_2099_is_none(wrong: float) -> None:
    times, clock = judged(wrong - START, wrong - START, 0.0, NAN, wrong - START, wrong - START, NAN, 1.0)
    assert times == [NONE, NONE, 0.0, 0.0, NONE, NONE, 0.0, 1.0]
    assert clock.faults == {Flaw.WRONG_TIME: 4}
    assert clock.gaps == []


def test_a_log_on_the_last_evening_of_2099_ends_at_midnight() -> None:
    """Small steps alone would pass the end."""
    clock = LogClock()
    times = clock.times(END_OF_TIME + np.array([-3.0, -2.0, -1.0, 0.0, 1.0]), end_of_log=False)
    assert times.size == 0, "ten seconds have not passed yet"
    clock.newest = END_OF_TIME - 4.0
    used = clock.times(END_OF_TIME + np.array([-3.0, -2.0, -1.0, 0.0, 1.0]), end_of_log=False)
    assert used.tolist() == [END_OF_TIME - 3.0, END_OF_TIME - 2.0, END_OF_TIME - 1.0, NONE, NONE]
    assert clock.faults == {Flaw.WRONG_TIME: 2}


@pytest.mark.slow
def test_ten_seconds_of_a_great_many_lines_are_believed(tmp_path: Path) -> None:
    """10,000 lines a second after a gap: many more than a block of the log."""
    few = [START + k for k in range(20)]
    many = [START + 7200.0 + k / 10_000.0 for k in range(120_000)]
    log = FeedLog(write_log(tmp_path / "a.log", ((time, "gauges", tide(2.0)) for time in [*few, *many])))
    assert sum(map(len, log)) == 120_020
    assert log.faults == {}


STATED = st.one_of(
    st.just(NAN),
    st.integers(0, 300).map(float),
    st.sampled_from([1000.0, 4000.0, 4001.0, 4009.0, 4010.0, 4011.0]),
    st.floats(-9e9, 9e9),
)


@given(st.lists(STATED, max_size=30), st.integers(1, 6))
def test_times_do_not_depend_on_how_a_log_is_cut_into_blocks(stated: list[float], size: int) -> None:
    whole, whole_clock = judged(*stated)
    clock = LogClock()
    used: list[float] = []
    rest: list[float] = []
    for at in range(0, len(stated), size):
        rest += stated[at : at + size]
        part = clock.times(START + np.array(rest), end_of_log=False).tolist()
        used, rest = used + part, rest[len(part) :]
    used += clock.times(START + np.array(rest), end_of_log=True).tolist()
    np.testing.assert_array_equal(np.array(used) - START, whole)
    gaps = [(begin - START, end - START) for begin, end in clock.gaps]
    assert (clock.faults, gaps) == (whole_clock.faults, whole_clock.gaps)
    believed = [time for time in used if time == time]
    assert believed == sorted(believed)
    assert all(FIRST_TIME <= time < END_OF_TIME for time in believed)


def test_a_leap_across_blocks_of_a_log(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The leaping line ends one block, what confirms it begins another."""
    monkeypatch.setattr("alongside.feeds.log.AT_ONCE", 1 << 18)
    lines = [(START + k, "gauges", tide(2.0)) for k in range(9000)]
    lines += [(START + 20_000 + k, "gauges", tide(2.0)) for k in range(9000)]
    log = FeedLog(write_log(tmp_path / "a.log", lines))
    batches = list(log)
    assert len(batches) > 2
    assert [gap for batch in batches for gap in batch.gaps] == [(START + 8999, START + 20_000)]
    assert sum(map(len, batches)) == 18_000


def test_a_log_read_from_the_end_of_a_spell_knows_of_the_silence_after_it(tmp_path: Path) -> None:
    """Wherever a block of it begins: here ten seconds before the silence."""
    dense = [START + k for k in range(30_000)]
    first = next(
        iter(FeedLog(write_log(tmp_path / "dense.log.gz", ((t, "gauges", tide(2.0)) for t in dense))))
    )
    before = dense[: len(first) + 10]
    after = [before[-1] + 7200.0 + k for k in range(60)]
    path = write_log(tmp_path / "a.log.gz", ((t, "gauges", tide(2.0)) for t in [*before, *after]))
    for start in (before[-1] + 0.5, before[-1], before[-1] - 5.0):
        batches = list(FeedLog(path, start))
        times = [time for batch in batches for time in batch.time]
        assert times == [time for time in [*before, *after] if time >= start]
        assert [gap for batch in batches for gap in batch.gaps] == [(before[-1], after[0])]


@pytest.mark.parametrize(("step", "leaps"), [(59.0, False), (60.0, False), (60.5, True), (119.0, True)])
def test_a_minute_is_no_leap_and_more_is_one(step: float, leaps: bool) -> None:
    """More than a minute ahead has to be confirmed, and is a gap."""
    single, clock = judged(0.0, 1.0, 1.0 + step, 2.0)
    refused = single[2] != single[2]
    assert refused == leaps
    assert clock.faults[Flaw.LEAP] == leaps
    _, clock = judged(0.0, 1.0, 1.0 + step, 2.0 + step, 11.0 + step)
    assert clock.gaps == ([(1.0, 1.0 + step)] if leaps else [])
