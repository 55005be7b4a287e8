"""Entries filled in for tests, without a terminal."""

from pathlib import Path
from typing import Final

from alongside.reports.new_stay.entry import Entry, answered, standing
from alongside.reports.new_stay.sheet import Shelf
from alongside.reports.new_stay.shelf_files import shelf_of
from alongside.reports.new_stay.written import files_to_write, write_files
from alongside.stay.model import Stay
from alongside.stay.read import read_stay
from tests.reports.new_stay.sheets import Sheet, typed

NOW: Final = 1_789_207_200.0
"""2026-09-12T10:00:00Z, some hours after making fast."""


def filled(sheet: Sheet, shelf: Shelf | None = None, before: int | None = None) -> Entry:
    """Return the entry with the answers of a sheet, or with so many of them."""
    entry = Entry(shelf or Shelf(), NOW, {})
    for text in typed(sheet)[:before]:
        entry = answered(entry, text)
    return entry


def written(sheet: Sheet, folder: Path, name: str = "stay.yaml") -> Stay:
    """Return the stay of a sheet, written into a folder and read back."""
    entry = filled(sheet, shelf_of(folder))
    here = standing(entry)
    assert here.at is None, (here.at, here.refusal)
    write_files(files_to_write(entry, folder / name), folder)
    return read_stay(folder / name)
