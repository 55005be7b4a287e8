"""The house keeps its order: imports run one way, and what has no screen loads none."""

import ast
import subprocess
import sys
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
YET_TO_MOVE: set[tuple[str, str]] = {
    ("alongside.cycle.holding_now", "alongside.reports.time_line"),
    ("alongside.cycle.moment", "alongside.runtime.log_player"),
    ("alongside.cycle.moment", "pathlib"),
    ("alongside.cycle.with_outlook", "alongside.runtime.log_player"),
    ("alongside.feeds.intake", "alongside.mechanics.situation"),
    ("alongside.record.gap", "alongside.reports.time_line"),
    ("alongside.record.last_words", "alongside.reports.time_line"),
    ("alongside.record.left", "alongside.reports.time_line"),
    ("alongside.record.resume", "alongside.runtime.log_player"),
    ("alongside.wording.dated_clock", "alongside.reports.time_line"),
}
"""(module, what it imports): definitions that stand on the wrong floor. To become empty, and to go."""

PURE = ("units", "wording", "mechanics", "alerts", "forecast", "cycle")
IMPURE = {"threading", "time", "logging", "socket", "serial", "sqlite3", "textual", "pathlib", "os", "io"}


def place(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def module_of(path: Path) -> str:
    return ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts)


def imports(path: Path) -> list[str]:
    found: list[str] = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            found.append(node.module or "")
            if node.module == "alongside":
                found += [f"alongside.{alias.name}" for alias in node.names]
    return found


MODULES = sorted(p for p in PACKAGE.rglob("*.py") if p.name != "__init__.py" or p.parent != PACKAGE)


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_imports_run_one_way(path: Path) -> None:
    own = place(path)
    assert own in FLOOR, f"{own} has no floor: give it one"
    for name in imports(path):
        parts = name.split(".")
        if parts[0] == "alongside" and len(parts) > 1 and parts[1] != "__version__":
            lower = parts[1] == own or FLOOR[parts[1]] < FLOOR[own]
            assert lower or (module_of(path), name) in YET_TO_MOVE, f"{path}: {own} may not import {name}"


@pytest.mark.parametrize(
    "path", [p for p in MODULES if place(p) in PURE], ids=lambda p: str(p.relative_to(PACKAGE))
)
def test_the_pure_part_knows_no_clock_file_or_thread(path: Path) -> None:
    here = {name for name in imports(path) if (module_of(path), name) not in YET_TO_MOVE}
    assert not {name.split(".")[0] for name in here} & IMPURE


def loaded(code: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport sys\nprint(*sys.modules)"],
        check=True,
        capture_output=True,
        text=True,
    )
    return set(done.stdout.split())


def test_headless_loads_no_screen() -> None:
    modules = loaded("import alongside.cli.main, alongside.cli.headless")
    assert "alongside.cli.headless" in modules
    assert not {name for name in modules if name.split(".")[0] in ("textual", "rich")}


def test_check_loads_no_numpy() -> None:
    modules = loaded("import alongside.cli.main, alongside.stay.read")
    assert "alongside.stay.read" in modules
    assert not modules & {"numpy", "textual", "serial"}
