"""Rows of the booklet: each that was given stands in the file, only what it does not say is estimated."""

from pathlib import Path
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.reports.new_stay.booklet_rows import whole_rows
from alongside.reports.new_stay.entry import answered
from alongside.reports.new_stay.values import Refused, Row, Value, number_of
from alongside.stay.hull_estimates import estimated_rows
from tests.reports.new_stay.filled import written
from tests.reports.new_stay.sheets import JETTY, Sheet
from tests.reports.new_stay.test_matters import begun

NAMES: Final = ("draught", "displacement", "tpc", "mctc", "lcf")
WHOLE: Final = ("3.0 7222 26.3 217 72.6", "5.0 12602 27.5 237 71.6", "7.0 18202 28.5 254 69.8")


def with_booklet(*rows: str) -> Sheet:
    return tuple((key, (*rows, "") if key == "booklet" else texts) for key, texts in JETTY)


@pytest.mark.slow
@pytest.mark.parametrize("short", [0, 1, 2, (0, 1), (0, 2), (1, 2), (0, 1, 2)])
def test_rows_with_and_without_tpc_all_stand(tmp_path: Path, short: int | tuple[int, ...]) -> None:
    without = (short,) if isinstance(short, int) else short
    rows = [" ".join(text.split()[: 2 if at in without else 5]) for at, text in enumerate(WHOLE)]
    stay = written(with_booklet(*rows), tmp_path)
    assert len(stay.ship.hydrostatics) == len(WHOLE)
    for row, text in zip(stay.ship.hydrostatics, WHOLE, strict=True):
        true = dict(zip(NAMES, map(float, text.split()), strict=True))
        assert (row.draught, row.displacement) == (true["draught"], true["displacement"])
        assert row.tpc == pytest.approx(true["tpc"], rel=0.03)
        assert row.mctc == pytest.approx(true["mctc"], rel=0.15)
        assert row.lcf == pytest.approx(true["lcf"], abs=0.02 * stay.ship.lbp + 2.0)
    guessed = {each.path for each in stay.guesses if "hydrostatics" in each.path}
    keys = ("tpc", "mctc", "lcf")
    assert guessed == {f"ship.hydrostatics[{at}].{key}" for at in without for key in keys}


def test_a_draught_given_twice_is_refused() -> None:
    entry = answered(begun(JETTY, "booklet"), "3.0 7222")
    with pytest.raises(Refused, match="stands in a row before"):
        answered(entry, "3 7300")


@given(
    block=st.floats(0.5, 0.9),
    draught=st.floats(2.0, 15.0),
    short=st.lists(st.booleans(), min_size=7, max_size=7),
    taken=st.integers(2, 7),
)
def test_what_is_estimated_is_near_what_was_left_out(
    block: float, draught: float, short: list[bool], taken: int
) -> None:
    """On tables that are consistent: TPC within 3 %, the rise of displacement kept."""
    table = estimated_rows(150.0, 24.0, draught, block, 75.0)[:taken]
    rows: list[Row] = []
    for row, without in zip(table, short, strict=False):
        figures = {name: Value(getattr(row, name), "") for name in NAMES[: 2 if without else 5]}
        rows.append(figures)
    for made, row in zip(whole_rows(rows, 150.0, 24.0), table, strict=True):
        assert number_of(made, "displacement") == row.displacement
        assert number_of(made, "tpc") == pytest.approx(row.tpc, rel=0.03)
        assert number_of(made, "mctc") == pytest.approx(row.mctc, rel=0.03)
        assert number_of(made, "lcf") == 75.0
