"""How much memory a look ahead takes, and what a debrief takes."""

import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
EXERCISE = ROOT / "configs" / "exercises" / "forgotten_breast.yaml"
_AHEAD = """
import resource, sys
from dataclasses import replace
from alongside.cli.examples import example_stay
from alongside.forecast import members
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_present, when_fast
from alongside.forecast.look_ahead import far_of, look_ahead
from alongside.stay.read import read_stay
members.WHOLE = int(sys.argv[1])
stay = read_stay(example_stay("coal_berth"))
lines = [replace(stay.lines[k % len(stay.lines)], id=f"{k}") for k in range(40)]
stay = replace(stay, lines=tuple(lines), balance=False)
basis = Basis.of(stay)
look_ahead(basis, planned_present(stay, basis.arrangement, when_fast(stay)), far_of(stay, 168.0))
used = resource.getrusage(resource.RUSAGE_SELF)
print(used.ru_maxrss / 1e3, used.ru_utime)
"""
Figure = tuple[str, float, str]


def run() -> Iterator[Figure]:
    yield from ahead()
    yield from debrief()


def ahead() -> Iterator[Figure]:
    """168 h at 5 min, 50 members, 40 lines, with rounds: in blocks of time, and all at once."""
    blocks, whole = (_peak(["-c", _AHEAD, str(most)]) for most in (500_000, 10**9))
    yield "peak of a look ahead of 168 h with 40 lines", blocks[0], "MB"
    yield "  all at once, times as much", whole[0] / blocks[0], "x"
    yield "its work, start-up included", blocks[1], "s"
    yield "  all at once, times as long", whole[1] / blocks[1], "x"


def debrief() -> Iterator[Figure]:
    """The example whose brakes slip for hours, with one deed: work of the processor, start-up included."""
    with tempfile.TemporaryDirectory() as folder:
        os.environ["XDG_CACHE_HOME"] = folder
        done = Path(folder) / "done.jsonl"
        done.write_text(
            '{"time": "2026-03-20T14:30:00Z", "action": "tend", "line": "4", "paid_out": 0.5, "by": "TK"}\n'
        )
        command = ["debrief", str(EXERCISE), str(done)]
        first, second = (_work(command) for _ in range(2))
        headless = _work(["exercise", str(EXERCISE), "--headless", "--events", str(Path(folder) / "e.jsonl")])
    yield "debrief whose yardstick is kept", second, "s"
    yield "  the first one, times as long", first / second, "x"
    yield "exercise --headless whose beginning is kept", headless, "s"


def _peak(arguments: list[str]) -> tuple[float, float]:
    done = subprocess.run([sys.executable, *arguments], check=True, capture_output=True, text=True)
    peak, work = done.stdout.split()[-2:]
    return float(peak), float(work)


def _work(arguments: list[str]) -> float:
    code = (
        "import sys, resource\nfrom alongside.cli.main import main\nmain(sys.argv[1:])\n"
        "print('work', resource.getrusage(resource.RUSAGE_SELF).ru_utime, file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, *arguments], check=True, capture_output=True, text=True
    )
    return float(re.findall(r"work ([\d.]+)", done.stderr)[-1])
