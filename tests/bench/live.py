"""The live console as a process on a pseudo-terminal: 24 lines, a gauge at 1 Hz, a screen that is read."""

import fcntl
import os
import pty
import select
import struct
import sys
import tempfile
import termios
import time
import tty
from pathlib import Path

from tests.bench.replay import STAY, sentence

WATCHED_S = 60.0
SETTLE_S = 10.0
LINES = 24


def stay_of(lines: int, port: str) -> str:
    """The timing stay with as many lines, the further ones beside those that are there."""
    text = STAY.read_text().replace("/dev/ttyUSB0", port)
    rows = [row for row in text.splitlines() if row.startswith('  - {id: "')]
    more = [row.replace('{id: "', '{id: "9') for row in rows[: lines - len(rows)]]
    return text.replace(rows[-1], "\n".join([rows[-1], *more]))


class Process:
    """A command on a pseudo-terminal of its own, whose output is read and counted."""

    def __init__(self, command: list[str], columns: int, rows: int, folder: str) -> None:
        self.begun = time.perf_counter()
        self.pid, self._terminal = pty.fork()
        if self.pid == 0:
            os.environ.update(TERM="xterm-256color", COLORTERM="truecolor", XDG_STATE_HOME=folder)
            os.execv(command[0], command)
        fcntl.ioctl(self._terminal, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        self.written = 0

    def read(self, seconds: float) -> bytes:
        """What it writes within so long, at least one piece if there is any."""
        if not select.select([self._terminal], [], [], seconds)[0]:
            return b""
        data = os.read(self._terminal, 1 << 16)
        self.written += len(data)
        return data

    def cpu_s(self) -> float:
        fields = Path(f"/proc/{self.pid}/stat").read_text().rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def memory_mb(self) -> float:
        status = Path(f"/proc/{self.pid}/status").read_text()
        return int(next(row for row in status.splitlines() if row.startswith("VmRSS")).split()[1]) / 1024.0

    def end(self) -> None:
        os.kill(self.pid, 15)
        while os.waitpid(self.pid, os.WNOHANG) == (0, 0):
            try:
                self.read(0.1)
            except OSError:
                time.sleep(0.05)
        os.close(self._terminal)


def watched(columns: int, rows: int) -> list[tuple[str, float, str]]:
    master, slave = pty.openpty()
    tty.setraw(slave)
    with tempfile.TemporaryDirectory() as folder:
        stay = Path(folder) / "stay.yaml"
        stay.write_text(stay_of(LINES, os.ttyname(slave)))
        command = [sys.executable, "-m", "alongside", "watch", str(stay)]
        process = Process(command, columns, rows, folder)
        seen = b""
        while b"Timing" not in seen:
            seen += process.read(5.0)
        first = time.perf_counter() - process.begun
        _feed(process, master, SETTLE_S)
        cpu, written = process.cpu_s(), process.written
        _feed(process, master, WATCHED_S)
        cpu, written = process.cpu_s() - cpu, process.written - written
        memory = process.memory_mb()
        process.end()
    os.close(master)
    os.close(slave)
    what = f"{LINES} lines at {columns}x{rows}: "
    return [
        (what + "from start to the first screen", first, "s"),
        (what + "of one core", 100.0 * cpu / WATCHED_S, "%"),
        (what + "resident memory", memory, "MB"),
        (what + "bytes to the terminal", written / WATCHED_S, "B/s"),
    ]


def _feed(process: Process, gauge: int, seconds: float) -> None:
    """Say tide, draughts, heel and wind once a second, and read the screen meanwhile."""
    until = time.perf_counter() + seconds
    said = 0.0
    while (now := time.perf_counter()) < until:
        if now - said >= 1.0:
            said = now
            tide = 2.0 + (now % 1000.0) / 500.0
            for text in (
                f"WLXDR,D,{tide:.3f},M,TIDE",
                f"YXXDR,D,{8.0 + tide / 50:.2f},M,DRF,D,{8.6 + tide / 50:.2f},M,DRA",
                f"YXXDR,A,{tide / 10:.2f},D,HEEL",
                f"WIMWV,{int(now) % 40 + 120},R,{8 + tide:.1f},M,A",
            ):
                os.write(gauge, sentence(text))
        process.read(0.05)


def run() -> list[tuple[str, float, str]]:
    return watched(120, 30) + watched(160, 50)
