"""A long stay replayed without a screen: 72 h at 1 Hz, 16 lines, 4 sentences a second."""

import io
import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from types import ModuleType

import numpy as np

from alongside.cycle import mooring as cycle_mooring
from alongside.forecast.basis import Basis
from alongside.reports import json_lines
from alongside.reports.states_due import StatesDue
from alongside.runtime.log_player import Player
from alongside.stay.read import read_stay

HOURS = 72
EVERY = 60
STAY = Path(__file__).parent / "replay_stay.yaml"


def write_feed_log(path: Path, hours: float) -> int:
    """Tide, draughts, heel and wind in four sentences a second; returns their number. Written here and not
    by the simulator, so that the figure does not hang on what that writes."""
    from alongside.feeds.sentence import tag_block

    start = 1_773_900_000
    seconds = np.arange(int(hours * 3600))
    swell = 0.1 * np.sin(seconds * 2.0 * np.pi / 7.3)
    tide = 3.0 + 2.2 * np.sin(seconds * 2.0 * np.pi / 44712.0) + swell
    draught = 8.0 + 1.5 * np.sin(seconds * 2.0 * np.pi / 90000.0) + swell
    wind = 8.0 + 3.0 * np.sin(seconds * 2.0 * np.pi / 400.0)
    with path.open("wb") as log:
        for second in seconds.tolist():
            tag = tag_block(b"gauges", start + second)
            said = (
                f"WLXDR,D,{tide[second]:.3f},M,TIDE",
                f"YXXDR,D,{draught[second]:.2f},M,DRF,D,{draught[second] + 0.6:.2f},M,DRA",
                f"YXXDR,A,{0.2 + swell[second]:.2f},D,HEEL",
                f"WIMWV,{120 + second % 40},R,{wind[second]:.1f},M,A",
            )
            log.write(b"".join(tag + sentence(text) for text in said))
    return 4 * seconds.size


def sentence(text: str) -> bytes:
    """A sentence with its checksum and line end."""
    checksum = 0
    for char in text.encode():
        checksum ^= char
    return f"${text}*{checksum:02X}\r\n".encode()


def replayed(log: Path, hours: float, balance: str, *more: str) -> tuple[float, float]:
    """Wall seconds and peak memory in MB of one replay as a process of its own, its modules compiled before
    as they are where the program is installed."""
    stay = log.with_suffix(".yaml")
    stay.write_text(STAY.read_text().replace("balance: off", f"balance: {balance}"))
    states, events = log.with_suffix(".states"), log.with_suffix(".events")
    environment = {**os.environ, "PYTHONPYCACHEPREFIX": str(log.parent / "compiled")}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    begun = time.perf_counter()
    command = [sys.executable, "-m", "alongside", "replay", str(stay), str(log), "--headless", *more]
    outputs = ["--states", states, "--events", events, "--every", str(EVERY)]
    subprocess.run([*command, *outputs], check=True, env=environment)
    wall = time.perf_counter() - begun
    written = len(states.read_text().splitlines())
    assert written >= hours * 3600 / EVERY, f"{written} states"
    return wall, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024.0


def shares(log: Path) -> list[tuple[str, float, str]]:
    """Shares of the processor's time of a replay with balance: what is believed of the gauges, and between
    what the load of each line is likely to lie."""
    stay = log.with_suffix(".yaml")
    stay.write_text(STAY.read_text().replace("balance: off", "balance: on"))
    basis = Basis.of(read_stay(stay))
    with Timed(cycle_mooring, "believed") as believed, Timed(json_lines, "rope_ranges") as spread:
        player, begun = Player(basis, log), time.process_time()
        states = StatesDue(io.StringIO(), basis, player.starts_at, EVERY)
        for block in player.play_to(np.inf):
            states.write_block(block)
        took = time.process_time() - begun
    return [
        ("of it what is believed of the gauges", 100.0 * believed.seconds / took, "%"),
        ("of it the live spread of loads, a state a minute", 100.0 * spread.seconds / took, "%"),
    ]


class Timed:
    """Adds up the processor's time that one function of a module takes."""

    def __init__(self, module: ModuleType, name: str) -> None:
        self._module, self._name, self._plain = module, name, getattr(module, name)
        self.seconds = 0.0

    def __enter__(self) -> "Timed":
        setattr(self._module, self._name, self._timed)
        return self

    def __exit__(self, *_: object) -> None:
        setattr(self._module, self._name, self._plain)

    def _timed(self, *arguments: object) -> object:
        begun = time.process_time()
        try:
            return self._plain(*arguments)
        finally:
            self.seconds += time.process_time() - begun


def run() -> list[tuple[str, float, str]]:
    with tempfile.TemporaryDirectory() as folder:
        short, long = Path(folder) / "short.log", Path(folder) / "long.log"
        write_feed_log(short, HOURS / 6)
        count = write_feed_log(long, HOURS)
        _, short_memory = replayed(short, HOURS / 6, "off")
        wall, memory = replayed(long, HOURS, "off")
        balanced, _ = replayed(long, HOURS, "on")
        without, _ = replayed(long, HOURS, "on", "--no-spread")
        told_apart = shares(short)
    return [
        (f"{HOURS} h replay, {count} sentences, ship in place", wall, "s"),
        ("times real time", HOURS * 3600.0 / wall, "x"),
        (f"{HOURS} h replay with balance", balanced, "s"),
        ("times real time with balance", HOURS * 3600.0 / balanced, "x"),
        (f"{HOURS} h replay with balance, live spread off", without, "s"),
        *told_apart,
        ("peak memory of a 72 h replay", memory, "MB"),
        ("its growth over a replay a sixth as long", memory - short_memory, "MB"),
    ]
