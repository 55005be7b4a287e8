"""A journal that is damaged is found at the start, what can be read of it is kept, what is lost is said."""

import random
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Final

import pytest

from alongside.actions import Acknowledge, Action, Note, TendLine
from alongside.alerts.model import Standing
from alongside.record.aside import COMPANIONS
from alongside.record.earlier import find_earlier
from alongside.record.faults import WrongRecord
from alongside.record.layout import NOW, journal_of
from alongside.record.reader import RecordReader
from alongside.record.schema import open_to_read
from alongside.record.soundness import PIECE, try_journal
from tests.record.kept import BEGIN, Watch, flood_stay
from tests.record.test_access import modes
from tests.record.test_faults import notes, on_record, record_alert

SECONDS: Final = 330
DONE: Final[dict[int, Action]] = {
    second: Note(f"note {second} " + "and what else was to be said of it " * 8) for second in range(255, 440)
} | {
    450: TendLine("2", paid_out=0.1, by="TK"),
    460: Acknowledge("stretch", "2", by="TK"),
}


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, float]:
    """A record whose tables have several pages each, and the length of line 2 in the end."""
    place = tmp_path_factory.mktemp("sound")
    watch = Watch(flood_stay(place), place / "record", BEGIN).run(SECONDS, DONE)
    length = float(watch.desk._memory.lengths.unstretched[1])
    watch.end()
    return place / "record", length


@pytest.fixture
def record(sound: tuple[Path, float], tmp_path: Path) -> Path:
    return Path(shutil.copytree(sound[0], tmp_path / "record"))


def pages(journal: Path) -> int:
    return journal.stat().st_size // 4096


def spoil(journal: Path, page: int, with_: bytes = b"\x00") -> None:
    with journal.open("r+b") as file:
        file.seek(page * 4096)
        file.write((with_ * 4096)[:4096])


def page_of(journal: Path, text: bytes) -> int:
    """Page, counted from 0, on which a text stands."""
    at = journal.read_bytes().find(text)
    assert at > 0
    return at // 4096


def pages_of_tables(journal: Path) -> Iterator[tuple[str, int]]:
    with sqlite3.connect(journal) as file:
        yield from file.execute("SELECT name, rootpage - 1 FROM sqlite_master WHERE rootpage > 1").fetchall()
    file.close()


@pytest.mark.slow
def test_a_sound_journal_is_found_sound_with_nothing_said(record: Path) -> None:
    found = find_earlier(record)
    assert (found.spoilt, found.fault, found.gone, found.tried, found.breaks) == (False, "", False, True, ())
    watch = Watch(flood_stay(record.parent), record, 700.0).run(20)
    assert record_alert(watch.last) == ""
    watch.end()


@pytest.mark.slow
def test_every_table_and_index_is_tried(record: Path) -> None:
    names = []
    for name, page in list(pages_of_tables(journal_of(record))):
        copy = record.parent / f"{name}.sqlite"
        shutil.copy(journal_of(record), copy)
        spoil(copy, page)
        names.append(name)
        if name == "states_by_time":
            continue  # whoever reads states finds it: each start does
        with pytest.raises((sqlite3.DatabaseError, WrongRecord)), closing(open_to_read(copy)) as journal:
            try_journal(journal)
    assert {"events", "events_by_time", "actions", "memories", "states", "runs", "meta"} <= set(names)


def test_the_time_it_takes_is_bounded(tmp_path: Path) -> None:
    Watch(flood_stay(tmp_path), tmp_path / "record").run(3).end()
    with sqlite3.connect(journal_of(tmp_path / "record")) as journal:
        rows = ((1, float(second), 0, b"state") for second in range(3 * PIECE))
        journal.executemany("INSERT INTO states VALUES (NULL, ?, ?, ?, ?)", rows)
        ticks = iter(range(100))
        asked: list[str] = []
        journal.set_trace_callback(asked.append)
        assert not try_journal(journal, longest=1.5, clock=lambda: float(next(ticks)))
        assert sum("FROM states WHERE" in each for each in asked) == 1, "the newest, then the time was over"
        assert try_journal(journal)
    journal.close()


@pytest.mark.slow
def test_what_can_be_read_is_taken_over_and_what_is_lost_is_said(
    record: Path, sound: tuple[Path, float]
) -> None:
    journal = journal_of(record)
    before = on_record(record)
    for name in NOW:
        (record / name).unlink()
    spoil(journal, page_of(journal, b"note 300 and"), b"\xa5")
    damaged = journal.read_bytes()
    watch = Watch(flood_stay(record.parent), record, 700.0).run(20)
    (aside,) = record.glob("journal-corrupt-*.sqlite")
    assert aside.read_bytes() == damaged
    text = record_alert(watch.last)
    assert f"kept aside as {aside.name}; a new one is begun with what could be read: " in text
    assert "events and actions LOST)" in text
    assert "lengths, alerts and acknowledgements are those of 02 Mar 04:" in text
    assert "check the lines" in text
    assert watch.last.lines[1].unstretched_m == pytest.approx(sound[1])
    assert ("stretch", "2") in [a.key for a in watch.last.alerts if a.standing is Standing.ACKNOWLEDGED]
    since = [
        event.event for event in watch.last.log if event.alert == "stretch" and event.time > before[-1][0]
    ]
    assert "raised" not in since, "nothing rings again"
    watch.run(200).end()
    after = on_record(record)
    kept = [event for event in after if event in set(before)]
    lost = [event for event in before if event not in set(after)]
    assert kept[0] == before[0]
    assert kept[-1] == before[-1]
    assert 0 < len(lost) < 20
    assert any("note 300 and" in text for _, _, text in lost)
    assert [event for event in before if event in set(after)] == kept, "in their order"
    with RecordReader(record) as reader:
        chain = reader.chain()
        assert {each.kind for each in chain.breaks} == {"missing"}
        assert sum(each.count for each in chain.breaks) == len(lost), (
            "each between two actions that are there"
        )
        states = sum(len(piece) for piece in reader.states())
    assert states > 60
    seen = modes(record)
    assert (seen.pop("record"), set(seen.values())) == (0o700, {0o600})
    assert not list(record.glob("*.part*"))


@pytest.mark.slow
def test_one_state_that_is_damaged_is_the_only_thing_lost(record: Path) -> None:
    with sqlite3.connect(journal_of(record)) as journal:
        count = journal.execute("SELECT count(*) FROM states").fetchone()[0]
        journal.execute("UPDATE states SET state = substr(state, 1, 40) WHERE seq = 9")
    journal.close()
    before = on_record(record)
    watch = Watch(flood_stay(record.parent), record, 700.0).run(20)
    assert f"{count - 1} states" in record_alert(watch.last)
    assert "LOST" not in record_alert(watch.last)
    watch.end()
    assert on_record(record)[: len(before)] == before
    with RecordReader(record) as reader:
        assert reader.chain().whole


@pytest.mark.slow
def test_a_memory_that_is_damaged_leaves_the_one_before_it(record: Path) -> None:
    with sqlite3.connect(journal_of(record)) as journal:
        times = [row[0] for row in journal.execute("SELECT time FROM memories ORDER BY seq")]
        assert len(times) > 1
        journal.execute("UPDATE memories SET memory = x'00' WHERE seq = (SELECT max(seq) FROM memories)")
    journal.close()
    for name in NOW:
        (record / name).unlink()
    watch = Watch(flood_stay(record.parent), record, 700.0).run(20)
    text = record_alert(watch.last)
    assert "those of 02 Mar 04:04:" in text, "the time of the memory that was read, not of the journal's end"
    assert "what changed after that may be missing: check the lines" in text
    watch.end()


def start_on_a_spoilt_page(sound: tuple[Path, float], place: Path, page: int, how: bytes, copy: bool) -> bool:
    """Start a watch on a record with one page spoilt; return whether it had something to say of it."""
    record = Path(shutil.copytree(sound[0], place / "record"))
    for name in NOW if not copy else ():
        (record / name).unlink()
    before = set(on_record(record))
    spoil(journal_of(record), page, how)
    watch = Watch(flood_stay(place), record, 700.0).run(20)
    text = record_alert(watch.last)
    watch.end()
    missing = before - set(on_record(record))
    right = abs(watch.last.lines[1].unstretched_m - sound[1]) < 1e-9
    assert text or (not missing and right), f"page {page}: {len(missing)} missing in silence"
    assert not missing or "damaged" in text
    return bool(text)


@pytest.mark.slow
def test_whatever_page_is_spoilt_nothing_is_lost_in_silence(
    sound: tuple[Path, float], tmp_path: Path
) -> None:
    chance = random.Random(4)
    whole = pages(journal_of(sound[0]))
    told = 0
    for count, page in enumerate(chance.sample(range(whole), 8)):
        place = tmp_path / str(count)
        place.mkdir()
        how = chance.choice([b"\x00", b"\xff", b"\x0d", chance.randbytes(4096)])
        told += start_on_a_spoilt_page(sound, place, page, how, copy=bool(count % 2))
    assert told > 4


@pytest.mark.slow
def test_each_page_spoilt_in_turn(sound: tuple[Path, float], tmp_path: Path) -> None:
    for page in range(pages(journal_of(sound[0]))):
        place = tmp_path / str(page)
        place.mkdir()
        start_on_a_spoilt_page(sound, place, page, b"\x00", copy=bool(page % 2))


@pytest.mark.slow
def test_a_write_ahead_log_goes_aside_with_its_journal(record: Path) -> None:
    watch = Watch(flood_stay(record.parent), record, 700.0).run(5, {702: Note("in the -wal")})
    for companion in COMPANIONS:
        shutil.copy(f"{journal_of(record)}{companion}", f"{record}{companion}")
    main = journal_of(record).read_bytes()
    watch.kill()
    journal_of(record).write_bytes(main)
    for companion in COMPANIONS:
        shutil.copy(f"{record}{companion}", f"{journal_of(record)}{companion}")
    spoil(journal_of(record), page_of(journal_of(record), b"note 300 and"), b"\xa5")
    again = Watch(flood_stay(record.parent), record, 800.0).run(20)
    assert "kept aside as" in notes(again)
    again.end()
    assert "in the -wal" in [text for _, _, text in on_record(record)]
