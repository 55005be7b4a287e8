"""A peer at full speed against the console itself, as a process on a terminal of its own."""

import multiprocessing
import os
import re
import signal
import socket
import sqlite3
import sys
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from alongside.alerts.delays import ON_DELAY_S
from alongside.feeds.pace import ALWAYS_PER_S, SPAN_S
from tests.bench.live import Process, stay_of
from tests.berth import sentence

pytestmark = pytest.mark.slow

SECONDS = 25.0
RAISED_S = ON_DELAY_S[0] + 5.0
"""A caution is raised so long after the span that calls for it, also where the machine is busy."""
SETTLED_S = 8.0
KEY_S, TERM_S = 1.0, 3.0
"""What a watch keeper is promised."""
MOST_MB = 400.0
"""It took 6000 without a bound, and was growing."""


def free_port(kind: int) -> int:
    with socket.socket(socket.AF_INET, kind) as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def tcp_peer(port: int, per_s: float) -> None:
    """Send to whoever connects, so many lines a second; 0: as fast as they are taken.

    Every channel is heard, so that nothing but the flood calls for an alert.
    """
    others = ["WLXDR,D,6.0,M,DRF,D,6.5,M,DRA,A,0.0,D,HEEL", "WIMWV,240.0,T,5.0,M,A"]
    tides = [f"WLXDR,D,{2 + k * 1e-4:.4f},M,TIDE" for k in range(998)]
    block = b"".join(sentence(line) + b"\r\n" for line in others + tides)
    with socket.create_server(("127.0.0.1", port)) as server:
        while True:
            connection, _ = server.accept()
            try:
                while True:
                    connection.sendall(block)
                    time.sleep(1000.0 / per_s if per_s else 0.0)
            except OSError:
                connection.close()


def udp_peer(port: int, per_s: float) -> None:
    line = sentence("WLXDR,D,2.000,M,TIDE") + b"\r\n"
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as sender:
        begun, sent = time.monotonic(), 0
        while True:
            sender.sendto(line, ("127.0.0.1", port))
            sent += 1
            if per_s and sent % 100 == 0:
                time.sleep(max(0.0, sent / per_s - (time.monotonic() - begun)))


@contextmanager
def flooded(folder: Path, kind: str, per_s: float) -> Iterator[Process]:
    """A watch on a feed that is flooded."""
    port = free_port(socket.SOCK_STREAM if kind == "tcp" else socket.SOCK_DGRAM)
    peer = multiprocessing.get_context("spawn").Process(
        target=tcp_peer if kind == "tcp" else udp_peer, args=(port, per_s), daemon=True
    )
    peer.start()
    place = f"tcp:127.0.0.1:{port}" if kind == "tcp" else f"udp:{port}"
    stay = folder / "stay.yaml"
    stay.write_text(re.sub(r"serial:X[^\",}]*", place, stay_of(16, "X")))
    command = [sys.executable, "-m", "alongside", "watch", str(stay), "--record", str(folder / "record")]
    process = Process(command, 120, 30, str(folder))
    try:
        yield process
    finally:
        peer.kill()
        try:
            os.kill(process.pid, signal.SIGKILL)
            os.waitpid(process.pid, 0)
        except (ProcessLookupError, ChildProcessError):
            pass


def answered(process: Process) -> float:
    """Seconds from the key for help to its page."""
    while process.read(0.0):
        pass
    begun, seen = time.monotonic(), b""
    os.write(process._terminal, b"?")
    while b"cknowledge" not in seen and time.monotonic() - begun < 20.0:
        seen += process.read(0.05)
    took = time.monotonic() - begun
    os.write(process._terminal, b"\x1b")
    return took


def ended(process: Process) -> float:
    """Seconds from SIGTERM to the end."""
    begun = time.monotonic()
    os.kill(process.pid, signal.SIGTERM)
    while os.waitpid(process.pid, os.WNOHANG) == (0, 0):
        assert time.monotonic() - begun < 20.0
        try:
            process.read(0.05)
        except OSError:
            time.sleep(0.02)
    return time.monotonic() - begun


def fullest_span(record: Path, until: float) -> float:
    """Lines a second in the fullest full ten seconds that ended by then: a busy machine takes fewer in."""
    spans: Counter[int] = Counter()
    for path in record.glob("feeds-*.log"):
        times = re.findall(rb"^\\[^\\]*?c:(\d{13})", path.read_bytes(), re.M)
        spans.update(int(at) // (1000 * int(SPAN_S)) for at in times)
    past = [lines for span, lines in spans.items() if (span + 1) * SPAN_S <= until]
    return max(past, default=0) / SPAN_S


@pytest.mark.parametrize(
    ("kind", "per_s"), [("tcp", 0.0), ("udp", 0.0), ("udp", 10_000.0), ("tcp", 10_000.0)]
)
def test_the_watch_lives_on(tmp_path: Path, kind: str, per_s: float) -> None:
    full_speed = kind == "tcp" and not per_s
    seconds = 2 * SPAN_S + RAISED_S + 5.0 if full_speed else SECONDS
    with flooded(tmp_path, kind, per_s) as process:
        keys, resident, begun, next_key = [], [], time.monotonic(), SETTLED_S
        while (at := time.monotonic() - begun) < seconds:
            process.read(0.1)
            resident.append(process.memory_mb())
            if at > next_key:
                keys.append(answered(process))
                next_key = at + 4.0
        assert max(resident) < MOST_MB
        # Of five and more one may fall upon a moment in which the machine does something else.
        assert sorted(keys)[-2] < KEY_S
        assert ended(process) < TERM_S
    with sqlite3.connect(tmp_path / "record" / "journal.sqlite") as journal:
        rows = journal.execute("select text from events where event = 'raised'").fetchall()
        times = [row[0] for row in journal.execute("select time from events order by time")]
    texts = " ".join(row[0] for row in rows)
    lines = sum(path.read_bytes().count(b"\n") for path in (tmp_path / "record").glob("feeds-*.log"))
    watched = times[-1] - times[0]
    assert lines < 20_000 * (watched + 2.0)
    if per_s:
        assert lines > 0.5 * per_s * (watched - 5.0), (
            "nearly all of them, also where a machine is slow to start"
        )
    fullest = fullest_span(tmp_path / "record", times[-1] - RAISED_S)
    if full_speed and fullest >= ALWAYS_PER_S:
        assert "lines a second" in texts
