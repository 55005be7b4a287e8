"""A replay without a screen: as fast as it goes, states and events to files, the same bytes each time."""

import sys
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Final, TextIO

import numpy as np

from alongside.alerts.model import Event
from alongside.cycle.advance import Block, Plan
from alongside.cycle.with_forecast import EVERY_S, advance_with_forecast
from alongside.errors import AlongsideError, WrongInput
from alongside.feeds.flaws import Tally
from alongside.reports.json_lines import event_line, state_lines
from alongside.reports.time_line import timeline_row
from alongside.runtime.log_player import Player
from alongside.stay.model import Stay
from alongside.stay.stage import Stage
from alongside.units import iso_time

RAISING: Final = ("raised", "worsened", "escalated")


def replay_headless(
    stay: Stay,
    log: Path,
    *,
    states: Path | None = None,
    events: Path | None = None,
    every: float = 1.0,
    start: float | None = None,
    ahead: bool = False,
) -> Stage:
    """Replay a log; returns the worst stage of any alert.

    With `ahead` it looks ahead every ten minutes of log time and after each tending, and what is expected
    soon is among the alerts: as deterministic as the rest, and several times slower.

    `every` is the log time in s between states (at least a cycle). Before `start` the log is played but
    nothing is told: lines and alerts then stand as they would. With neither `states` nor `events` the time
    line of events goes to standard output. A log that cannot be read, or holds nothing, raises WrongInput
    before any file is begun.
    """
    _keep_apart(inputs=(Path(stay.file), log), outputs=(states, events))
    plan = Plan.of(stay, ahead=ahead)
    player = Player(plan, log, cycle=advance_with_forecast, every=EVERY_S) if ahead else Player(plan, log)
    first = player.starts_at
    if np.isnan(first):
        raise WrongInput(
            f"{log}: no line with a time, expected sentences with TAG blocks ({_counted(player)})"
        )
    chosen = _Every(max(every, 1.0), first if start is None else max(start, first))
    worst = Stage.NORMAL
    with _told_when_full(), ExitStack() as files:
        state_file = _open(files, states)
        event_file = _open(files, events)
        printed = sys.stdout if states is None and events is None else None
        progress = _Progress(player)
        tell = _Teller(stay, event_file, printed, chosen.start)
        tell(Event(chosen.start, "started", text=stay.name))
        for block in player.play_to(np.inf):
            worst = max(worst, _worst(block, chosen.start))
            for event in block.events:
                tell(event)
            if state_file is not None:
                rows = chosen.rows(block.readings.time)
                state_file.writelines(f"{line}\n" for line in state_lines(plan, block, rows))
            progress.show()
        progress.end()
        if player.time is not None and player.time < chosen.start:
            end = iso_time(player.time)
            raise WrongInput(f"{log}: ends at {end}, expected --from at or before that")
        if player.time is not None:
            tell(Event(player.time, "stopped", text=_counted(player)))
    return worst


def _worst(block: Block, start: float) -> Stage:
    stages = [
        event.stage
        for event in block.events
        if event.stage and event.event in RAISING and event.time >= start
    ]
    return max(stages, default=Stage.NORMAL)


def _counted(player: Player) -> str:
    """What was not used of the log, in words."""
    flaws = Tally()
    for tally in (player.log.faults, *player.intake.tallies.values()):
        flaws.merge(tally)
    note = f"; the log {player.log.note}" if player.log.note else ""
    heard = sum(player.intake.heard.values()) + player.log.faults.unused
    return f"{heard} lines, {flaws.unused} not used" + (f" ({flaws})" if flaws else "") + note


def _keep_apart(inputs: Sequence[Path], outputs: Sequence[Path | None]) -> None:
    """Refuse to write over what is read, or two outputs into one file."""
    taken = [path.resolve() for path in inputs]
    for path in outputs:
        if path is None:
            continue
        if path.resolve() in taken:
            raise WrongInput(f"{path}: is read or written already, expected a file of its own")
        taken.append(path.resolve())


def _open(files: ExitStack, path: Path | None) -> TextIO | None:
    if path is None:
        return None
    try:
        return files.enter_context(path.open("w", encoding="utf-8", newline="\n"))
    except OSError as error:
        raise WrongInput(f"{path}: {error.strerror}, expected a file that can be written") from error


@contextmanager
def _told_when_full() -> Iterator[None]:
    """A disk that fails half-way is no fault of ours, nor wrong use: it is said in one line."""
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        where = error.filename or "output"
        raise AlongsideError(f"{where}: {error.strerror}; what was written so far is whole") from error


class _Every:
    """Chooses the rows at which states are told: the first from `start` on, then one every so often."""

    def __init__(self, every: float, start: float) -> None:
        self.every, self.start, self._due = every, start, start

    def rows(self, times: np.ndarray) -> list[int]:
        rows: list[int] = []
        while self._due <= times[-1]:
            row = int(np.searchsorted(times, self._due))
            rows.append(row)
            steps = np.floor((times[row] - self._due) / self.every) + 1.0
            self._due += steps * self.every
        return rows


class _Teller:
    """Writes each event where it is wanted."""

    def __init__(self, stay: Stay, file: TextIO | None, printed: TextIO | None, start: float) -> None:
        self._stay, self._file, self._printed, self._start = stay, file, printed, start

    def __call__(self, event: Event) -> None:
        if event.time < self._start:
            return
        if self._file is not None:
            self._file.write(f"{event_line(event)}\n")
        if self._printed is not None:
            print(timeline_row(event, self._stay.display), file=self._printed)


class _Progress:
    """A bar on standard error, where that is a terminal."""

    WIDTH: Final = 40

    def __init__(self, player: Player) -> None:
        self._player = player
        self._shown = sys.stderr.isatty()
        self._size = max(player.log.size, 1)

    def show(self) -> None:
        if self._shown and self._player.time is not None:
            part = min(1.0, self._player.log.bytes_read / self._size)
            bar = "━" * round(part * self.WIDTH)
            sys.stderr.write(f"\r{bar:<{self.WIDTH}} {part:4.0%}  {iso_time(self._player.time)}")
            sys.stderr.flush()

    def end(self) -> None:
        if self._shown:
            sys.stderr.write("\r\x1b[K")
            sys.stderr.flush()
