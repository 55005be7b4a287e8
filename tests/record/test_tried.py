"""The record is tried: a row goes to the disk and is read back, or why not."""

from math import isnan
from pathlib import Path

from alongside.actions.controls import TryRecord
from alongside.cycle.watchkeeping import RECORD_TRIED
from alongside.record.reader import RecordReader
from alongside.record.tried import TRIED
from tests.record.disks import small_disk
from tests.record.kept import Watch, flood_stay


def test_it_is_written_and_read_back_once_for_each_time_it_is_asked(tmp_path: Path) -> None:
    watch = Watch(flood_stay(tmp_path), tmp_path / "record").run(3)
    assert watch.last.record_tried is None
    for number in (1, 2):
        watch.desk.control(TryRecord())
        watch.run(2)
        tried = watch.last.record_tried
        assert tried is not None
        assert (tried.number, tried.fault) == (number, "")
        assert 0.0 < tried.seconds < 10.0
        assert tried.free > 0.0
    with RecordReader(tmp_path / "record") as record:
        rows = [event for _, event in record.events() if event.subject == RECORD_TRIED]
        assert [row.text for row in rows] == [TRIED, TRIED]
        assert not record.chain().breaks
    watch.end()


def test_on_a_full_disk_it_says_why_and_again_when_there_is_room(tmp_path: Path) -> None:
    with small_disk(tmp_path / "disk") as disk:
        watch = Watch(flood_stay(tmp_path), disk.place / "record").run(3)
        while "journal (" not in watch.last.unrecorded:  # the journal goes on in the room that it has
            disk.fill()
            watch.run(5)
            assert watch.second < 3000.0
        disk.fill()  # what was left when its files were closed
        watch.desk.control(TryRecord())
        watch.run(1)
        tried = watch.last.record_tried
        assert tried is not None
        assert isnan(tried.seconds)
        assert "journal (" in tried.fault
        disk.free()
        watch.desk.control(TryRecord())
        watch.run(1)
        tried = watch.last.record_tried
        assert tried is not None
        assert (tried.number, tried.fault) == (2, "")
        watch.end()


def test_without_a_record_there_is_none_to_try(tmp_path: Path) -> None:
    watch = Watch(flood_stay(tmp_path), None).run(1)
    watch.desk.control(TryRecord())
    watch.run(1)
    assert watch.last.record_tried is not None
    assert watch.last.record_tried.fault == "no record is kept"
