"""Events and actions chained by a hash: it shows where one was changed, taken out or put in; and nothing
that a watch lives through breaks the chain."""

import hashlib
import json
import shutil
import sqlite3
import struct
from pathlib import Path
from typing import Any, Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.actions import Acknowledge, Note, TendLine
from alongside.alerts.model import Event
from alongside.cli.main import main
from alongside.record.chain import COLUMNS, RUN, Break, Chain, read_chain
from alongside.record.entries import Entry, Run
from alongside.record.journal import Journal
from alongside.record.layout import journal_of
from alongside.record.reader import RecordReader
from alongside.record.states import Columns
from alongside.record.words import break_text, chain_rows
from alongside.stay.model import Display
from tests.berth import START, a_stay
from tests.record.kept import BEGIN, Watch, flood_stay
from tests.record.test_faults import notes, record_alert
from tests.record.test_old_record import DATA

DONE: Final = {400: TendLine("2", paid_out=0.1, by="TK"), 410: Note("seen", by="TK")}


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A record of two runs with events and actions."""
    place = tmp_path_factory.mktemp("whole")
    acknowledged = {470: Acknowledge("stretch", "2", by="TK")}
    Watch(flood_stay(place), place / "record", BEGIN).run(230, DONE | acknowledged).kill()
    Watch(flood_stay(place), place / "record", 500.0).run(300, {600: Note("later")}).end()
    return place / "record"


@pytest.fixture
def record(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "record"))


def chain_of(folder: Path, **asked: Any) -> Chain:
    with RecordReader(folder) as reader:
        return reader.chain(**asked)


def altered(folder: Path, *statements: str) -> Chain:
    with sqlite3.connect(journal_of(folder)) as journal:
        for statement in statements:
            journal.execute(statement)
    journal.close()
    return chain_of(folder)


def places(chain: Chain) -> list[tuple[str, str, int]]:
    return [
        (each.kind, each.at.table, each.at.seq) if each.at else (each.kind, "", 0) for each in chain.breaks
    ]


@pytest.mark.slow
def test_a_record_is_whole_over_a_kill_and_a_restart(whole: Path) -> None:
    chain = chain_of(whole)
    assert chain.whole
    with sqlite3.connect(journal_of(whole)) as journal:
        counts = [journal.execute(f"SELECT count(*) FROM {table}").fetchone()[0] for table in COLUMNS]
        hashes = [row[0] for table in COLUMNS for row in journal.execute(f"SELECT hash FROM {table}")]
    journal.close()
    assert [chain.events, chain.actions] == counts
    assert counts[0] > 10
    assert counts[1] == 4
    assert len(set(hashes)) == sum(counts)
    assert chain.last is not None
    assert (chain.last.number, chain.before) == (sum(counts), 0)


@pytest.mark.slow
def test_the_chain_is_as_the_manual_has_it(whole: Path) -> None:
    """Written anew from the manual alone: JSON in ASCII, numbers by their bits, the run's hash last."""

    def plain(value: Any) -> Any:
        return int.from_bytes(struct.pack(">d", value)) if isinstance(value, float) else value

    def put(values: list[Any]) -> bytes:
        return json.dumps([plain(value) for value in values], separators=(",", ":")).encode("ascii")

    with sqlite3.connect(journal_of(whole)) as journal:
        runs = {
            row[0]: hashlib.sha256(put(["runs", *row])).hexdigest()
            for row in journal.execute(f"SELECT {RUN} FROM runs")
        }
        rows = [
            (link, table, mark, row)
            for table, columns in COLUMNS.items()
            for link, mark, *row in journal.execute(f"SELECT link, hash, {columns} FROM {table}")
        ]
        kept = journal.execute("SELECT value FROM meta WHERE key = 'chain'").fetchone()[0]
    journal.close()
    before = bytes(32)
    for number, (link, table, mark, row) in enumerate(sorted(rows), 1):
        assert link == number
        before = hashlib.sha256(before + put([table, link, *row, runs[row[1]]])).digest()
        assert before == mark
    assert kept == f"{len(rows)} {before.hex()}"


REST: Final = COLUMNS["events"].removeprefix("seq, ")
CHANGES: Final[dict[str, tuple[list[str], list[tuple[str, str, int]]]]] = {
    "one byte": (
        ["UPDATE events SET text = replace(text, substr(text, 3, 1), '#') WHERE seq = 7"],
        [("changed", "events", 7)],
    ),
    "the last bit of a value": (
        ["UPDATE events SET time = time + 2.5e-7 WHERE seq = 7"],
        [("changed", "events", 7)],
    ),
    "initials of an action": (
        ["UPDATE actions SET action = replace(action, 'TK', 'AB') WHERE seq = 2"],
        [("changed", "actions", 2)],
    ),
    "a row taken out": (["DELETE FROM events WHERE seq = 7"], [("missing", "actions", 1)]),
    "an action taken out": (["DELETE FROM actions WHERE kind = 'Note'"], []),
    "the first": (["DELETE FROM events WHERE seq = 1"], [("missing", "", 0)]),
    "the last, and its place": (
        ["DELETE FROM events WHERE seq = (SELECT max(seq) FROM events)"],
        [("cut off", "events", -1)],
    ),
    "a row put in": (
        [f"INSERT INTO events SELECT 900, {REST}, NULL, NULL FROM events WHERE seq = 7"],
        [("added", "events", 900)],
    ),
    "a row put in with the place of another": (
        [f"INSERT INTO events SELECT 900, {REST}, link, hash FROM events WHERE seq = 7"],
        [("added", "events", 900)],
    ),
    "a row put in before all": (
        [f"INSERT INTO events SELECT -5, {REST}, NULL, NULL FROM events WHERE seq = 7"],
        [("changed", "events", 1)],
    ),
    "a row put in with something else for its place": (
        [f"INSERT INTO events SELECT 900, {REST}, 'x', hash FROM events WHERE seq = 7"],
        [("added", "events", 900)],
    ),
    "two swapped": (
        [
            "UPDATE events SET seq = -7 WHERE seq = 7",
            "UPDATE events SET seq = 7 WHERE seq = 8",
            "UPDATE events SET seq = 8 WHERE seq = -7",
        ],
        [("changed", "events", 8), ("changed", "events", 7)],
    ),
    "two texts swapped": (
        [
            "CREATE TEMP TABLE was AS SELECT seq, text FROM events",
            "UPDATE events SET text = (SELECT text FROM was WHERE seq = 9) WHERE seq = 7",
            "UPDATE events SET text = (SELECT text FROM was WHERE seq = 7) WHERE seq = 9",
        ],
        [("changed", "events", 7), ("changed", "events", 9)],
    ),
    "taken out of the chain": (
        ["UPDATE events SET link = NULL, hash = NULL WHERE seq = 7"],
        [("missing", "actions", 1), ("added", "events", 7)],
    ),
    "the stay file as it was read": (["UPDATE runs SET stay_text = stay_text || ' ' WHERE run = 2"], []),
    "its end as it was kept": (["DELETE FROM meta WHERE key = 'chain'"], [("added", "events", -1)]),
}


@pytest.mark.slow
@pytest.mark.parametrize("what", CHANGES)
def test_it_shows_where_a_record_was_changed(record: Path, what: str) -> None:
    statements, expected = CHANGES[what]
    last = chain_of(record).last
    assert last is not None
    chain = altered(record, *statements)
    assert not chain.whole
    end = last.seq - (what == "the last, and its place")
    expected = [(kind, table, end if seq < 0 else seq) for kind, table, seq in expected]
    if expected:
        assert places(chain) == expected
    rows = chain_rows(chain, Display(zone="Z"))
    assert rows[0].startswith("CHAIN BROKEN ")
    assert not any("whole" in row for row in rows)


@pytest.mark.slow
def test_where_the_stay_file_was_changed_all_of_its_run_is_doubtful(record: Path) -> None:
    with sqlite3.connect(journal_of(record)) as journal:
        first = journal.execute("SELECT min(seq) FROM events WHERE run = 2").fetchone()[0]
    journal.close()
    chain = altered(record, "UPDATE runs SET stay = stay || ' ' WHERE run = 2")
    assert chain.breaks[0].at is not None
    assert (chain.breaks[0].at.table, chain.breaks[0].at.seq) == ("events", first)


@pytest.mark.slow
def test_a_chain_made_anew_is_whole_and_ends_in_another_hash(record: Path) -> None:
    """What the chain cannot show, as the manual says: only a hash on paper does."""
    before = chain_of(record).last
    journal = sqlite3.connect(journal_of(record))
    journal.execute("UPDATE events SET text = 'nothing' WHERE seq = 7")
    from alongside.record.chain import BEFORE_ALL, digest, keep_head, run_digest

    rows = sorted(
        (link, table, row)
        for table, columns in COLUMNS.items()
        for link, *row in journal.execute(f"SELECT link, {columns} FROM {table}")
    )
    mark = BEFORE_ALL
    for link, table, row in rows:
        mark = digest(mark, table, link, row, run_digest(journal, row[1]))
        journal.execute(f"UPDATE {table} SET hash = ? WHERE link = ?", (mark, link))
    keep_head(journal, len(rows), mark)
    journal.commit()
    journal.close()
    after = chain_of(record)
    assert after.whole
    assert before is not None
    assert after.last is not None
    assert after.last.hash != before.hash


@pytest.mark.slow
def test_a_page_printed_at_a_time_ends_in_the_same_hash_later(
    record: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    at = START + 480.0
    early = chain_of(record, until=at).last
    assert early is not None
    Watch(flood_stay(record.parent), record, 900.0).run(20).end()
    assert chain_of(record, until=at).last == early
    assert main(["handover", str(record), "--at", "2026-03-02T04:08:00Z"]) == 0
    page = capsys.readouterr().out
    _, _, part = page.partition("\nRECORD\n")
    assert "chain whole: " in part
    assert f"last link {early.number}, {early.table[:-1]} {early.seq}, " in part
    assert early.hash.hex() in part
    altered(record, "UPDATE events SET text = 'quiet' WHERE seq = 7")
    assert main(["handover", str(record)]) == 0
    assert "CHAIN BROKEN at event 7, " in capsys.readouterr().out


@pytest.mark.slow
def test_the_report_has_the_chain_and_says_first_that_it_is_broken(
    record: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = record.parent / "report.html"
    last = chain_of(record).last
    assert last is not None
    assert main(["report", str(record), "--out", str(out)]) == 0
    text = out.read_text(encoding="utf-8")
    assert last.hash.hex() in text
    assert "chain whole: " in text
    assert "THE RECORD WAS CHANGED" not in text
    altered(record, "DELETE FROM events WHERE seq = 7")
    assert main(["report", str(record), "--out", str(out)]) == 0
    text = out.read_text(encoding="utf-8")
    assert "THE RECORD WAS CHANGED after action 1, " in text
    assert "chain whole" not in text


@pytest.mark.slow
def test_a_watch_says_at_its_start_that_the_record_was_changed_and_only_once(record: Path) -> None:
    altered(record, "UPDATE events SET text = 'quiet' WHERE seq = 7")
    stay = flood_stay(record.parent)
    watch = Watch(stay, record, 900.0).run(20)
    assert "THE RECORD WAS CHANGED at event 7, 02 Mar 04:" in record_alert(watch.last)
    watch.end()
    again = Watch(stay, record, 1000.0).run(20)
    assert "CHANGED" not in record_alert(again.last)
    assert notes(again).count("THE RECORD WAS CHANGED") == 1
    again.end()
    assert places(chain_of(record)) == [("changed", "events", 7)], "what came after is chained on"


@pytest.mark.slow
def test_only_the_newest_links_are_tried_where_that_is_asked_for(record: Path) -> None:
    last = chain_of(record).last
    assert last is not None
    newest = chain_of(record, newest=5)
    assert newest.whole
    assert newest.events + newest.actions == 5
    assert newest.last == last
    altered(record, "UPDATE events SET text = 'quiet' WHERE seq = 2")
    assert chain_of(record, newest=5).whole
    altered(record, f"UPDATE events SET text = 'quiet' WHERE link = {last.number - 1}")
    assert not chain_of(record, newest=5).whole


def test_an_older_record_is_read_and_chained_from_now_on(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.unpack_archive(DATA / "old_program.tar.xz", tmp_path, filter="data")
    old = tmp_path / "record"
    before = chain_of(old)
    assert before.whole
    assert (before.events, before.last) == (0, None)
    assert before.before > 10
    assert main(["handover", str(old)]) == 0
    assert f"{before.before} events and actions of an older program" in capsys.readouterr().out
    from alongside.stay.read import read_stay

    later = Watch(read_stay(tmp_path / "stay.yaml"), old, before.before_until - START + 60.0).run(5)
    later.end()
    after = chain_of(old)
    assert after.whole
    assert (after.before, after.before_until) == (before.before, before.before_until)
    assert after.events > 0
    assert "changed" not in record_alert(later.last).lower()
    copy = Path(shutil.copytree(old, tmp_path / "copy"))
    assert chain_of(copy).whole
    changed = altered(copy, "UPDATE events SET text = 'quiet' WHERE seq = 3")
    assert len(changed.breaks) == 1, "what was there before shows as well from now on"
    broken = altered(old, "UPDATE events SET link = NULL WHERE link = 1")
    assert not broken.whole, "nobody can say afterwards that an older program wrote it"


@pytest.mark.slow
def test_a_clock_that_is_set_and_a_disk_that_fails_break_nothing(tmp_path: Path) -> None:
    folder = tmp_path / "record"
    watch = Watch(flood_stay(tmp_path), folder).run(20)
    watch.ahead = 7200.0
    watch.run(20)
    watch.ahead = -7200.0
    watch.run(20)
    journal = watch.desk._recorder and watch.desk._recorder._journal
    assert journal is not None
    other = sqlite3.connect(journal_of(folder), isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    watch.run(1, {int(watch.second) + 1: Note("while it is busy")})
    other.execute("ROLLBACK")
    other.close()
    watch.run(15).end()
    chain = chain_of(folder)
    assert chain.whole
    with RecordReader(folder) as record:
        assert "while it is busy" in [event.text for _, event in record.events()]


values = st.one_of(st.none(), st.floats(), st.integers(-5, 5).map(float))
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=8)
events = st.builds(
    Event,
    st.floats(0.0, 2e9),
    st.just("note"),
    subject=st.none() | texts,
    line=st.none() | texts,
    value=values,
    limit=values,
    text=texts,
)


@pytest.mark.slow
@settings(max_examples=40)
@given(st.lists(st.lists(events, max_size=4), min_size=1, max_size=4), st.data())
def test_whatever_is_written_is_whole_and_whatever_is_turned_shows(
    tmp_path_factory: pytest.TempPathFactory, batches: list[list[Event]], data: st.DataObject
) -> None:
    folder = tmp_path_factory.mktemp("chain")
    stay = a_stay(folder)
    journal = Journal(journal_of(folder))
    journal.begin(Run(START, "test", stay, "", Columns.of(stay, ())))
    for batch in batches:
        journal.write([Entry(START, tuple(batch), (Note("x"),))])
    journal.close()
    assert chain_of(folder).whole
    with sqlite3.connect(journal_of(folder)) as file:
        table = data.draw(st.sampled_from([t for t in COLUMNS if t == "actions" or any(batches)]))
        column = data.draw(st.sampled_from(["time", "text" if table == "events" else "action", "hash"]))
        seq = data.draw(st.sampled_from([row[0] for row in file.execute(f"SELECT seq FROM {table}")]))
        was = file.execute(f"SELECT {column} FROM {table} WHERE seq = ?", (seq,)).fetchone()[0]
        new = was * 2.0 + 1.0 if column == "time" else was + (b"x" if column == "hash" else "x")
        file.execute(f"UPDATE {table} SET {column} = ? WHERE seq = ?", (new, seq))
        chain = read_chain(file)
    file.close()
    assert (table, seq) in {(each.at.table, each.at.seq) for each in chain.breaks if each.at is not None}


def test_the_words_of_a_break() -> None:
    assert break_text(Break("missing", None, 2), Display()) == (
        "after the beginning: 2 events and actions missing"
    )
