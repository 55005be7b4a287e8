"""Stays that have feeds and little else, and logs for them; everything invented."""

from collections.abc import Iterable
from pathlib import Path

from alongside.feeds.inbox import FeedLine
from alongside.feeds.logwriter import LogWriter
from alongside.feeds.sentence import sentence
from alongside.stay.model import Berth, Feed, Marks, Place, Ship, Source, Stay

START = 1_772_424_000.0
"""2026-03-02T04:00:00Z."""


def stay_with(*feeds: Feed, bearing_of_x: float = 90.0) -> Stay:
    ship = Ship("Testing Ship", 183.0, 176.0, 31.0, 17.0, Marks(172.0, 4.0), {}, {})
    berth = Berth("Testing Berth", bearing_of_x, 12.0, {})
    return Stay("test", "test.yaml", "starboard", Place(88.0, 100.0), ship, berth, {}, (), feeds)


def one_channel(source: Source, pattern: str | None = None, bearing_of_x: float = 90.0) -> Stay:
    return stay_with(Feed("gauges", "udp:10110", (source,), pattern), bearing_of_x=bearing_of_x)


def tide_gauge(**limits: object) -> Stay:
    return one_channel(Source("tide", "XDR", names=("TIDE",), **limits))  # type: ignore[arg-type]


def tide(metres: float) -> bytes:
    return sentence(f"WLXDR,D,{metres:.3f},M,TIDE")


def wind(angle: float, metres_per_s: float) -> bytes:
    return sentence(f"WIMWV,{angle:.1f},R,{metres_per_s:.2f},M,A")


def write_log(path: Path, lines: Iterable[tuple[float, str, bytes] | FeedLine]) -> Path:
    """A log of lines, each (time, feed, line) and perhaps who sent it."""
    with LogWriter(path) as log:
        log.write_lines(FeedLine(*line) for line in lines)
    return path
