"""What each command loads: no numpy to check a file, no screen where none is drawn."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from alongside.cli.main import COMMANDS, ONE_THREAD
from tests.berth import START, STAY_TEXT, gauges, write_stay

ROOT = Path(__file__).parents[2]
EXERCISE = ROOT / "configs" / "exercises" / "forgotten_breast.yaml"
SCREENS = {"watch", "demo"}
"""Commands that draw a screen whenever they can."""


def loaded(folder: Path, *arguments: str | Path) -> set[str]:
    """Names of all modules that a run of the command has loaded when it ends."""
    code = (
        "import sys\nfrom alongside.cli.main import main\n"
        "try:\n    main(sys.argv[1:])\nexcept SystemExit:\n    pass\n"
        "print(*sys.modules, file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, *map(str, arguments)],
        check=True, capture_output=True, text=True, timeout=60, cwd=folder,
    )  # fmt: skip
    return set(done.stderr.splitlines()[-1].split())


def roots(modules: set[str]) -> set[str]:
    return {name.split(".")[0] for name in modules}


@pytest.mark.parametrize(
    "arguments", [["--help"], ["--version"], ["check", "STAY"], ["manual"], ["manual", "ahead"]]
)
def test_quick_commands_load_no_numpy(tmp_path: Path, arguments: list[str]) -> None:
    wrong = write_stay(tmp_path, STAY_TEXT.replace("breadth:", "bredth:"))  # a right one is looked at further
    modules = loaded(tmp_path, *[wrong if each == "STAY" else each for each in arguments])
    assert "alongside.cli.main" in modules
    assert not roots(modules) & {"numpy", "textual", "serial", "sqlite3"}
    assert "alongside.cli.replay" not in modules, "another command's module"


@pytest.mark.slow
def test_a_moment_of_the_plan_loads_no_feeds_and_no_cycle() -> None:
    jetty = ROOT / "configs" / "product_jetty.yaml"
    modules = loaded(ROOT, "ahead", jetty, "--hours", "1", "--members", "2", "--what-if", "let go 9")
    assert "alongside.forecast.what_if.answer" in modules
    assert not modules & {"alongside.feeds.intake", "alongside.cycle.advance", "alongside.runtime.log_player"}


@pytest.mark.slow
def test_a_headless_replay_loads_no_screen(tmp_path: Path) -> None:
    log = tmp_path / "stay.log"
    log.write_bytes(b"".join(gauges(START + s, 2.0) for s in range(5)))
    modules = loaded(tmp_path, "replay", write_stay(tmp_path), log, "--headless", "--states", "s.jsonl")
    assert (tmp_path / "s.jsonl").stat().st_size
    assert "alongside.runtime.log_player" in modules
    assert not roots(modules) & {"textual", "rich"}


@pytest.mark.slow
def test_a_headless_exercise_loads_no_screen(tmp_path: Path) -> None:
    modules = loaded(tmp_path, "exercise", EXERCISE, "--check")
    assert "alongside.training.exercise.file" in modules
    assert not roots(modules) & {"textual", "rich"}


@pytest.mark.slow
@pytest.mark.parametrize("command", sorted(set(COMMANDS) - SCREENS))
def test_help_of_a_command_loads_no_screen(tmp_path: Path, command: str) -> None:
    modules = loaded(tmp_path, command, "--help")
    assert f"alongside.cli.{command.replace('-', '_')}" in modules
    assert not roots(modules) & {"textual"}


@pytest.mark.skipif(not Path("/proc/self/task").is_dir(), reason="threads are counted in /proc")
@pytest.mark.skipif(os.cpu_count() == 1, reason="one core: one thread however it is asked")
@pytest.mark.parametrize(("given", "threads"), [({}, 1), ({"OPENBLAS_NUM_THREADS": "2"}, 2)])
def test_matrices_are_worked_out_in_the_thread_that_asks(given: dict[str, str], threads: int) -> None:
    code = (
        "import os\nfrom alongside.cli.main import main\nmain(['manual', 'batch'])\n"
        "import numpy\nm = numpy.ones((600, 600))\nm @ m\n"
        "print(len(os.listdir('/proc/self/task')))"
    )
    others = {name: value for name, value in os.environ.items() if name not in ONE_THREAD}
    done = subprocess.run(
        [sys.executable, "-c", code], check=True, capture_output=True, text=True, env={**others, **given}
    )
    assert int(done.stdout.split()[-1]) == threads
