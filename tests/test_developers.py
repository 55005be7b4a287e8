"""The map for who carries on leads to files and names that are there."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
SOURCE = ROOT / "console" / "alongside"
TEXT = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
FILES = sorted(set(re.findall(r"`([\w/.]+\.(?:py|js|md|css|html))`", TEXT)))
FOLDERS = sorted(set(re.findall(r"`([\w/]+/)`", TEXT)))
LIBRARIES = {"http.server"}
NAMES = sorted(set(re.findall(r"`((?:[a-z_]+\.)+\w+)`", TEXT)) - set(FILES) - LIBRARIES)


def files_named(end: str) -> Iterator[Path]:
    """Every file of the project whose path ends so."""
    for folder in (SOURCE, ROOT / "aboard", ROOT / "tests"):
        yield from (path for path in folder.rglob(Path(end).name) if f"/{path}".endswith(f"/{end}"))


@pytest.mark.parametrize("file", FILES)
def test_every_file_that_is_named_is_there(file: str) -> None:
    assert list(files_named(file))


@pytest.mark.parametrize("folder", FOLDERS)
def test_every_folder_that_is_named_is_there(folder: str) -> None:
    assert (SOURCE / folder).is_dir() or (ROOT / folder).is_dir()


@pytest.mark.parametrize("name", NAMES)
def test_every_name_in_a_module_is_there(name: str) -> None:
    """`units.is_time`, `cycle.advance.advance`."""
    *modules, last = name.split(".")
    found = list(files_named("/".join(modules) + ".py"))
    assert found, name
    assert any(re.search(rf"\b{last}\b", path.read_text(encoding="utf-8")) for path in found)


def test_they_are_many() -> None:
    assert len(FILES) > 80
    assert len(NAMES) > 5
