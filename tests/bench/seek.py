"""Going about in a replay of thirty days: three gauges every five seconds, a cycle each second."""

import os
import tempfile
import time
from collections.abc import Iterator
from math import sin
from pathlib import Path
from statistics import median

from alongside.actions.controls import Pause, ReplayControl, Seek, ToAlert
from alongside.runtime.replay import ReplayDesk
from tests.berth import START, a_stay, gauges
from tests.runtime.test_replay import Shown

DAYS = 30
EVERY_S = 5


def run() -> Iterator[tuple[str, float, str]]:
    """Figures of one desk."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "month.log"
        with path.open("wb") as log:
            for second in range(0, DAYS * 86400, EVERY_S):
                log.write(gauges(START + second, 2.0 + 0.9 * sin(second / 7115.0) + 0.001 * (second % 3)))
        os.environ["XDG_CACHE_HOME"] = folder
        desk, shown = ReplayDesk(a_stay(Path(folder)), path), Shown()
        begun = time.perf_counter()
        desk.start(shown)
        desk.control(Pause(True))
        shown.wait(lambda p: p.paused, 60.0)
        yield "first Picture", (time.perf_counter() - begun) * 1e3, "ms"
        desk.control(Seek(START + DAYS * 86400.0))
        shown.wait(lambda p: p.time == START + DAYS * 86400.0 - EVERY_S, 600.0)
        played = time.perf_counter() - begun
        yield "thirty days played ahead", played, "s"
        seeks = [
            _took(desk, shown, Seek(START + (k * 7919 % (DAYS * 24)) * 3600.0 + 1800.0)) for k in range(20)
        ]
        yield "going to a time, median", median(seeks), "ms"
        yield "going to a time, worst", max(seeks), "ms"
        alerts = [_took(desk, shown, ToAlert(-1)) for _ in range(10)]
        yield "going to the previous alert, worst", max(alerts), "ms"
        while not any(Path(folder).glob("alongside/replays/*.play")):
            time.sleep(0.1)
        desk.stop()
        begun = time.perf_counter()
        desk, shown = ReplayDesk(a_stay(Path(folder)), path), Shown()
        desk.start(shown)
        desk.control(Seek(START + DAYS * 86400.0))
        shown.wait(lambda p: p.time == START + DAYS * 86400.0 - EVERY_S, 600.0)
        again = time.perf_counter() - begun
        yield "to the end of them, by the next replay", again, "s"
        yield "  of playing them", again / played, "x"
        seeks = [
            _took(desk, shown, Seek(START + (k * 7919 % (DAYS * 24)) * 3600.0 + 1801.0)) for k in range(20)
        ]
        yield "going to a time, worst", max(seeks), "ms"
        desk.stop()


def _took(desk: ReplayDesk, shown: Shown, control: ReplayControl) -> float:
    """Milliseconds until a Picture of another time is there."""
    before = shown.pictures[-1].time
    begun = time.perf_counter()
    desk.control(control)
    shown.wait(lambda p: p.time != before, 60.0)
    return (time.perf_counter() - begun) * 1e3
