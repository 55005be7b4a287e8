"""What the disk can do to a record, done to it: the watch goes on, says what is lacking, loses nothing that
memory can keep."""

import os
import re
import shutil
import sqlite3
from datetime import UTC, datetime
from itertools import pairwise
from pathlib import Path

import pytest

from alongside.actions import Acknowledge, AddLine, Correct, LineGone, Note, TendLine
from alongside.alerts.model import Event, Standing
from alongside.cycle.picture import DeskActs, Picture
from alongside.errors import WrongInput
from alongside.feeds.inbox import FeedLine
from alongside.feeds.log import FeedLog
from alongside.record.entries import Entry, KeptState
from alongside.record.faults import NewerRecord
from alongside.record.feedfiles import feed_logs
from alongside.record.layout import journal_of
from alongside.record.need import Need
from alongside.record.reader import RecordReader
from alongside.record.waiting import MOST_ENTRIES, MOST_STATES, WaitingEntries, WaitingLines
from alongside.record.words import lost_text, too_little_room_text
from alongside.stay.model import Display
from tests.berth import START, STAY_TEXT, a_stay
from tests.record.disks import LimitedFiles, small_disk
from tests.record.kept import BEGIN, FLOOD_TEXT, Watch, flood_stay, words


def record_alert(picture: Picture) -> str:
    """Text of the alert of the record; "" where none stands."""
    return next((alert.text for alert in picture.alerts if alert.cause == "record"), "")


def notes(watch: Watch) -> str:
    return "\n".join(event.text for event in watch.last.log if event.event == "note")


def on_record(folder: Path) -> list[tuple[float, str, str]]:
    with RecordReader(folder) as record:
        return [(event.time, event.event, event.text) for _, event in record.events()]


def shown_events(watch: Watch) -> list[tuple[float, str, str]]:
    return [(event.time, event.event, event.text) for event in watch.last.log]


@pytest.mark.slow
def test_a_full_disk(tmp_path: Path) -> None:
    with small_disk(tmp_path / "disk") as disk:
        folder = disk.place / "record"
        watch = Watch(flood_stay(tmp_path), folder).run(60)
        disk.fill()
        watch.run(440, {450: TendLine("2", paid_out=0.1, by="TK"), 455: Note("disk full, seen", by="TK")})
        assert "journal" in record_alert(watch.last)
        assert "feeds" in record_alert(watch.last)
        assert "waits in memory" in record_alert(watch.last)
        again = notes(watch).count("On record again: journal")  # closing it can free what its -wal took
        assert again <= 1
        assert notes(watch).count("NOT ON RECORD: journal") == again + 1, "told once, not at every try"
        with disk.readable():
            assert len(on_record(folder)) < len(watch.last.log), "the disk was full indeed"
        disk.free()
        watch.run(80)
        assert "On record again: journal" in notes(watch)
        assert "On record again: feeds" in notes(watch)
        (alert,) = [alert for alert in watch.last.alerts if alert.cause == "record"]
        assert alert.standing is Standing.RECTIFIED, "it waits to be acknowledged"
        watch.kill()
        assert on_record(folder) == shown_events(watch)
        heard = sum(len(batch) for log in feed_logs(folder) for batch in FeedLog(log))
        assert heard == int(watch.second), "every sentence, none twice"
        with RecordReader(folder) as record:
            times = [time for states in record.states(dense=False) for time in states.time.tolist()]
            apart = {later - time for time, later in pairwise(times)}
            assert apart == {10.0}, "no even state is lacking"
            assert [type(done.action) for done in record.actions()] == [TendLine, Note]
        again = Watch(flood_stay(tmp_path), folder, watch.second).run(1)
        assert again.last.lines[1].unstretched_m == watch.last.lines[1].unstretched_m
        again.end()


@pytest.mark.slow
def test_an_act_counts_as_kept_once_the_disk_has_it(tmp_path: Path) -> None:
    with small_disk(tmp_path / "disk") as disk:
        folder = disk.place / "record"
        watch = Watch(flood_stay(tmp_path), folder).run(30, {10: Note("all fast", by="TK")})
        assert watch.last.acts == DeskActs(taken=1, kept=1)
        disk.fill()
        watch.run(400, {420: Note("disk full", by="TK"), 425: TendLine("2", paid_out=0.1, by="TK")})
        acts = watch.last.acts
        assert (acts.taken, acts.kept) == (3, 1)
        assert "journal (disk" in acts.why_not
        with disk.readable(), RecordReader(folder) as record:
            assert len(list(record.actions())) == 1
        disk.free()
        watch.run(20)
        assert watch.last.acts.kept == 3
        watch.kill()
        with RecordReader(folder) as record:
            assert len(list(record.actions())) == 3
    unrecorded = Watch(flood_stay(tmp_path), None).run(5, {3: Note("all fast", by="TK")})
    assert unrecorded.last.acts == DeskActs(taken=1, kept=None)


def test_a_disk_that_is_full_from_the_start(tmp_path: Path) -> None:
    with small_disk(tmp_path / "disk") as disk:
        stay = flood_stay(tmp_path)
        disk.fill()
        watch = Watch(stay, disk.place / "record").run(30, {20: Note("hello")})
        assert "Not on record: journal" in record_alert(watch.last)
        disk.free()
        watch.run(15)
        watch.kill()
        assert on_record(disk.place / "record") == shown_events(watch)


LOST = (
    r"journal \(disk \w+\): (\d+) events and 1 action lost since (\d\d:\d\d:\d\d); "
    r"feeds \([^)]+\): (\d+) sentences lost since 04:\d\d:\d\d"
)


@pytest.mark.slow
def test_a_disk_that_is_full_to_the_last(tmp_path: Path) -> None:
    with small_disk(tmp_path / "disk") as disk:
        watch = Watch(flood_stay(tmp_path), disk.place / "record").run(10)
        disk.fill()
        watch.run(700, {300: Note("hello")})
        watch.end()
        with disk.readable():
            kept = on_record(disk.place / "record")
        lost = shown_events(watch)[len(kept) :]
        told = re.fullmatch(LOST, watch.desk.lost)
        assert told is not None, watch.desk.lost
        assert int(told[1]) == len(lost) + 1, "what was shown and is not there, and that the watch was ended"
        assert told[2] == f"{datetime.fromtimestamp(lost[0][0], UTC):%H:%M:%S}"
        assert int(told[3]) > 400, "sentences"


@pytest.mark.slow
def test_the_last_words_name_the_day_where_it_is_another_and_tell_what_was_given_up_too() -> None:
    entries, lines = WaitingEntries(), WaitingLines()
    for second in range(MOST_ENTRIES + 10):
        entries.add(Entry(START + second, (Event(START + second, "note"),)))
    full = {"journal": "disk full"}
    words = lost_text(full, entries, lines, START + 100_000, Display(zone="+02:00"))
    assert words == "journal (disk full): 20010 events and 0 actions lost since 02 Mar 06:00:00"
    assert lost_text({}, entries, lines, START, Display()) == "", "all is on record"
    lines.add([FeedLine(START + 1.5, "gauges", b"x")])
    told = lost_text({"feeds": "read-only"}, entries, lines, START + 5, Display(zone="Z"))
    assert told == "feeds (read-only): 1 sentence lost since 04:00:01"


def test_what_waits_for_the_disk_is_bounded_and_what_is_given_up_counted() -> None:
    """States go first, events last, and a memory is never lost."""
    waiting = WaitingEntries()
    for second in range(MOST_ENTRIES + 10):
        states = (KeptState(float(second), b"state"),)
        waiting.add(Entry(float(second), (Event(float(second), "note"),), (Note("n"),), states, b"memory"))
    entries = waiting.all()
    assert sum(len(entry.events) for entry in entries) == MOST_ENTRIES
    states = [state.time for entry in entries for state in entry.states]
    assert len(states) == MOST_STATES
    assert states[-1] == MOST_ENTRIES + 9, "the newest are kept"
    assert [entry.memory for entry in entries if entry.memory] == [b"memory"], "of memories only the newest"
    assert (waiting.lost_events, waiting.lost_states) == (20, MOST_ENTRIES + 10 - MOST_STATES)
    waiting.clear()
    assert (bool(waiting), waiting.lost_events) == (False, 0)


@pytest.mark.slow
def test_a_disk_that_cannot_be_written(tmp_path: Path) -> None:
    """A record on a read-only disk is gone on with in memory, and on the disk once that can be written."""
    with small_disk(tmp_path / "disk") as disk:
        folder = disk.place / "record"
        first = Watch(flood_stay(tmp_path), folder, BEGIN).run(
            220, {460: Acknowledge("stretch", "2", by="TK")}
        )
        first.end()
        disk.read_only(True)
        watch = Watch(flood_stay(tmp_path), folder, 480).run(30, {485: Note("still here")})
        assert ("stretch", "2") in [a.key for a in watch.last.alerts if a.standing is Standing.ACKNOWLEDGED]
        told = record_alert(watch.last).lower()
        assert any(word in told for word in ("read-only", "readonly", "permission denied")), told
        disk.read_only(False)
        watch.run(15)
        assert on_record(folder)[-1] == shown_events(watch)[-1]
        assert "still here" in [text for _, _, text in on_record(folder)]
        watch.end()


def damaged(folder: Path, how: str) -> None:
    journal = journal_of(folder)
    size = journal.stat().st_size
    if how == "cut in half":
        os.truncate(journal, size // 2)
    elif how == "cut to a few bytes":
        os.truncate(journal, 50)
    elif how == "no database":
        journal.write_bytes(b"once upon a time " * 1000)
    elif how == "pages overwritten":
        with journal.open("r+b") as file:
            file.seek(4096)
            file.write(os.urandom(size - 4096))
    elif how == "another program's":
        journal.unlink()
        with sqlite3.connect(journal) as other:
            other.execute("CREATE TABLE runs (x)")
        other.close()


@pytest.mark.slow
@pytest.mark.parametrize(
    "how", ["cut in half", "cut to a few bytes", "no database", "pages overwritten", "another program's"]
)
def test_a_damaged_journal_is_kept_aside_and_what_it_held_in_memory_is_not_lost(
    tmp_path: Path, how: str
) -> None:
    folder = tmp_path / "record"
    done = {450: TendLine("2", paid_out=0.1, by="TK"), 460: Acknowledge("stretch", "2", by="TK")}
    first = Watch(flood_stay(tmp_path), folder, BEGIN).run(220, done)
    first.end()
    damaged(folder, how)
    before = journal_of(folder).read_bytes()
    watch = Watch(flood_stay(tmp_path), folder, 480).run(20)
    (aside,) = folder.glob("journal-corrupt-*.sqlite")
    assert aside.read_bytes() == before
    assert aside.name in record_alert(watch.last)
    assert "a new one is begun" in notes(watch)
    assert watch.last.lines[1].unstretched_m == first.last.lines[1].unstretched_m
    assert ("stretch", "2") in [a.key for a in watch.last.alerts if a.standing is Standing.ACKNOWLEDGED]
    assert "raised" not in words(e for e in watch.last.log if e.alert == "stretch"), "nothing rings again"
    watch.run(200)
    (alert,) = [alert for alert in watch.last.alerts if alert.cause == "record"]
    assert alert.standing is Standing.RECTIFIED
    watch.kill()
    assert on_record(folder) == shown_events(watch)


@pytest.mark.slow
def test_a_journal_that_is_gone_is_told_and_what_is_left_is_from_the_second_copy(tmp_path: Path) -> None:
    folder = tmp_path / "record"
    done = {450: TendLine("2", paid_out=0.1, by="TK"), 460: Acknowledge("stretch", "2", by="TK")}
    first = Watch(flood_stay(tmp_path), folder, BEGIN).run(220, done)
    first.kill()
    for path in folder.glob("journal*"):
        path.unlink()
    watch = Watch(flood_stay(tmp_path), folder, 480).run(20)
    for text in (notes(watch), record_alert(watch.last)):
        assert "The journal is gone or empty, a new one is begun; lengths, alerts and ack" in text
        assert "are those of 02 Mar 04:07:50" in text
        assert "now-a, now-b" in text
        assert "check the lines" in text
    assert watch.last.lines[1].unstretched_m == first.last.lines[1].unstretched_m
    assert ("stretch", "2") in [a.key for a in watch.last.alerts if a.standing is Standing.ACKNOWLEDGED]
    gap = next(event for event in watch.last.log if event.event == "gap")
    assert gap.text == "no watch for 10 s, 04:07:50 to 04:08:00", "whether it was ended is not known"
    watch.kill()
    again = Watch(flood_stay(tmp_path), folder, watch.second).run(5)
    assert notes(again).count("The journal is gone") == 1, "told once"
    again.end()


@pytest.mark.slow
@pytest.mark.parametrize("how", ["gone", "damaged"])
@pytest.mark.parametrize("copy", ["gone", "damaged", "of other lines"])
def test_a_past_that_is_lost_is_told(tmp_path: Path, how: str, copy: str) -> None:
    """Nothing but feed logs is left: the watch begins anew, and says that it does."""
    folder = tmp_path / "record"
    first = Watch(flood_stay(tmp_path), folder, BEGIN).run(220, {450: TendLine("2", paid_out=0.1, by="TK")})
    first.kill()
    for path in [*folder.glob("now-*"), *folder.glob("journal*")]:
        if copy == "of other lines" and path.name.startswith("now-"):
            continue
        if (how if path.name.startswith("journal") else copy) == "gone":
            path.unlink()
        else:
            path.write_bytes(b"once upon a time " * 1000)
    stay = (
        a_stay(tmp_path, FLOOD_TEXT.replace('id: "3"', 'id: "4"'))
        if "other" in copy
        else flood_stay(tmp_path)
    )
    watch = Watch(stay, folder, 480).run(20)
    for text in (notes(watch), record_alert(watch.last)):
        assert "LENGTHS, ACKNOWLEDGEMENTS AND HISTORY OF BEFORE ARE LOST: check every line" in text
    (alert,) = [alert for alert in watch.last.alerts if alert.cause == "record"]
    assert alert.flashes, "it waits to be acknowledged"
    watch.end()


def test_a_new_record_is_no_lost_one(tmp_path: Path) -> None:
    (tmp_path / "record").mkdir()
    watch = Watch(flood_stay(tmp_path), tmp_path / "record").run(20)
    assert "LOST" not in notes(watch)
    assert record_alert(watch.last) == ""
    watch.end()


@pytest.mark.slow
def test_too_little_room_is_an_alert_at_the_start_and_at_a_restart(tmp_path: Path) -> None:
    with small_disk(tmp_path / "disk") as disk:
        if isinstance(disk, LimitedFiles):
            pytest.skip("needs a small disk of its own")
        for second in (0.0, 3000.0):
            watch = Watch(flood_stay(tmp_path), disk.place / "record", second).run(20)
            assert "NOT ENOUGH room for all that is to come" in record_alert(watch.last)
            watch.run(200)
            (alert,) = [alert for alert in watch.last.alerts if alert.cause == "record"]
            assert alert.standing is Standing.RECTIFIED, "it waits to be acknowledged"
            watch.run(2, {int(watch.second) + 1: Acknowledge("record", "")})
            assert record_alert(watch.last) == "", "a disk that is full indeed sounds anew"
            watch.end()


def test_room_is_reckoned_less_what_the_record_holds(tmp_path: Path) -> None:
    """Ours: the need of 30 days, what is held already off it, but never less than that of three days."""
    free = shutil.disk_usage(tmp_path).free
    assert too_little_room_text(Need(free * 0.5, 0.0), tmp_path) == ""
    assert "NOT ENOUGH" in too_little_room_text(Need(free * 2.0, 0.0), tmp_path)
    with (tmp_path / "journal.sqlite").open("wb") as held:
        held.truncate(int(free * 1.5))  # a file with a hole takes no room
    assert too_little_room_text(Need(free * 2.0, 0.0), tmp_path) == ""
    assert "NOT ENOUGH" in too_little_room_text(Need(free * 12.0, 0.0), tmp_path)


@pytest.mark.slow
def test_a_record_that_is_taken_away_while_it_is_written(tmp_path: Path) -> None:
    folder = tmp_path / "record"
    watch = Watch(flood_stay(tmp_path), folder, BEGIN).run(220, {460: Acknowledge("stretch", "2", by="TK")})
    shutil.rmtree(folder)
    watch.run(60)
    assert "taken away" in notes(watch)
    watch.kill()
    again = Watch(flood_stay(tmp_path), folder, watch.second).run(1)
    assert ("stretch", "2") in [a.key for a in again.last.alerts if a.standing is Standing.ACKNOWLEDGED]
    again.end()


def test_a_folder_that_is_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "record").write_text("mine")
    with pytest.raises(WrongInput, match="expected a folder"):
        Watch(flood_stay(tmp_path), tmp_path / "record")
    assert (tmp_path / "record").read_text() == "mine"


@pytest.mark.slow
def test_the_record_of_another_ship_is_refused_and_left_alone(tmp_path: Path) -> None:
    folder = tmp_path / "record"
    Watch(flood_stay(tmp_path), folder).run(5).end()
    before = journal_of(folder).read_bytes()
    other = STAY_TEXT.replace("Test ship", "Another ship").replace("Test stay", "Another stay")
    with pytest.raises(WrongInput, match="another with --record"):
        Watch(a_stay(tmp_path, other), folder)
    assert journal_of(folder).read_bytes() == before
    again = Watch(flood_stay(tmp_path), folder, 10)
    again.end()


def test_the_record_of_a_newer_program_is_refused_and_left_alone(tmp_path: Path) -> None:
    folder = tmp_path / "record"
    Watch(flood_stay(tmp_path), folder).run(5).end()
    with sqlite3.connect(journal_of(folder)) as journal:
        journal.execute("PRAGMA user_version = 99")
    journal.close()
    with pytest.raises(NewerRecord, match="format 99"):
        Watch(flood_stay(tmp_path), folder, 10)
    assert not list(folder.glob("journal-corrupt-*"))


@pytest.mark.slow
def test_lines_put_out_while_the_disk_is_full_are_on_record_with_their_columns_once_it_is_not(
    tmp_path: Path,
) -> None:
    with small_disk(tmp_path / "disk") as disk:
        folder = disk.place / "record"
        watch = Watch(flood_stay(tmp_path), folder).run(60)
        disk.fill()
        watch.run(120, {90: AddLine("9", like="2", tension_kn=25.0), 120: LineGone("3", "parted", "TK")})
        watch.run(60, {200: Correct(line="9", by="TK")})
        assert "waits in memory" in record_alert(watch.last)
        disk.free()
        watch.run(60)
        assert "On record again: journal" in notes(watch)
        watch.end()
        with RecordReader(folder) as record:
            lines = {states.columns.lines for states in record.states()}
            assert lines == {("1", "2", "3"), ("1", "2", "3", "9")}
            assert record.chain().breaks == ()


def test_given_up_entries_leave_the_run_to_those_after(tmp_path: Path) -> None:
    waiting, run = WaitingEntries(), Watch(a_stay(tmp_path), tmp_path / "record").desk._recorder._run  # type: ignore[union-attr]
    waiting.add(Entry(0.0, (Event(0.0, "note", text="first"),), run=run))
    for at in range(MOST_ENTRIES):
        waiting.add(Entry(float(at), (Event(float(at), "note", text="later"),)))
    first = waiting.all()[0]
    assert first.events[0].text == "later"
    assert first.run is run
