"""What a key costs on a real terminal: until the screen has answered it, and the bytes it sends."""

import os
import select
import time

import numpy as np

from tests.screens.terminal import PROGRAM, OnTerminal

SIZES = ((80, 24), (160, 50))
PAGES = ("2", "3", "4", "5", "\t", "2", "\t", "?", "\x1b", "1", "\x1b[B", "\x1b[B")
"""Each changes something: one that does not is answered by the next beat of the screen."""
FORMS = ("t", "\x1b", "w", "\x1b", "x", "\x1b", "r", "\x1b")
QUIET_S = 0.03
"""Without output for so long a key is answered."""
ROUNDS = 6


def run() -> list[tuple[str, float, str]]:
    """(name, figure, unit) of each measurement."""
    figures: list[tuple[str, float, str]] = []
    for columns, rows in SIZES:
        terminal = OnTerminal(["-c", PROGRAM.format(scene="one_warning", palette="day")], (columns, rows))
        try:
            terminal.wait_for(lambda shown=terminal: shown.shows("WIND"))  # type: ignore[misc]
            time.sleep(1.0)
            for name, keys in (("pages", PAGES), ("forms", FORMS)):
                first, last, sent = _measured(terminal, keys)
                where = f"{name}, {columns}x{rows}"
                figures += [
                    (f"key to first paint, median, {where}", float(np.median(first)) * 1000.0, "ms"),
                    (f"key to first paint, 95 %, {where}", float(np.percentile(first, 95)) * 1000.0, "ms"),
                    (f"key to last byte, 95 %, {where}", float(np.percentile(last, 95)) * 1000.0, "ms"),
                    (f"bytes of a key, most, {where}", max(sent) / 1000.0, "kB"),
                ]
            escapes = _measured(terminal, ("3", "\x1b") * 6)[0][1::2]
            figures.append((f"Escape to first paint, 95 %, {columns}x{rows}", _p95(escapes), "ms"))
        finally:
            terminal.process.kill()
            terminal.close()
    return figures


def _p95(seconds: list[float]) -> float:
    return float(np.percentile(seconds, 95)) * 1000.0


def _measured(terminal: OnTerminal, keys: tuple[str, ...]) -> tuple[list[float], list[float], list[int]]:
    """Seconds to the first and to the last byte, and bytes, of each key that was answered."""
    first, last, sent = [], [], []
    for _ in range(ROUNDS):
        for key in keys:
            _read(terminal.master, 0.3)
            begun = time.perf_counter()
            os.write(terminal.master, key.encode())
            at, count = _read(terminal.master, 0.5)
            if at:
                first.append(at[0] - begun)
                last.append(at[-1] - begun)
                sent.append(count)
    return first, last, sent


def _read(master: int, at_most_s: float) -> tuple[list[float], int]:
    """When output came, until there is none for a while, and how many bytes."""
    times: list[float] = []
    count = 0
    begun = time.perf_counter()
    while time.perf_counter() - begun < at_most_s:
        if not select.select([master], [], [], QUIET_S if times else at_most_s)[0]:
            break
        count += len(os.read(master, 1 << 16))
        times.append(time.perf_counter())
    return times, count
