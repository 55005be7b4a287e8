"""The bar of what takes some seconds: on real terminals, wide and narrow, never where there is none."""

import os
import re
import signal
import subprocess
import sys
from contextlib import suppress
from pathlib import Path

import pytest

from alongside.cli.interrupts import interrupted_by_signals
from alongside.cli.main import INTERRUPTED
from alongside.cli.progress import Progress
from tests.berth import START, gauges, write_stay

if sys.platform == "win32":
    pytest.skip("pseudo-terminals of POSIX", allow_module_level=True)

from tests.cli.prompts import Prompts

CLEAR = "\r\x1b[K"
CYCLES = 7_200
LONG = 8
COMMANDS = {
    "batch": lambda folder: ["batch", folder, "--out", folder / "out", "--no-ahead"],
    "replay": lambda folder: [
        "replay", folder / "stay.yaml", folder / "stay.log", "--headless", "--states", folder / "s.jsonl",
    ],
    "report": lambda folder: [
        "report", folder / "stay.yaml", folder / "stay.log", "--out", folder / "r.html",
    ],
    "listen": lambda folder: ["listen", folder / "stay.yaml", folder / "long.log"],
}  # fmt: skip


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A stay of two hours, in which the water rises by a metre, two more beside it, and a longer log."""
    place = tmp_path_factory.mktemp("stays")
    log = b"".join(gauges(START + s, 2.0 + s / CYCLES) for s in range(CYCLES))
    stay = write_stay(place)
    for name in ("stay", "b", "c"):
        (place / f"{name}.log").write_bytes(log)
        (place / f"{name}.yaml").write_text(stay.read_text())
    lines = (gauges(START + s, 2.0 + s / CYCLES) for s in range(LONG * CYCLES))
    (place / "long.log").write_bytes(b"".join(lines))
    return place


def arguments(name: str, folder: Path) -> list[str]:
    return [str(each) for each in COMMANDS[name](folder)]


def drawn(text: str) -> list[str]:
    """Return each row that was drawn and taken away again."""
    return [row for row in text.split(CLEAR)[1:-1] if row]


@pytest.mark.slow
@pytest.mark.parametrize("columns", [80, 40])
@pytest.mark.parametrize("name", COMMANDS)
def test_a_row_is_no_wider_than_the_terminal(folder: Path, name: str, columns: int) -> None:
    with Prompts(arguments(name, folder), (columns, 24)) as terminal:
        assert terminal.ends() in (0, 10, 11, 12)
    rows = drawn(terminal.text)
    assert rows, "something is shown of what takes this long"
    assert max(map(len, rows)) < columns
    bars = [row for row in rows if row.startswith("━") or re.search(r" \d+%", row)]
    assert bars
    if columns == 80:
        parts = [int(match[1]) for row in bars if (match := re.search(r"(\d+)%", row))]
        assert parts == sorted(parts)
        assert all(0 <= part <= 100 for part in parts)
    # It is gone at the end: nothing of it stands before what is printed then.
    assert "━" not in terminal.text.rpartition(CLEAR)[2]


@pytest.mark.slow
@pytest.mark.parametrize("name", COMMANDS)
def test_nothing_is_drawn_where_there_is_no_terminal(folder: Path, name: str) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "alongside", *arguments(name, folder)], capture_output=True, text=True
    )
    assert done.returncode in (0, 10, 11, 12), done.stderr
    assert "━" not in done.stdout + done.stderr
    assert "\x1b" not in done.stdout + done.stderr


@pytest.mark.slow
@pytest.mark.parametrize(
    ("given", "shown"), [({"TERM": "dumb"}, ""), ({"LC_ALL": "C", "PYTHONUTF8": "0"}, "#")]
)
def test_a_terminal_that_has_less_is_given_less(folder: Path, given: dict[str, str], shown: str) -> None:
    with Prompts(arguments("replay", folder), environment=given) as terminal:
        assert terminal.ends() in (0, 10, 11, 12)
    assert "━" not in terminal.text
    assert "\\u" not in terminal.text
    assert (shown in terminal.text) if shown else (CLEAR not in terminal.text)


@pytest.mark.slow
def test_a_time_line_on_the_same_terminal_is_not_drawn_over(folder: Path) -> None:
    with Prompts(["replay", str(folder / "stay.yaml"), str(folder / "stay.log"), "--headless"]) as terminal:
        assert terminal.ends() in (0, 10, 11, 12)
    assert CLEAR not in terminal.text
    assert "started" in terminal.text


@pytest.mark.slow
@pytest.mark.parametrize("name", COMMANDS)
@pytest.mark.parametrize("after", [1, 3])
def test_ctrl_c_ends_it_clean(folder: Path, tmp_path: Path, name: str, after: int) -> None:
    """Pressed as a bar is drawn for the first or third time: status 130, nothing half, no trace."""
    out = tmp_path / "made"
    out.mkdir()
    for each in folder.glob("*.*"):
        if each.is_file() and each.suffix in (".yaml", ".log"):
            os.link(each, out / each.name)
    before, spare = set(out.iterdir()), tmp_path / "spare"
    spare.mkdir()
    with Prompts(arguments(name, out), environment={"TMPDIR": str(spare)}) as terminal:
        terminal.until(lambda: terminal.text.count(CLEAR) >= after or terminal.process.poll() is not None)
        terminal.write("\x03")
        status = terminal.ends()
    # After all is done the signal may find Python itself on its way out.
    assert status in (INTERRUPTED, 0, 10, 11, 12, -signal.SIGINT), terminal.text
    assert "Traceback" not in terminal.text
    assert "Error" not in terminal.text
    if status == INTERRUPTED:
        made = [path for path in out.rglob("*") if path not in before and path.is_file()]
        assert all(path.parent.parent == out / "out" for path in made), "whole stays of a batch alone"
        assert not [path for path in made if path.name.endswith(".part")]
    assert after > 1 or status == INTERRUPTED
    assert not list(spare.iterdir()), "a record that was made for a report goes with it"


def test_a_ctrl_c_that_got_lost_ends_it_the_next_time_that_it_is_shown() -> None:
    """Compiled code that looks for an attribute drops what is raised meanwhile."""
    progress = Progress()
    with interrupted_by_signals():
        with suppress(KeyboardInterrupt):
            signal.raise_signal(signal.SIGINT)
        with pytest.raises(KeyboardInterrupt):
            progress.show(0.5)
        with pytest.raises(KeyboardInterrupt):
            progress.say("x")
    progress.show(0.6)
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler
