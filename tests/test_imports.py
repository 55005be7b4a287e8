"""The house keeps its order: imports run one way, and what has no screen loads none."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "console"

ORDER = (
    ("units", "errors", "faultlog", "examples"),
    ("stay",),
    ("readings", "situation", "actions"),
    ("mechanics",),
    ("outlook",),
    ("assessment",),
    ("ahead",),
    ("alerts",),
    (
        "picture",
        "advice",
        "run_out",
        "tending",
        "course",
        "holding_share",
        "foresight",
        "cycle",
        "past",
        "snapshot",
        "desk",
        "timeline",
        "output",
        "strength",
        "raster",
        "plan_shapes",
        "sectors",
        "polar",
        "trial",
        "trail",
        "stand_in",
    ),
    ("feeds", "record", "simulate"),
    (
        "player",
        "pace",
        "reel",
        "exercise",
        "handover",
        "handover_alerts",
        "keeper",
        "rerun",
        "resume",
        "watch",
        "look",
        "headless",
        "listening",
        "moment",
        "archive",
        "extras",
        "written",
        "report",
        "lives",
        "answers",
        "lookout",
        "foreseeing",
    ),
    ("screens",),
    ("arguments", "cli"),
)
"""Ranks from the ground up; a module may import its own rank and those below it."""

RANK = {name: rank for rank, names in enumerate(ORDER) for name in names}
PURE = (
    "units",
    "situation",
    "mechanics",
    "outlook",
    "assessment",
    "alerts",
    "run_out",
    "tending",
    "course",
    "foresight",
    "cycle",
    "ahead",
    "trail",
    "stand_in",
)
IMPURE = {"threading", "time", "logging", "socket", "serial", "sqlite3", "textual", "pathlib", "os", "io"}


def place(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imports(path: Path) -> list[str]:
    found: list[str] = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            found.append(node.module or "")
            if node.module == "console":
                found += [f"console.{alias.name}" for alias in node.names]
    return found


MODULES = sorted(p for p in PACKAGE.rglob("*.py") if p.name != "__init__.py" or p.parent != PACKAGE)


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_imports_run_one_way(path: Path) -> None:
    own = place(path)
    assert own in RANK, f"{own} has no place in the order: give it one"
    for name in imports(path):
        parts = name.split(".")
        if parts[0] == "console" and len(parts) > 1 and parts[1] != "__version__":
            assert RANK[parts[1]] <= RANK[own], f"{path}: {own} may not import {name}"


@pytest.mark.parametrize(
    "path", [p for p in MODULES if place(p) in PURE], ids=lambda p: str(p.relative_to(PACKAGE))
)
def test_the_pure_part_knows_no_clock_file_or_thread(path: Path) -> None:
    assert not {name.split(".")[0] for name in imports(path)} & IMPURE


def loaded(code: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport sys\nprint(*sys.modules)"],
        check=True,
        capture_output=True,
        text=True,
    )
    return set(done.stdout.split())


def test_headless_loads_no_screen() -> None:
    modules = loaded("import console.cli, console.headless")
    assert "console.headless" in modules
    assert not {name for name in modules if name.split(".")[0] in ("textual", "rich")}


def test_check_loads_no_numpy() -> None:
    modules = loaded("import console.cli, console.stay.read")
    assert "console.stay.read" in modules
    assert not modules & {"numpy", "textual", "serial"}
