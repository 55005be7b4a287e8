"""A watch that is kept while tests look at it, and the command that serves the page, each as in earnest."""

import os
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import pytest

from alongside.stay.model import Stay
from tests.berth import a_stay
from tests.record.kept import BEGIN, FLOOD_TEXT, Watch

ROOT: Final = Path(__file__).parents[2]
NASTY: Final = "</script><img onerror=alert(1) src=x> &amp; B"


class Kept:
    """A watch that goes on by itself, a cycle a second, until it is killed."""

    def __init__(self, stay: Stay, folder: Path, second: float = BEGIN) -> None:
        self.watch = Watch(stay, folder, second).run(30)
        self._end = threading.Event()
        self._thread = threading.Thread(target=self._go_on, daemon=True)
        self._thread.start()

    def _go_on(self) -> None:
        while not self._end.wait(1.0):
            self.watch.run(1)

    def halt(self) -> None:
        """It keeps the record, and no figure comes any more."""
        self._end.set()
        self._thread.join()

    def kill(self) -> None:
        self.halt()
        self.watch.kill()


@contextmanager
def kept(folder: Path, text: str = FLOOD_TEXT) -> Iterator[Kept]:
    running = Kept(a_stay(folder, text), folder / "record")
    try:
        yield running
    finally:
        running.halt()
        running.watch.end()


@dataclass
class Served:
    """The command as it runs. `rows` are what it printed first."""

    process: "subprocess.Popen[str]"
    rows: tuple[str, ...]

    @property
    def address(self) -> str:
        return self.rows[0].split()[-1]

    @property
    def port(self) -> int:
        return int(self.address.split(":")[2].split("/")[0])

    @property
    def token(self) -> str:
        return self.address.partition("?token=")[2]

    def end(self, number: int = signal.SIGTERM) -> int:
        self.process.send_signal(number)
        return self.process.wait(10.0)


def command(stay: Path, record: Path, where: str) -> list[str]:
    return [
        sys.executable, "-m", "alongside", "watch", str(stay), "--record", str(record), "--look-only",
        "--web", where,
    ]  # fmt: skip


@contextmanager
def served(folder: Path, where: str = "0") -> Iterator[Served]:
    """Serve the page of the stay in a folder; without a terminal."""
    stay = folder / "stay.yaml"
    if not stay.exists():
        stay.write_text(FLOOD_TEXT, encoding="utf-8")
    environment = {**os.environ, "PYTHONPATH": f"{ROOT / 'console'}", "HOME": str(folder)}
    process = subprocess.Popen(
        command(stay, folder / "record", where), stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT, text=True, env=environment,
    )  # fmt: skip
    try:
        assert process.stdout is not None
        rows = [process.stdout.readline().rstrip("\n")]
        assert "http://" in rows[0], rows[0] + process.stdout.read()
        yield Served(process, tuple(rows))
    finally:
        if process.poll() is None:
            process.kill()
        process.wait()
        assert process.stdout is not None
        process.stdout.close()


@pytest.fixture(scope="module")
def looked_at(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Kept, Served]]:
    """A watch, and the page that looks at it, on this machine alone."""
    folder = tmp_path_factory.mktemp("look")
    with kept(folder) as running, served(folder) as page:
        yield running, page
