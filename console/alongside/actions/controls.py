"""What a console is asked for beside what the watch does."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Speed:
    """Replay at this many times real time."""

    times: float


@dataclass(frozen=True, slots=True)
class Pause:
    on: bool


@dataclass(frozen=True, slots=True)
class Seek:
    """Replay from this instant (UNIX seconds) on."""

    time: float


@dataclass(frozen=True, slots=True)
class Step:
    """Replay so many cycles on and stand still."""

    cycles: int = 1


@dataclass(frozen=True, slots=True)
class ToAlert:
    """Replay to the next (1) or the previous (-1) time at which an alert was raised or grew worse, and stand
    still there."""

    way: int


@dataclass(frozen=True, slots=True)
class ToTend:
    """The same for a time at which a line was tended."""

    way: int


ReplayControl = Speed | Pause | Seek | Step | ToAlert | ToTend


@dataclass(frozen=True, slots=True)
class KeepWatch:
    """This console is to keep the watch: it looked only, and nobody keeps it."""


@dataclass(frozen=True, slots=True)
class TryRecord:
    """The record is to be tried: written, and read back."""


@dataclass(frozen=True, slots=True)
class Inject:
    """An instructor puts trouble into an exercise that is lived through: keys and values as an exercise file
    has them, but for the time. `at` (UNIX seconds) is of the stay; None: at once."""

    injection: tuple[tuple[str, str | float], ...]
    at: float | None = None


@dataclass(frozen=True, slots=True)
class InSight:
    """What whoever sits at a console has in sight, for an instructor to see the same: fields of a View by
    their names, the open form, and columns and rows of the terminal."""

    part: str
    behind: str = ""
    line: str | None = None
    channel: str | None = None
    by_position: bool = False
    scroll: int = 0
    hours: int = 6
    series: str = ""
    chart_lines: str = ""
    chart_at: float | None = None
    form: str = ""
    size: tuple[int, int] = (0, 0)


Control = ReplayControl | KeepWatch | TryRecord | Inject | InSight
"""What a console is asked for beside what the watch does; none of it goes on record."""
