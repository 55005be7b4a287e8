"""How a stay really went about a moment: what its lines had out, what was raised, how it blew."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np

from alongside.alerts.model import Event
from alongside.cycle.block import Block
from alongside.cycle.deck.altered import altered_stay
from alongside.cycle.lengths import Lengths
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.runtime.log_player import Player
from alongside.stay.model import Stay
from alongside.training.exercise.model import LineStood
from alongside.training.from_stay.source import Source
from alongside.units import iso_time

AFTER_S: Final = 1.0
"""Lines stand as they stood from the second cycle of the cut log on: in the first they are made fast."""
SAME_M: Final = 1e-4


@dataclass(frozen=True, slots=True)
class Times:
    """UNIX s: where the cut log begins, the exercise begins, the moment is, and it ends."""

    log: float
    start: float
    moment: float
    end: float


@dataclass(frozen=True, slots=True)
class Highest:
    """The highest value of something, and when; NaN where nothing was known."""

    value: float = float("nan")
    at: float = float("nan")

    def with_more(self, values: np.ndarray, times: np.ndarray) -> "Highest":
        if not values.size or np.isnan(values).all():
            return self
        row = int(np.nanargmax(values))
        return self if values[row] <= self.value else Highest(float(values[row]), float(times[row]))


@dataclass(frozen=True, slots=True)
class Went:
    """`stay` as she was moored when the exercise begins; `stood`: lengths from the beginning of the cut log
    on; `events` from the start of the exercise to its end. `wind_from` when it blew hardest, deg true, NaN
    where nobody knows; `loads` of each line, as shares of its working limit, and `tensions`, kN, at the time
    of the highest."""

    times: Times
    stay: Stay
    stood: tuple[LineStood, ...]
    events: tuple[Event, ...]
    wind: Highest
    wind_from: float
    loads: tuple[Highest, ...]
    tensions: tuple[float, ...]


def went(source: Source, times: Times, log: Path, show: Callable[[float], None]) -> Went:
    """Return how the stay went. `log` is the one to play: of a record the part that was cut. Raises
    WrongInput where it does not reach."""
    player = _player(source, log)
    first = player.starts_at if player.time is None else player.time
    if first != first or first > times.start:
        raise WrongInput(f"{log}: it begins after {iso_time(times.start)}, expected a later moment")
    for _ in _played(source, player, times.log + AFTER_S):
        show(_part(player, first, times.end))
    begin = player.memory.lengths
    for _ in _played(source, player, times.start):
        show(_part(player, first, times.end))
    start = player.memory.lengths
    stay = altered_stay(source.stay, start.deck)
    seen = _Seen(stay)
    for block in _played(source, player, times.end):
        seen.add(block)
        show(_part(player, first, times.end))
    if player.time is None or player.time < times.end - AFTER_S:
        last = "nothing" if player.time is None else iso_time(player.time)
        raise WrongInput(f"{log}: it ends {last}, expected it to go on to {iso_time(times.end)}")
    stood = _stood(stay, begin, None, times.log + AFTER_S)
    stood += _stood(stay, start, begin, times.start)
    return Went(
        times,
        stay,
        tuple(stood),
        tuple(seen.events),
        seen.wind,
        seen.wind_from,
        tuple(seen.loads),
        tuple(seen.tensions),
    )


def _player(source: Source, log: Path) -> Player:
    basis = Basis.of(source.stay)
    if source.memory is None:
        return Player(basis, log)
    return Player.resumed(basis, log, source.memory, source.since)


def _played(source: Source, player: Player, until: float) -> Iterator[Block]:
    """Yield blocks up to a time, with what was entered then."""
    here = -np.inf if player.time is None else player.time
    for at, actions in source.acted(here, until):
        yield from player.play_to(np.ceil(at) - 1.0)
        yield from player.play_to(max(player.next_time, float(np.ceil(at))), actions)
    yield from player.play_to(until)


def _part(player: Player, first: float, end: float) -> float:
    return 0.0 if player.time is None else min((player.time - first) / (end - first), 1.0)


def _stood(stay: Stay, now: Lengths, before: Lengths | None, at: float) -> list[LineStood]:
    """Return how lines stand that do not stand as before."""
    parted, let_go = now.parted_at(), now.let_go_at()
    rows: list[LineStood] = []
    for place, line in enumerate(stay.lines):
        if place >= len(now.fast):  # it was put out later
            continue
        known = before is not None and place < len(before.fast)
        was_fast = known and before is not None and before.fast[place]
        out = float(now.unstretched[place])
        same = was_fast and before is not None and abs(out - float(before.unstretched[place])) <= SAME_M
        if now.fast[place]:
            rows += [] if same else [LineStood(at, line.id, out_m=round(out, 4))]
        elif (np.isfinite(parted[place]) or np.isfinite(let_go[place])) and (was_fast or not known):
            has_parted = bool(np.isfinite(parted[place]))
            rows.append(LineStood(at, line.id, gone="parted" if has_parted else "let_go"))
    return rows


class _Seen:
    """What is gathered of the exercise's own time."""

    def __init__(self, stay: Stay) -> None:
        self.events: list[Event] = []
        self.wind, self.wind_from = Highest(), float("nan")
        self.loads = [Highest() for _ in stay.lines]
        self.tensions = [float("nan")] * len(stay.lines)

    def add(self, block: Block) -> None:
        times = block.readings.time
        self.events += block.events
        lines = block.hold.lines
        for place in range(min(len(self.loads), lines.load_share.shape[1])):
            more = self.loads[place].with_more(lines.load_share[:, place], times)
            if more is not self.loads[place]:
                row = int(np.flatnonzero(times == more.at)[0])
                self.loads[place], self.tensions[place] = more, float(lines.tension_kn[row, place])
        speed = block.situation.wind_speed
        if speed is None:
            return
        more = self.wind.with_more(np.asarray(speed), times)
        if more is not self.wind:
            row = int(np.flatnonzero(times == more.at)[0])
            self.wind = more
            self.wind_from = float(np.asarray(block.situation.wind_from)[row])
