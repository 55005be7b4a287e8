"""Without what only POSIX has, the console starts with Textual's own driver."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
HIDDEN = """
import sys

class Hidden:
    def find_spec(self, name, path=None, target=None):
        if name in ("fcntl", "termios", "tty", "pty", "pwd", "grp", "resource"):
            raise ModuleNotFoundError(name)

sys.meta_path.insert(0, Hidden())
for name in ("fcntl", "termios", "tty", "pwd", "grp"):
    sys.modules.pop(name, None)
"""
PROGRAM = (
    HIDDEN
    + """
import signal
for name in ("SIGHUP", "SIGTSTP", "SIGCONT", "SIGWINCH"):
    delattr(signal, name)
import threading
from alongside.screens.app import ConsoleApp
from alongside.screens.run import run_console
from tests.screens.invented import FakeDesk, invented_stay, one_warning

class Desk(FakeDesk):
    def start(self, deliver):
        super().start(deliver)
        threading.Timer(0.5, signal.raise_signal, (signal.SIGTERM,)).start()

desk = Desk(one_warning())
status = run_console(desk, invented_stay())
app = ConsoleApp(desk, invented_stay())
assert desk.stopped
print("driver", app.driver_class.__name__, "status", status)
"""
)


@pytest.mark.slow
def test_the_console_starts_and_ends_without_posix() -> None:
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM],
        cwd=ROOT,
        env={**os.environ, "TEXTUAL_DRIVER": "textual.drivers.headless_driver:HeadlessDriver"},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    assert "driver HeadlessDriver status 130" in done.stdout
