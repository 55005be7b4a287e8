"""One stay of a batch as it is handed to a process or a worker: names and options, nothing that is open."""

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is asked for of each stay."""

    ahead: bool = True
    """Look ahead every ten minutes of log time, and alert what is expected."""
    every: float | None = None
    """Seconds of log time between states; None: no states are written."""
    report: bool = False


@dataclass(frozen=True, slots=True)
class Task:
    """One stay. With `draw` it is the draw of that number, from 1 on, of `seed`; 0: as its files have it."""

    name: str
    stay: Path
    log: Path
    folder: Path
    """Where what comes of it is written."""
    wanted: Wanted
    draw: int = 0
    seed: int = 0
