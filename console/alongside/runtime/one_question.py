"""One question at a time, answered in a thread of its own, so that no cycle waits."""

import time
from collections.abc import Callable
from queue import Empty, SimpleQueue
from typing import Generic, TypeVar

from alongside.record.faultlog import keep_trace
from alongside.runtime.freed_memory import give_back
from alongside.runtime.worker import Worker, all_in

Question = TypeVar("Question")
Answer = TypeVar("Answer")


class OneQuestion(Generic[Question, Answer]):
    """Asks, and hands each answer with its question to `take`: None in its place where answering failed. All
    but the answering itself belongs to the caller's thread, in which `take` is called too."""

    def __init__(
        self,
        name: str,
        answer: Callable[[Question], Answer],
        take: Callable[[Question, Answer | None], None],
        monotonic: Callable[[], float] = time.monotonic,
    ) -> None:
        self.failed = ""
        """Where the trace of the fault that stopped the last answer is kept; "" while all is well."""
        self.busy = False
        self._answer, self._take, self._monotonic = answer, take, monotonic
        self._worker = Worker[Question](name, self._work, lambda: None)
        self._answers: SimpleQueue[tuple[Question, Answer | None, str]] = SimpleQueue()
        self._started = False

    def ask(self, question: Question) -> None:
        """Ask; only while it is not `busy`."""
        self.busy = True
        if not self._started:
            self._started = True
            self._worker.start()
        self._worker.post(question)

    def take_answers(self) -> None:
        """Take what has been answered since."""
        for answered in all_in(self._answers):
            self._taken(*answered)

    def wait(self, seconds: float) -> None:
        """Wait until nothing is being worked out, or for so long: for whoever has time."""
        until = self._monotonic() + seconds
        while self.busy and self._monotonic() < until:
            try:
                self._taken(*self._answers.get(timeout=max(until - self._monotonic(), 0.0)))
            except Empty:
                return

    def _taken(self, question: Question, answer: Answer | None, failed: str) -> None:
        self.busy, self.failed = False, failed
        self._take(question, answer)

    def _work(self) -> None:
        for question in self._worker.posted():
            try:
                self._answers.put((question, self._answer(question), ""))
            except Exception:  # guards the thread: a fault is reported, the watch goes on without an answer
                self._answers.put((question, None, str(keep_trace())))
            give_back()
