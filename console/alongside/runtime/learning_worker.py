"""Keeps what measured loads show up to date beside a watch, in a thread of its own so that no cycle waits.

It is asked anew once new samples have come, at once when somebody has read a load, or when the stay is
another by what was done on deck: what was found before that rests on another and is taken away.
"""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from alongside.cycle.block import Block
from alongside.cycle.loads_measured import NOTHING_MEASURED, LoadsMeasured
from alongside.cycle.memory import Memory
from alongside.forecast.learning.found import LEAST_CELLS, found_in
from alongside.forecast.learning.line_found import LineFound, as_of_now
from alongside.forecast.learning.observed import Observed
from alongside.record.states import States
from alongside.runtime.loads_of_stay import added_states
from alongside.runtime.one_question import OneQuestion
from alongside.stay.model import Stay

REST_S: Final = 10.0
"""Least time on the clock from one question to the next: a fast replay shows an older answer."""


_About = tuple[int, tuple[tuple[str, float, float, float], ...]]
"""What a question rests on: how many samples; line, time, load and deviation of each load that was read."""
NOTHING_ASKED: Final[_About] = (0, ())


@dataclass(frozen=True, slots=True, eq=False)
class _Question:
    stay: Stay
    observed: Observed


class LearningWorker:
    """Takes blocks, and hands out what was found last. All but the work itself belongs to the caller's
    thread."""

    def __init__(self, monotonic: Callable[[], float] = time.monotonic) -> None:
        self.measured: LoadsMeasured = NOTHING_MEASURED
        self._monotonic = monotonic
        self._search = OneQuestion[_Question, tuple[LineFound, ...]](
            "learning", lambda asked: found_in(asked.stay, asked.observed), self._take, monotonic
        )
        self._found: tuple[LineFound, ...] = ()
        self._of: Stay | None = None
        self._asked = NOTHING_ASKED
        self._asked_of: Stay | None = None
        self._asked_at = -np.inf
        self._awaited: _Question | None = None
        """Which answer counts: none of a question from before a replay went on elsewhere."""

    @property
    def failed(self) -> str:
        """Return where the trace of the fault that stopped the last search is kept; "" while all is well."""
        return self._search.failed

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
        self.measured, self._found, self._asked, self._asked_of = NOTHING_MEASURED, (), NOTHING_ASKED, None
        self._awaited = None

    def look(self, stay: Stay, memory: Memory) -> tuple[LineFound, ...]:
        """Return what was found last, for the stay as it is now; ask anew where due."""
        self._search.take_answers()
        read = memory.lengths.loads_read
        about = (
            self.measured.time.size,
            tuple((each.line, each.time, each.load_kn, each.sigma_kn) for each in read),
        )
        if about[0] < LEAST_CELLS and not read:
            return ()
        if not self._search.busy and self._is_due(stay, about):
            self._asked, self._asked_of, self._asked_at = about, stay, self._monotonic()
            self._awaited = _Question(stay, self.measured.observed(stay, read))
            self._search.ask(self._awaited)
        return as_of_now(stay, self._found, memory.lengths.unstretched) if self._of is stay else ()

    def wait(self, seconds: float) -> None:
        """Wait until nothing is being worked out, or for so long: for whoever has time."""
        self._search.wait(seconds)

    def _is_due(self, stay: Stay, about: _About) -> bool:
        if about[1] != self._asked[1] or stay is not self._asked_of:
            return True
        return about != self._asked and self._monotonic() - self._asked_at >= REST_S

    def _take(self, question: _Question, found: tuple[LineFound, ...] | None) -> None:
        if question is self._awaited:
            self._found, self._of = found or (), question.stay
