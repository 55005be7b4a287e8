"""The one kind of thread of this package: a step, a rest, an inbox, and where Pictures go."""

import threading
import time
from collections.abc import Callable
from queue import Empty, SimpleQueue
from typing import Generic, TypeVar

from alongside.cycle.picture import Picture
from alongside.record.faultlog import keep_trace

Item = TypeVar("Item")


class Worker(Generic[Item]):
    """Call `step` in a thread of its own, again after `rest()` seconds (None: when woken), until `stop`.

    Other threads only `post` items and `wake`; everything else that the step touches is the worker's alone.
    `deliver` takes its Pictures and must do no more than post them on. A step that raises is written to the
    fault log, and the next one comes in its time.
    """

    def __init__(self, name: str, step: Callable[[], None], rest: Callable[[], float | None]) -> None:
        self.deliver: Callable[[Picture], None] = lambda _picture: None
        self._step, self._rest = step, rest
        self._inbox: SimpleQueue[Item] = SimpleQueue()
        self._woken = threading.Event()
        self._stopping = threading.Event()
        self._ended = threading.Event()
        self._thread = threading.Thread(target=self._run, name=name, daemon=True)

    def start(self, deliver: Callable[[Picture], None] | None = None) -> None:
        """Start the thread."""
        self.deliver = deliver or self.deliver
        self._thread.start()

    def post(self, item: Item) -> None:
        """Hand an item to the next step, which comes at once."""
        self._inbox.put(item)
        self._woken.set()

    def wake(self) -> None:
        """Let the next step come at once."""
        self._woken.set()

    def posted(self) -> list[Item]:
        """Return and remove all posted items, oldest first."""
        return all_in(self._inbox)

    def stopping(self) -> bool:
        """Return True once `stop` was called: a long step then ends early."""
        return self._stopping.is_set()

    def finish(self) -> None:
        """End the thread after the step at work; for that step itself."""
        self._stopping.set()

    def join(self, timeout: float | None) -> None:
        """Wait for the end of a thread that was started, so many seconds at most."""
        # Not `Thread.join`: before Python 3.13 one that is interrupted takes a thread that runs for ended.
        if self._thread.ident is not None:
            self._ended.wait(timeout)

    def stop(self, timeout: float | None = None) -> None:
        """End the thread; return when the step at work is done, or after `timeout` seconds."""
        self._stopping.set()
        self._woken.set()
        self.join(timeout)

    def _run(self) -> None:
        try:
            self._go_on()
        finally:
            self._ended.set()

    def _go_on(self) -> None:
        while not self._stopping.is_set():
            self._woken.clear()  # before the step: what is posted during it makes the next one come at once
            try:
                self._step()
            except Exception:  # guards the thread: a step that fails must not be the last
                keep_trace()
            self._woken.wait(self._rest())


class Beat:
    """Evenly spaced steps: return how long to rest until the next is due. One that is late moves the later
    ones, one that was woken early does not."""

    def __init__(self, every_s: float, monotonic: Callable[[], float] = time.monotonic) -> None:
        self._every_s, self._monotonic = every_s, monotonic
        self._due = monotonic()

    def __call__(self) -> float:
        now = self._monotonic()
        if now >= self._due:
            self._due = max(self._due + self._every_s, now)
        return self._due - now


def all_in(queue: "SimpleQueue[Item]") -> list[Item]:
    """Return and remove all that waits in a queue, oldest first."""
    items: list[Item] = []
    try:
        while True:
            items.append(queue.get_nowait())
    except Empty:
        return items
