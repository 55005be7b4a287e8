"""Real files that grow, are rotated, cut and written anew; standard input through real pipes."""

import os
import pty
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.cli.terminal import read_keys_from_terminal
from alongside.errors import WrongInput
from alongside.feeds.growing_file import FileReader
from alongside.feeds.inbox import FeedLine
from alongside.feeds.ports import reader_of
from alongside.feeds.standard_input import StdinReader
from alongside.runtime.line_queue import LineQueue
from alongside.stay.model import Feed, Source
from alongside.stay.ports import FilePort, StdinPort
from tests.feeds.stays import stay_with, tide
from tests.feeds.test_readers import Heard

TIDE = Source("tide", "XDR", names=("TIDE",))


@pytest.fixture
def log(tmp_path: Path) -> Path:
    return tmp_path / "gauges.log"


@pytest.fixture
def heard() -> Iterator[Heard]:
    with Heard() as collected:
        yield collected


def add(log: Path, *values: float, end: bytes = b"\r\n") -> None:
    with log.open("ab") as file:
        for value in values:
            file.write(tide(value) + end)


def following(heard: Heard, log: Path, from_start: bool = False) -> FileReader:
    reader = FileReader(FilePort(log.name, from_start), "gauges", heard, first_wait=0.05, folder=log.parent)
    heard.start(reader)
    return reader


@pytest.mark.parametrize("from_start", [False, True])
def test_a_file_is_read_from_its_end_unless_from_its_start(heard: Heard, log: Path, from_start: bool) -> None:
    add(log, 1.0, 2.0)
    reader = following(heard, log, from_start)
    heard.until(lambda: reader.status.open)
    add(log, 3.0)
    heard.until(lambda: tide(3.0) in heard.lines)
    assert heard.lines == ([tide(1.0), tide(2.0)] if from_start else []) + [tide(3.0)]


def test_half_a_line_at_the_end_is_read_when_it_is_whole(heard: Heard, log: Path) -> None:
    """Its second half alone may be a figure: 2.5 of 12.5."""
    log.write_bytes(b"level 11.5\nlevel 1")
    reader = following(heard, log)
    heard.until(lambda: reader.status.open)
    with log.open("ab") as file:
        file.write(b"2.5\nlevel 1")
    heard.until(lambda: bool(heard.lines))
    assert heard.lines == [b"level 12.5"]


def test_rotation_loses_no_line(heard: Heard, log: Path) -> None:
    add(log, 1.0)
    following(heard, log, from_start=True)
    heard.until(lambda: len(heard.lines) == 1)
    old = log.rename(log.with_suffix(".1"))
    add(old, 2.0)
    heard.until(lambda: len(heard.lines) == 2)
    add(log, 3.0)
    heard.until(lambda: len(heard.lines) == 3)
    assert heard.lines == [tide(1.0), tide(2.0), tide(3.0)]


def test_what_the_old_file_still_holds_comes_before_the_new_one(log: Path) -> None:
    inbox = LineQueue()
    add(log, 1.0)
    reader = FileReader(FilePort(str(log), True), "gauges", inbox)
    reader._open()
    put_all(reader)
    add(log, 2.0)
    log.rename(log.with_suffix(".1"))
    add(log, 3.0)
    put_all(reader)
    reader._close()
    assert [line.line for line in inbox.take()] == [tide(1.0), tide(2.0), tide(3.0)]


@pytest.mark.parametrize("written", [(5.0,), (5.0, 6.0, 7.0, 8.0)], ids=["shorter", "longer"])
def test_a_file_written_anew_is_read_from_its_start(
    heard: Heard, log: Path, written: tuple[float, ...]
) -> None:
    """Also where it is longer than before by the time it is looked at."""
    add(log, 1.0, 2.0)
    following(heard, log, from_start=True)
    heard.until(lambda: len(heard.lines) == 2)
    log.write_bytes(b"".join(tide(value) + b"\r\n" for value in written))
    heard.until(lambda: len(heard.lines) == 2 + len(written))
    assert heard.lines[2:] == [tide(value) for value in written]


def test_a_file_that_is_not_there_yet_is_waited_for(heard: Heard, log: Path) -> None:
    reader = following(heard, log)
    heard.until(lambda: f"{log}: no such file or directory, tried again in" in reader.status.note)
    add(log, 1.0)
    heard.until(lambda: heard.lines == [tide(1.0)])


def test_what_is_no_file_of_lines_says_what_was_expected(heard: Heard, log: Path) -> None:
    os.mkfifo(log)
    reader = following(heard, log)
    heard.until(lambda: "is a pipe, expected a file of lines that another" in reader.status.note)
    log.unlink()
    log.write_bytes(b"\x1f\x8b\x08")
    heard.until(lambda: "is gzipped, expected a file of lines" in reader.status.note)


def test_a_failure_costs_no_line(heard: Heard, log: Path) -> None:
    add(log, 1.0)
    reader = FileReader(FilePort(log.name, True), "gauges", heard, first_wait=0.05, folder=log.parent)
    stops = iter([False, True, True])
    reader.session(lambda: next(stops))
    with log.open("ab") as file:
        file.write(tide(2.0)[:9])
    stops = iter([False, True, True])
    reader.session(lambda: next(stops))
    with log.open("ab") as file:
        file.write(tide(2.0)[9:] + b"\n")
    stops = iter([False, True, True])
    reader.session(lambda: next(stops))
    assert heard.lines == [tide(1.0), tide(2.0)]


@given(st.lists(st.tuples(st.sampled_from(["add", "rotate", "cut", "half"]), st.integers(1, 3)), max_size=12))
def test_each_line_comes_once_whatever_becomes_of_the_file(deeds: list[tuple[str, int]]) -> None:
    inbox, expected, number = LineQueue(), [], 0
    with tempfile.TemporaryDirectory() as folder:
        log = Path(folder) / "gauges.log"
        log.write_bytes(b"")
        reader = FileReader(FilePort(str(log), True), "gauges", inbox, first_wait=0.0)
        reader._open()
        for deed, count in deeds:
            if deed == "rotate":
                log.rename(Path(folder) / f"old{number}")
            if deed in ("rotate", "cut"):
                log.write_bytes(b"")
            lines = [b"line %d" % (number + k) for k in range(count)]
            number += count
            for line in lines:
                for piece in (line[:3], line[3:] + b"\n") if deed == "half" else (line + b"\n",):
                    with log.open("ab") as file:
                        file.write(piece)
                    put_all(reader)
            expected += lines
        reader._close()
    assert [line.line for line in inbox.take()] == expected


def put_all(reader: FileReader) -> None:
    """Read until two looks in a row find nothing."""
    import alongside.feeds.growing_file as growing

    naps: list[float] = []
    sleep, growing.time.sleep = growing.time.sleep, naps.append
    try:
        while not naps:
            _, lines = reader._read()
            reader._inbox.put(FeedLine(0.0, "gauges", line) for line in lines)
    finally:
        growing.time.sleep = sleep


@pytest.fixture
def pipe() -> Iterator[int]:
    """Return the end to write into of what is standard input then."""
    read, write = os.pipe()
    before, StdinReader.descriptor = StdinReader.descriptor, read
    yield write
    StdinReader.descriptor = before
    os.close(read)


def test_standard_input_is_read_to_its_end(heard: Heard, pipe: int) -> None:
    reader = StdinReader(StdinPort(), "gauges", heard)
    heard.start(reader)
    heard.until(lambda: reader.status.open)
    for piece in (tide(1.0)[:9], tide(1.0)[9:] + b"\n" + tide(2.0) + b"\r\n", tide(3.0)):
        os.write(pipe, piece)
    os.close(pipe)
    heard.until(lambda: reader.status.ended)
    assert heard.lines == [tide(1.0), tide(2.0), tide(3.0)]
    assert reader.status.note == "standard input: has ended"
    reader.session(lambda: False)
    assert reader.status.ended


def test_a_terminal_as_standard_input_is_refused(heard: Heard, monkeypatch: pytest.MonkeyPatch) -> None:
    master, slave = os.openpty()
    monkeypatch.setattr(StdinReader, "descriptor", slave)
    reader = StdinReader(StdinPort(), "gauges", heard)
    reader.session(lambda: False)
    assert "is a terminal, expected a pipe or a file: PROGRAM | alongside" in reader.status.note
    os.close(master)
    os.close(slave)


def test_keys_come_from_the_terminal_where_a_feed_has_the_pipe() -> None:
    """In a child that has a terminal, and a pipe for standard input, as in `PROGRAM | alongside watch`."""
    read, write = os.pipe()
    os.write(write, b"from the pipe\n")
    child, master = pty.fork()
    if not child:
        status = 1
        try:
            os.dup2(read, 0)
            sys.stdin = os.fdopen(0)
            read_keys_from_terminal(stay_with(Feed("gauges", "udp:10110", (TIDE,))))
            assert not os.isatty(0)
            read_keys_from_terminal(stay_with(Feed("gauges", "stdin:", (TIDE,))))
            assert os.isatty(0)
            assert os.read(StdinReader.descriptor, 99) == b"from the pipe\n"
            status = 0
        finally:
            os._exit(status)
    _, status = os.waitpid(child, 0)
    for opened in (read, write, master):
        os.close(opened)
    assert status == 0


def test_readers_by_the_port_of_a_feed(heard: Heard, tmp_path: Path) -> None:
    reader = reader_of(Feed("a", "file:g.log", (TIDE,)), heard, tmp_path)
    assert isinstance(reader, FileReader)
    assert reader._path == tmp_path / "g.log"
    assert isinstance(reader_of(Feed("a", "stdin:", (TIDE,)), heard), StdinReader)
    with pytest.raises(WrongInput, match="expected file:PATH"):
        reader_of(Feed("a", "file:?from=start", (TIDE,)), heard)
