"""A recorded feed log put on record as a watch would have: played without a screen, each block kept."""

from math import inf, isnan
from pathlib import Path

from alongside import __version__
from alongside.alerts.model import Event
from alongside.errors import DiskFailed, WrongInput
from alongside.forecast.basis import Basis
from alongside.record.entries import Run
from alongside.record.recorder import Recorder
from alongside.record.resume import text_of
from alongside.record.states import Columns
from alongside.runtime.log_player import Player
from alongside.stay.model import Stay


def put_on_record(stay: Stay, log: Path, folder: Path) -> None:
    """Play a log from its beginning to its end and keep in `folder` what a watch on it would have put on
    record, but for the sentences themselves. Raise WrongInput for a log that cannot be read or holds nothing,
    DiskFailed where not all of it could be kept."""
    player = Player(Basis.of(stay), log)
    begin = player.starts_at
    if isnan(begin):
        raise WrongInput(f"{log}: no line with a time, expected sentences with TAG blocks")
    columns = Columns.of(stay, player.intake.channels)
    recorder = Recorder(folder, Run(begin, __version__, stay, text_of(stay), columns))
    lost = ""
    try:
        news: tuple[Event, ...] = (
            Event(begin, "started", text=f"{stay.name}, played from the log {log.name}"),
        )
        for block in player.play_to(inf):
            recorder.keep(block, player.memory, news=news)
            news = ()
        lost = recorder.end(Event(player.time or begin, "stopped", text="the log is at its end"))
    finally:
        recorder.close()
    if lost:
        raise DiskFailed(f"{folder}: {lost}")
