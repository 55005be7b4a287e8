"""Each record and entry counts once; what is withdrawn counts no more, and stays in sight."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from alongside.errors import WrongInput
from alongside.record.ropes.database import database_to_read
from alongside.record.ropes.store import uses_in_database
from alongside.reports.output_files import Outputs
from alongside.reports.ropes.history_text import list_rows, rope_rows
from alongside.reports.ropes.keeping import Ropes, keep, read_ropes
from alongside.reports.ropes.sheet import sheet_object
from alongside.reports.ropes.sheet_page import sheet_page
from tests.record.ropes.kept import BEGIN, HOUR, NOW, entry, found, use

DAY = date(2026, 11, 29)


def hours(ropes: Ropes, serial: str) -> float:
    one = ropes.of(serial)
    assert one is not None
    return 0.0 if one.history.life is None else one.history.life.hours_made_fast


def test_what_comes_back_is_what_was_kept(tmp_path: Path) -> None:
    path = tmp_path / "ropes.db"
    kept = replace(use("PL-1"), slips=(BEGIN + 5.0,), parted_at=BEGIN + 20.0, peak_at=np.nan)
    keep(path, [found(kept)], now=NOW, who="TK")
    with database_to_read(path) as database:
        ((number, back),) = uses_in_database(database)
    assert number == 1
    for name in ("fast_at", "since", "until", "known_s", "carried_s", "above_wll_s", "peak_kn", "slips"):
        assert getattr(back, name) == getattr(kept, name), name
    assert np.isnan(back.peak_at)
    assert back.parted_at == BEGIN + 20.0
    assert back.turns.tolist() == [20.0, 80.0, 20.0]
    assert back.part.wll_kn == kept.part.wll_kn == 100.0


def test_a_record_counts_once_and_a_longer_one_takes_its_place(tmp_path: Path) -> None:
    path = tmp_path / "ropes.db"
    short, long = (found(use("PL-1", loads=(20.0,) * many)) for many in (361, 721))
    assert "kept" in keep(path, [short], now=NOW, who="TK")[0]
    assert "known already, counts once" in keep(path, [short], now=NOW, who="TK")[0]
    assert hours(read_ropes(path, DAY), "PL-1") == 1.0
    assert "longer than before" in keep(path, [long], now=NOW, who="TK")[0]
    assert hours(read_ropes(path, DAY), "PL-1") == 2.0
    assert "left out" in keep(path, [short], now=NOW, who="TK")[0]
    assert "counts once" in keep(path, [long, long], now=NOW, who="TK")[1]
    assert hours(read_ropes(path, DAY), "PL-1") == 2.0
    assert [each.number for each in read_ropes(path, DAY).imports] == [1]


def test_a_rope_in_two_places_at_once_is_refused_and_nothing_kept(tmp_path: Path) -> None:
    path = tmp_path / "ropes.db"
    keep(path, [found(use("PL-1"), name="first")], now=NOW, who="TK")
    other = found(use("PL-9"), use("PL-1", line="7", begin=BEGIN + 10.0), begin=BEGIN + 1.0, name="second")
    with pytest.raises(WrongInput, match=r"PL-1: in line 7 .* but by first \(entry 1\) in line 3 from"):
        keep(path, [other], [entry("PL-1", note="with it")], now=NOW, who="TK")
    ropes = read_ropes(path, DAY)
    assert [each.history.serial for each in ropes.conditions] == ["PL-1"]
    assert not ropes.kept
    keep(path, withdrawn=1, now=NOW, who="TK")
    keep(path, [other], now=NOW, who="TK")
    assert {each.history.serial for each in read_ropes(path, DAY).conditions} == {"PL-1", "PL-9"}


def test_a_record_that_is_withdrawn_and_comes_again(tmp_path: Path) -> None:
    path = tmp_path / "ropes.db"
    keep(path, [found(use("PL-1", loads=(20.0,) * 361))], now=NOW, who="TK")
    keep(path, withdrawn=1, now=NOW, who="TK")
    assert not read_ropes(path, DAY).conditions
    assert [each.stands for each in read_ropes(path, DAY).imports] == [False]
    assert "stands again" in keep(path, [found(use("PL-1", loads=(20.0,) * 361))], now=NOW, who="TK")[0]
    assert hours(read_ropes(path, DAY), "PL-1") == 1.0


def test_an_entry_counts_once(tmp_path: Path) -> None:
    path = tmp_path / "ropes.db"
    entries = [entry(deed="certificate", mbl_kn=200.0), entry(note="a"), entry(note="a"), entry(note="b")]
    rows = keep(path, entries=entries, now=NOW, who="TK")
    assert [row.rpartition(", ")[2] for row in rows] == ["kept", "kept", "known already", "kept"]
    keep(path, withdrawn=2, now=NOW, who="AB")
    one = read_ropes(path, DAY).of("PL-2207")
    assert one is not None
    assert [(each.number, each.stands) for each in one.history.kept] == [(1, True), (2, False), (3, True)]
    assert [each.fields.get("note") for each in one.history.entries if each.deed == "inspected"] == ["b"]
    with pytest.raises(WrongInput, match="entry 2 is withdrawn already"):
        keep(path, withdrawn=2, now=NOW, who="AB")
    with pytest.raises(WrongInput, match="no entry 9, expected a number from 1 to 3"):
        keep(path, withdrawn=9, now=NOW, who="AB")
    assert "stands again" in keep(path, entries=entries, now=NOW, who="TK")[1]


def test_a_slip_of_the_pen_makes_no_rope(tmp_path: Path) -> None:
    path = tmp_path / "ropes.db"
    keep(path, [found(use("PL-2207"))], now=NOW, who="TK")
    with pytest.raises(WrongInput, match="no rope 'PL-2270', expected one such as PL-2207; or its"):
        keep(path, entries=[entry("PL-2270")], now=NOW, who="TK")
    keep(path, entries=[entry("PL-2270", "fitted", where="aft"), entry("PL-2270")], now=NOW, who="TK")


def test_another_ship_is_said(tmp_path: Path) -> None:
    path = tmp_path / "ropes.db"
    keep(path, [found(use("PL-1"))], now=NOW, who="TK")
    rows = keep(path, [found(use("PL-2"), ship="Other ship")], now=NOW, who="TK")
    assert rows[1] == "  ship Other ship, records before are of Test ship: withdraw it if that is wrong"


def test_a_new_rope_without_its_number_is_said_and_the_old_one_was_there(tmp_path: Path) -> None:
    path = tmp_path / "ropes.db"
    stand_in = "line 3, new 2026-03-02T05:00:00Z"
    rows = keep(path, [found(use("PL-1"), use(stand_in, begin=BEGIN + HOUR))], now=NOW, who="TK")
    how = f"enter {stand_in!r} renamed to=NUMBER"
    assert rows[1] == f"  a new rope without its number: {how}"
    ropes = read_ropes(path, DAY)
    where = {each.history.serial: each.history.where for each in ropes.conditions}
    assert where == {"PL-1": "was line 3", stand_in: "line 3"}
    said = f"{stand_in!r} stands in for its number, which is not entered: {how}"
    assert said in list(list_rows(ropes.conditions, DAY))
    one = ropes.of(stand_in)
    assert one is not None
    assert f"  {said}" in list(rope_rows(one, DAY))
    assert [each["stands_in"] for each in sheet_object(ropes)["ropes"]] == [False, True]
    with Outputs() as outputs:
        sheet_page(outputs, tmp_path / "sheet.html", ropes)
    page = (tmp_path / "sheet.html").read_text(encoding="utf-8")
    assert page.count("stands in for its number, which is not entered") == 2


def test_renamed_ropes_carry_their_history(tmp_path: Path) -> None:
    """A rope that the console knew without a serial number gets its own later; a circle of names ends."""
    path = tmp_path / "ropes.db"
    stand_in = "line 3, new 2026-03-02T04:00:00Z"
    keep(path, [found(use(stand_in, loads=(20.0,) * 361))], now=NOW, who="TK")
    keep(path, entries=[entry(stand_in, "renamed", to="PL-300")], now=NOW, who="TK")
    ropes = read_ropes(path, DAY)
    assert [each.history.serial for each in ropes.conditions] == ["PL-300"]
    assert hours(ropes, "PL-300") == 1.0
    later = found(use("PL-300", begin=BEGIN + 24 * HOUR, loads=(20.0,) * 361))
    keep(path, [later], [entry("PL-300", "renamed", to=stand_in)], now=NOW, who="TK")
    assert (
        sum(hours(read_ropes(path, DAY), each.history.serial) for each in read_ropes(path, DAY).conditions)
        == 2.0
    )
