"""Many tasks over the processes of this machine, each of them begun anew by spawn.

A process that dies (out of memory, killed) takes no other task with it: those that were handed out then are
done anew, each in a process by itself, and only one that dies there twice is given up.
"""

import multiprocessing
import os
import signal
import sys
import threading
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager, suppress
from types import FrameType
from typing import Final, TypeVar

Task = TypeVar("Task")
Answer = TypeVar("Answer")

AHEAD: Final = 2
"""Tasks handed out for each process: the next is there when one is done, no more are in memory."""
INTERRUPTED: Final = 130
_busy = False


def in_processes(
    work: Callable[[Task], Answer], tasks: Sequence[Task], jobs: int, lost: Callable[[Task], Answer]
) -> Iterator[tuple[int, Answer]]:
    """Yield place and answer of each task as they come; `lost` answers for one whose process died. `work` is
    a function of a module, tasks and answers are sent. What it raises is raised, and ends the rest."""
    waiting = deque(range(len(tasks)))
    while waiting:
        suspects: list[int] = []
        with _pool(min(jobs, len(waiting))) as pool:
            yield from _until_broken(pool, work, tasks, waiting, jobs * AHEAD, suspects)
        for place in suspects:
            yield place, _alone(work, tasks[place], lost)


def _alone(work: Callable[[Task], Answer], task: Task, lost: Callable[[Task], Answer]) -> Answer:
    """Do a task in a process by itself, once more where that dies."""
    for _ in range(2):
        with _pool(1) as pool:
            try:
                return _handed(pool, work, task).result()
            except BrokenProcessPool:
                continue
    return lost(task)


def _until_broken(
    pool: ProcessPoolExecutor,
    work: Callable[[Task], Answer],
    tasks: Sequence[Task],
    waiting: deque[int],
    most: int,
    suspects: list[int],
) -> Iterator[tuple[int, Answer]]:
    """Hand out what waits until all is done or a process dies: what was handed out then goes on
    `suspects`."""
    at_work: dict[Future[Answer], int] = {}
    while waiting or at_work:
        try:
            while waiting and len(at_work) < most:
                at_work[_handed(pool, work, tasks[waiting[0]])] = waiting[0]
                waiting.popleft()
        except BrokenProcessPool:
            pass  # what is at work says so as well
        for future in wait(at_work, return_when=FIRST_COMPLETED).done:
            place = at_work.pop(future)
            try:
                answer = future.result()
            except BrokenProcessPool:
                suspects += sorted([place, *at_work.values()])
                return
            yield place, answer


@contextmanager
def _pool(jobs: int) -> Iterator[ProcessPoolExecutor]:
    """A pool whose processes end at once when what it is for is interrupted."""
    before = set(multiprocessing.active_children())
    pool = ProcessPoolExecutor(jobs, multiprocessing.get_context("spawn"), _begin)
    try:
        yield pool
    except BaseException:
        for process in set(multiprocessing.active_children()) - before:
            process.terminate()
        pool.shutdown(wait=True, cancel_futures=True)
        raise
    pool.shutdown(wait=True)


def _handed(pool: ProcessPoolExecutor, work: Callable[[Task], Answer], task: Task) -> Future[Answer]:
    """Hand a task to a pool. A process that is begun for it takes over that Ctrl-C is held back meanwhile: it
    would end in a trace before it can say that it is not meant."""
    if sys.platform == "win32":
        return pool.submit(_done, work, task)
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        return pool.submit(_done, work, task)
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _done(work: Callable[[Task], Answer], task: Task) -> Answer:
    """Do a task in a process of the pool; one that is ended meanwhile takes away what it was writing."""
    global _busy
    _busy = True
    try:
        return work(task)
    except KeyboardInterrupt:
        os._exit(INTERRUPTED)
    finally:
        _busy = False


def _begin() -> None:
    """Make a process ready: Ctrl-C is for the one that began it, by whom it is ended, or with whom."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, _end)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent,), name="end with parent", daemon=True).start()


def _end(_number: int, _frame: FrameType | None) -> None:
    if _busy:
        raise KeyboardInterrupt
    os._exit(INTERRUPTED)


def _end_with(parent: "multiprocessing.process.BaseProcess") -> None:
    """Wait for the end of the process that began this one, and end: it may have been killed."""
    with suppress(OSError, ValueError):
        parent.join()
    os._exit(INTERRUPTED)
