"""Answers as they come naturally are understood, and what is odd of them is asked about."""

from dataclasses import replace
from pathlib import Path

import pytest

from alongside.reports.new_stay.entry import Entry, answered, standing
from alongside.reports.new_stay.questions import BY_KEY
from alongside.reports.new_stay.sheet import KnownStay, Sheet, Shelf
from alongside.reports.new_stay.trials import doubts, matters
from alongside.reports.new_stay.values import Refused, Value, number_of, word_of
from alongside.stay.read import read_stay
from tests.berth import STAY_TEXT, write_stay
from tests.reports.new_stay.filled import NOW
from tests.reports.new_stay.sheets import COASTER, JETTY
from tests.reports.new_stay.test_matters import FILE, begun


def row_of(entry: Entry, text: str, key: str, which: int = -1) -> dict[str, Value | str]:
    return dict(standing(answered(entry, text)).sheet.all(key)[which])


@pytest.mark.parametrize(
    ("typed", "zone"), [("0", "+00:00"), ("1", "+01:00"), ("10", "+10:00"), ("-3", "-03:00")]
)
def test_hours_from_utc_need_no_sign(typed: str, zone: str) -> None:
    assert row_of(Entry(Shelf(), NOW, {}), typed, "zone") == {"zone": zone}


@pytest.mark.parametrize(
    ("typed", "side"), [("p", "port"), ("P", "port"), ("S", "starboard"), ("Star", "starboard")]
)
def test_a_side_is_meant_by_its_first_letters(typed: str, side: str) -> None:
    assert row_of(begun(JETTY, "side"), typed, "side") == {"side": side}


@pytest.mark.parametrize("typed", ["x", "", "ports tarboard", "st", "b"])
def test_what_may_mean_several_or_none_is_refused(typed: str) -> None:
    """A role `s` or `st` may be a spring or a stern line, and no side begins so but one."""
    key = "lines" if typed == "st" else "side"
    text = "1 st F1 MD1" if typed == "st" else typed
    with pytest.raises(Refused):
        answered(begun(JETTY, key), text)


@pytest.mark.parametrize("kind", ["tyres", "tyre", "Tyre"])
def test_a_size_of_a_fender_that_is_a_guess_has_its_source(kind: str) -> None:
    row = row_of(begun(JETTY, "fenders"), f"{kind} ~1.4 -24 31", "fenders")
    assert word_of(row, "kind") == "tyre"
    size = row["size"]
    assert isinstance(size, Value)
    assert size.source != ""


@pytest.mark.parametrize("typed", ["~+24p", "+~24p", "~LP1+24p"])
def test_an_estimate_of_paces_is_one_wherever_its_mark_stands(typed: str) -> None:
    first = answered(begun(JETTY, "bollards"), "LP1 0 3 7.5 100t")
    text = f"LP2 {typed}"
    rows = standing(replace(answered(answered(first, text), ""), at=None)).sheet.all("bollards")
    along = rows[1]["along"]
    assert isinstance(along, Value)
    assert number_of(rows[1], "along") == pytest.approx(24 * 0.75)
    assert along.spread == pytest.approx(0.20)
    assert "spread: 20 %" in along.in_file()


def test_a_file_that_is_known_is_meant_without_its_ending(tmp_path: Path) -> None:
    ship = read_stay(write_stay(tmp_path, STAY_TEXT)).ship
    entry = answered(Entry(Shelf(ships={"ship-x.yaml": ship}), NOW, {}), "+1")
    for typed in ("ship-x", "ship-x.yaml"):
        assert standing(answered(entry, typed)).sheet.known_ship is ship


@pytest.mark.parametrize(("off", "is_odd"), [("9.5S", True), ("9.5P", False), ("2S", False)])
def test_a_fairlead_away_from_the_berth_is_asked_about(off: str, is_odd: bool) -> None:
    before = begun(JETTY, "fairleads")
    said = doubts(before, answered(before, f"F3 127 {off} 3.0 W3 125 1P 3.6 29t"), FILE)
    assert ("fairlead F3 lies to starboard, she is port side to" in said) is is_odd


@pytest.mark.parametrize(("day", "is_odd"), [("12", False), ("13", True)])
def test_lines_that_are_fast_only_later_are_asked_about(day: str, is_odd: bool) -> None:
    before = begun(JETTY, "fast")
    said = doubts(before, answered(before, f"2026-09-{day} 06:30 0.7 8.2 8.7"), FILE)
    assert any("which is to come" in each for each in said) is is_odd


def test_a_tide_that_is_not_the_table_s_is_asked_about_once() -> None:
    entry = begun(JETTY, "tide")
    wrong = ("2026-09-12 06:30 4.9 8.2 8.7",)
    before = Entry(entry.shelf, NOW, {**entry.answers, "fast": wrong})
    said = doubts(before, answered(before, dict(JETTY)["tide"][0]), FILE)
    (about,) = [each for each in said if "where the table has" in each]
    assert ": lines 1, 2, 3, " in about
    assert "4.90 m where the table has 0.7" in about


@pytest.mark.parametrize(("berth", "gear"), [("quay.yaml", "bulk_conveyor"), ("jetty.yaml", "ship_gear")])
def test_the_gear_is_that_of_her_last_stay_there(berth: str, gear: str) -> None:
    known = KnownStay("ship.yaml", "quay.yaml", "ropes.yaml", "port", (), (50.0, 0.0), gear="bulk_conveyor")
    sheet = Sheet(Shelf(stays={"stay.yaml": known}), NOW)
    sheet = sheet.having("ship", [{"name": "ship.yaml"}], 1).having("berth", [{"name": berth}], 1)
    default = BY_KEY["gear"].default(sheet)
    assert default is not None
    assert default.text == gear


def test_what_matters_before_lines_are_entered_is_that_of_a_usual_set() -> None:
    assert "of a usual set: not entered yet)" in matters(begun(JETTY, "bollards"), FILE)
    entry = begun(JETTY, "tide")
    assert "usual set" not in matters(entry, FILE)


def test_fenders_beyond_the_ship_are_asked_about_once_her_place_is_known() -> None:
    before = begun(COASTER, "fenders")
    after = answered(before, "tyre 1.4 36 52 68 84 400")
    assert not [each for each in doubts(before, after, FILE) if "beyond the ship" in each]
    placed = answered(after, "44 Q3+6")
    (about,) = [each for each in doubts(after, placed, FILE) if "beyond the ship" in each]
    assert "x 400.00 m" in about
