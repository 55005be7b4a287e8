"""A fault of ours in reading a record, planted at each place: the watch starts, the alert `record` rings and
nothing that was on record is lost."""

from pathlib import Path
from typing import Any, Final

import pytest

from alongside.actions import Acknowledge, TendLine
from alongside.alerts.model import Standing
from alongside.record.faultlog import fault_log
from alongside.record.layout import journal_of
from alongside.record.reader import RecordReader
from alongside.stay.stage import Stage
from tests.record.kept import BEGIN, Watch, flood_stay

ALL: Final = "lengths, alerts, history"
LENGTHS: Final = "lengths, alerts"
NOTHING: Final = ""

PLACES: Final = {
    # the journal, or the part of it that the second copy of the memory stands for
    "record.earlier.RecordReader": LENGTHS,
    "record.reader.RecordReader.memory_at": LENGTHS,
    "record.reader.RecordReader.span": LENGTHS,
    "record.reader.stay_of": LENGTHS,
    "record.reader.columns_of": LENGTHS,
    "record.reader.unpack_memory": LENGTHS,
    "record.reader.event_of": LENGTHS,
    "record.reader.unpack": ALL,
    "record.reader.open_to_read": LENGTHS,
    # journal and second copy at once
    "record.codec.json.loads": NOTHING,
    "record.codec.from_plain": NOTHING,
    "record.entries.zlib.decompress": NOTHING,
    # the way from what was read to the watch
    "record.resume.carried_over": ALL,
    "record.resume.gap_text": ALL,
    "record.resume.too_little_room_text": ALL,
    "runtime.live.warm": ALL,
    "runtime.live.restore": ALL,
    # what stands in nobody's guard but the last
    "record.resume.find_earlier": NOTHING,
    "record.resume._of_this_stay": NOTHING,
    "record.resume.text_of": NOTHING,
    "record.resume.Columns.of": NOTHING,
    "record.resume.Recorder": NOTHING,
}


class PlantedError(Exception):
    """No fault that any of our code knows."""


def plant(monkeypatch: pytest.MonkeyPatch, place: str) -> list[str]:
    """Let what stands at a place raise; returns a list that grows with each call."""
    calls: list[str] = []

    def wrong(*_args: Any, **_named: Any) -> Any:
        calls.append(place)
        raise PlantedError(place)

    monkeypatch.setattr(f"alongside.{place}", wrong)
    return calls


@pytest.mark.slow
@pytest.mark.parametrize("place", PLACES)
def test_the_watch_starts_and_rings_and_nothing_on_record_is_lost(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, place: str
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    stay, folder = flood_stay(tmp_path), tmp_path / "record"
    done = {440: TendLine("2", paid_out=0.1, by="TK"), 460: Acknowledge("stretch", "2", by="TK")}
    before = Watch(stay, folder, BEGIN).run(220, done)
    lengths, until = before.desk._memory.lengths.unstretched, before.wall()
    before.kill()
    with monkeypatch.context() as planted:
        calls = plant(planted, place)
        watch = Watch(stay, folder, 600.0).run(20)
        assert calls, "the place is passed"
        memory = watch.desk._memory
        assert len(watch.pictures) == 20, "it cycles"
        if place != "record.resume.too_little_room_text":
            (alert,) = [alert for alert in watch.last.alerts if alert.cause == "record"]
            assert alert.stage >= Stage.WARNING
            assert alert.flashes
            assert "fault of ours" in alert.text
            assert any(picture.sound >= Stage.WARNING for picture in watch.pictures)
        if PLACES[place]:
            assert memory.lengths.unstretched.tolist() == lengths.tolist()
            standing = memory.watchlist.alerts["stretch", "2"].standing
            assert standing is Standing.ACKNOWLEDGED
        else:
            assert any(word in alert.text for word in ("LOST", "record (a fault of ours"))
        if PLACES[place] == ALL:
            assert any(event.event == "tended" for event in watch.last.log)
        watch.kill()
    assert "PlantedError" in fault_log().read_text()
    assert not list(folder.glob("journal-corrupt-*"))
    assert journal_of(folder).exists()
    with RecordReader(folder) as record:
        kept = record.memory_at(until)
        assert kept is not None
        assert kept[1].lengths.unstretched.tolist() == lengths.tolist()
        events = [event for _, event in record.events(end=until)]
        assert {"tended", "acknowledged"} <= {event.event for event in events}
