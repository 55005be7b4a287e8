"""What `listen` takes of a core while a feed sends ten thousand sentences a second, over TCP and UDP; beside
it the plain way, splitting the same lines and nothing else."""

import os
import socket
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from time import perf_counter
from typing import Final

from alongside.feeds.sentence import sentence
from tests.berth import STAY_TEXT, write_stay

PER_S: Final = 10_000
SECONDS: Final = float(os.environ.get("ALONGSIDE_BENCH_SECONDS", "10"))
A_BURST: Final = 100
"""Sentences in a hundredth of a second."""
SERIAL: Final = "serial:/dev/ttyUSB0?baud=4800"


def lines() -> list[bytes]:
    """Return sentences of three channels, and one that nobody listens to."""
    gauges = "WLXDR,D,{:.2f},M,TIDE,D,{:.2f},M,DRF,D,4.5,M,DRA"
    bodies = [gauges.format(2 + k % 90 / 100, 4 + k % 70 / 100) for k in range(A_BURST)]
    bodies[::4] = [f"WIMWV,{k % 360}.0,R,10.{k % 10},N,A" for k in range(len(bodies[::4]))]
    return [sentence(body) + b"\r\n" for body in bodies]


def _cpu_of(process: subprocess.Popen[bytes]) -> float:
    """Return seconds of a core that a process has used."""
    fields = Path(f"/proc/{process.pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def _share_of_a_core(port: str, send: socket.socket, tcp: bool) -> float:
    with tempfile.TemporaryDirectory() as folder:
        stay = write_stay(Path(folder), STAY_TEXT.replace(SERIAL, port))
        command = [sys.executable, "-m", "alongside", "listen", str(stay), "--seconds", str(SECONDS + 20.0)]
        with subprocess.Popen(command, stdout=subprocess.DEVNULL) as process:
            if tcp:
                send, _ = send.accept()
            else:
                _wait_until_heard(send)
            burst = lines()
            whole = b"".join(burst)
            _send_for(3.0, send, whole, burst, tcp)
            before, begun = _cpu_of(process), perf_counter()
            _send_for(SECONDS, send, whole, burst, tcp)
            share = (_cpu_of(process) - before) / (perf_counter() - begun)
            process.terminate()
        send.close()
    return share


def _wait_until_heard(send: socket.socket) -> None:
    """Send until nobody refuses."""
    refused = True
    while refused:
        refused = False
        try:
            for _ in range(5):
                send.send(b"\r\n")
                time.sleep(0.1)
        except ConnectionRefusedError:
            refused = True


def _send_for(seconds: float, send: socket.socket, whole: bytes, burst: list[bytes], tcp: bool) -> None:
    begun = perf_counter()
    for k in range(round(seconds * PER_S / A_BURST)):
        time.sleep(max(0.0, begun + k * A_BURST / PER_S - perf_counter()))
        if tcp:
            send.sendall(whole)
        else:
            for line in burst:
                send.send(line)


def run() -> list[tuple[str, float, str]]:
    """Figures as (what, figure, unit)."""
    server = socket.create_server(("127.0.0.1", 0))
    of_tcp = _share_of_a_core(f"tcp:127.0.0.1:{server.getsockname()[1]}", server, tcp=True)
    server.close()
    datagrams = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
    datagrams.bind(("127.0.0.1", 0))
    port = datagrams.getsockname()[1]
    datagrams.close()
    sender = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
    sender.connect(("127.0.0.1", port))
    time.sleep(0.1)
    of_udp = _share_of_a_core(f"udp:{port}?on=127.0.0.1", sender, tcp=False)
    burst = lines()
    begun = perf_counter()
    for _ in range(100):
        for line in burst:
            line.strip().split(b",")
    plain = (perf_counter() - begun) / (100 * A_BURST) * PER_S
    return [
        ("listen at 10,000 sentences a second over TCP", of_tcp * 100.0, "% of a core"),
        ("listen at 10,000 sentences a second over UDP", of_udp * 100.0, "% of a core"),
        ("splitting as many lines at commas, nothing else", plain * 100.0, "% of a core"),
    ]
