"""A database of ropes is ours or left as it is; what was kept stays, whatever ends the process."""

import random
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from datetime import date
from pathlib import Path

import pytest

from alongside.errors import DiskFailed, WrongInput
from alongside.record.ropes.database import FORMAT, database_to_read, database_to_write
from alongside.record.ropes.store import entries_in
from alongside.record.schema import open_to_write
from alongside.reports.ropes.history_text import rope_rows
from alongside.reports.ropes.keeping import keep, read_ropes
from tests.record.disks import small_disk
from tests.record.ropes.kept import NOW, entry, found, use

TODAY = date(2026, 11, 29)


def begun(folder: Path) -> Path:
    """A database with one rope and one inspection."""
    path = folder / "ropes.db"
    keep(path, entries=[entry(deed="certificate", mbl_kn=200.0), entry()], now=NOW, who="TK")
    return path


def numbers(path: Path) -> list[int]:
    """Numbers in the notes of inspections."""
    with database_to_read(path) as database:
        notes = [str(kept.entry.fields.get("note", "")) for kept in entries_in(database)]
    return [int(note.removeprefix("number ")) for note in notes if note.startswith("number ")]


def test_a_database_of_another_program_is_refused_and_not_changed(tmp_path: Path) -> None:
    path = tmp_path / "other.db"
    with sqlite3.connect(path) as other:
        other.execute("CREATE TABLE entries (number INTEGER)")
    other.close()
    journal = tmp_path / "journal.db"
    open_to_write(journal).close()
    text = tmp_path / "stay.yaml"
    text.write_text("format: 1\n")
    for each, what in ((path, "another program's"), (journal, "journal of a record"), (text, "not a data")):
        before = each.read_bytes(), each.stat().st_mtime_ns
        with pytest.raises(WrongInput, match=rf"{each.name}: is .*{what}.*expected a database of ropes"):
            keep(each, entries=[entry(deed="fitted", where="line 1")], now=NOW, who="TK")
        with pytest.raises(WrongInput, match=what):
            read_ropes(each, TODAY)
        assert (each.read_bytes(), each.stat().st_mtime_ns) == before
    assert not list(tmp_path.glob("*-journal"))


def test_no_database_and_an_empty_file(tmp_path: Path) -> None:
    path = tmp_path / "ropes.db"
    with pytest.raises(WrongInput, match=r"no database of ropes, .* the first entry or record makes"):
        read_ropes(path, TODAY)
    assert not path.exists(), "reading makes none"
    path.touch()
    with pytest.raises(WrongInput, match="no database of ropes"):
        read_ropes(path, TODAY)
    begun(tmp_path)
    assert [each.history.serial for each in read_ropes(path, TODAY).conditions] == ["PL-2207"]


def test_a_newer_database_is_not_touched(tmp_path: Path) -> None:
    path = begun(tmp_path)
    with sqlite3.connect(path) as database:
        database.execute(f"PRAGMA user_version = {FORMAT + 1}")
    database.close()
    before = path.read_bytes()
    with pytest.raises(
        WrongInput, match=f"format {FORMAT + 1}, expected at most {FORMAT}: a newer program's"
    ):
        keep(path, entries=[entry(note="x")], now=NOW, who="TK")
    assert path.read_bytes() == before


def shown(path: Path) -> list[str]:
    return [row for one in read_ropes(path, TODAY).conditions for row in rope_rows(one, TODAY)]


def test_a_damaged_database_says_where_and_what(tmp_path: Path) -> None:
    """Bytes changed beyond the header: read as before where nothing in use was hit, else refused in words."""
    path = begun(tmp_path)
    keep(path, [found(use("PL-2207", loads=tuple(range(1, 400))))], now=NOW, who="TK")
    whole, before = path.read_bytes(), shown(path)
    refused: list[str] = []
    for seed in range(200):
        chance, spoilt = random.Random(seed), bytearray(whole)
        many = chance.choice((1, 64))
        at = chance.randrange(100, len(whole) - many)
        spoilt[at : at + many] = chance.randbytes(many)
        path.write_bytes(spoilt)
        try:
            assert shown(path) == before
        except WrongInput as error:
            refused.append(str(error))
    assert len(refused) > 5, "some of it was in use"
    assert all(said.startswith(f"{path}: damaged (") for said in refused)
    assert all("expected a whole database of ropes" in said for said in refused)


def test_a_figure_that_a_disk_has_spoilt_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "ropes.db"
    certificate = entry(deed="certificate", mbl_kn=200.0)
    keep(path, entries=[certificate, entry(residual_strength=0.72, how="tested")], now=NOW, who="TK")
    whole = path.read_bytes()
    spoilt = whole.replace(b'"residual_strength": 0.72', b'"residual_strength": 0.92')
    assert spoilt != whole
    path.write_bytes(spoilt)
    with pytest.raises(WrongInput, match=r"damaged \(row of entry 2: not as it was written\), expected"):
        read_ropes(path, TODAY)


def test_a_file_cut_short_is_damaged(tmp_path: Path) -> None:
    path = begun(tmp_path)
    path.write_bytes(path.read_bytes()[:-4096])
    with pytest.raises(WrongInput, match=r"damaged .*expected a whole database of ropes: use the last copy"):
        read_ropes(path, TODAY)
    with pytest.raises(WrongInput, match="damaged"):
        keep(path, entries=[entry(note="x")], now=NOW, who="TK")


@pytest.mark.slow
def test_what_was_said_to_be_kept_is_there_after_sigkill(tmp_path: Path) -> None:
    path, said = tmp_path / "ropes.db", list[int]()
    chance = random.Random(7)
    for _ in range(6):
        command = [sys.executable, "-m", "tests.record.ropes.entering", path, str(len(said)), "100000"]
        child = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        assert child.stdout is not None
        first = child.stdout.readline()
        time.sleep(chance.uniform(0.0, 0.4))
        child.send_signal(signal.SIGKILL)
        rest = child.communicate()[0]
        said += [int(row) for row in (first + rest).splitlines(keepends=True) if row.endswith("\n")]
        there = numbers(path)
        assert set(said) <= set(there), "what was said to be kept"
        assert len(there) - len(set(said)) <= 1 + len(said), "no more than one beyond"
        said = there


@pytest.mark.slow
def test_a_change_that_was_cut_off_is_taken_back(tmp_path: Path) -> None:
    path = begun(tmp_path)
    child = subprocess.Popen(
        [sys.executable, "-m", "tests.record.ropes.cut_off", path], stdout=subprocess.PIPE, text=True
    )
    assert child.stdout is not None
    assert child.stdout.readline() == "written\n"
    child.send_signal(signal.SIGKILL)
    child.communicate()
    beside = tmp_path / "ropes.db-journal"
    assert beside.exists(), "it was in the midst of it"
    shutil.copytree(tmp_path, tmp_path.parent / "copy")
    assert len(read_ropes(path, TODAY).kept) == 2
    copy = tmp_path.parent / "copy"
    keep(copy / "ropes.db", entries=[entry(note="number 1")], now=NOW, who="TK")
    assert numbers(copy / "ropes.db") == [1]


@pytest.mark.slow
def test_what_was_cut_off_where_nothing_can_be_written(tmp_path: Path) -> None:
    """The change cannot be taken back there: said, and not read as if it were whole."""
    place = tmp_path / "disk"
    with small_disk(place, "4m") as disk:
        path = begun(place)
        command = [sys.executable, "-m", "tests.record.ropes.cut_off", path]
        child = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        assert child.stdout is not None
        assert child.stdout.readline() == "written\n"
        child.send_signal(signal.SIGKILL)
        child.communicate()
        disk.read_only(True)
        with pytest.raises(WrongInput, match=r"ropes.db-journal cannot be played back here, expected"):
            read_ropes(path, TODAY)
        disk.read_only(False)
        assert len(read_ropes(path, TODAY).kept) == 2


@pytest.mark.slow
def test_two_processes_enter_at_once(tmp_path: Path) -> None:
    path = tmp_path / "ropes.db"
    command = [sys.executable, "-m", "tests.record.ropes.entering", path]
    children = [subprocess.Popen([*command, str(first), "40"]) for first in (1000, 2000)]
    assert [child.wait() for child in children] == [0, 0]
    assert sorted(numbers(path)) == [*range(1000, 1040), *range(2000, 2040)]


def test_one_that_waits_too_long_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("alongside.record.ropes.database.WAIT_S", 0.05)
    path = begun(tmp_path)
    with (
        database_to_write(path),
        pytest.raises(WrongInput, match=r"in use by another program, expected it free within .* try again"),
    ):
        keep(path, entries=[entry(note="x")], now=NOW, who="TK")
    keep(path, entries=[entry(note="number 3")], now=NOW, who="TK")
    assert numbers(path) == [3]


def test_a_disk_that_cannot_be_written_or_is_full(tmp_path: Path) -> None:
    """Read as ever; nothing is entered, and what was there stays."""
    place = tmp_path / "disk"
    with small_disk(place, "1m") as disk:
        path = begun(place)
        disk.read_only(True)
        assert len(read_ropes(path, TODAY).kept) == 2
        with pytest.raises(
            WrongInput, match=r"ropes.db: .*, expected a file in a folder that can be written"
        ):
            keep(path, entries=[entry(note="x")], now=NOW, who="TK")
        disk.read_only(False)
        disk.fill()
        many = [entry(note=f"{number}" + 5000 * "x") for number in range(50)]
        with pytest.raises(DiskFailed, match="it is as it was"):
            keep(path, entries=many, now=NOW, who="TK")
        with disk.readable():
            assert [kept.number for kept in read_ropes(path, TODAY).kept][:2] == [1, 2]
