"""A recorded feed log put on record as a watch would have: played without a screen, each block kept."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from math import inf, isnan
from pathlib import Path

from alongside import __version__
from alongside.alerts.model import Event
from alongside.cycle.block import Block
from alongside.errors import DiskFailed, WrongInput
from alongside.forecast.basis import Basis
from alongside.record.entries import Run
from alongside.record.recorder import Recorder
from alongside.record.resume import text_of
from alongside.record.states import Columns
from alongside.runtime.log_player import Player
from alongside.stay.model import Stay


def put_on_record(
    stay: Stay, log: Path, folder: Path, show: Callable[[float], None] = lambda _part: None
) -> None:
    """Play a log from its beginning to its end and keep in `folder` what a watch on it would have put on
    record, but for the sentences themselves; `show` is given the part that is done, 0 to 1. Raise WrongInput
    for a log that cannot be read or holds nothing, DiskFailed where not all of it could be kept."""
    player = Player(Basis.of(stay), log)
    if isnan(player.starts_at):
        raise WrongInput(f"{log}: no line with a time, expected sentences with TAG blocks")
    with recording(stay, log, player, folder) as keep:
        for block in player.play_to(inf):
            keep(block)
            show(player.log.bytes_read / max(player.log.size, 1))


@contextmanager
def recording(stay: Stay, log: Path, player: Player, folder: Path) -> Iterator[Callable[[Block], None]]:
    """Return what puts one block after another of a player on record, each before the next is played. Raise
    DiskFailed at the end where not all of it could be kept. What breaks off leaves a record that is whole as
    far as it goes."""
    begin = player.starts_at
    columns = Columns.of(stay, player.intake.channels)
    recorder = Recorder(folder, Run(begin, __version__, stay, text_of(stay), columns))
    news = [Event(begin, "started", text=f"{stay.name}, played from the log {log.name}")]

    def keep(block: Block) -> None:
        recorder.keep(block, player.memory, news=tuple(news))
        news.clear()

    lost = ""
    try:
        yield keep
        lost = recorder.end(Event(player.time or begin, "stopped", text="the log is at its end"))
    finally:
        recorder.close()
    if lost:
        raise DiskFailed(f"{folder}: {lost}")


def need_new_folder(folder: Path) -> None:
    """Raise WrongInput where a record must not be begun: no record is ever written over or gone on with."""
    try:
        is_free = not folder.exists() or (folder.is_dir() and not any(folder.iterdir()))
    except OSError as error:
        raise WrongInput(f"{folder}: {error.strerror}, expected a new folder for the record") from error
    if not is_free:
        raise WrongInput(f"{folder}: there is something already, expected a new folder for the record")
