"""The report of a watch in which lines were shifted, put out and renewed names them as they then were."""

from pathlib import Path

import pytest

from alongside.actions import AddLine, LineGone, RenewLine, ShiftLine
from alongside.cli.main import main
from alongside.record.reader import RecordReader
from alongside.record.ropes.use import uses_in
from alongside.reports.handover import handover_text
from alongside.reports.stay.record_arrays import read_arrays
from alongside.wording.actions import action_words
from tests.berth import STAY_TEXT, a_stay
from tests.record.kept import Watch

DONE = {
    20: ShiftLine("2", bollard="B1", tension_kn=30.0, by="RV"),
    25: AddLine("9", like="1", tension_kn=20.0, by="RV"),
    30: LineGone("3", "parted", "RV"),
    40: RenewLine("3", tension_kn=20.0, by="TK"),
}


@pytest.fixture(scope="module")
def watched(tmp_path_factory: pytest.TempPathFactory) -> tuple[Watch, Path]:
    place = tmp_path_factory.mktemp("watched")
    watch = Watch(a_stay(place, STAY_TEXT.replace("balance: off", "")), place / "record").run(60, dict(DONE))
    watch.end()
    return watch, place / "record"


@pytest.mark.slow
def test_lines_as_they_were_last_and_one_start(watched: tuple[Watch, Path], tmp_path: Path) -> None:
    with RecordReader(watched[1]) as record:
        arrays = read_arrays(record)
    assert [(line.id, line.bollard) for line in arrays.lines] == [
        ("1", "B1"),
        ("2", "B1"),
        ("3", "B3"),
        ("9", "B1"),
    ]
    assert arrays.starts == 1
    out = tmp_path / "report.html"
    assert main(["report", str(watched[1]), "--out", str(out)]) == 0
    page = out.read_text(encoding="utf-8")
    for words in ("FM to B1", "Line 3 parted (RV)", "line 9 put out", "with what was done on deck"):
        assert words in page, words
    assert all(action_words(done)[0] == "on deck" for done in DONE.values())


@pytest.mark.slow
def test_the_use_of_a_rope_ends_when_it_parts_and_of_a_new_one_begins_when_it_came(
    watched: tuple[Watch, Path],
) -> None:
    with RecordReader(watched[1]) as record:
        begin = record.runs()[0].started
        uses = [use for use in uses_in(record) if use.part.line == "3"]
    spans = [(round(use.since - begin), round(use.until - begin)) for use in uses]
    assert spans == [(0, 30), (40, 60)]
    assert [round(use.parted_at - begin) for use in uses[:1]] == [30]
    assert uses[1].part.key.startswith("line 3, new 2026-03-02T04:00:4")


@pytest.mark.slow
def test_the_hand_over_says_what_is_not_as_in_the_stay_file(watched: tuple[Watch, Path]) -> None:
    rows = [row.strip() for row in handover_text(watched[0].last, 0.0)]
    assert "line 2 is not as in the stay file: over FM to B1" in rows
    assert any(row.startswith("line 9 is not in the stay file: over FB to B1, rope ") for row in rows)
    assert any(row.startswith("line 3 is not as in the stay file: over FA to B3, new rope") for row in rows)
    assert any("Line 2 shifted over FM to B1, made fast with 3.1 t" in row and "(RV)" in row for row in rows)
