"""The record: what it costs a live watch, and a stay of thirty days put on record in one run."""

import ctypes
import os
import random
import resource
import tempfile
import time
from pathlib import Path

import numpy as np

from alongside import __version__
from alongside.cycle.advance import advance
from alongside.cycle.memory import Memory
from alongside.feeds.inbox import FeedLine
from alongside.feeds.intake import Intake
from alongside.forecast.basis import Basis
from alongside.record.entries import Run
from alongside.record.layout import journal_of
from alongside.record.need import need_of
from alongside.record.reader import RecordReader
from alongside.record.recorder import Recorder
from alongside.record.states import Columns
from alongside.runtime.live import LiveDesk
from alongside.runtime.picture_maker import PictureMaker
from alongside.stay.model import Stay
from alongside.stay.read import read_stay
from tests.bench.replay import STAY

DAYS = 30
HOUR = 3600
CYCLES = 900
START = 1_773_900_000.0

Figure = tuple[str, float, str]


def said(second: int, surge: float = 0.0) -> list[bytes]:
    """Four sentences of one second: tide, draughts, heel, wind, with a swell on them."""
    swell = 0.1 * np.sin(second * 2.0 * np.pi / 7.3)
    tide = 3.0 + surge + 2.2 * np.sin(second * 2.0 * np.pi / 44712.0) + swell
    draught = 8.0 + 1.5 * np.sin(second * 2.0 * np.pi / 90000.0) + swell
    wind = 8.0 + 3.0 * np.sin(second * 2.0 * np.pi / 400.0)
    return [
        sentence(f"WLXDR,D,{tide:.3f},M,TIDE"),
        sentence(f"YXXDR,D,{draught:.2f},M,DRF,D,{draught + 0.6:.2f},M,DRA"),
        sentence(f"YXXDR,A,{0.2 + swell:.2f},D,HEEL"),
        sentence(f"WIMWV,{120 + second % 40},R,{wind:.1f},M,A"),
    ]


def sentence(text: str) -> bytes:
    checksum = 0
    for char in text.encode():
        checksum ^= char
    return f"${text}*{checksum:02X}".encode()


def live(stay: Stay, folder: Path | None) -> tuple[float, float, float]:
    """Processor seconds and wall seconds of a cycle, and MB written to the disk by all of them."""
    clock = [START]
    desk = LiveDesk(stay, folder, wall=lambda: clock[0], steady=lambda: clock[0])
    for second in range(60):
        cycle(desk, clock, second)
    before = resource.getrusage(resource.RUSAGE_SELF).ru_oublock
    cpu, wall = time.process_time(), time.perf_counter()
    for second in range(60, 60 + CYCLES):
        cycle(desk, clock, second)
    cpu, wall = time.process_time() - cpu, time.perf_counter() - wall
    written = (resource.getrusage(resource.RUSAGE_SELF).ru_oublock - before) * 512 / 1e6
    desk.stop()
    return cpu / CYCLES, wall / CYCLES, written


def cycle(desk: LiveDesk, clock: list[float], second: int) -> None:
    clock[0] = START + second + 1.0
    for line in said(second):
        desk.hear(clock[0] - 0.3, "gauges", line)
    desk.cycle()


def cost() -> list[Figure]:
    stay = read_stay(STAY)
    with tempfile.TemporaryDirectory() as folder:
        without, _, _ = live(stay, None)
        cpu, wall, written = live(stay, Path(folder) / "record")
    return [
        ("a live cycle of 16 lines without a record, processor", without * 1e3, "ms"),
        ("the same with its record", cpu * 1e3, "ms"),
        ("the record's share of a core at 1 Hz", (cpu - without) * 100.0, "%"),
        ("the cycle with its record by the clock on the wall", wall * 1e3, "ms"),
        ("written to the disk in an hour", written * 3600.0 / CYCLES, "MB"),
    ]


class LongStay:
    """Thirty days put on record by the hour."""

    def __init__(self, folder: Path, days: float) -> None:
        self.stay = read_stay(STAY)
        self.folder, self.hours = folder, int(days * 24)
        self.basis, self.intake = Basis.of(self.stay), Intake(self.stay)
        self.memory = Memory.at_start(self.stay)
        self.keeper = PictureMaker(self.basis, self.intake.channels)
        columns = Columns.of(self.stay, self.intake.channels)
        self.recorder = Recorder(folder, Run(START, __version__, self.stay, STAY.read_text(), columns))
        self.events = 0
        self.resident: list[float] = []
        """Memory of the process after each hour, MB."""

    def run(self) -> None:
        for hour in range(self.hours):
            self._hour(hour)
            self.resident.append(resident())
        self.recorder.close()

    def _hour(self, hour: int) -> None:
        chance = np.random.default_rng(hour)
        noise = chance.normal(0.0, 0.02, HOUR)
        for minute in range(60):
            lines = []
            for second in range(minute * 60, minute * 60 + 60):
                at = START + hour * HOUR + second
                lines += [
                    FeedLine(at, "gauges", line) for line in said(hour * HOUR + second, float(noise[second]))
                ]
            for time_, feed, line, _ in lines:
                self.intake.take(time_, feed, line)
            self.recorder.hear(lines[-1][0], lines)
        times = START + hour * HOUR + np.arange(HOUR, dtype=np.float64)
        self.memory, block = advance(self.basis, self.memory, self.intake.readings(times))
        self.recorder.keep(block, self.memory)
        self.keeper.add(block)
        self.events += len(block.events)


def resident() -> float:
    """Memory of this process now, MB. What is free in its heap is given back first where that can be done:
    blocks of an hour, which a live watch never has, leave holes."""
    trim = getattr(ctypes.CDLL(None), "malloc_trim", None)
    if trim is not None:
        trim(0)
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def size_of(paths: list[Path]) -> float:
    return sum(path.stat().st_size for path in paths) / 1e6


def thirty_days(days: float = DAYS) -> list[Figure]:
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "record"
        stay = LongStay(folder, days)
        begun = time.perf_counter()
        stay.run()
        took = time.perf_counter() - begun
        journal, feeds = size_of([journal_of(folder)]), size_of(list(folder.glob("feeds-*")))
        need = need_of(stay.stay, days)
        seek, memory_seek = seeks(folder, days)
        begun = time.perf_counter()
        again = LiveDesk(stay.stay, folder, wall=lambda: START + days * 86_400.0 + 60.0)
        resumed = time.perf_counter() - begun
        again.stop()
    return [
        (f"{days:g} days put on record in one run", took, "s"),
        ("events in it", stay.events, ""),
        ("its journal", journal, "MB"),
        ("its feed logs", feeds, "MB"),
        ("foretold at most", need.total / 1e6, "MB"),
        ("growth of memory after the first hour", stay.resident[-1] - stay.resident[0], "MB"),
        ("growth of memory after the first day", stay.resident[-1] - stay.resident[23], "MB"),
        ("longest of 200 seeks to a state", seek * 1e3, "ms"),
        ("longest of 200 seeks to a memory", memory_seek * 1e3, "ms"),
        ("resume on it", resumed * 1e3, "ms"),
    ]


def seeks(folder: Path, days: float) -> tuple[float, float]:
    chance = random.Random(1)
    longest = [0.0, 0.0]
    with RecordReader(folder) as record:
        for _ in range(200):
            at = START + chance.uniform(HOUR, days * 86_400.0)
            for which, seek in enumerate((record.state_at, record.memory_at)):
                begun = time.perf_counter()
                assert seek(at) is not None
                longest[which] = max(longest[which], time.perf_counter() - begun)
    return longest[0], longest[1]


def run() -> list[Figure]:
    return cost() + thirty_days()
