"""Portable by construction: nothing that only POSIX has is needed to import or to run the program."""

import ast
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

from tests.berth import START, gauges, write_stay

ROOT: Final = Path(__file__).parents[1]
PACKAGE: Final = ROOT / "console" / "alongside"
POSIX: Final = ("fcntl", "termios", "tty", "pty", "pwd", "grp", "resource", "syslog", "posix", "readline")
POSIX_OS: Final = (
    "fork",
    "setsid",
    "killpg",
    "pread",
    "pwrite",
    "posix_fallocate",
    "chown",
    "mkfifo",
    "openpty",
)
"""Of `os`: hidden, except from libraries that look where they run before they use one."""
OF_LIBRARIES: Final = (
    "geteuid",
    "getuid",
    "statvfs",
    "fchmod",
    "ttyname",
    "uname",
    "openpty",
    "sched_getaffinity",
)
SIGNALS: Final = ("SIGHUP", "SIGTSTP", "SIGCONT", "SIGWINCH", "SIGUSR1", "SIGUSR2", "SIGKILL", "SIGALRM")
WITHOUT: Final = f"""
import os, signal, sys
class Hidden:
    def find_spec(self, name, path=None, target=None):
        if name in {POSIX!r} and name != "posix":
            raise ModuleNotFoundError(name)
sys.meta_path.insert(0, Hidden())
for name in {POSIX!r}:
    if name != "posix":
        sys.modules.pop(name, None)
for name in {POSIX_OS!r}:
    if hasattr(os, name):
        delattr(os, name)
for name in {SIGNALS!r}:
    delattr(signal, name)
"""
# screens.terminal is the driver for a POSIX terminal; the console imports it only where there is one
EVERY_MODULE: Final = """
import importlib, pkgutil, alongside
names = [each.name for each in pkgutil.walk_packages(alongside.__path__, "alongside.")]
for name in names:
    if name not in ("alongside.__main__", "alongside.screens.terminal"):
        importlib.import_module(name)
print(len(names))
"""
COMMAND: Final = "from alongside.cli.main import main\nraise SystemExit(main(sys.argv[1:]))\n"


def without_posix(code: str, *arguments: str | Path, state: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", WITHOUT + code, *map(str, arguments)],
        env={**os.environ, "XDG_STATE_HOME": str(state)},
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=120,
        stdin=subprocess.DEVNULL,
        check=False,
    )


@pytest.mark.slow
def test_every_module_is_imported_without_posix(tmp_path: Path) -> None:
    done = without_posix(EVERY_MODULE, state=tmp_path)
    assert done.returncode == 0, done.stderr[-2000:]
    assert int(done.stdout.split()[-1]) > 300


@pytest.mark.slow
def test_a_replay_without_a_screen_runs_without_posix(tmp_path: Path) -> None:
    log, states = tmp_path / "stay.log", tmp_path / "states.jsonl"
    log.write_bytes(b"".join(gauges(START + s, 2.0) for s in range(20)))
    arguments = ("replay", write_stay(tmp_path), log, "--headless", "--states", states)
    done = without_posix(COMMAND, *arguments, state=tmp_path)
    assert done.returncode == 0, done.stderr[-2000:]
    assert len(states.read_text().splitlines()) == 20


@pytest.mark.slow
@pytest.mark.parametrize("arguments", [["check", "configs/coal_berth.yaml"], ["manual", "ahead"], ["demo"]])
def test_commands_run_without_posix(tmp_path: Path, arguments: list[str]) -> None:
    done = without_posix(COMMAND, *arguments, state=tmp_path)
    assert done.returncode == 0, done.stderr[-2000:]
    assert done.stdout


@pytest.mark.slow
def test_a_watch_starts_without_posix(tmp_path: Path) -> None:
    # a live desk on the stay's own feeds, with a record, as `watch` makes it, without the screen
    code = """
import threading
from pathlib import Path
from alongside.runtime.live import LiveDesk
from alongside.stay.read import read_stay
delivered = threading.Event()
desk = LiveDesk(read_stay(sys.argv[1]), record=Path(sys.argv[2]))
desk.start(lambda *_: delivered.set())
assert delivered.wait(20.0), "no picture"
desk.stop()
print("watched", desk.lost or "on record")
"""
    done = without_posix(code, write_stay(tmp_path), tmp_path / "record", state=tmp_path)
    assert done.returncode == 0, done.stderr[-2000:]
    assert "watched on record" in done.stdout


def at_module_level(tree: ast.Module) -> Iterator[ast.AST]:
    """Every node that runs when a module is imported: not what stands in functions, nor in a `try`."""
    waiting: list[ast.AST] = [tree]
    while waiting:
        node = waiting.pop()
        yield node
        if not isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda | ast.Try):
            waiting += ast.iter_child_nodes(node)


@pytest.mark.slow
def test_nothing_of_posix_stands_at_module_level() -> None:
    unportable = (*POSIX, *POSIX_OS, *OF_LIBRARIES, *SIGNALS)
    wrong = []
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in at_module_level(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                names = [alias.name for alias in node.names]
            elif isinstance(node, ast.ImportFrom):
                names = [node.module or ""]
                names += [alias.name for alias in node.names if node.module in ("os", "signal")]
            elif isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
                names = [node.attr] if node.value.id in ("os", "signal") else []
            else:
                continue
            where = f"{path.relative_to(PACKAGE)}:{node.lineno}"
            wrong += [f"{where}: {name}" for name in names if name in unportable]
    assert not wrong
