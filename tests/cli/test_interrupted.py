"""Commands that take some seconds, on a real terminal: they say what they are at, and end clean by Ctrl-C; so
does what is interrupted before it has begun."""

import gc
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from alongside.cli.interrupts import Interrupted, interrupted_by_signals, words_of
from alongside.cli.main import INTERRUPTED, main

if sys.platform == "win32":
    pytest.skip("pseudo-terminals of POSIX", allow_module_level=True)

from tests.cli.prompts import Prompts

ROOT = Path(__file__).parents[2]
STAY, LOG = ROOT / "configs" / "coal_berth.yaml", ROOT / "replay_logs" / "coal_berth.log.gz"
EXERCISE = ROOT / "configs" / "exercises" / "forgotten_breast.yaml"
AT = ["--at", "2026-03-20T18:00:00Z"]
CLEAR = "\r\x1b[K"
SAID = "Interrupted: no file is half written"
Given = Callable[[Path], list[str | Path]]
COMMANDS: dict[str, tuple[Given, str]] = {
    "ahead": (lambda out: ["ahead", STAY, LOG, *AT, "--json", out / "a.json"], "playing the log"),
    "holding": (lambda out: ["holding", STAY, LOG, *AT, "--json", out / "h.json"], "playing the log"),
    "compare": (lambda out: ["compare", STAY, STAY, "--hours", "48", "--json", out / "c.json"], "looking"),
    "exercise": (
        lambda out: ["exercise", EXERCISE, "--headless", "--states", out / "s.jsonl"],
        "what comes before",
    ),
    "replay": (
        lambda out: ["replay", STAY, LOG, "--headless", "--states", out / "s.jsonl"],
        "2026-03-20T0",
    ),
    "listen": (lambda out: ["listen", STAY, LOG, "--json", out / "l.json"], "%"),
    "debrief": (
        lambda out: ["debrief", EXERCISE, out / "done.jsonl", "--json", out / "d.json"],
        "what comes before",
    ),
}


@pytest.fixture
def out(tmp_path: Path) -> Path:
    (tmp_path / "done.jsonl").write_text("")
    return tmp_path


def started(name: str, out: Path, **environment: str) -> Prompts:
    given = [str(each) for each in COMMANDS[name][0](out)]
    return Prompts(given, environment={"XDG_CACHE_HOME": str(out / "cache"), **environment})


@pytest.mark.slow
@pytest.mark.parametrize("name", COMMANDS)
def test_it_says_what_it_is_at_and_ends_clean(name: str, out: Path) -> None:
    with started(name, out) as terminal:
        terminal.wait_for(COMMANDS[name][1])
        terminal.write("\x03")
        assert terminal.ends() == INTERRUPTED, terminal.text
    last = terminal.text.rpartition(CLEAR)[2]
    assert last.replace("^C", "").split("\r\n") == [SAID, ""]
    assert [path.name for path in out.iterdir() if path.is_file()] == ["done.jsonl"]
    assert not list(out.rglob("*.part"))


@pytest.mark.slow
@pytest.mark.parametrize("name", ["ahead", "compare"])
def test_the_row_is_gone_at_the_end(name: str, out: Path) -> None:
    with started(name, out) as terminal:
        assert terminal.ends() == 0
    parts = terminal.text.split(CLEAR)
    assert any(COMMANDS[name][1] in part for part in parts[1:-1])
    assert COMMANDS[name][1] not in parts[-1]
    assert "management" in parts[-1], "the caution below the answer"


STARTED = """
import os, signal, sys
from alongside.cli.start import start
def seen(frame, event, _):
    code, name = frame.f_code, frame.f_globals.get('__name__')
    if event == 'call' and code.co_name == '<module>' and %s:
        sys.setprofile(None)
        os.kill(os.getpid(), signal.%s)
sys.setprofile(seen)
sys.exit(start())
"""
"""The command, with a signal that it gets in the midst of something that it loads."""
OF_A_CLASS = "code.co_filename == '<string>'"
"""A dataclass is made from text. Where a plain KeyboardInterrupt comes out of that, Python itself ends by the
signal."""
LOADING = [
    "name == 'argparse'",
    "name == 'numpy'",
    OF_A_CLASS,
    f"{OF_A_CLASS} and 'alongside.cli.headless' in sys.modules",
]


def ended(folder: Path, at: str, number: str, *arguments: str | Path) -> tuple[int, str, str]:
    """Return status and outputs of a command that is interrupted there: as a module, since of another way in
    Python forgets what it remembers."""
    (folder / "begun.py").write_text(STARTED % (at, number))
    done = subprocess.run(
        [sys.executable, "-m", "begun", *map(str, arguments)],
        capture_output=True,
        text=True,
        timeout=60,
        cwd=folder,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, [str(folder), *sys.path]))},
    )
    return done.returncode, done.stdout, done.stderr


@pytest.mark.slow
@pytest.mark.parametrize("number", ["SIGINT", "SIGTERM"])
@pytest.mark.parametrize("at", LOADING)
def test_interrupted_while_it_is_loaded_it_ends_in_one_sentence(tmp_path: Path, at: str, number: str) -> None:
    given = ["replay", STAY, LOG, "--headless"]
    assert ended(tmp_path, at, number, *given) == (INTERRUPTED, "", f"{SAID}\n")


def test_what_is_made_of_an_interrupt_is_one() -> None:
    """Python 3.11 makes a RuntimeError of whatever comes while a class is made."""
    error = RuntimeError("Error calling __set_name__")
    error.__cause__ = Interrupted("so far")
    assert words_of(error) == "so far"
    assert words_of(RuntimeError("a fault")) is None


@pytest.mark.skipif(not hasattr(signal, "setitimer"), reason="an alarm of POSIX")
def test_an_interrupt_that_got_lost_comes_anew(capsys: pytest.CaptureFixture[str]) -> None:
    class Lost:
        def __del__(self) -> None:
            signal.raise_signal(signal.SIGINT)

    def to_its_end() -> None:
        with interrupted_by_signals():
            Lost()
            gc.collect()
            time.sleep(5.0)

    with pytest.raises(Interrupted):
        to_its_end()
    assert capsys.readouterr().err == ""


def test_a_command_that_is_interrupted_says_so(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def interrupted(_path: Path) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("alongside.stay.read.read_stay", interrupted)
    assert main(["check", "stay.yaml"]) == INTERRUPTED
    assert capsys.readouterr().err == f"{SAID}\n"
