"""What a wheel carries: every package of ours, with its data."""

import tomllib
from fnmatch import fnmatch
from pathlib import Path

ROOT = Path(__file__).parent.parent
SETUP = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["setuptools"]


def folder_of(package: str) -> Path:
    mapped = SETUP["package-dir"].get(package)
    return ROOT / (mapped or package.replace(".", "/"))


def test_every_package_is_listed() -> None:
    folders = {p.parent for p in (ROOT / "console").rglob("*.py")}
    assert folders <= {folder_of(package) for package in SETUP["packages"]}


def test_every_data_file_travels() -> None:
    for package in SETUP["packages"]:
        patterns = SETUP["package-data"].get(package, [])
        for path in folder_of(package).iterdir():
            if path.is_file() and path.suffix not in (".py", ".pyc"):
                assert any(fnmatch(path.name, pattern) for pattern in patterns), f"{path} stays behind"


def test_every_folder_of_examples_travels() -> None:
    folders = {path.parent for top in ("configs", "replay_logs") for path in (ROOT / top).rglob("*.*")}
    assert folders <= {folder_of(package) for package in SETUP["packages"]}
