"""The logs of the examples made calm: the wind at half, without gusts; all else as it was recorded."""

import gzip
import re
from collections.abc import Iterator
from contextlib import suppress
from functools import reduce
from operator import xor
from pathlib import Path
from typing import Final

import numpy as np

ROOT: Final = Path(__file__).parents[1]
MEAN_S: Final = 600.0
"""The time over which a mean wind is taken: what is faster is a gust."""
HALF: Final = 0.5
_TIME: Final = re.compile(r"c:(\d+)")
_WIND: Final = re.compile(r"\$(WIMW[VD]),([^*]*)\*")
_SPEED: Final = {"WIMWV": 2, "WIMWD": 6}
"""The field with the speed in m/s."""


def calm_log(name: str, hours: float = 24.0) -> Iterator[str]:
    """Return the first hours of an example's log, each wind speed half the mean of the last ten minutes; a
    line of the wind that cannot be read stays as it is."""
    with gzip.open(ROOT / "replay_logs" / f"{name}.log.gz", "rt", encoding="latin-1") as log:
        lines = log.read().splitlines()
    end = time_of(lines[0]) + hours * 3600.0
    lines = [line for line in lines if time_of(line) <= end]
    at = {row: speed for row, line in enumerate(lines) if (speed := _speed_of(line)) is not None}
    mean = dict(zip(at, means(np.array([time_of(lines[row]) for row in at]), [*at.values()]), strict=True))
    for row, line in enumerate(lines):
        yield _with_speed(line, HALF * mean[row]) if row in mean else line


def means(time: np.ndarray, value: list[float]) -> list[float]:
    """Return the mean of each value and of those of the ten minutes before it."""
    total = np.concatenate([[0.0], np.cumsum(value)])
    first = np.searchsorted(time, time - MEAN_S, side="right")
    last = np.arange(1, time.size + 1)
    return ((total[last] - total[first]) / (last - first)).tolist()


def time_of(line: str) -> float:
    """Return the time of a line, which each of the examples' has."""
    found = _TIME.search(line)
    assert found, line
    return float(found[1])


def _speed_of(line: str) -> float | None:
    found = _WIND.search(line)
    if not found or sentence(f"{found[1]},{found[2]}") != line[found.start() :]:
        return None
    with suppress(ValueError):
        return float(found[2].split(",")[_SPEED[found[1]]])
    return None


def _with_speed(line: str, speed: float) -> str:
    found = _WIND.search(line)
    assert found
    fields = found[2].split(",")
    fields[_SPEED[found[1]]] = f"{speed:.2f}"
    return line[: found.start()] + sentence(f"{found[1]},{','.join(fields)}")


def sentence(body: str) -> str:
    """Return a sentence with its checksum."""
    return f"${body}*{reduce(xor, body.encode()):02X}"
