"""What a record says of ropes that the watch put into lines: from when, and under which number."""

from pathlib import Path

import pytest

from alongside.actions import Action, AddLine, Correct, NameRope, RenewLine
from alongside.record.reader import RecordReader
from alongside.record.ropes.use import Use, uses_in
from alongside.reports.ropes.keeping import keep, read_ropes, ropes_of_record
from alongside.reports.ropes.life import lives_of
from alongside.units import utc_day
from tests.berth import START, STAY_TEXT, a_stay
from tests.record.kept import Watch
from tests.record.ropes.kept import NOW

TEXT = STAY_TEXT.replace("balance: off", "").replace('id: "1",', 'id: "1", serial: PL-1,')
DONE: dict[int, Action] = {
    20: RenewLine("1", tension_kn=20.0, by="RV"),
    30: AddLine("9", like="2", tension_kn=20.0, by="RV"),
    40: NameRope("1", "PL-2213", "TK"),
    45: NameRope("9", "PL-2214", "TK"),
}


def uses(tmp_path: Path, done: dict[int, Action]) -> dict[str, Use]:
    folder = tmp_path / "record"
    Watch(a_stay(tmp_path, TEXT), folder).run(60, dict(done)).end()
    with RecordReader(folder) as record:
        return {use.part.key: use for use in uses_in(record) if use.part.by_serial}


@pytest.mark.slow
def test_use_counts_under_the_number_from_when_the_rope_came_into_its_line(tmp_path: Path) -> None:
    """A rope that was renewed counted from when its line was first made fast, before it was there."""
    found = uses(tmp_path, DONE)
    assert set(found) == {"PL-1", "PL-2213", "PL-2214"}
    times = {key: (round(use.since - START), round(use.until - START)) for key, use in found.items()}
    assert times["PL-2213"] == (20, 60)
    assert times["PL-2214"] == (30, 60)
    assert times["PL-1"][1] == 20
    lives = {life.part.key: life for life in lives_of(found.values())}
    assert lives["PL-2213"].hours_made_fast * 3600.0 == pytest.approx(40.0, abs=1.0)  # s
    assert lives["PL-2213"].stays == 1
    assert lives["PL-2213"].peak_kn > 10.0


@pytest.mark.slow
def test_a_number_that_was_taken_back_counts_as_none_and_the_last_one_counts(tmp_path: Path) -> None:
    done = DONE | {
        50: Correct(line="1", by="TK"),
        52: Correct(line="9", by="TK"),
        54: NameRope("9", "PL-3", "TK"),
    }
    assert set(uses(tmp_path, done)) == {"PL-1", "line 1, new 2026-03-02T04:00:20Z", "PL-3"}


@pytest.mark.slow
def test_taken_into_the_history_it_is_the_rope_of_that_number(tmp_path: Path) -> None:
    uses(tmp_path, DONE)
    path = tmp_path / "ropes.db"
    rows = keep(path, [ropes_of_record(tmp_path / "record")], now=NOW, who="TK")
    assert not [row for row in rows if "without its number" in row]
    ropes = read_ropes(path, utc_day(NOW))
    assert [each.history.serial for each in ropes.conditions] == ["PL-1", "PL-2213", "PL-2214"]
    assert not any(each.history.stands_in for each in ropes.conditions)
