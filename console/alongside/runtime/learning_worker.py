"""Keeps what measured loads show up to date beside a watch, in a thread of its own so that no cycle waits.

It is asked anew once new samples have come, at once when somebody has read a load, or when the stay is
another by what was done on deck: what was found before that rests on another and is taken away.
"""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from queue import Empty, SimpleQueue
from typing import Final

import numpy as np

from alongside.cycle.block import Block
from alongside.cycle.loads_measured import NOTHING_MEASURED, LoadsMeasured
from alongside.cycle.memory import Memory
from alongside.forecast.learning.found import LEAST_CELLS, LineFound, as_of_now, found_in
from alongside.forecast.learning.observed import Observed
from alongside.record.faultlog import keep_trace
from alongside.record.states import States
from alongside.runtime.freed_memory import give_back
from alongside.runtime.loads_of_stay import added_states
from alongside.runtime.worker import Worker
from alongside.stay.model import Stay

REST_S: Final = 10.0
"""Least time on the clock from one question to the next: a fast replay shows an older answer."""


@dataclass(frozen=True, slots=True, eq=False)
class _Question:
    stay: Stay
    observed: Observed
    about: tuple[int, int]


class LearningWorker:
    """Takes blocks, and hands out what was found last. All but the work itself belongs to the caller's
    thread."""

    def __init__(self, monotonic: Callable[[], float] = time.monotonic) -> None:
        self.measured: LoadsMeasured = NOTHING_MEASURED
        self.failed = ""
        """Where the trace of the fault that stopped the last search is kept; "" while all is well."""
        self._monotonic = monotonic
        self._worker = Worker[_Question]("learning", self._work, lambda: None)
        self._answers: SimpleQueue[tuple[_Question, tuple[LineFound, ...], str]] = SimpleQueue()
        self._found: tuple[LineFound, ...] = ()
        self._of: Stay | None = None
        self._asked: tuple[int, int] = (0, 0)
        self._asked_of: Stay | None = None
        self._asked_at = -np.inf
        self._started = self._busy = False

    def add(self, stay: Stay, block: Block, asked: Sequence[str]) -> None:
        """Remember what was measured in a block; `asked` names lines whose brakes are in question."""
        lines = block.hold.lines
        self.measured = self.measured.added(
            stay, block.readings, block.situation, lines.unstretched_m, lines.tension_kn, asked
        )

    def restore(self, states: Sequence[States]) -> None:
        """Remember what was measured before, of a record."""
        for piece in states:
            self.measured = added_states(self.measured, piece)

    def reset(self) -> None:
        """Forget everything: a replay goes on elsewhere."""
        self.measured, self._found, self._asked, self._asked_of = NOTHING_MEASURED, (), (0, 0), None

    def look(self, stay: Stay, memory: Memory) -> tuple[LineFound, ...]:
        """Return what was found last, for the stay as it is now; ask anew where due."""
        self._take_answers()
        read = memory.lengths.loads_read
        about = self.measured.time.size, len(read)
        enough = about[0] >= LEAST_CELLS or about[1] > 0
        if enough and not self._busy and self._is_due(stay, about):
            self._asked, self._asked_of, self._asked_at = about, stay, self._monotonic()
            self._busy = True
            if not self._started:
                self._started = True
                self._worker.start()
            self._worker.post(_Question(stay, self.measured.observed(stay, read), about))
        return as_of_now(stay, self._found, memory.lengths.unstretched) if self._of is stay else ()

    def wait(self, seconds: float) -> None:
        """Wait until nothing is being worked out, or for so long: for whoever has time."""
        until = self._monotonic() + seconds
        while self._busy and self._monotonic() < until:
            try:
                self._take(*self._answers.get(timeout=max(until - self._monotonic(), 0.0)))
            except Empty:
                return

    def _is_due(self, stay: Stay, about: tuple[int, int]) -> bool:
        if about[1] != self._asked[1] or stay is not self._asked_of:
            return True
        return about != self._asked and self._monotonic() - self._asked_at >= REST_S

    def _work(self) -> None:
        for question in self._worker.posted():
            try:
                self._answers.put((question, found_in(question.stay, question.observed), ""))
            except Exception:  # guards the thread: a search that fails is reported, the watch goes on without
                self._answers.put((question, (), str(keep_trace())))
            give_back()

    def _take_answers(self) -> None:
        try:
            while True:
                self._take(*self._answers.get_nowait())
        except Empty:
            return

    def _take(self, question: _Question, found: tuple[LineFound, ...], failed: str) -> None:
        self._busy, self.failed = False, failed
        self._found, self._of = found, question.stay
