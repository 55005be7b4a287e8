"""Records to report on: recorded stays played through the recorder, as a watch would have kept them."""

from collections.abc import Iterator, Mapping
from math import ceil, inf
from pathlib import Path

from alongside import __version__
from alongside.actions import Action
from alongside.alerts.model import Event
from alongside.cycle.block import Block
from alongside.forecast.basis import Basis
from alongside.record.entries import Run
from alongside.record.recorder import Recorder
from alongside.record.states import Columns
from alongside.runtime.log_player import Player
from alongside.stay.model import Stay


def recorded(
    stay: Stay, log: Path, folder: Path, actions: Mapping[float, Action] | None = None, upto: float = inf
) -> Path:
    """Return the folder with the record of a log, played to its end or up to a time; `actions` by time."""
    player = Player(Basis.of(stay), log)
    channels = player.intake.channels
    text = Path(stay.file).read_text(encoding="utf-8")
    recorder = Recorder(folder, Run(player.starts_at, __version__, stay, text, Columns.of(stay, channels)))
    started = [Event(player.starts_at, "started", text=stay.name)]
    for done, block in played(player, dict(actions or {}), upto):
        recorder.keep(block, player.memory, done, started)
        started = []
    assert player.time is not None
    recorder.end(Event(player.time, "stopped", text="the watch was ended"))
    return folder


def played(player: Player, actions: dict[float, Action], upto: float) -> Iterator[tuple[list[Action], Block]]:
    """Blocks, each with the actions before it."""
    for at in sorted(actions):
        yield from (([], block) for block in player.play_to(ceil(at) - 1.0))
        first = True
        for block in player.play_to(ceil(at), [actions[at]]):
            yield ([actions[at]] if first else []), block
            first = False
    yield from (([], block) for block in player.play_to(upto))
