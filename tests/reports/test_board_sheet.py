"""The board sheet: one A4 page of 80 columns with what is ordered, and nothing else to tick."""

from dataclasses import replace

import pytest

from alongside.cli.main import main
from alongside.forecast.model import MoveAhead, RoundAhead, Tending
from alongside.reports.board_sheet import COLUMNS, ROWS, TITLE, board_sheet
from tests.cli.test_ahead import plan_file
from tests.screens import invented


def sheet_of(*rounds, **settings):
    stay = invented.invented_stay()
    forecast = invented.forecast(stay)
    tending = Tending(rounds=rounds, verified=True, holds=0.9, **settings)
    return forecast, board_sheet(stay, replace(forecast, tending=tending))


def a_round(begin=1800.0, moves=None, **settings):
    """A round from half an hour after the forecast on, for an hour."""
    now = invented.forecast(invented.invented_stay()).time
    at = now + begin
    steps = ((at, 0.55), (at + 1200.0, 0.70), (at + 2400.0, 0.80))
    moves = moves or (MoveAhead("B1", 0.80, steps), MoveAhead("<b>", -0.15))
    return RoundAhead(at, at + 3600.0, at + 2400.0, at + 9000.0, 1200.0, moves, **settings)


def test_each_time_has_its_metres_and_its_box():
    _, rows = sheet_of(a_round())
    boxes = [row for row in rows if "[ ]" in row]
    assert [row.split("slack")[1].split()[0] for row in boxes[:3]] == ["0.55", "0.70", "0.80"]
    assert boxes[0].startswith("  B1")
    assert "heave" in boxes[3]
    assert rows[0] == TITLE
    text = "\n".join(rows)
    assert "snap-back area" in text
    assert invented.invented_stay().ship.name in text
    assert invented.invented_stay().berth.name in text


def test_what_is_no_plan_has_no_box():
    _, rows = sheet_of(a_round(holds=0.6))
    assert not any("[ ]" in row for row in rows)
    assert any(row.startswith("ROUND 1: Look again at") for row in rows)


@pytest.mark.parametrize("count", [0, 1, 4, 9, 30])
def test_it_is_one_page_of_80_columns(count):
    rounds = [a_round(1800.0 + 7200.0 * k) for k in range(count)]
    _, rows = sheet_of(*rounds)
    assert len(rows) <= ROWS
    assert all(len(row) <= COLUMNS for row in rows)
    if count == 30:
        assert any("print a new sheet" in row for row in rows)
    assert "snap-back area" in "\n".join(rows)


def test_the_command_writes_it_and_writes_over_nothing_else(tmp_path, capsys):
    file = tmp_path / "sheet.txt"
    assert main(["ahead", str(plan_file(tmp_path)), "--board", str(file)]) == 0
    first = file.read_text()
    assert first.startswith(TITLE)
    assert main(["ahead", str(plan_file(tmp_path)), "--board", str(file)]) == 0, (
        "an earlier sheet is replaced"
    )
    file.write_text("notes of the mate\n")
    assert main(["ahead", str(plan_file(tmp_path)), "--board", str(file)]) == 2
    assert file.read_text() == "notes of the mate\n"
    capsys.readouterr()
