"""The thread that all desks use: what is posted comes to it in order, and nothing ends it but `stop`."""

import signal
import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from alongside.record.faultlog import fault_log
from alongside.runtime.worker import Beat, Worker

WAIT_S = 10.0


def until(done: Callable[[], bool]) -> None:
    end = time.monotonic() + WAIT_S
    while not done():
        assert time.monotonic() < end
        time.sleep(0.005)


class Counting(Worker[int]):
    """Collects what is posted, and in which thread."""

    def __init__(self, rest: Callable[[], float | None] = lambda: None) -> None:
        super().__init__("counting", self.count, rest)
        self.items: list[int] = []
        self.threads: set[str] = set()
        self.steps = 0
        self.fails = False

    def count(self) -> None:
        self.threads.add(threading.current_thread().name)
        self.items += self.posted()
        self.steps += 1
        if self.fails:
            raise RuntimeError("planted")


def test_every_item_of_many_threads_comes_once_in_order_and_in_one_thread() -> None:
    worker = Counting()
    worker.start()
    posting = [
        threading.Thread(target=lambda n=n: [worker.post(n * 1000 + k) for k in range(500)]) for n in range(4)
    ]
    for thread in posting:
        thread.start()
    for thread in posting:
        thread.join()
    until(lambda: len(worker.items) == 2000)
    worker.stop()
    assert worker.threads == {"counting"}
    for n in range(4):
        assert [item for item in worker.items if item // 1000 == n] == [n * 1000 + k for k in range(500)]


def test_it_sleeps_until_woken_and_wakes_at_once() -> None:
    worker = Counting()
    worker.start()
    until(lambda: worker.steps == 1)
    time.sleep(0.1)
    assert worker.steps == 1, "nobody woke it"
    worker.wake()
    until(lambda: worker.steps == 2)
    worker.post(7)
    until(lambda: worker.items == [7])
    worker.stop()


def test_what_is_posted_during_a_step_is_not_forgotten() -> None:
    worker = Counting()
    began, go = threading.Event(), threading.Event()

    def slow() -> None:
        began.set()
        go.wait(WAIT_S)
        worker.count()

    worker._step = slow
    worker.start()
    assert began.wait(WAIT_S)
    go.set()
    until(lambda: worker.steps == 1)
    go.clear()
    began.clear()
    worker.post(1)
    assert began.wait(WAIT_S)
    worker.wake()
    go.set()
    until(lambda: worker.steps == 3)
    worker.stop()


def test_a_step_that_fails_is_not_the_last(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    worker = Counting(lambda: 0.01)
    worker.fails = True
    worker.start()
    until(lambda: worker.steps > 3)
    worker.stop()
    assert "planted" in fault_log().read_text()
    steps = worker.steps
    time.sleep(0.05)
    assert worker.steps == steps, "it has ended"


def test_stop_waits_for_the_step_and_no_longer_than_asked() -> None:
    worker = Counting()
    go = threading.Event()
    worker._step = lambda: (go.wait(WAIT_S), None)[1]
    worker.start()
    begun = time.monotonic()
    worker.stop(0.05)
    assert time.monotonic() - begun < WAIT_S / 2
    assert worker.stopping()
    go.set()
    worker.stop()
    Counting().stop()


@pytest.mark.skipif(not hasattr(signal, "setitimer"), reason="an alarm of POSIX")
def test_a_wait_that_is_interrupted_does_not_take_the_thread_for_ended() -> None:
    """Before Python 3.13 an interrupted `Thread.join` does: what is written at the end would be cut."""
    worker = Counting()
    go = threading.Event()
    done = []
    worker._step = lambda: (go.wait(WAIT_S), done.append(worker.finish()))[1]

    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    before = signal.signal(signal.SIGALRM, interrupt)
    worker.start()
    try:
        signal.setitimer(signal.ITIMER_REAL, 0.05)
        with pytest.raises(KeyboardInterrupt):
            worker.join(WAIT_S)
    finally:
        signal.signal(signal.SIGALRM, before)
    threading.Timer(0.1, go.set).start()
    worker.stop()
    assert done


def test_a_beat_is_even_and_a_late_step_moves_the_later_ones() -> None:
    now = 100.0
    beat = Beat(1.0, lambda: now)
    assert beat() == 1.0
    now = 100.25
    assert beat() == 0.75, "woken early"
    now = 101.1
    assert beat() == pytest.approx(0.9), "the next is due at 102"
    now = 105.0
    assert beat() == 0.0, "late: at once"
    now = 105.2
    assert beat() == pytest.approx(0.8)
