"""Numbers of lines by IEC 61162-450: what is missing, twice, late, and the same from a log.

That numbers run 1 to 999 and begin at 1 again is from memory of the standard.
"""

import random
import socket
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.feeds.inbox import FeedLine
from alongside.feeds.intake import Intake
from alongside.feeds.line_numbers import MOST_SOURCES, RECENT, ROUND, FeedNumbers, NumberedSource
from alongside.feeds.log import FeedLog
from alongside.feeds.network import UdpReader
from alongside.feeds.sentence import checksum, read_tags
from alongside.readings import LineNumbers
from alongside.stay.ports import UdpPort
from alongside.wording.names import line_numbers
from tests.feeds.stays import START, tide, tide_gauge, write_log
from tests.feeds.test_readers import Heard, free_port


def counts(*numbers: int) -> tuple[int, int, int, int]:
    """Return missing, repeated, late, restarts."""
    source = NumberedSource()
    for number in numbers:
        source.hear(number)
    assert source.heard == len(numbers)
    return source.missing, source.repeated, source.late, source.restarts


@pytest.mark.parametrize(
    ("numbers", "expected"),
    [
        ((7, 8, 9), (0, 0, 0, 0)),
        ((998, 999, 1, 2), (0, 0, 0, 0)),
        ((998, 999, 0, 1, 2), (0, 0, 0, 0)),
        ((7, 8, 12), (3, 0, 0, 0)),
        ((998, 2), (2, 0, 0, 0)),
        ((7, 8, 8, 9), (0, 1, 0, 0)),
        ((7, 8, 7, 8, 9), (0, 2, 0, 0)),
        ((7, 9, 8, 10), (0, 0, 1, 0)),
        ((999, 2, 1, 3), (0, 0, 1, 0)),
        ((500, 1, 2), (0, 0, 0, 1)),
        ((7, 907, 908), (899, 0, 0, 0)),
    ],
)
def test_what_numbers_say(numbers: tuple[int, ...], expected: tuple[int, int, int, int]) -> None:
    assert counts(*numbers) == expected


def after(start: int, count: int) -> list[int]:
    return [(start - 1 + k) % ROUND + 1 for k in range(count)]


@given(st.integers(1, ROUND), st.lists(st.booleans(), min_size=2, max_size=300))
def test_every_line_that_is_gone_is_missing(start: int, kept: list[bool]) -> None:
    """Runs of lost lines shorter than what begins a source anew."""
    kept = [True, *(keep or at % RECENT == 0 for at, keep in enumerate(kept)), True]
    numbers = [number for number, keep in zip(after(start, len(kept)), kept, strict=True) if keep]
    assert counts(*numbers) == (kept.count(False), 0, 0, 0)


@given(st.integers(1, ROUND), st.integers(2, 300), st.integers(0, 2**32 - 1))
def test_lines_in_disorder_are_neither_missing_nor_twice(start: int, count: int, seed: int) -> None:
    numbers = after(start, count)
    order = random.Random(seed)
    for at in range(2, count - 3, 4):
        swapped = numbers[at : at + 3]
        order.shuffle(swapped)
        numbers[at : at + 3] = swapped
    missing, repeated, _, restarts = counts(*numbers)
    assert (missing, repeated, restarts) == (0, 0, 0)


@given(st.lists(st.integers(0, 999), max_size=200))
def test_no_numbers_give_less_than_nothing(numbers: list[int]) -> None:
    assert all(count >= 0 for count in counts(*numbers))


def test_sources_and_senders_are_apart_and_not_without_end() -> None:
    numbers = FeedNumbers()
    for at in range(MOST_SOURCES + 50):
        numbers.hear(f"10.0.0.{at}", b"WI0001", 1)
    numbers.hear("10.0.0.1", b"WI0001", 3)
    assert len(numbers.all()) == MOST_SOURCES
    assert numbers.all()[1] == LineNumbers("WI0001", "10.0.0.1", 2, 1, 0, 0, 0)
    assert not numbers.all()[0].flawed
    assert numbers.all()[1].flawed


def tagged(body: bytes) -> bytes:
    return b"\\%s*%02X\\" % (body, checksum(body))


def numbered(number: int, line: bytes, source: bytes = b"WI0001") -> bytes:
    return tagged(b"s:%s,n:%d" % (source, number)) + line


@pytest.mark.parametrize(
    ("blocks", "number"),
    [
        ((b"s:WI0001,n:23",), 23),
        ((b"n:23,s:WI0001",), 23),
        ((b"s:net,c:1772424000250,t:from 10.0.0.5", b"s:WI0001,n:23"), 23),
        ((b"s:WI0001,n:1000",), -1),
        ((b"s:WI0001,n:",), -1),
        ((b"s:WI0001,n:-1",), -1),
        ((b"s:WI0001",), -1),
    ],
)
def test_the_number_in_tag_blocks(blocks: tuple[bytes, ...], number: int) -> None:
    tag = read_tags(b"".join(tagged(block) for block in blocks))
    assert tag.number == number
    assert tag.numbered_by == (b"WI0001" if number >= 0 else b"")


def some_lines() -> list[FeedLine]:
    """Numbered lines of two senders, some of them broken, in pieces of the round; plain ones between."""
    lines = []
    for k in range(2500):
        broken = tide(1.0) if k % 11 else tide(1.0)[:-1] + b"!"
        if k % 7 != 3:
            lines.append(FeedLine(START + k / 10.0, "gauges", numbered(k % 999 + 1, broken), "10.0.0.5"))
        if k % 5 == 0:
            other = numbered(k // 5 % 999 + 1, tide(2.0), b"TI0002")
            lines += [FeedLine(START + k / 10.0, "gauges", other, "10.0.0.7")] * (2 if k % 50 == 0 else 1)
            lines.append(FeedLine(START + k / 10.0, "gauges", tide(3.0), "10.0.0.9"))
    return lines


def test_a_log_counts_as_the_live_watch_did(tmp_path: Path) -> None:
    stay = tide_gauge()
    live = Intake(stay)
    for time, feed, line, sender in some_lines():
        live.take(time, feed, line, sender)
    replayed = Intake(stay)
    for batch in FeedLog(write_log(tmp_path / "feeds.log", some_lines())):
        replayed.take_batch(batch)
    first, second = live.numbers["gauges"].all()
    assert replayed.numbers["gauges"].all() == (first, second)
    lost = len([k for k in range(2500) if k % 7 == 3])
    assert (first.source, first.sender, first.heard, first.missing) == (
        "WI0001",
        "10.0.0.5",
        2500 - lost,
        lost,
    )
    assert (second.source, second.repeated, second.missing) == ("TI0002", 50, 0)
    live.restart()
    assert not live.numbers["gauges"].all()


def test_lines_of_a_part_of_a_log_keep_their_numbers(tmp_path: Path) -> None:
    (batch,) = FeedLog(write_log(tmp_path / "feeds.log", some_lines()[:400]))
    keep = [at % 3 == 0 for at in range(len(batch))]
    part = batch.where(keep)
    by_place = {at: number for at, _, number in batch.numbered}
    kept = np.flatnonzero(keep).tolist()
    assert part.numbered
    for at, _, number in part.numbered:
        assert by_place[kept[at]] == number


def test_datagrams_without_sentences_are_not_read() -> None:
    with Heard() as heard:
        port = free_port(socket.SOCK_DGRAM)
        reader = UdpReader(UdpPort(port), "net", heard)
        heard.start(reader)
        heard.until(lambda: reader.status.open)
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as sender:
            for datagram in (
                b"RaUdP\0\x01\x02",
                b"NkPgN\0\x01",
                b"UdPbC\0" + numbered(1, tide(1.0)) + b"\r\n",
            ):
                sender.sendto(datagram, ("127.0.0.1", port))
        heard.until(lambda: len(heard.lines) == 1)
        assert heard.lines == [numbered(1, tide(1.0))]
        assert reader.others == 2


def test_the_words() -> None:
    assert line_numbers("WI0001", "10.0.0.5", 1203, 3, 1, 0, 0) == (
        "WI0001 from 10.0.0.5: 3 of 1206 numbered lines missing, 1 repeated"
    )
    assert line_numbers("", "", 5, 0, 0, 2, 1) == (
        "no source: 0 of 5 numbered lines missing, 2 late, began anew 1 time"
    )
