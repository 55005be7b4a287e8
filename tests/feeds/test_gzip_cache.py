"""Logs that another program packed in one piece, packed anew once: the same from any time on, whatever else
happens to the log, the disk and the cache."""

import gzip
import os
import shutil
import subprocess
import sys
import zlib
from collections import namedtuple
from concurrent.futures import ProcessPoolExecutor
from itertools import pairwise
from multiprocessing import get_context
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.feeds import gzip_cache
from alongside.feeds.flaws import Flawed
from alongside.feeds.gzip_members import seek_member
from alongside.feeds.gzip_text import LONGEST, PIECE, TextInMembers, _latest
from alongside.feeds.log import FeedLog
from alongside.feeds.sentence import NAN, checksum, split_tags, tag_block
from tests.feeds.stays import START, tide, write_log
from tests.feeds.test_logs import read_from, spiced

LINES = 60_000
TIMES = (0.0, 20_000.0, 30_400.0, 31_000.0, 45_678.5, 60_899.0, 70_000.0)


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of the cache, not there yet."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setattr(gzip_cache, "LEAST_BYTES", 1 << 16)
    return tmp_path / "cache" / "alongside" / "logs"


@pytest.fixture(scope="module")
def text(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """Lines of 17 hours, with a silence of 15 minutes in the middle."""
    level = np.random.default_rng(4).uniform(0.0, 9.0, LINES)
    lines = [(START + k, "gauges", tide(2.0 + each)) for k, each in enumerate(level.tolist())]
    lines[30_000:] = [(time + 900.0, source, line) for time, source, line in lines[30_000:]]
    return write_log(tmp_path_factory.mktemp("log") / "a.log", lines).read_bytes()


def foreign(folder: Path, text: bytes, name: str = "a.log.gz") -> Path:
    path = folder / name
    path.write_bytes(gzip.compress(text))
    return path


def kept_in(cache: Path) -> list[Path]:
    return sorted(cache.iterdir()) if cache.exists() else []


@pytest.mark.slow
def test_it_is_packed_anew_once_and_gives_the_same_from_any_time(
    tmp_path: Path, cache: Path, text: bytes
) -> None:
    log, plain = foreign(tmp_path, text), tmp_path / "plain.log"
    plain.write_bytes(text)
    before = log.read_bytes()
    assert [each.note for each in [FeedLog(log)] if list(each)] == [""]
    assert kept_in(cache) == [], "read from the beginning there is nothing to look for"
    for start in TIMES:
        assert read_from(log, START + start) == read_from(plain, START + start)
        (kept,) = kept_in(cache)
    assert gzip.decompress(kept.read_bytes()) == text
    assert log.read_bytes() == before
    assert kept.stat().st_mode & 0o077 == 0, "what gauges said is for the user alone"
    made = kept.stat().st_ino
    moved = log.rename(tmp_path / "moved.log.gz")
    read_from(moved, START + 50_000.0)
    assert [each.stat().st_ino for each in kept_in(cache)] == [made], "once, whatever it is called"


def test_little_is_read_of_it_afterwards(tmp_path: Path, cache: Path, text: bytes) -> None:
    log = foreign(tmp_path, text)
    read_from(log, START)
    with log.open("rb") as file, gzip_cache.in_members(file) as kept:  # type: ignore[union-attr]
        assert seek_member(kept, START + 55_000.0)
        rest = gzip.decompress(kept.read())
        assert len(rest) < len(text) - rest.count(b"\n") * 2
        assert LINES - 55_000 < rest.count(b"\n") < LINES - 55_000 + 900 + 600 + PIECE // 40


@pytest.mark.parametrize("gap_s", [0.0, 2000.0])
def test_times_that_are_wrong_by_far_hide_nothing(
    tmp_path: Path, cache: Path, gap_s: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(gzip_cache, "LEAST_BYTES", 0)
    plain = write_log(tmp_path / "a.log", spiced(gap_s))
    log = foreign(tmp_path, plain.read_bytes())
    without = [read_from(log, START + start) for start in range(0, 10_000, 487)]
    assert len(kept_in(cache)) == 1
    monkeypatch.setattr(gzip_cache, "LEAST_BYTES", 1 << 30)
    assert without == [read_from(log, START + start) for start in range(0, 10_000, 487)]


@pytest.mark.slow
def test_a_log_that_changed_is_another(tmp_path: Path, cache: Path, text: bytes) -> None:
    log = foreign(tmp_path, text)
    read_from(log, START)
    with log.open("ab") as file:
        file.write(gzip.compress(tag_block(b"gauges", START + 60_905.0) + tide(2.0) + b"\r\n"))
    assert read_from(log, START + 60_890.0)[0][-1][0] == START + 60_905.0
    state, other = log.stat(), gzip.compress(text.partition(b"\n")[2])
    log.write_bytes(other.ljust(state.st_size, b"\0"))
    os.utime(log, ns=(state.st_atime_ns, state.st_mtime_ns))
    assert read_from(log, START)[0][0][0] == START + 1.0, "of the same size and time, but not the same"


@pytest.mark.slow
@pytest.mark.parametrize("damage", ["breaks off", "is damaged"])
def test_a_log_that_is_not_whole_is_read_as_it_is(
    tmp_path: Path, cache: Path, text: bytes, damage: str
) -> None:
    log = foreign(tmp_path, text)
    packed = bytearray(log.read_bytes())
    if damage == "breaks off":
        del packed[-1000:]
    else:
        packed[-1000:-900] = b"\xff" * 100
    log.write_bytes(packed)
    feed = FeedLog(log, START + 40_000.0)
    assert sum(map(len, feed)) > 15_000
    assert damage in feed.note
    assert kept_in(cache) == []


Usage = namedtuple("Usage", "total used free")


def test_without_room_or_a_place_it_is_read_as_it_is(
    tmp_path: Path, cache: Path, text: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    log = foreign(tmp_path, text)
    expected = read_from(log, START + 31_000.0)
    shutil.rmtree(cache)
    with monkeypatch.context() as patch:
        patch.setattr(shutil, "disk_usage", lambda _path: Usage(10**9, 10**9, 10**6))
        assert read_from(log, START + 31_000.0) == expected
        assert kept_in(cache) == []
    shutil.rmtree(tmp_path / "cache")
    (tmp_path / "cache").write_text("a file in the place of the folder")
    assert read_from(log, START + 31_000.0) == expected


@pytest.mark.skipif(sys.platform != "linux", reason="/dev/full, and limits of a file's size")
def test_a_disk_that_fills_up_meanwhile_costs_nothing(tmp_path: Path, cache: Path, text: bytes) -> None:
    """A limit of the system on the size of any file, which fails in mid-write as a full disk does."""
    log = foreign(tmp_path, text)
    code = (
        "import resource, signal, sys\nfrom alongside.feeds import gzip_cache\n"
        "from alongside.feeds.log import FeedLog\n"
        "gzip_cache.LEAST_BYTES = 0\nsignal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, 100_000))\n"
        "print(sum(map(len, FeedLog(sys.argv[1], float(sys.argv[2])))))"
    )
    ended = subprocess.run(
        [sys.executable, "-c", code, log, str(START + 40_000.0)], capture_output=True, text=True
    )
    assert (ended.stdout, ended.stderr) == (f"{LINES - 40_000 + 900}\n", "")
    assert kept_in(cache) == []


@pytest.mark.slow
def test_what_was_used_longest_ago_makes_room(
    tmp_path: Path, cache: Path, text: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    logs = [foreign(tmp_path, text[: -100 * k or None], f"{k}.log.gz") for k in range(4)]
    names = []
    for at, log in enumerate(logs[:3]):
        read_from(log, START)
        (name,) = set(kept_in(cache)) - set(names)
        names.append(name)
        os.utime(name, (at + 1.0, at + 1.0))
    read_from(logs[0], START)  # used again, so it is the second that goes
    size = names[0].stat().st_size
    monkeypatch.setattr(gzip_cache.KEPT, "most", 3 * size + size // 2)
    left = cache / "log-killed.part"
    left.write_bytes(b"half")
    os.utime(left, (1.0, 1.0))
    (cache / "log-at-work.part").write_bytes(b"half")
    read_from(logs[3], START)
    assert not left.exists()
    assert (cache / "log-at-work.part").exists()
    assert not names[1].exists()
    assert len(list(cache.glob("*.log.gz"))) == 3
    monkeypatch.setattr(gzip_cache.KEPT, "most", size)
    (tmp_path / "5.log.gz").write_bytes(gzip.compress(text[:-50]))
    read_from(tmp_path / "5.log.gz", START)
    assert not [each for each in cache.glob("*.log.gz") if each not in names and each.stat().st_size < 100]


def from_time(arguments: tuple[str, str, float]) -> int:
    """Return how many lines come from a time on, with the cache in a folder."""
    os.environ["XDG_CACHE_HOME"] = arguments[0]
    gzip_cache.LEAST_BYTES = 0  # type: ignore[misc]
    return sum(map(len, FeedLog(arguments[1], arguments[2])))


@pytest.mark.slow
def test_several_processes_at_once(tmp_path: Path, cache: Path, text: bytes) -> None:
    log = foreign(tmp_path, text)
    asked = [(str(tmp_path / "cache"), str(log), START + 40_000.0)] * 8
    with ProcessPoolExecutor(4, get_context("spawn")) as pool:
        assert set(pool.map(from_time, asked)) == {LINES - 40_000 + 900}
    (kept,) = kept_in(cache)
    assert gzip.decompress(kept.read_bytes()) == text


@given(
    st.lists(st.sampled_from([b"$X*00", b"\n", b"\r", b"\r\n", b"a" * PIECE, b"\\s:a,c:1800000000*0B\\"])),
    st.integers(1, 3),
)
def test_text_in_members_is_the_same_text(pieces: list[bytes], times: int) -> None:
    pieces = pieces * times
    packing = TextInMembers()
    packed = b"".join([*map(packing.compress, pieces), packing.finish()])
    assert gzip.decompress(packed) == b"".join(pieces)


def test_each_member_begins_with_a_line() -> None:
    lines = [b"%d " % k + b"x" * (k % 300) + (b"\r\n", b"\n", b"\r")[k // 9000] for k in range(27_000)]
    whole = b"".join(tag_block(b"a", START + 10.0 * k) + line for k, line in enumerate(lines))
    packing = TextInMembers()
    packed = b"".join(packing.compress(whole[at : at + 7001]) for at in range(0, len(whole), 7001))
    packed += packing.finish()
    begun = 0
    while packed:
        member = zlib.decompressobj(wbits=31)
        assert member.decompress(packed).startswith(b"\\s:a,c:")
        packed, begun = member.unused_data, begun + 1
    assert begun > 50
    assert len(TextInMembers().compress(b"x" * (LONGEST - 1))) < LONGEST // 100


@given(
    st.lists(
        st.tuples(
            st.sampled_from([0, 1, 2, 700, -700, 90_000, -90_000]),
            st.sampled_from(["plain", "seconds", "none", "two", "second", "point", "wrong", "text"]),
        ),
        max_size=30,
    ),
    st.sampled_from([b"\r\n", b"\n", b"\r"]),
)
def test_the_latest_time_is_the_one_that_a_log_says(steps: list[tuple[int, str]], line_end: bytes) -> None:
    """Ours, line by line as the reader of a log has it: the greatest of the lesser of two in a row."""
    at, lines = START, []
    for step, kind in steps:
        at += step
        body = b"s:a,c:%d" % at
        own, half, other = (
            b"\\%s*%02X\\" % (each, checksum(each))
            for each in (body, b"s:a,c:%d.5" % at, b"s:b,n:2,c:1714564800")
        )
        lines.append({
            "plain": tag_block(b"a", at), "seconds": own, "none": b"", "two": own + other,
            "second": b"\\s:x*4B\\" + own, "point": half, "wrong": own.replace(b"c:", b"c:9"),
            "text": b"$X," + own,
        }[kind] + b"$AB,1\\c:99*00" + line_end)  # fmt: skip
    times = [split_tags_or_none(line) for line in lines]
    known = [time for time in times if time == time]
    expected = max((min(pair) for pair in pairwise(known)), default=0.0)
    found = _latest(b"".join(lines))
    assert found >= expected, "too late a time is only slow, too early a one is wrong"
    if not any(kind == "wrong" for _, kind in steps):
        assert found == expected


def split_tags_or_none(line: bytes) -> float:
    try:
        return split_tags(line)[0].time
    except Flawed:
        return NAN
