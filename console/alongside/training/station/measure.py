"""What an exercise is measured by, worked out in a thread of its own while it is lived through: anew once
something was put into it. It is kept, so that the debrief has it at once."""

from queue import Empty, SimpleQueue

from alongside.errors import AlongsideError
from alongside.runtime.worker import Worker
from alongside.training.exercise.kept_yardstick import kept_yardstick, measured
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.yardstick import Yardstick


class _OutOfDate(Exception):
    """Another exercise was asked for meanwhile."""


class Measure:
    """`of` asks and answers, from one thread."""

    def __init__(self) -> None:
        self._worker: Worker[Exercise] = Worker("measure", self._work, lambda: None)
        self._answers: SimpleQueue[tuple[Exercise, Yardstick]] = SimpleQueue()
        self._asked: Exercise | None = None
        self._known: tuple[Exercise, Yardstick] | None = None

    def start(self) -> None:
        self._worker.start()

    def stop(self) -> None:
        self._worker.stop()

    def of(self, exercise: Exercise) -> tuple[Yardstick | None, bool]:
        """Return the newest measure, and whether it is of this exercise as it is now; None before the
        first."""
        exercise = measured(exercise)
        if self._asked is None or self._asked.injections != exercise.injections:
            self._asked = exercise
            self._worker.post(exercise)
        try:
            while True:
                self._known = self._answers.get_nowait()
        except Empty:
            pass
        if self._known is None:
            return None, False
        return self._known[1], self._known[0].injections == exercise.injections

    def _work(self) -> None:
        wanted = self._worker.posted()
        if not wanted:
            return
        exercise = wanted[-1]

        def shown(_part: float, _words: str) -> None:
            if self._worker.stopping() or self._asked is not exercise:
                raise _OutOfDate

        try:
            self._answers.put((exercise, kept_yardstick(exercise, shown)))
        except (_OutOfDate, AlongsideError):
            return  # another one is being waited for, or the debrief will say what is wrong
