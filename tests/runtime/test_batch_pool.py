"""Tasks over processes: each answered once, by whatever becomes of the processes."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from alongside.runtime.batch_pool import in_processes

DEADLY = 3
DEADLY_ONCE = 5


def square(number: int) -> int:
    return number * number


def deadly(task: tuple[int, str]) -> str:
    """Dies with one task each time, with another the first time."""
    number, folder = task
    before = Path(folder) / str(number)
    if number == DEADLY or (number == DEADLY_ONCE and not before.exists()):
        before.touch()
        os._exit(9)
    return f"done {number}"


def given_up(task: tuple[int, str]) -> str:
    return f"lost {task[0]}"


def faulty(number: int) -> int:
    raise ValueError(number)


def slow(folder: str) -> None:
    """Says who it is, and what it had when it was ended."""
    (Path(folder) / str(os.getpid())).touch()
    try:
        time.sleep(60.0)
    except KeyboardInterrupt:
        (Path(folder) / "ended").touch()
        raise


@pytest.mark.parametrize("jobs", [1, 2])
def test_each_task_is_answered_once(jobs: int) -> None:
    answers = list(in_processes(square, range(9), jobs, square))
    assert sorted(answers) == [(number, number * number) for number in range(9)]


@pytest.mark.slow
def test_a_process_that_dies_takes_no_other_task_with_it(tmp_path: Path) -> None:
    tasks = [(number, str(tmp_path)) for number in range(9)]
    answers = dict(in_processes(deadly, tasks, 2, given_up))
    assert answers == {n: f"{'lost' if n == DEADLY else 'done'} {n}" for n in range(9)}


def test_a_fault_is_raised_here() -> None:
    with pytest.raises(ValueError, match="7"):
        list(in_processes(faulty, [7], 1, faulty))


CODE = """
import sys
from alongside.runtime.batch_pool import in_processes
from alongside.cli.interrupts import interrupted_by_signals
from tests.runtime.test_batch_pool import slow
if __name__ == "__main__":
    with interrupted_by_signals():
        list(in_processes(slow, [sys.argv[1]] * 4, 2, slow))
"""


@pytest.mark.slow
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
@pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")
def test_its_processes_end_with_it(tmp_path: Path, number: signal.Signals) -> None:
    script = tmp_path / "script.py"
    script.write_text(CODE)
    work = tmp_path / "work"
    work.mkdir()
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    batch = subprocess.Popen(
        [sys.executable, script, work], env=environment, stderr=subprocess.PIPE, start_new_session=True
    )
    pids = eventually(lambda: [int(path.name) for path in work.iterdir()], lambda found: len(found) == 2)
    batch.send_signal(number)
    assert batch.wait(30.0)
    assert eventually(lambda: [pid for pid in pids if alive(pid)], lambda left: not left) == []
    assert (work / "ended").exists() is (number is not signal.SIGKILL)


def eventually(look, right, seconds: float = 30.0):  # type: ignore[no-untyped-def]
    until = time.monotonic() + seconds
    while not right(found := look()) and time.monotonic() < until:
        time.sleep(0.05)
    return found


def alive(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    stat = Path(f"/proc/{pid}/stat")
    return not (stat.exists() and stat.read_text().rsplit(")", 1)[1].split()[0] == "Z")
