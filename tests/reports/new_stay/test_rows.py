"""Rows: taken out, several typed in one answer, and one typed anew in place of a doubted one."""

from pathlib import Path
from typing import Final

import pytest

from alongside.reports.new_stay.doubted import given_by
from alongside.reports.new_stay.entry import At, Entry, answered, back, standing
from alongside.reports.new_stay.kept import answers_file, keep, kept
from alongside.reports.new_stay.questions import BY_KEY
from alongside.reports.new_stay.sheet import Shelf
from alongside.reports.new_stay.taken import taken
from alongside.reports.new_stay.trials import doubts
from tests.reports.new_stay.filled import NOW, filled
from tests.reports.new_stay.sheets import COASTER, JETTY, Sheet

ROWS: Final = sorted({key for key, _ in JETTY if BY_KEY[key].rows})


def at_first(sheet: Sheet, key: str) -> Entry:
    entry = filled(sheet)
    while standing(entry).at != At(key, 0):
        entry = back(entry)
    return entry


@pytest.mark.slow
@pytest.mark.parametrize("key", ROWS)
def test_a_dash_takes_a_row_out_of_every_question_with_rows(tmp_path: Path, key: str) -> None:
    entry = at_first(JETTY, key)
    less = taken(entry, "-", tmp_path / "stay.yaml")
    assert less.answers[key] == entry.answers[key][1:]


def test_rows_of_one_answer_are_each_one_to_go_back_to() -> None:
    entry = filled(COASTER)
    assert entry.answers["cargo"] == ("09:00 720 180 36", "14:00 720 180 54", "19:00 720 180 46", "")
    while standing(entry).typed != "14:00 720 180 54":
        entry = back(entry)
    entry = answered(entry, "14:30 700 180 54")
    assert entry.answers["cargo"] == ("09:00 720 180 36", "14:30 700 180 54", "19:00 720 180 46", "")
    here = standing(entry)
    assert here.at == At("cargo", 2)
    two = answered(back(entry), "14:30 350 180 54; 17:00 350 180 54")
    assert two.answers["cargo"][1:3] == ("14:30 350 180 54", "17:00 350 180 54")
    assert standing(two).typed == "19:00 720 180 46"


def test_rows_of_one_answer_kept_by_an_earlier_program_are_parted(tmp_path: Path) -> None:
    stay = tmp_path / "stay.yaml"
    keep(filled(COASTER), stay)
    path = answers_file(stay)
    parted = '"09:00 720 180 36",\n   "14:00 720 180 54",\n   "19:00 720 180 46"'
    text = path.read_text()
    assert parted in text
    path.write_text(text.replace(parted, '"09:00 720 180 36; 14:00 720 180 54; 19:00 720 180 46"'))
    assert kept(stay, Shelf(), NOW) == filled(COASTER)


@pytest.mark.parametrize(
    ("sheet", "key", "odd", "right"),
    [
        (COASTER, "cargo", "09:00 72000 180 36", "09:00 720 180 36"),
        (COASTER, "fairleads", "F1 2.5 2S 12.3 W1 8 1S 2.7 13.3t", "F1 2.5 2S 2.3 W1 8 1S 2.7 13.3t"),
    ],
)
def test_a_doubted_row_typed_anew_is_one_row(
    tmp_path: Path, sheet: Sheet, key: str, odd: str, right: str
) -> None:
    stay = tmp_path / "stay.yaml"
    before = at_first(sheet, key)
    before = Entry(before.shelf, NOW, {each: t for each, t in before.answers.items() if each != key})
    after = taken(before, odd, stay)
    assert doubts(before, after, stay)
    doubted = given_by(before, after)
    assert doubted == (At(key, 0),)
    anew = taken(after, right, stay, doubted)
    assert anew.answers[key] == (right,)
    assert standing(anew).at == At(key, 1)


def test_another_row_after_a_doubted_one_is_a_further_row(tmp_path: Path) -> None:
    entry = filled(COASTER, before=None)
    entry = Entry(entry.shelf, NOW, {**entry.answers, "cargo": ("09:00 72000 180 36",)})
    more = taken(entry, "14:00 720 180 54", tmp_path / "stay.yaml", (At("cargo", 0),))
    assert more.answers["cargo"] == ("09:00 72000 180 36", "14:00 720 180 54")
