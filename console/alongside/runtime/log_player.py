"""A recorded log played through the cycle: the one way for headless runs, replays on screen and seeking."""

from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil, floor, inf
from pathlib import Path
from typing import Final, Protocol

import numpy as np

from alongside.actions import Action
from alongside.alerts.model import Event
from alongside.cycle.advance import advance, advance_guarded
from alongside.cycle.block import Block
from alongside.cycle.deck.altered import altered
from alongside.cycle.memory import Memory
from alongside.cycle.with_forecast import EVERY_S, advance_with_forecast_guarded
from alongside.feeds.batch import Batch
from alongside.feeds.intake import Intake, Spoil, memory_of_intake
from alongside.feeds.log import FeedLog
from alongside.forecast.basis import Basis
from alongside.readings import Floats, Readings
from alongside.stay.model import Display
from alongside.wording.times import from_to, span

BLOCK: Final = 3600
"""Cycles in a block: an hour at 1 Hz stays within the processor's cache, line by line."""

AWAKE_S: Final = 900.0
"""So long cycles go on after the log falls silent: every input is lost by then and every delay has run
out. The rest of a longer gap is skipped and reported as one event."""


MOST_LOOKS: Final = 3
"""How often is looked further back for what was heard before silences: a log of few lines is silent all the
time."""

Cycle = Callable[[Basis, Memory, Readings, Sequence[Action]], tuple[Memory, Block]]


class Staging(Protocol):
    """What an exercise changes that is not in the log. At the `edges` (UNIX seconds, rising) the
    gear or the lines change; each takes effect at the first cycle at or after it."""

    @property
    def edges(self) -> tuple[float, ...]: ...

    def basis_at(self, time: float) -> Basis:
        """Return the plan in force at a cycle."""

    def turned(self, after: float, upto: float, memory: Memory) -> tuple[Memory, tuple[Event, ...]]:
        """Return the memory after all edges later than `after`, up to `upto`, and their events."""

    def spoiler(self) -> Spoil:
        """Return what spoils the raw values of one intake."""

    def hears_from(self, time: float) -> float:
        """Return from when an intake must read the log so that its values at `time` are spoilt the same."""


class Player:
    """Cycles at whole seconds of log time, from the first line of the log on, up to `end`.

    A block has at most `BLOCK` cycles. With `every` (s) none reaches over a multiple of it, and a cycle at
    which something was done is a block of its own, wherever playing is interrupted. `memory` is the memory
    after the last cycle played, `ended` whether the log is at its end.
    """

    def __init__(
        self,
        basis: Basis,
        path: str | Path,
        start: float | None = None,
        cycle: Cycle = advance,
        staging: Staging | None = None,
        end: float = inf,
        every: float = inf,
    ) -> None:
        self.basis = self._as_written = basis
        self._every = every
        self.log = FeedLog(path, start, stay=basis.stay)
        self.intake = Intake(basis.stay, None if staging is None else staging.spoiler())
        self.memory = Memory.at_start(basis.stay)
        self._staging = staging
        self._edges = () if staging is None else staging.edges
        self._last = float(floor(end)) if end < inf else inf
        self.ended = False
        self.time: float | None = None
        """The last cycle played, UNIX seconds; None before the first."""
        self._cycle = cycle
        self._batches: Iterator[Batch] = iter(self.log)
        self._newest = -inf
        self._next = -inf
        self._gaps: list[tuple[float, float]] = []

    @classmethod
    def resumed(
        cls,
        basis: Basis,
        path: str | Path,
        memory: Memory,
        time: float,
        cycle: Cycle = advance,
        staging: Staging | None = None,
        end: float = inf,
        every: float = inf,
    ) -> "Player":
        """Return a player that goes on after the cycle at `time` with the memory of then. Its intake reads
        the log from some time before, so that means and spike checks give the same as without the break:
        silences not counted, since a gauge that does not move may not have moved before one either."""
        hears, silent = time - memory_of_intake(basis.stay), -1.0
        if staging is not None:
            hears = min(hears, staging.hears_from(hears))
        more = 0.0
        for _ in range(MOST_LOOKS):  # further back there may be silences as well
            if more <= silent:
                break
            silent = more
            player = cls(basis, path, hears - silent, cycle, staging, end, every)
            player.intake.go_on(memory.feeds, time, hears - silent)
            player._read_past(time)
            more = player._silent_s(hears - silent, time)
        player.memory, player.time = memory, time
        player._next = time + 1.0
        return player

    def _silent_s(self, begin: float, end: float) -> float:
        """Return for how long the log was silent up to `end`, in silences that end after `begin`."""
        gaps = self.log.clock.gaps
        return sum(min(to, end) - since for since, to in gaps if to > begin and since < end)

    @property
    def next_time(self) -> float:
        """Return the time of the next cycle, UNIX seconds: a second on, or the end of a skipped gap."""
        return self._next

    @property
    def starts_at(self) -> float:
        """Return the first cycle of the log, UNIX seconds; NaN for a log without a timed line."""
        self._read_past(-inf)
        return self._next if self._next > -inf else float("nan")

    @property
    def is_over(self) -> bool:
        """Return True when every cycle there is has been played."""
        if self.time is None:
            return False
        return self.time >= self._last or (self.ended and self._next > ceil(self._newest))

    def play_to(self, until: float, actions: Sequence[Action] = ()) -> Iterator[Block]:
        """Play cycles up to and including `until`, in blocks of an hour at most. `actions` take effect at
        the first of them."""
        while True:
            want = min(until, self._next + BLOCK - 1.0) if self._next > -inf else until
            self._read_past(want)
            self._wake()
            last = min(until, self._before_edge(), self._before_cut(bool(actions)), self._last)
            times, slept = self._due(last)
            if not times.size:
                return
            news = self._turn()
            readings = self.intake.readings(times)
            self.memory, block = self._cycle(self._as_written, self.memory, readings, actions)
            self.basis = altered(self._as_written, self.memory.lengths.deck)
            actions = ()
            self.time = float(times[-1])
            self._next = slept[1] if slept else self.time + 1.0
            yield _with_gap(_with_events(block, news), slept, self.basis.stay.display)

    def _before_edge(self) -> float:
        """Return the last cycle before the next edge: one that is due now takes effect at the next cycle."""
        following = bisect_right(self._edges, self._next)
        return ceil(self._edges[following]) - 1.0 if following < len(self._edges) else inf

    def _before_cut(self, acting: bool) -> float:
        """Return the last cycle before the next cut that `every` asks for."""
        if self._every == inf:
            return inf
        if acting:
            return self._next
        return ceil((self._next // self._every + 1.0) * self._every) - 1.0

    def _turn(self) -> tuple[Event, ...]:
        """Apply exercise changes due at the next cycle; return their events."""
        if self._staging is None:
            return ()
        self._as_written = self._staging.basis_at(self._next)
        after = -inf if self.time is None else self.time
        self.memory, news = self._staging.turned(after, self._next, self.memory)
        return news

    def _read_past(self, until: float) -> None:
        """Read on until every line at or before `until` is in, and something is."""
        while not self.ended and (self._newest <= until or self._newest == -inf):
            batch = next(self._batches, None)
            if batch is None:
                self.ended = True
                return
            if not len(batch):
                continue
            if self._newest == -inf:
                self._next = float(ceil(batch.time[0]))
            self._gaps += [gap for gap in batch.gaps if gap[1] - gap[0] > AWAKE_S]
            self.intake.take_batch(batch)
            self._newest = float(batch.time[-1])

    def _wake(self) -> None:
        """Skip a gap that was already reported."""
        while self._gaps and self._gaps[0][1] <= self._next:
            self._gaps.pop(0)
        if self._gaps and self._next > self._gaps[0][0] + AWAKE_S:
            self._next = float(ceil(self._gaps.pop(0)[1]))

    def _due(self, until: float) -> tuple[Floats, tuple[float, float] | None]:
        """Return the times of the next block, and the gap that it ends with: (from, first cycle after)."""
        if self._newest == -inf:
            return np.empty(0), None
        # A later line may still bear the newest time: cycles at that time wait, unless the log has ended.
        complete = ceil(self._newest) if self.ended else ceil(self._newest) - 1
        last = float(min(complete, self._next + BLOCK - 1.0, inf if until == inf else floor(until)))
        slept = None
        if self._gaps and last >= self._gaps[0][0] + AWAKE_S:
            last = float(floor(self._gaps[0][0] + AWAKE_S))
            slept = (last, float(ceil(self._gaps[0][1])))
        return np.arange(self._next, last + 1.0), slept


@dataclass(frozen=True, slots=True)
class LogSource:
    """A recorded stay that players can be made of, with what an exercise changes in it, up to `end`; `cycle`
    and `every` as of a `Player`."""

    basis: Basis
    path: Path
    staging: Staging | None = None
    end: float = inf
    cycle: Cycle = advance_guarded
    every: float = inf

    def rewound(self) -> Player:
        """Return a player at the beginning."""
        return Player(self.basis, self.path, None, self.cycle, self.staging, self.end, self.every)

    def resumed(self, memory: Memory, time: float) -> Player:
        """Return a player that goes on after the cycle at `time`, with the memory of then."""
        return Player.resumed(
            self.basis, self.path, memory, time, self.cycle, self.staging, self.end, self.every
        )


def gap_event(begin: float, end: float, display: Display) -> Event:
    """Return that nothing is known of the time between two instants; `value` is its length in s."""
    text = f"no data for {span(end - begin)}, {from_to(begin, end, display)}"
    return Event(end, "gap", value=end - begin, text=text)


def _with_events(block: Block, news: Sequence[Event]) -> Block:
    """Return the block with the events of an exercise, at its first cycle, as actions are."""
    now = float(block.readings.time[0])
    for event in news:
        block = block.with_event(replace(event, time=now))
    return block


def _with_gap(block: Block, slept: tuple[float, float] | None, display: Display) -> Block:
    if slept is None:
        return block
    return block.with_event(gap_event(*slept, display))


def with_forecast(source: LogSource) -> LogSource:
    """Return the same source, looking ahead as it goes; its plan must have the rule `ahead`."""
    return replace(source, cycle=advance_with_forecast_guarded, every=EVERY_S)
