"""The polar of holding power: where directions lie, what its letters mean, and what is never drawn."""

import math
import subprocess
import sys
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.mechanics.holding import HoldingPower
from alongside.mechanics.holding_search import CAP_MS
from alongside.mechanics.holding_sectors import held_from, kinds_of, sectors_of
from alongside.mechanics.usage import Gives
from alongside.reports.holding_polar import GUST, MEAN, Wind, dial_of, draw_polar
from alongside.reports.polar_legend import legend, polar_text
from alongside.units import KNOT
from tests.screens.invented import NOW, holding, invented_stay

STAY = invented_stay()
"""Starboard side to, berth +x towards 068."""
CALM = Wind(math.nan, math.nan, math.nan)


def giving(gives: list[tuple[Gives | None, str | None]], holds: list[float]) -> HoldingPower:
    count = len(gives)
    directions = np.arange(count) * 360.0 / count
    what, where = zip(*gives, strict=True)
    return HoldingPower(NOW, directions, np.array(holds), what, where, np.zeros(count), np.full(count, 60.0))


def test_directions_lie_as_in_the_view_from_above() -> None:
    """Ours: the wind along berth +x comes from the right, 90 deg on from the quay."""
    dial = dial_of(holding(), STAY, CALM, 40, 20)
    right = dial.at(68.0, dial.rim_ms)
    foot = dial.at(158.0, dial.rim_ms)
    assert right == pytest.approx((dial.x + dial.radius, dial.y))
    assert foot == pytest.approx((dial.x, dial.y + dial.radius))


def test_sectors_go_round_past_north_and_letters_by_weakness() -> None:
    wll, off = ("wll", "4"), ("off_fenders", None)
    power = giving([wll, off, off, (None, None), wll, wll], [30.0, 20.0, 19.0, CAP_MS, 35.0, 31.0])  # type: ignore[list-item]
    assert [(kind.letter, kind.gives, kind.least_ms) for kind in kinds_of(power)] == [
        ("A", "off_fenders", 19.0),
        ("B", "wll", 30.0),
    ]
    assert [(each.kind.letter, each.first, each.last) for each in sectors_of(power)] == [
        ("A", 1, 2),
        ("B", 4, 6),
    ]


def test_one_thing_all_round_is_one_sector() -> None:
    (sector,) = sectors_of(giving([("wll", "4")] * 8, [20.0] * 8))
    assert (sector.first, sector.last) == (0, 7)


@given(st.lists(st.sampled_from([None, "1", "2"]), min_size=2, max_size=72))
def test_every_direction_that_gives_is_in_exactly_one_sector(where: list[str | None]) -> None:
    power = giving(
        [("wll", name) if name else (None, None) for name in where],
        [20.0 if name else CAP_MS for name in where],
    )
    covered = [i % len(where) for each in sectors_of(power) for i in range(each.first, each.last + 1)]
    assert sorted(covered) == [i for i, name in enumerate(where) if name]


def test_between_directions_what_is_held_goes_straight() -> None:
    power = giving([("wll", "4")] * 4, [20.0, 30.0, 20.0, 10.0])
    assert held_from(power, 45.0) == pytest.approx(25.0)  # ours
    assert held_from(power, -45.0) == pytest.approx(15.0)  # ours: across north
    assert held_from(power, 360.0) == pytest.approx(20.0)


def test_nothing_is_drawn_beyond_the_rim_and_no_letter_where_nothing_gives() -> None:
    power = giving([("wll", "4")] + [(None, None)] * 71, [15.0] + [CAP_MS] * 71)
    dial = dial_of(power, STAY, CALM, 44, 20)
    assert dial.rim_ms / KNOT == pytest.approx(70.0)  # ours: 2.2 x 29.2 kn, rounded up to tens
    letters = {letter for letter, _ink in draw_polar(power, STAY, CALM, 44, 20).letters.values()}
    assert "A" in letters
    assert "B" not in letters
    assert any("holds more than 116 kn" in entry.text for entry in legend(power, STAY, CALM))


def test_the_wind_stands_inside_the_contour_while_it_is_held() -> None:
    """Ours: a letter's distance from the middle is its wind."""
    power = giving([("wll", "4")] * 72, [20.0] * 72)
    wind = Wind(10.0, 14.0, 158.0)
    raster = draw_polar(power, STAY, wind, 44, 20)
    dial = dial_of(power, STAY, wind, 44, 20)
    at = {letter: (column, row) for (row, column), (letter, _ink) in raster.letters.items()}
    assert at[MEAN] == dial.cell(158.0, 10.0)
    assert at[GUST] == dial.cell(158.0, 14.0)
    assert at[MEAN][1] < at[GUST][1]
    # ours: 20 m/s = 38.9 kn
    assert "50 % of the 38 kn that lines hold from there (A)" in legend(power, STAY, wind)[0].text


def test_where_the_reach_alone_is_lost_lines_are_not_said_to_hold() -> None:
    """Ours: nothing gives; she is only off her place. 20 m/s = 38.9 kn."""
    power = replace(giving([("drift", None)] * 72, [20.0] * 72), drift_m=np.full(72, 1.04))
    wind, weakest = legend(power, STAY, Wind(10.0, math.nan, 158.0))[:2]
    assert wind.text.endswith(": 50 % of the limit; ship 1.0 m off place from 38 kn (A)")
    assert weakest.text == "ship 1.0 m off place from 38 kn, wind 000°"


def test_the_wind_is_compared_with_what_was_worked_out_for_it() -> None:
    """Where the cycle has worked out what is held from this very direction, and not between two of 72."""
    power = giving([("wll", "4")] * 72, [20.0] * 72)
    assert (
        "80 % of the 24 kn that lines hold"
        in legend(power, STAY, Wind(10.0, 14.0, 158.0, holds_ms=12.5))[0].text
    )


def test_without_an_answer_there_is_neither_contour_nor_letter() -> None:
    nan = np.full(72, np.nan)
    power = replace(
        holding(), holds_ms=nan, gives_first=(None,) * 72, where=(None,) * 72, drift_m=nan, reason="no tide"
    )
    rows = polar_text(power, STAY, 5.0, 200.0, 100, 20)
    assert not any(letter in row[:44] for row in rows for letter in "ABC")
    assert "NaN" not in "\n".join(rows)


def test_names_from_outside_cannot_steer_the_terminal() -> None:
    rows = polar_text(giving([("wll", "4\x1b[2J")] * 72, [20.0] * 72), STAY, 5.0, 200.0, 100, 20)
    assert "\x1b" not in "\n".join(rows)


@pytest.mark.parametrize("columns", [40, 80, 120])
def test_rows_fit_the_terminal(columns: int) -> None:
    rows = polar_text(holding(), STAY, 7.0, 210.0, columns, 20)
    assert all(len(row) <= columns for row in rows[:20])
    assert any("wind now 14 kn from 210°" in row for row in rows) or columns == 80


def test_printing_it_loads_no_screen() -> None:
    code = "import alongside.reports.holding_polar, sys; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    modules = set(done.stdout.split())
    assert "alongside.reports.holding_polar" in modules
    assert not {name for name in modules if name.split(".")[0] in ("textual", "rich")}
