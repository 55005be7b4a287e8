"""A batch: two processes beside one, and many short stays in one run: its cost by stay, and its memory.

The load of the machine is printed with it: beside others at work two processes gain less.
"""

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

LONG, LONG_HOURS = 8, 6.0
FEW, MANY, SHORT_S = 100, 1000, 60
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


def run_batch(folder: Path, out: Path, jobs: int) -> tuple[float, float, float]:
    """Return wall seconds, and the most memory of the command and of one of its processes, MB."""
    script = folder.parent / "watched.py"
    script.write_text(WATCH)
    command = [sys.executable, script, "batch", folder, "--out", out, "--jobs", str(jobs), "--no-ahead"]
    begun = time.perf_counter()
    ended = subprocess.run(command, check=True, capture_output=True, text=True)
    wall = time.perf_counter() - begun
    here, there = ended.stderr.split()[-2:]
    return wall, int(here) / 1024.0, int(there) / 1024.0


def run() -> list[tuple[str, float, str]]:
    from tests.bench.replay import STAY, write_feed_log
    from tests.berth import START, STAY_TEXT, gauges

    with tempfile.TemporaryDirectory() as name:
        root = Path(name)
        long, few, many = root / "long", root / "few", root / "many"
        for folder in (long, few, many):
            folder.mkdir()
        write_feed_log(long / "0.log", LONG_HOURS)
        for at in range(LONG):
            (long / f"{at}.yaml").write_text(STAY.read_text())
            if at:
                os.link(long / "0.log", long / f"{at}.log")
        for at in range(MANY):
            log = b"".join(gauges(START + second, 2.0 + at / MANY) for second in range(SHORT_S))
            for folder in (few, many) if at < FEW else (many,):
                (folder / f"{at:04}.yaml").write_text(STAY_TEXT)
                (folder / f"{at:04}.log").write_bytes(log)
        load = os.getloadavg()[0]
        one, *_ = run_batch(long, root / "one", 1)
        two, *_ = run_batch(long, root / "two", 2)
        first, first_here, first_there = run_batch(few, root / "first", 2)
        all_of, here, there = run_batch(many, root / "all", 2)
        again, *_ = run_batch(many, root / "all", 2)
    return [
        ("load of the machine as it begins", load, ""),
        (f"{LONG} stays of {LONG_HOURS:.0f} h, one process", one, "s"),
        ("two processes", two, "s"),
        ("two beside one", one / two, "x"),
        (f"{FEW} stays of {SHORT_S} s, two processes", first, "s"),
        (f"{MANY} of them", all_of, "s"),
        (f"a stay of {MANY} beside one of {FEW}", all_of / MANY / (first / FEW), "x"),
        (f"{MANY} of them that are there already", again, "s"),
        (f"most memory of the command, {MANY} stays", here, "MB"),
        (f"beside {FEW} stays", here - first_here, "MB"),
        (f"most memory of a process, {MANY} stays", there, "MB"),
        (f"beside {FEW} stays", there - first_there, "MB"),
    ]
