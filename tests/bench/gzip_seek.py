"""Going to a time in a gzipped log of thirty days: in members, in one piece, by unzipping all before."""

import gzip
import os
import tempfile
import time
from collections.abc import Iterator
from math import sin
from pathlib import Path
from statistics import median

from alongside.feeds.gzip_members import GzipMembers
from alongside.feeds.log import FeedLog
from tests.berth import START, gauges

DAYS = 30
MINUTE = 60


def run() -> Iterator[tuple[str, float, str]]:
    with tempfile.TemporaryDirectory() as folder:
        ours, one = Path(folder) / "ours.log.gz", Path(folder) / "one.log.gz"
        _write(ours, one)
        times = [START + (k * 7919 % (DAYS * 24)) * 3600.0 + 1800.0 for k in range(12)]
        os.environ["XDG_CACHE_HOME"] = str(ours / "no folder")
        plain = median(_took(one, START + DAYS * 43_200.0 * k) for k in (0.5, 1.0, 1.9))
        yield "unzipping all before the time, median", plain, "ms"
        os.environ["XDG_CACHE_HOME"] = folder
        yield "a log in one piece, packed anew the first time", _took(one, times[0]), "ms"
        for what, path in ("in members", ours), ("in one piece, afterwards", one):
            took = [_took(path, time) for time in times]
            yield f"a log {what}, worst", max(took), "ms"
            yield "  of the plain way, median", median(took) / plain, "x"
        yield "bytes in members, of one piece", ours.stat().st_size / one.stat().st_size, "x"
        (kept,) = (Path(folder) / "alongside" / "logs").iterdir()
        yield "bytes packed anew, of one piece", kept.stat().st_size / one.stat().st_size, "x"


def _write(ours: Path, one: Path) -> None:
    """Write the same lines both ways, a second apart; a minute in one text."""
    members = GzipMembers()
    with ours.open("wb") as file, gzip.open(one, "wb", 6) as whole:
        for begin in range(0, DAYS * 86400, MINUTE):
            text = b"".join(
                gauges(START + k, 2.0 + 0.9 * sin(k / 7115.0) + 0.001 * (k % 7))
                for k in range(begin, begin + MINUTE)
            )
            whole.write(text)
            file.write(members.compress(START + begin, text))
        file.write(members.finish())


def _took(path: Path, start: float) -> float:
    """Milliseconds of processor time to the first lines from a time on."""
    begun = time.process_time()
    next(iter(FeedLog(path, start)))
    return (time.process_time() - begun) * 1e3
