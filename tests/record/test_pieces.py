"""What belongs to a copy of a record, and that a copy without a piece says which."""

import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from alongside.actions import Note
from alongside.cli.main import main
from alongside.record.layout import COPIES, WAL, journal_of
from alongside.record.pieces import PAGE, Missing
from alongside.record.reader import RecordReader
from alongside.record.words import missing_rows
from alongside.stay.model import Display
from tests.record.disks import LimitedFiles, small_disk
from tests.record.kept import BEGIN, Watch, flood_stay
from tests.record.test_faults import notes, record_alert


def copied(record: Path, to: str, leave_out: Callable[[str], bool] = lambda name: False) -> Path:
    """A copy of a folder as an officer makes it, without some files."""
    target = record.parent / to
    target.mkdir()
    for path in record.iterdir():
        if not leave_out(path.name):
            shutil.copy(path, target)
    return target


def missing(folder: Path) -> Missing:
    with RecordReader(folder) as record:
        return record.missing()


@pytest.fixture
def running(tmp_path: Path) -> Watch:
    """A watch of ten minutes over a full hour, still running: it has two feed logs."""
    return Watch(flood_stay(tmp_path), tmp_path / "record", 3300.0).run(
        600, {3650: Note("half"), 3895: Note("end")}
    )


@pytest.mark.slow
def test_the_page_in_the_folder_says_what_belongs_to_a_copy(running: Watch, tmp_path: Path) -> None:
    record = tmp_path / "record"
    text = (record / COPIES).read_text(encoding="utf-8")
    assert text == PAGE
    whole, _, rest = text.partition("These do not: ")
    belong, not_these = set(whole.split()), set(re.split(r"[, ]+", rest.split(".\n")[0]))
    for path in record.iterdir():
        name = re.sub(r"feeds-.*\.log", "feeds-*.log", path.name)
        assert (name in belong) != (name in not_these), f"{name} is named once"
    running.end()


def test_a_page_that_is_not_ours_is_left_alone(tmp_path: Path) -> None:
    record = tmp_path / "record"
    record.mkdir()
    (record / COPIES).write_text("letter to the owners")
    Watch(flood_stay(tmp_path), record).run(2).end()
    assert (record / COPIES).read_text() == "letter to the owners"


@pytest.mark.slow
def test_a_whole_copy_misses_nothing_while_it_runs_when_cut_off_and_when_ended(
    running: Watch, tmp_path: Path
) -> None:
    record = tmp_path / "record"
    assert not missing(record)
    assert not missing(copied(record, "while it runs"))
    assert not missing(
        copied(record, "as the page says", lambda name: name.startswith(("now-", "lock", "R")))
    )
    running.end()
    assert not (record / WAL).exists()
    assert not missing(record)
    assert not missing(copied(record, "ended"))


@pytest.mark.slow
def test_a_journal_without_its_wal_says_so_wherever_it_is_opened(
    running: Watch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    copy = copied(tmp_path / "record", "copy", lambda name: name == WAL or name.startswith("now-"))
    running.end()
    with RecordReader(copy) as record:
        texts = [event.text for _, event in record.events()]
        found = record.missing()
    assert found.wal
    assert "half" in texts, "all but the last two minutes are in the file"
    assert "end" not in texts
    assert running.second + 1_772_424_000 - found.journal_until < 150.0
    assert main(["handover", str(copy)]) == 0
    (row,) = [row for row in capsys.readouterr().out.splitlines() if "MISSING" in row]
    assert "MISSING journal.sqlite-wal: what was put on record after 02 Mar 05:0" in row
    out = tmp_path / "report.html"
    assert main(["report", str(copy), "--out", str(out)]) == 0
    assert "MISSING journal.sqlite-wal" in out.read_text(encoding="utf-8")
    watch = Watch(flood_stay(tmp_path), copy, 4000.0).run(20)
    text = record_alert(watch.last)
    assert "MISSING journal.sqlite-wal: " in text
    assert "check the lines" in text
    watch.end()
    assert not missing(copy).wal, "a watch goes on from what is there"


def test_a_copy_of_a_watch_that_has_just_begun_says_it_too(tmp_path: Path) -> None:
    watch = Watch(flood_stay(tmp_path), tmp_path / "record", BEGIN).run(3, {252: Note("soon")})
    copy = copied(tmp_path / "record", "copy", lambda name: name == WAL)
    assert missing(copy).wal
    with RecordReader(copy) as record:
        assert "soon" not in [event.text for _, event in record.events()]
    watch.end()


@pytest.mark.slow
def test_a_feed_log_that_is_missing_is_named(
    running: Watch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    record = tmp_path / "record"
    running.end()
    assert (record / "feeds-20260302T04Z-00.log.gz").exists()
    copy = copied(record, "copy", lambda name: "T04Z" in name)
    assert missing(copy).logs == ("feeds-20260302T04Z-00.log",)
    assert main(["handover", str(copy)]) == 0
    assert "MISSING 1 feed log: feeds-20260302T04Z-00.log" in capsys.readouterr().out
    assert main(["lives", str(copy)]) == 0
    assert f"{copy}: MISSING 1 feed log" in capsys.readouterr().out
    watch = Watch(flood_stay(tmp_path), copy, 4000.0).run(20)
    assert "MISSING 1 feed log: feeds-20260302T04Z-00.log" in notes(watch)
    assert record_alert(watch.last) == "", "lengths and alerts do not rest on it"
    watch.end()


@pytest.mark.slow
def test_a_record_on_a_disk_that_cannot_be_written_says_what_is_out_of_reach(tmp_path: Path) -> None:
    with small_disk(tmp_path / "disk") as disk:
        if isinstance(disk, LimitedFiles):
            pytest.skip("needs a disk of its own")
        watch = Watch(flood_stay(tmp_path), tmp_path / "record", 3300.0).run(200)
        for name in ("journal.sqlite", WAL):
            shutil.copy(tmp_path / "record" / name, disk.place)
        watch.end()
        disk.read_only(True)
        assert missing(disk.place).wal
        disk.read_only(False)
        assert not missing(disk.place).wal


def test_an_older_record_misses_nothing_that_it_cannot_know_of(tmp_path: Path) -> None:
    from tests.record.test_old_record import DATA

    shutil.unpack_archive(DATA / "old_program.tar.xz", tmp_path, filter="data")
    for path in (tmp_path / "record").glob("feeds-*"):
        path.unlink()
    assert journal_of(tmp_path / "record").exists()
    assert not missing(tmp_path / "record")


def test_of_many_the_first_are_named() -> None:
    logs = tuple(f"feeds-20260302T{hour:02d}Z-00.log" for hour in range(9))
    (row,) = missing_rows(Missing(logs=logs), Display())
    assert row == f"MISSING 9 feed logs: {logs[0]}, {logs[1]}, {logs[2]} and 6 more"
