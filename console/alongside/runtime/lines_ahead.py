"""Lines that are made in a thread of their own, ahead of whoever takes them: a simulation is drawn by the
hour, and no line shall be late for that."""

from collections import deque
from collections.abc import Iterator
from itertools import islice
from queue import Empty, Full, Queue
from typing import Final

from alongside.runtime.worker import Worker

TOGETHER: Final = 500
MOST_CHUNKS: Final = 200
"""So many times as many lines are kept ready."""
LOOK_S: Final = 0.1

TimedLine = tuple[float, bytes]


class LinesAhead(Iterator[TimedLine]):
    """The same lines, made ahead; what their maker raises is raised here, after the lines before it. Begins
    at once."""

    def __init__(self, lines: Iterator[TimedLine]) -> None:
        self._lines = lines
        self._ready: Queue[list[TimedLine] | Exception | None] = Queue(MOST_CHUNKS)
        self._at_hand: deque[TimedLine] = deque()
        self._worker: Worker[None] = Worker("lines ahead", self._make, lambda: 0.0)
        self._worker.start()

    def stop(self) -> None:
        """End both: no more lines are made, or come."""
        self._worker.stop(0.0)

    def __next__(self) -> TimedLine:
        while not self._at_hand:
            if self._worker.stopping() and self._ready.empty():
                raise StopIteration
            try:
                came = self._ready.get(timeout=LOOK_S)
            except Empty:
                continue
            if came is None:
                raise StopIteration
            if isinstance(came, Exception):
                raise came
            self._at_hand.extend(came)
        return self._at_hand.popleft()

    def _make(self) -> None:
        """Make some lines, or say that there are no more."""
        made: list[TimedLine] = []
        try:
            made.extend(islice(self._lines, TOGETHER))
        except Exception as error:  # for whoever takes them, in the other thread
            self._hand_over(made)
            self._hand_over(error)
            self._worker.finish()
            return
        self._hand_over(made)
        if len(made) < TOGETHER:
            self._hand_over(None)
            self._worker.finish()

    def _hand_over(self, made: list[TimedLine] | Exception | None) -> None:
        while not self._worker.stopping():
            try:
                self._ready.put(made, timeout=LOOK_S)
            except Full:
                continue
            return
