"""A batch: two processes beside one, and many short stays in one run: its cost by stay, and its memory.

Beside others at work two processes gain less, so the load of the machine is printed too, and what the seconds
of processor time alone allow: twice those with one process by those with two.
"""

import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

LONG, LONG_HOURS = 8, 72.0
FEW, SOME, MANY, SHORT_S = 100, 500, 1000, 60
WATCH = """
import multiprocessing, resource, sys, threading, time
from pathlib import Path
from alongside.cli.main import main
most = [0, 0]
def look():
    while True:
        for child in multiprocessing.active_children():
            try:
                text = Path(f"/proc/{child.pid}/status").read_text()
            except OSError:
                continue
            rss = [int(row.split()[1]) for row in text.splitlines() if row.startswith("VmRSS")]
            most[1] = max(most[1], *rss, 0)
        time.sleep(0.05)
if __name__ == "__main__":
    threading.Thread(target=look, daemon=True).start()
    status = main(sys.argv[1:])
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, most[1], file=sys.stderr)
    sys.exit(status)
"""


@dataclass(frozen=True)
class Run:
    """Seconds by the clock and of processors; the most memory of the command and of one process, MB."""

    wall: float
    cpu: float
    here: float
    there: float


def run_batch(folder: Path, out: Path, jobs: int) -> Run:
    script = folder.parent / "watched.py"
    script.write_text(WATCH)
    command = [sys.executable, script, "batch", folder, "--out", out, "--jobs", str(jobs), "--no-ahead"]
    begun, used = time.perf_counter(), of_children()
    ended = subprocess.run(command, check=True, capture_output=True, text=True)
    wall, cpu = time.perf_counter() - begun, of_children() - used
    here, there = ended.stderr.split()[-2:]
    return Run(wall, cpu, int(here) / 1024.0, int(there) / 1024.0)


def of_children() -> float:
    """Return the seconds of processor time of all processes that have ended."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def run() -> Iterator[tuple[str, float, str]]:
    with tempfile.TemporaryDirectory() as name:
        root = Path(name)
        write_stays(root)
        yield "load of the machine as it begins", os.getloadavg()[0], ""
        one, two = run_batch(root / "long", root / "one", 1), run_batch(root / "long", root / "two", 2)
        yield f"{LONG} stays of {LONG_HOURS:.0f} h, one process", one.wall, "s"
        yield "two processes", two.wall, "s"
        yield "two beside one", one.wall / two.wall, "x"
        yield "as processor time allows", 2.0 * one.cpu / two.cpu, "x"
        runs = {count: run_batch(root / str(count), root / f"out{count}", 2) for count in (FEW, SOME, MANY)}
        few = runs[FEW]
        for count, each in runs.items():
            yield f"{count} stays of {SHORT_S} s, two processes", each.wall, "s"
            yield "  processor time of a stay", each.cpu / count * 1e3, "ms"
            yield "  most memory of the command", each.here, "MB"
            yield "  most memory of a process", each.there, "MB"
        many = runs[MANY]
        late, early = added_by(runs[SOME], many, MANY - SOME), added_by(few, runs[SOME], SOME - FEW)
        yield f"a stay more after {SOME}, of one before", late / early, "x"
        again = run_batch(root / str(MANY), root / f"out{MANY}", 2)
        yield f"{MANY} of them that are there already", again.wall, "s"
        yield "  of playing them", again.cpu / many.cpu, "x"


def added_by(fewer: Run, more: Run, stays: int) -> float:
    """Return the processor time of a stay more, s."""
    return (more.cpu - fewer.cpu) / stays


def write_stays(root: Path) -> None:
    """Write few long stays, of one log, and folders of short ones, each with a log of its own."""
    from tests.bench.replay import STAY, write_feed_log
    from tests.berth import START, STAY_TEXT, gauges

    long = root / "long"
    long.mkdir()
    write_feed_log(long / "0.log", LONG_HOURS)
    for at in range(LONG):
        (long / f"{at}.yaml").write_text(STAY.read_text())
        if at:
            os.link(long / "0.log", long / f"{at}.log")
    for count in (FEW, SOME, MANY):
        folder = root / str(count)
        folder.mkdir()
        for at in range(count):
            log = b"".join(gauges(START + second, 2.0 + at / MANY) for second in range(SHORT_S))
            (folder / f"{at:04}.yaml").write_text(STAY_TEXT)
            (folder / f"{at:04}.log").write_bytes(log)
