"""How long the feeds take: sentences, a recorded log through the intake, by columns and line by line, 72 h of
smoothing, and the search for spikes."""

import tempfile
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path
from time import perf_counter, process_time

import numpy as np

from alongside.feeds.inbox import MOST_LINES, FeedLine
from alongside.feeds.intake import Intake
from alongside.feeds.log import FeedLog
from alongside.feeds.logwriter import LogWriter
from alongside.feeds.sentence import said_by, sentence, split_tags, tag_block
from alongside.feeds.spikes import MOST, SpikeFilter, median_and_mad
from alongside.runtime.line_queue import LineQueue
from alongside.stay.model import Feed, Source, Stay
from tests.feeds.stays import START, stay_with

HOURS = 72
LOG_HOURS = 12
LEVELS = ("tide", "draught_fwd", "draught_aft", "draught_mid_port", "draught_mid_stbd")


def gauges() -> Stay:
    """Eight channels from four sentences a second of three feeds."""
    limits = {"range": (-5.0, 30.0), "rate_per_s": 1.0, "freeze_s": 1800.0, "smooth_s": 180.0}
    levels = tuple(Source(name, "XDR", names=(name.upper(),), **limits) for name in LEVELS)  # type: ignore[arg-type]
    mast = (Source("wind_speed", "MWV", smooth_s=30.0), Source("wind_from", "MWV", smooth_s=30.0))
    gyro = (Source("heading", "HDT"),)
    return stay_with(
        Feed("gauges", "udp:1", levels), Feed("mast", "udp:2", mast), Feed("gyro", "udp:3", gyro)
    )


def a_day(hours: int) -> Iterator[tuple[float, str, bytes]]:
    rng = np.random.default_rng(1)
    for k in range(hours * 3600):
        swell, noise = 0.25 * np.sin(0.7 * k), rng.normal(0.0, 0.01, 4)
        draughts = ",".join(
            f"D,{8 + swell + n:.3f},M,{name.upper()}" for name, n in zip(LEVELS[1:], noise, strict=True)
        )
        yield START + k, "gauges", sentence(f"WLXDR,D,{2 + swell + noise[0]:.3f},M,TIDE")
        yield START + k + 0.1, "gauges", sentence("YXXDR," + draughts)
        yield (
            START + k + 0.2,
            "mast",
            sentence(f"WIMWV,{50 + 99 * noise[0]:.1f},R,{10 + 99 * noise[1]:.1f},N,A"),
        )
        yield START + k + 0.3, "gyro", sentence(f"HEHDT,{90 + noise[2]:.1f},T")


def sentence_layer() -> list[tuple[str, float, str]]:
    """TAG block, framing and checksum, line by line as from a live port, without and with TAG blocks."""
    line = sentence("YXXDR,D,8.42,M,DRFP,D,8.40,M,DRFS")
    tagged = tag_block(b"gauges", START) + line
    count = 100_000
    begun = perf_counter()
    for _ in range(count):
        said_by(line).split(b",")
    plain = perf_counter() - begun
    begun = perf_counter()
    for _ in range(count):
        said_by(split_tags(tagged)[1]).split(b",")
    both = perf_counter() - begun
    return [
        ("sentences one by one", count / plain, "/s"),
        ("sentences with TAG block one by one", count / both, "/s"),
    ]


def from_log(path: Path) -> list[tuple[str, float, str]]:
    """Every TAG block with a time of its own."""
    begun = perf_counter()
    lines = sum(len(batch) for batch in FeedLog(path))
    framed = perf_counter() - begun
    intake = Intake(gauges())
    taking = reading = 0.0
    at = START
    for batch in FeedLog(path):
        begun = perf_counter()
        intake.take_batch(batch)
        taking += perf_counter() - begun
        times = np.arange(at, np.floor(batch.time[-1]))
        at += times.size
        begun = perf_counter()
        intake.readings(times)
        reading += perf_counter() - begun
    cycles = at - START
    alone = one_by_one(path)
    return [
        ("sentence layer of a log, framed in blocks", lines / framed, "/s"),
        (
            "log to raw values, TAG block and routing included",
            (framed + taking) / lines * 1e6,
            "us a sentence",
        ),
        (
            f"log to raw values, {HOURS} h at 4 sentences a second",
            (framed + taking) / lines * 4 * 3600 * HOURS,
            "s",
        ),
        ("the same line by line", alone / lines * 1e6, "us a sentence"),
        ("line by line against columns", alone / (framed + taking), "times"),
        (f"checks and smoothing, {HOURS} h at 1 Hz, 8 channels", reading / cycles * 3600 * HOURS, "s"),
    ]


def one_by_one(path: Path) -> float:
    """Seconds in which the intake takes a log line by line, as from a live port: the TAG block read, the
    checksum tried, each number a float."""
    intake = Intake(gauges())
    with path.open("rb") as log:
        lines = log.read().splitlines()
    begun = perf_counter()
    for line in lines:
        tag, _ = split_tags(line)
        intake.take(tag.time, (tag.source or b"").decode(), line)
    return perf_counter() - begun


def spikes() -> list[tuple[str, float, str]]:
    """An hour at 1 Hz in a swell: counted first, against median and MAD of every minute."""
    time = START + np.arange(3600.0)
    value = 2.0 + 0.1 * np.sin(0.7 * np.arange(3600)) + np.random.default_rng(1).normal(0.0, 0.02, 3600)
    level = np.zeros(3600, dtype=np.int64)
    windows = np.lib.stride_tricks.sliding_window_view(value, MOST)
    gauge, hours = SpikeFilter.of("tide"), count()
    counted = least(lambda: gauge.judge(time + 3600.0 * next(hours), value, level))
    sorted_out = least(lambda: median_and_mad(windows))
    return [
        ("spikes of a channel, an hour at 1 Hz", counted * 1e3, "ms"),
        ("median and MAD of every minute against that", sorted_out / counted, "times"),
    ]


def least(work: Callable[[], object]) -> float:
    """Least processor time of ten, s."""
    times = []
    for _ in range(10):
        begun = process_time()
        work()
        times.append(process_time() - begun)
    return min(times)


def live_cycle(path: Path) -> list[tuple[str, float, str]]:
    """The same channels read one cycle at a time, as a live watch does."""
    batch = next(iter(FeedLog(path)))
    intake = Intake(gauges())
    cycles = 600
    intake.take_batch(batch)
    begun = perf_counter()
    for k in range(cycles):
        intake.readings(np.array([START + k]))
    return [
        ("readings of 8 channels, one cycle at a time", (perf_counter() - begun) / cycles * 1e3, "ms a cycle")
    ]


def at_full_speed() -> list[tuple[str, float, str]]:
    """As many lines as a cycle takes from one feed, from the queue to the readings."""
    queue, intake = LineQueue(), Intake(gauges())
    lines = [FeedLine(START, "gauges", line, "10.0.0.5") for _, feed, line in a_day(2) if feed == "gauges"]
    queue.put(lines[:1] * (MOST_LINES - 10_000) + lines[:10_000])
    begun = perf_counter()
    for each in queue.take():
        intake.take(*each)
    intake.readings(np.array([START]))
    return [(f"{MOST_LINES} lines of one feed in a live cycle", (perf_counter() - begun) * 1e3, "ms")]


def run() -> list[tuple[str, float, str]]:
    """Figures as (what, figure, unit)."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "bench.log"
        with LogWriter(path) as log:
            log.write_lines(FeedLine(*line) for line in a_day(LOG_HOURS))
        return [*sentence_layer(), *from_log(path), *spikes(), *live_cycle(path), *at_full_speed()]
