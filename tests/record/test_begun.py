"""The power fails, or the console is killed, while its journal is made: nothing was shown yet, so nothing is
lost, and the next start is a first one, not one after a damage."""

import os
import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from alongside.errors import WrongInput
from alongside.record.earlier import find_earlier
from alongside.record.layout import JOURNAL, journal_of
from alongside.record.opening import open_record
from alongside.record.reader import RecordReader
from tests.record.kept import Watch, flood_stay, words


def nothing_written(journal: Path) -> None:
    journal.touch()


def header_only(journal: Path) -> None:
    """As it is on the disk until the tables are committed."""
    file = sqlite3.connect(journal, isolation_level=None)
    file.execute("PRAGMA journal_mode = WAL").fetchone()
    file.close()
    assert journal.stat().st_size > 0


def torn_tables(journal: Path, part: float) -> None:
    """The log that holds the tables reached the disk in part only."""
    other = journal.with_name("other.sqlite")
    file = sqlite3.connect(other, isolation_level=None)
    file.execute("PRAGMA journal_mode = WAL").fetchone()
    file.executescript("BEGIN; CREATE TABLE runs (x); CREATE TABLE events (y); COMMIT;")
    shutil.copy(other, journal)
    wal = journal.with_name(f"{JOURNAL}-wal")
    shutil.copy(other.with_name("other.sqlite-wal"), wal)
    file.close()
    other.unlink()
    os.truncate(wal, int(wal.stat().st_size * part))


CUTS: dict[str, Callable[[Path], None]] = {
    "nothing written": nothing_written,
    "header only": header_only,
    "log without a frame": lambda journal: torn_tables(journal, 0.002),
    "log torn": lambda journal: torn_tables(journal, 0.5),
    "log all but whole": lambda journal: torn_tables(journal, 0.99),
}


@pytest.mark.parametrize("cut", CUTS)
def test_a_journal_cut_off_while_it_was_made_is_a_first_start(tmp_path: Path, cut: str) -> None:
    folder = tmp_path / "record"
    folder.mkdir()
    CUTS[cut](journal_of(folder))
    with pytest.raises(FileNotFoundError, match="empty journal"):
        RecordReader(folder)
    found = find_earlier(folder)
    assert (found.earlier, found.spoilt, found.fault, found.gone) == (None, False, "", False)
    watch = Watch(flood_stay(tmp_path), folder).run(5)
    assert watch.last.unrecorded == ""
    assert not [alert for alert in watch.last.alerts if alert.cause == "record"]
    assert words(watch.last.log)[0] == "started"
    assert "gap" not in words(watch.last.log)
    watch.kill()
    assert not list(folder.glob("journal-corrupt-*"))
    with RecordReader(folder) as record:
        assert words(event for _, event in record.events())[0] == "started"


def test_an_empty_journal_beside_what_a_watch_left_is_loud(tmp_path: Path) -> None:
    """Feed logs and second copies come after the tables: here the journal itself was lost."""
    folder = tmp_path / "record"
    Watch(flood_stay(tmp_path), folder).run(5).kill()
    for path in folder.glob(f"{JOURNAL}*"):
        path.unlink()
    header_only(journal_of(folder))
    watch = Watch(flood_stay(tmp_path), folder, 10.0).run(1)
    assert "gone or empty" in watch.last.unrecorded
    watch.kill()


def test_a_page_of_an_empty_journal_is_refused_in_words(tmp_path: Path) -> None:
    header_only(journal_of(tmp_path))
    with pytest.raises(WrongInput, match=r"sqlite-wal belongs to it"), open_record(tmp_path):
        pass
