"""Blocks of cycles in, Pictures out: the same for a live watch, a replay and a second console."""

import time
from collections import deque
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from math import nan
from typing import Any, Final

from numpy.typing import NDArray

from alongside.alerts.model import Event
from alongside.cycle.block import Block
from alongside.cycle.chart_history import Past, in_columns
from alongside.cycle.guard import Guard
from alongside.cycle.holding_words import now_only
from alongside.cycle.last_polar import LastPolar
from alongside.cycle.memory import Memory
from alongside.cycle.past_series import series_names, series_values
from alongside.cycle.picture import FeedRow, Picture
from alongside.cycle.picture_of import picture_of
from alongside.cycle.worse_holding import spots_shown
from alongside.feeds.intake import Intake
from alongside.feeds.reader import PortStatus
from alongside.forecast.basis import Basis
from alongside.readings import Floats
from alongside.record.faultlog import keep_text
from alongside.runtime.forecast_worker import ForecastWorker
from alongside.runtime.learning_worker import LearningWorker
from alongside.runtime.log_spans import Spans
from alongside.stay.model import Stay

LOG_S: Final = 24 * 3600.0
LOG_MOST: Final = 20_000
"""Events on screen: a day, and no more than memory allows in the worst of days."""


Rows = tuple[tuple[str, ...], Floats, NDArray[Any]]


class PictureMaker:
    """Accumulates blocks into a Picture; without `looks_ahead` one without forecast. Not thread-safe."""

    def __init__(
        self,
        basis: Basis,
        channels: Sequence[str],
        monotonic: Callable[[], float] = time.monotonic,
        looks_ahead: bool = True,
    ) -> None:
        self.basis = basis
        self._looks_ahead = looks_ahead
        self._monotonic = monotonic
        self.last_polar = LastPolar(basis)
        self.forecasts = ForecastWorker(basis, monotonic)
        self.learning = LearningWorker(monotonic)
        self._channels = tuple(channels)
        self._names = series_names(basis, channels)
        self.past = Past(self._names)
        self.log: deque[Event] = deque(maxlen=LOG_MOST)
        self._block: Block | None = None
        self._fault = ""
        self._not_worked_out: set[str] = set()
        self._failed: set[str] = set()

    def add(self, block: Block, asked: Sequence[str] = ()) -> None:
        """Remember a block; `asked` names lines whose brakes are in question. A fault in it is written to the
        fault log, once for as long as it stays."""
        self.past.add(block.readings.time, series_values(self.basis, block))
        self.learning.add(self.basis.stay, block, asked)
        self.log_events(block.events)
        if block.fault and block.fault != self._fault:
            keep_text(block.fault)
        self._fault = block.fault
        self._block = block

    def restate(self, block: Block) -> None:
        """Go on with a block of the same instants as the last one, of which more is known since."""
        self._block = block

    def _keep_fault(self, guard: Guard) -> None:
        """Write each part that failed in making the Picture to the fault log, once."""
        for part in guard.failed:
            if part not in self._failed:
                self._failed.add(part)
                keep_text(guard.trace)

    def _note_failed(self, now: float, what: str, trace: str) -> None:
        """Put on the log, once, that something cannot be worked out; `trace` "" where it can."""
        if trace and what not in self._not_worked_out:
            text = f"{what} cannot be worked out; trace in {trace}"
            self.log_events([Event(now, "note", text=text)])
        (self._not_worked_out.add if trace else self._not_worked_out.discard)(what)

    @property
    def names(self) -> tuple[str, ...]:
        """Return the series of the past."""
        return self._names

    def log_events(self, events: Iterable[Event]) -> None:
        """Put events on the log, and forget those older than a day."""
        self.log.extend(events)
        while self.log and self.log[-1].time - self.log[0].time > LOG_S:
            self.log.popleft()

    def use_basis(self, basis: Basis) -> None:
        """Go on by another plan: lines or gear are not what they were. What was found to be due by the one
        before stands until it is found anew."""
        if basis is not self.basis:
            self.basis = basis
            names = series_names(basis, self._channels)
            if names != self._names:
                self._names, self.past = names, self.past.renamed(names)
            self.last_polar = LastPolar(basis)
            self.forecasts = ForecastWorker(basis, self._monotonic, self.forecasts)

    def reset(self, events: Iterable[Event], past: Iterable[Rows]) -> None:
        """Forget everything, and remember these events and rows of the past (names, times, values)
        instead."""
        self.learning.reset()
        self.past = Past(self._names)
        for names, times, values in past:
            if times.size:
                self.past.add(times, in_columns(self._names, names, values))
        self.log.clear()
        self.log_events(events)
        self._block = None

    def picture(self, memory: Memory, feeds: Sequence[FeedRow]) -> Picture | None:
        """Return the Picture at the last instant kept; None before the first."""
        if self._block is None:
            return None
        block, guard = self._block, Guard()
        forecast = None
        if self._looks_ahead:
            forecast = guard.run(
                "ahead", lambda: self.forecasts.look(block, memory, self.past.history()), lambda: None
            )
        learnt = guard.run("learning", lambda: self.learning.look(self.basis.stay, memory), lambda: ())
        now = float(block.situation.time[-1])
        self._note_failed(now, "the hours ahead", self.forecasts.failed)
        self._note_failed(now, "what loads show of lines", self.learning.failed)
        log = tuple(self.log)
        picture = picture_of(self.basis, block, memory, self.past, feeds, log, forecast, guard, learnt)
        holding, text = guard.run(
            "holding",
            lambda: self.last_polar.of(
                memory.held,
                picture.tide_rate,
                block.hold.why_no_length()[-1],
                memory.held_if_slipped,
                memory.lengths.brakes.asked,
            ),
            lambda: (None, ""),
        )
        who = guard.run(
            "holding",
            lambda: self.last_polar.who(memory.held, forecast, memory.held_if_slipped),
            lambda: (),
        )
        self._keep_fault(guard)
        if not self._looks_ahead:
            text = now_only(text)
        asked = bool(memory.lengths.brakes.asked)
        weak, otherwise = spots_shown(memory.held, memory.held_if_slipped, asked)
        return replace(
            picture,
            holding=holding,
            holds_ms=nan if weak.holds_ms is None else weak.holds_ms,
            weak=weak,
            weak_otherwise=otherwise,
            who_holds=who,
            holding_text=text,
            forecast_hidden=not self._looks_ahead,
            unrecorded=self._block.unrecorded,
            older_forecast=self.forecasts.older if self._looks_ahead and forecast is None else None,
        )


def as_replay(picture: Picture, speed: float, paused: bool, spans: Spans = ()) -> Picture:
    """Return the same Picture, marked as one of a replay of a log that holds these spans."""
    return replace(picture, replay=True, speed=speed, paused=paused, log_spans=spans)


def feed_rows(
    stay: Stay, intake: Intake, states: Mapping[str, PortStatus], port: str = "", note: str = ""
) -> tuple[FeedRow, ...]:
    """Return one row a feed. One without a state counts as open; `port` and `note` stand in for its own."""
    rows: list[FeedRow] = []
    for feed in stay.feeds:
        state = states.get(feed.name, PortStatus(True, note))
        heard, unused = intake.heard[feed.name], intake.tallies[feed.name].unused
        lost = state.dropped, state.dropping, state.others, intake.numbers[feed.name].all()
        rows.append(FeedRow(feed.name, port or feed.port, state.open, state.note, heard, unused, *lost))
    return tuple(rows)
