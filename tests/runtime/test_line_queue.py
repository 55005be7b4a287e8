"""A feed at full speed: what waits is bounded, what is dropped counted."""

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.feeds.inbox import MOST_LINES, FeedLine
from alongside.runtime.feed_thread import FeedThread, lines_of, stop_all
from alongside.runtime.line_queue import LineQueue
from alongside.stay.model import Feed
from tests.feeds.stays import START, tide

WAIT_S = 20.0


def lines(first: int, count: int) -> list[FeedLine]:
    return [FeedLine(START + k, "net", b"%d" % k) for k in range(first, first + count)]


@given(st.lists(st.one_of(st.integers(0, 30), st.none()), max_size=30))
def test_of_too_many_the_oldest_are_dropped_and_counted(puts: list[int | None]) -> None:
    """None: a cycle takes."""
    queue, put, taken, waiting, dropped = LineQueue(most=20), 0, [], [], 0
    for count in puts:
        if count is None:
            taken += queue.take()
            waiting = []
        else:
            queue.put_newest(lines(put, count))
            waiting += list(range(put, put + count))
            dropped += max(0, len(waiting) - 20)
            waiting, put = waiting[-20:], put + count
    assert [line.line for line in queue.take()] == [b"%d" % k for k in waiting]
    assert queue.dropped == dropped
    assert len(taken) + len(waiting) + dropped == put


def test_a_cycle_takes_no_more_than_its_share_and_the_rest_later() -> None:
    queue = LineQueue(most=20)
    queue.put(lines(0, 50))
    assert [len(queue.take()) for _ in range(4)] == [20, 20, 10, 0]
    assert queue.dropped == 0
    assert not queue.dropping


def test_who_can_wait_is_made_to_wait() -> None:
    queue = LineQueue(most=20)
    queue.put(lines(0, 20))
    assert not queue.has_room(0.01)
    threading.Timer(0.05, queue.take).start()
    begun = time.monotonic()
    assert queue.has_room(WAIT_S)
    assert time.monotonic() - begun < WAIT_S / 2


@contextmanager
def reading(port: str) -> Iterator[FeedThread]:
    feed = FeedThread(Feed("net", port, ()))
    feed.start()
    try:
        yield feed
    finally:
        begun = time.monotonic()
        stop_all([feed])
        assert time.monotonic() - begun < 3.0


@pytest.mark.slow
def test_a_tcp_peer_at_full_speed_has_to_wait_and_nothing_is_lost() -> None:
    """Lines are numbered: none may be missing, however slowly they are taken."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        sent = [0]

        def flood() -> None:
            connection, _ = server.accept()
            with connection:
                try:
                    while True:
                        connection.sendall(b"".join(b"%d\r\n" % k for k in range(sent[0], sent[0] + 5000)))
                        sent[0] += 5000
                except OSError:
                    return

        peer = threading.Thread(target=flood, daemon=True)
        peer.start()
        with reading(f"tcp:127.0.0.1:{server.getsockname()[1]}") as feed:
            stood = -1
            while stood != sent[0]:
                stood = sent[0]
                time.sleep(0.5)
            assert MOST_LINES < stood < 3_000_000, "the peer waits"
            heard: list[bytes] = []
            while len(heard) < stood // 2:
                came = lines_of([feed])
                assert len(came) <= MOST_LINES
                heard += [line.line for line in came]
            assert heard == [b"%d" % k for k in range(len(heard))]
            assert feed.status.dropped == 0
            assert len(feed.inbox._lines) < MOST_LINES + 40_000
        peer.join(WAIT_S)


def test_a_udp_sender_at_full_speed_loses_its_oldest() -> None:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    with reading(f"udp:{port}") as feed, socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as sender:
        until = time.monotonic() + WAIT_S
        while not feed.status.open:
            assert time.monotonic() < until
            time.sleep(0.01)
        sent = 0
        while not feed.inbox.dropped:
            assert time.monotonic() < until
            for _ in range(1000):
                sender.sendto(b"\n".join(b"%d" % k for k in range(sent, sent + 10)), ("127.0.0.1", port))
                sent += 10
        newest, alike = -1, 0
        while alike < 10:
            alike = alike + 1 if feed.inbox.dropped == newest else 0
            newest = feed.inbox.dropped
            time.sleep(0.02)
        came = [int(line.line) for line in lines_of([feed])]
        assert len(came) == MOST_LINES
        assert came == sorted(came)
        assert came[-1] > sent - MOST_LINES, "the newest are kept"
        assert feed.status.dropping
        assert tide(2.0)  # the feed is as any other
