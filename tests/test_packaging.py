"""What a wheel carries: every package of ours, with its data."""

import tomllib
from pathlib import Path

ROOT = Path(__file__).parent.parent
SETUP = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["setuptools"]
SOURCE = ROOT / SETUP["package-dir"][""]
PACKAGE = SOURCE / "alongside"


def folder_of(package: str) -> Path:
    mapped = SETUP["package-dir"].get(package)
    return ROOT / mapped if mapped else SOURCE / package.replace(".", "/")


def test_every_folder_of_modules_is_a_package() -> None:
    for path in PACKAGE.rglob("*.py"):
        assert (path.parent / "__init__.py").is_file(), f"{path} stays behind"


def test_every_data_file_travels() -> None:
    examples = [ROOT / top for top in ("configs", "replay_logs")]
    carried = {
        path
        for package, names in SETUP["package-data"].items()
        for n in names
        for path in folder_of(package).glob(n)
    }
    for top in (PACKAGE, *examples):
        for path in top.rglob("*"):
            if path.is_file() and path.suffix not in (".py", ".pyc"):
                assert path in carried, f"{path} stays behind"


def test_every_folder_of_examples_travels() -> None:
    folders = {path.parent for top in ("configs", "replay_logs") for path in (ROOT / top).rglob("*.*")}
    assert folders <= {folder_of(package) for package in SETUP["package-dir"]}
