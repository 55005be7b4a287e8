"""A batch on a scheduler that runs already: two workers on loopback, one of which is killed at work."""

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from alongside.cli.main import main
from alongside.errors import WrongInput
from alongside.runtime.batch_cluster import on_scheduler
from tests.cli.test_batch import a_stay, files_of, times_of
from tests.runtime.test_batch_pool import deadly, given_up

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX"),
]


@contextmanager
def a_process(folder: Path, *arguments: object) -> Iterator["subprocess.Popen[bytes]"]:
    """A command of the scheduler's library; what it has to say goes to a file."""
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    command = [sys.executable, "-m", *map(str, arguments)]
    with (folder / "processes.log").open("ab") as log:
        process = subprocess.Popen(command, env=environment, stdout=log, stderr=log, cwd=folder)
        try:
            yield process
        finally:
            process.terminate()
            process.wait(30.0)


@pytest.fixture
def cluster(tmp_path: Path) -> Iterator[tuple[str, list["subprocess.Popen[bytes]"]]]:
    """The address of a scheduler, and its two workers."""
    folder = tmp_path / "cluster"
    folder.mkdir()
    about = folder / "scheduler.json"
    ours = ("--host", "127.0.0.1", "--no-dashboard")
    worker = (
        "distributed.cli.dask_worker",
        "--scheduler-file",
        about,
        "--nthreads",
        "1",
        "--no-nanny",
        *ours,
    )
    with a_process(folder, "distributed.cli.dask_scheduler", "--port", "0", "--scheduler-file", about, *ours):
        until = time.monotonic() + 60.0
        while not about.exists() and time.monotonic() < until:
            time.sleep(0.1)
        with a_process(folder, *worker) as one, a_process(folder, *worker) as other:
            from distributed import Client

            address: str = json.loads(about.read_text())["address"]
            with Client(address, set_as_default=False) as client:
                client.wait_for_workers(2, timeout=60)
            yield address, [one, other]


def test_the_same_comes_of_it_though_a_worker_is_killed(
    tmp_path: Path, cluster: tuple[str, list["subprocess.Popen[bytes]"]]
) -> None:
    address, workers = cluster
    folder, out = tmp_path / "in", tmp_path / "out"
    for count in range(10):
        a_stay(folder, f"quay{count}", tide=2.0 + count / 10, cycles=7200)
    command = [sys.executable, "-m", "alongside", "batch", folder, "--out", out, "--no-ahead"]
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    with subprocess.Popen([*command, "--scheduler", address], env=environment) as begun:
        until = time.monotonic() + 120.0
        while len(times_of(out)) < 2 and time.monotonic() < until:
            time.sleep(0.02)
        workers[0].send_signal(signal.SIGKILL)
        assert begun.wait(180.0) == 0
    assert len(times_of(out)) == 10
    absolute = [f"{path}={path.with_suffix('.log')}" for path in sorted(folder.resolve().glob("*.yaml"))]
    assert main(["batch", *absolute, "--out", str(tmp_path / "here"), "--no-ahead", "--jobs", "1"]) == 0
    assert {name: text for name, text in files_of(out).items() if ".part" not in name} == files_of(
        tmp_path / "here"
    )


def test_where_no_scheduler_answers_it_says_so() -> None:
    with pytest.raises(WrongInput, match="no scheduler answers"):
        list(on_scheduler("tcp://127.0.0.1:9", deadly, [(0, "")], given_up))
