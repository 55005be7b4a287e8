"""A record of an older program, in which the caution `ahead` had another name, is read by the present one."""

import gzip
from pathlib import Path

import pytest

from alongside.actions import Acknowledge
from alongside.record.codec import from_text, to_text
from alongside.record.entries import pack_memory, unpack_memory
from alongside.record.faults import WrongRecord
from alongside.record.reader import RecordReader, _cause, _event_word
from alongside.stay.causes import CAUSES, FORMER, Cause
from alongside.stay.stage import Stage

OLD = Path(__file__).parent.parent / "data" / "records" / "caution_soon.sqlite.gz"
"""Written by the program of 2026-11: line 2 of the test berth, a caution `soon`, acknowledged by hand."""


@pytest.fixture
def old(tmp_path: Path) -> Path:
    (tmp_path / "journal.sqlite").write_bytes(gzip.decompress(OLD.read_bytes()))
    return tmp_path


def test_events_actions_and_memories_bear_the_present_name(old: Path) -> None:
    with RecordReader(old) as record:
        raised = [event for _seq, event in record.events() if event.alert]
        assert [(event.event, event.alert, event.subject) for event in raised] == [("raised", "ahead", "2")]
        assert [done.action for done in record.actions()] == [Acknowledge("ahead", "2", "rv")]
        kept = record.memory_at()
    assert kept is not None
    watchlist = kept[1].watchlist
    (alert,) = watchlist.alerts.values()
    assert (alert.cause, alert.subject, alert.stage) == ("ahead", "2", Stage.CAUTION)
    assert set(watchlist.alerts) == set(watchlist.conditions) == {("ahead", "2")}


def test_what_was_read_is_written_under_the_present_name(old: Path) -> None:
    with RecordReader(old) as record:
        kept = record.memory_at()
    assert kept is not None
    again = unpack_memory(pack_memory(kept[1]))
    assert set(again.watchlist.alerts) == {("ahead", "2")}
    assert '"cause":"ahead"' in to_text(again.watchlist.alerts["ahead", "2"])


def test_what_no_program_ever_wrote_is_refused() -> None:
    with pytest.raises(WrongRecord, match="cause 'sooner', expected one of"):
        _cause("sooner")
    with pytest.raises(WrongRecord, match="event 'risen', expected one of"):
        _event_word("risen")
    with pytest.raises(WrongRecord):
        from_text(Cause, '"sooner"')  # type: ignore[arg-type]


def test_a_former_name_is_no_present_one() -> None:
    assert not set(FORMER) & set(CAUSES)
    assert set(FORMER.values()) <= set(CAUSES)
