"""Commands that take some seconds, on a real terminal: they say what they are at, and end clean by Ctrl-C."""

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from alongside.cli.main import INTERRUPTED

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
