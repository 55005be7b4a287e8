"""A replay without a screen: as fast as it goes, states and events to files, the same bytes each time."""

import sys
from collections.abc import Iterable
from contextlib import ExitStack
from pathlib import Path
from typing import Final

import numpy as np

from alongside.alerts.model import Event
from alongside.cli.headless_output import HeadlessOutput
from alongside.cli.progress import Progress
from alongside.cycle.block import Block
from alongside.cycle.with_forecast import EVERY_S, advance_with_forecast
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.reports.output_files import Outputs
from alongside.reports.output_places import check_outputs
from alongside.reports.replaceable import EVENTS, STATES
from alongside.runtime.lines_used import lines_used
from alongside.runtime.log_on_record import need_new_folder, recording
from alongside.runtime.log_player import Player
from alongside.stay.causes import Cause
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
    record: Path | None = None,
    spread: bool = True,
) -> Stage:
    """Replay a log; returns the worst stage of any alert.

    With `ahead` it looks ahead every ten minutes of log time and after each tending, and what is expected
    soon is among the alerts: as deterministic as the rest, and several times slower.

    `every` is the log time in s between states (at least a cycle). Before `start` the log is played but
    nothing is written: lines and alerts then stand as they would. With neither `states` nor `events` the time
    line of events goes to standard output. `record` is a new folder for what a watch would have put on
    record, from the beginning of the log on whatever `start` is. A log that cannot be read, or holds nothing,
    raises WrongInput before any file is begun. Without `spread` states do not say between what the load of
    each line is likely to lie; all else is the same.
    """
    check_outputs((Path(stay.file), log), [(states, STATES), (events, EVENTS)])
    if record is not None:
        need_new_folder(record)
    basis = Basis.of(stay, ahead=ahead)
    player = Player(basis, log, cycle=advance_with_forecast, every=EVERY_S) if ahead else Player(basis, log)
    first = player.starts_at
    if np.isnan(first):
        raise WrongInput(
            f"{log}: no line with a time, expected sentences with TAG blocks ({lines_used(player)!s})"
        )
    begin = first if start is None else max(start, first)
    worst = _Worst(begin)
    with ExitStack() as stack:
        keep = stack.enter_context(recording(stay, log, player, record)) if record else _not_kept
        outputs = stack.enter_context(Outputs())
        output = HeadlessOutput(outputs, basis, states, events, begin, every, spread)
        rows_come = states is None and events is None and sys.stdout.isatty()
        progress, size = stack.enter_context(Progress(not rows_come)), max(player.log.size, 1)
        output.write_event(Event(begin, "started", text=stay.name))
        for block in player.play_to(np.inf):
            keep(block)
            worst.add(block.events)
            output.write_block(block)
            progress.show(player.log.bytes_read / size, "" if player.time is None else iso_time(player.time))
        if player.time is not None and player.time < begin:
            raise WrongInput(f"{log}: ends at {iso_time(player.time)}, expected --from at or before that")
        if player.time is not None:
            output.write_event(Event(player.time, "stopped", text=str(lines_used(player))))
    return worst.stage


def _not_kept(block: Block) -> None:
    """Keep nothing of a block."""


class _Worst:
    """The worst stage from `start` on, by events in order of time: of what stands then, and of what comes."""

    def __init__(self, start: float) -> None:
        self._start = start
        self._standing: dict[tuple[Cause, str | None], Stage] = {}
        self._since = Stage.NORMAL

    @property
    def stage(self) -> Stage:
        return max(self._since, *self._standing.values(), Stage.NORMAL)

    def add(self, events: Iterable[Event]) -> None:
        for event in events:
            if event.alert is None:
                continue
            key = event.alert, event.subject
            if event.time >= self._start:
                if event.stage and event.event in RAISING:
                    self._since = max(self._since, event.stage)
            elif event.event in ("cleared", "rectified"):
                self._standing.pop(key, None)
            elif event.stage and (event.event in RAISING or event.event == "eased"):
                self._standing[key] = event.stage
