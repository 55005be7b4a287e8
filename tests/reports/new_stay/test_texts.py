"""What is written says what was answered, whatever letters names have, and says it once."""

from pathlib import Path
from typing import Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.reports.new_stay.entry import standing
from alongside.reports.new_stay.texts import files_of, one_text
from alongside.stay.read import read_stay, read_stay_text
from tests.reports.new_stay.filled import filled, written
from tests.reports.new_stay.sheets import COASTER, JETTY, Sheet

FILE: Final = Path("stay.yaml")
PRINTABLE: Final = st.text(st.characters(exclude_categories=["C", "Z"]), min_size=1, max_size=40)
ONE_WORD: Final = PRINTABLE.filter(lambda name: name[0] != "-" and not set(name) & set(";,"))


def with_names(sheet: Sheet, ship: str, fairlead: str) -> Sheet:
    """Return a sheet with another name of the ship, and of its fairlead F2."""
    renamed = {key: tuple(each.replace("F2", fairlead) for each in texts) for key, texts in sheet}
    return tuple((key, (ship,) if key == "ship" else renamed[key]) for key, _ in sheet)


@pytest.mark.slow
@settings(max_examples=30)
@given(ship=PRINTABLE, fairlead=ONE_WORD)
def test_names_of_any_letters_come_back_as_they_are(ship: str, fairlead: str) -> None:
    sheet = with_names(COASTER, ship, fairlead)
    if ship.endswith((".yaml", ".yml")) or fairlead in ("F1", "F3", "A1", "A2", "A3"):
        return
    stay = read_stay_text(one_text(standing(filled(sheet)).sheet), FILE)
    assert stay.ship.name == ship
    assert stay.lines[1].fairlead == fairlead
    assert list(stay.ship.fairleads)[1] == fairlead


def test_what_lines_have_in_common_stands_once(tmp_path: Path) -> None:
    stay = written(JETTY, tmp_path)
    text = (tmp_path / "stay.yaml").read_text()
    assert text.count("tension_kn") == 1
    assert text.count("nylon_tail") == 1
    assert {line.made_fast.tension_kn for line in stay.lines} == {5 * 9.80665}
    assert all(line.tail is not None for line in stay.lines)


def test_names_of_files_are_new_ones_in_the_same_folder() -> None:
    odd = with_names(COASTER, "../../Ærø / x", "F2")
    files = files_of(standing(filled(odd)).sheet, "stay.yaml")
    assert all(Path(name).name == name and name.isascii() for name in files.texts)
    assert list(files.texts)[-1] == files.stay == "stay.yaml"


def test_estimates_of_the_officer_are_guesses_with_source_and_spread(tmp_path: Path) -> None:
    guessed = tuple((key, ("~130/30% ~520 3.0 38",) if key == "windage" else texts) for key, texts in COASTER)
    written(guessed, tmp_path)
    guesses = {each.path: each for each in read_stay(tmp_path / "stay.yaml").guesses}
    front, side = guesses["ship.wind.front_m2"], guesses["ship.wind.side_m2"]
    assert (front.value, round(front.share, 6)) == (130.0, 0.3)
    assert (side.value, round(side.share, 6)) == (520.0, 0.2)
    assert front.source == "estimated by the officer"


def test_hand_tight_is_a_guess_of_a_tenth_of_the_weaker_of_rope_and_tail(tmp_path: Path) -> None:
    by_hand = tuple(
        (key, tuple(each.replace("wire_28 5t", "wire_28 hand") for each in texts)) for key, texts in JETTY
    )
    stay = written(by_hand, tmp_path)
    assert {line.made_fast.tension_kn for line in stay.lines} == {48.0}
    assert {round(line.made_fast.tension_band, 6) for line in stay.lines} == {0.4}
