"""Places on board: measured as she is, on her, and an estimate kept as one."""

from pathlib import Path
from typing import Final

import pytest

from alongside.reports.new_stay.entry import Entry, answered, standing
from alongside.reports.new_stay.shelf_files import shelf_of
from alongside.reports.new_stay.trials import doubts, open_remarks
from alongside.reports.new_stay.values import Refused
from alongside.reports.new_stay.written import files_to_write, write_files
from alongside.stay.read import read_stay
from tests.reports.new_stay.filled import NOW, filled, written
from tests.reports.new_stay.sheets import COASTER, JETTY, Sheet
from tests.reports.new_stay.test_matters import begun

FILE: Final = Path("stay.yaml")
STEM_PLACE: Final = "~44/5 Q3+6"
"""Of the coaster, 44 m aft of the stem, 5 % more or less."""


def with_answers(sheet: Sheet, **others: str) -> Sheet:
    return tuple((key, (others[key],) if key in others else texts) for key, texts in sheet)


@pytest.mark.parametrize(
    ("sheet", "place", "path"), [(COASTER, STEM_PLACE, "from_stem"), (JETTY, "~69/5 LP1+9", "ship_x")]
)
def test_an_estimated_place_is_written_as_a_guess(
    tmp_path: Path, sheet: Sheet, place: str, path: str
) -> None:
    (tmp_path / "sure").mkdir()
    sure = written(sheet, tmp_path / "sure")
    stay = written(with_answers(sheet, place=place), tmp_path)
    guess = next(each for each in stay.guesses if each.path == f"place.{path}")
    assert guess.share == pytest.approx(0.05)
    assert stay.place == sure.place


def test_an_overhang_that_is_not_known_does_not_move_her_along_her_lines(tmp_path: Path) -> None:
    """Fairleads and place by tape from the stem: what the overhang is off by is off in both."""
    written(with_answers(COASTER, measure="stem deck"), tmp_path)
    assert any(each.path == "ship.overhang_aft" for each in read_stay(tmp_path / "stay.yaml").guesses)
    ends = [read_stay(tmp_path / "stay.yaml", {"ship.overhang_aft": way}) for way in (-1.0, 1.0)]
    along = [[point.x - each.place.ship_x for point in each.ship.fairleads.values()] for each in ends]
    assert along[0] == pytest.approx(along[1])
    assert ends[0].place.ship_x != ends[1].place.ship_x


def test_a_second_stay_asks_for_the_place_as_she_is_measured(tmp_path: Path) -> None:
    first = written(with_answers(COASTER, place=STEM_PLACE), tmp_path)
    entry = Entry(shelf_of(tmp_path), NOW + 8 * 86400.0, {})
    for text in ("+1", "ship-brannoc-wey.yaml", "starboard", "berth-fenwater-grain-quay.yaml"):
        entry = answered(entry, text)
    here = standing(entry)
    assert here.at is not None
    assert here.at.key == "place"
    assert "m aft of the stem" in here.question.asks
    assert here.default is not None
    assert here.default.text.startswith("~44/5% ")
    for text in ("44 Q3+6", "ropes-brannoc-wey.yaml", "2026-06-24 07:10 4.7 2.6 3.3", "", "2t"):
        entry = answered(entry, text)
    for text in ("none", "", "bulk_conveyor", ""):
        entry = answered(entry, text)
    assert standing(entry).at is None, standing(entry)
    write_files(files_to_write(entry, tmp_path / "second.yaml"), tmp_path)
    assert read_stay(tmp_path / "second.yaml").place == first.place


def test_examples_are_in_the_measure_that_was_answered() -> None:
    for sheet, along in ((COASTER, "m aft of the stem"), (JETTY, "aft perpendicular")):
        here = standing(begun(sheet, "fairleads"))
        assert along in here.question.asks
        assert "main deck" in here.question.asks
        answered(begun(sheet, "fairleads"), here.question.example)
    assert "AFT PERPENDICULAR" in standing(begun(COASTER, "cargo")).question.where


@pytest.mark.parametrize(
    ("sheet", "key", "text"),
    [
        (COASTER, "place", "540 Q3"),
        (COASTER, "place", "-5 Q3"),
        (JETTY, "place", "160 LP1"),
        (COASTER, "cargo", "09:00 720 180 520"),
        (COASTER, "windage", "130 520 3.0 580"),
        (COASTER, "marks", "810 2"),
        (JETTY, "on_deck", "-40 24 14.5"),
    ],
)
def test_a_point_that_is_not_on_her_is_refused(sheet: Sheet, key: str, text: str) -> None:
    with pytest.raises(Refused, match="is not on board, expected"):
        answered(begun(sheet, key), text)


@pytest.mark.parametrize("place", ["0 Q3", "88 Q3"])
def test_both_her_ends_are_on_board(place: str) -> None:
    answered(begun(COASTER, "place"), place)


def test_a_draught_to_the_deck_is_asked_about() -> None:
    before = begun(COASTER, "windage")
    assert any("freeboard" in each for each in doubts(before, answered(before, "130 520 6.2 38"), FILE))


def test_what_was_asked_about_still_stands_at_the_end() -> None:
    odd = standing(filled(with_answers(COASTER, windage="130 520 6.2 38"))).sheet
    assert [each for each in open_remarks(odd, FILE) if "freeboard" in each]
    assert open_remarks(standing(filled(COASTER)).sheet, FILE) == ()
