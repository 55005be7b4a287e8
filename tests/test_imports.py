"""The house keeps its order: imports lead down, what is pure stays pure, screens load only where needed."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "console" / "alongside"

FLOORS = (
    ("units", "errors", "actions"),
    ("stay",),
    ("readings", "wording"),
    ("mechanics", "feeds"),
    ("alerts",),
    ("forecast",),
    ("cycle",),
    ("record",),
    ("runtime", "reports"),
    ("training", "screens"),
    ("cli",),
    ("__main__",),
)
"""From the ground up; a module imports its own package and what lies on strictly lower floors."""

FLOOR = {name: floor for floor, names in enumerate(FLOORS) for name in names}
PURE = {"units", "wording", "mechanics", "alerts", "forecast", "cycle"}
IMPURE = {"threading", "time", "logging", "socket", "serial", "sqlite3", "textual", "pathlib", "os", "io"}
THREADED = {"runtime", "screens"}


def room(path: Path) -> str:
    """First folder or module of a path in the package."""
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def files(rooms: set[str] | tuple[str, ...]) -> list[Path]:
    return sorted(path for path in PACKAGE.rglob("*.py") if room(path) in rooms)


def imports(path: Path) -> Iterator[tuple[int, str]]:
    """Line and module of every import, those within functions too."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}:{node.lineno}: relative import"
            if node.module == "alongside":
                yield from ((node.lineno, f"alongside.{alias.name}") for alias in node.names)
            else:
                yield node.lineno, node.module or ""


def test_every_room_has_a_floor() -> None:
    rooms = {room(path) for path in PACKAGE.rglob("*.py")} - {"__init__"}
    assert rooms == set(FLOOR)


@pytest.mark.parametrize("floor", range(len(FLOORS)), ids=[" ".join(names) for names in FLOORS])
def test_imports_lead_down(floor: int) -> None:
    wrong = [
        f"{path.relative_to(PACKAGE)}:{line}: {name}"
        for path in files(FLOORS[floor])
        for line, name in imports(path)
        if name.startswith("alongside.")
        and (other := name.split(".")[1]) not in (room(path), "__version__")
        and FLOOR[other] >= floor
    ]
    assert not wrong


def test_the_pure_part_knows_no_clock_file_or_thread() -> None:
    wrong = [
        f"{path.relative_to(PACKAGE)}:{line}: {name}"
        for path in files(PURE)
        for line, name in imports(path)
        if name.split(".")[0] in IMPURE
    ]
    assert not wrong


@pytest.mark.slow
def test_threads_live_in_two_rooms() -> None:
    others = set(FLOOR) - THREADED
    assert not [path for path in files(others) for _, name in imports(path) if name == "threading"]


@pytest.mark.slow
def test_only_the_commands_print() -> None:
    wrong = [
        f"{path.relative_to(PACKAGE)}:{node.lineno}"
        for path in files(set(FLOOR) - {"cli"})
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "print"
    ]
    assert not wrong


def loaded(code: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport sys\nprint(*sys.modules)"],
        check=True,
        capture_output=True,
        text=True,
    )
    return set(done.stdout.split())


@pytest.mark.slow
def test_headless_loads_no_screen() -> None:
    modules = loaded("import alongside.cli.main, alongside.cli.headless")
    assert "alongside.cli.headless" in modules
    assert not {name for name in modules if name.split(".")[0] in ("textual", "rich")}


def test_check_loads_no_numpy() -> None:
    modules = loaded("import alongside.cli.main, alongside.stay.read")
    assert "alongside.stay.read" in modules
    assert not modules & {"numpy", "textual", "serial"}
