"""Heights of bollards below her rail: the quay is level, her rail is not where she trims."""

from pathlib import Path
from typing import Final

import pytest

from alongside.reports.new_stay.entry import standing
from alongside.stay.bollard_places import below_rail, draught_at, station_abreast
from tests.reports.new_stay.filled import written
from tests.reports.new_stay.sheets import COASTER, Sheet
from tests.reports.new_stay.test_matters import begun

TIDE: Final = 4.7
FWD: Final = 2.6
AFT: Final = 3.3
RAIL: Final = 7.3
BELOW: Final = 1.85


def by_rail(*bollards: str) -> Sheet:
    others = {"heights": (f"rail {TIDE} {FWD} {AFT} {RAIL}",), "bollards": (*bollards, "")}
    return tuple((key, others.get(key, texts)) for key, texts in COASTER)


SHEET: Final = by_rail(
    f"Q1 0 3 {BELOW} 30t", "Q2 +42p 5.5", "Q3 +35p 1", "Q4 +10p", f"Q5 +38p 5.5 {BELOW}", "Q6 +45p 3"
)


def test_a_height_that_is_not_typed_is_that_of_the_quay_at_the_bollard_before(tmp_path: Path) -> None:
    stay = written(SHEET, tmp_path)
    z = {name: each.at.z for name, each in stay.berth.bollards.items()}
    assert z["Q1"] == z["Q2"] == z["Q3"] == z["Q4"]
    assert z["Q5"] == z["Q6"]
    for name in ("Q1", "Q5"):
        station = station_abreast(stay.berth.bollards[name].at.x, stay.place, stay.alongside)
        station = min(max(station, 0.0), stay.ship.lbp)
        expected = below_rail(BELOW, RAIL, draught_at(station, stay.ship.marks, FWD, AFT), TIDE)
        assert z[name] == pytest.approx(expected, abs=0.006)
    assert abs(z["Q1"] - z["Q5"]) > 0.3


@pytest.mark.parametrize(
    ("sheet", "words"),
    [(SHEET, "m below her rail abreast of it, with a minus above it"), (COASTER, "over the water")],
)
def test_the_question_says_what_a_height_is(sheet: Sheet, words: str) -> None:
    assert words in standing(begun(sheet, "bollards")).question.asks
