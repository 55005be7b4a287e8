"""A long stay replayed without a screen: 72 h at 1 Hz, 16 lines, 4 sentences a second."""

import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

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


def replayed(log: Path, hours: float, balance: str) -> tuple[float, float]:
    """Wall seconds and peak memory in MB of one replay as a process of its own."""
    stay = log.with_suffix(".yaml")
    stay.write_text(STAY.read_text().replace("balance: off", f"balance: {balance}"))
    states, events = log.with_suffix(".states"), log.with_suffix(".events")
    begun = time.perf_counter()
    command = [sys.executable, "-m", "alongside", "replay", str(stay), str(log), "--headless"]
    subprocess.run([*command, "--states", states, "--events", events, "--every", str(EVERY)], check=True)
    wall = time.perf_counter() - begun
    written = len(states.read_text().splitlines())
    assert written >= hours * 3600 / EVERY, f"{written} states"
    return wall, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024.0


def run() -> list[tuple[str, float, str]]:
    with tempfile.TemporaryDirectory() as folder:
        short, long = Path(folder) / "short.log", Path(folder) / "long.log"
        write_feed_log(short, HOURS / 6)
        count = write_feed_log(long, HOURS)
        _, short_memory = replayed(short, HOURS / 6, "off")
        wall, memory = replayed(long, HOURS, "off")
        balanced, _ = replayed(long, HOURS, "on")
    return [
        (f"{HOURS} h replay, {count} sentences, ship in place", wall, "s"),
        ("times real time", HOURS * 3600.0 / wall, "x"),
        (f"{HOURS} h replay with balance", balanced, "s"),
        ("times real time with balance", HOURS * 3600.0 / balanced, "x"),
        ("peak memory of a 72 h replay", memory, "MB"),
        ("its growth over a replay a sixth as long", memory - short_memory, "MB"),
    ]
