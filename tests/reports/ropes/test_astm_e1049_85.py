"""Rainflow counting against the example of ASTM E1049-85 itself (5.4.4, Figure 6), as read in the tests of a
public implementation of it."""

import csv
from pathlib import Path

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from alongside.record.ropes.turning import turning_points, without_ripple
from alongside.reports.ropes.cycles import class_names, cycles, cycles_by_class

HISTORY = np.array([-2.0, 1.0, -3.0, 5.0, -1.0, 3.0, -4.0, 4.0, -2.0])
PUBLISHED = Path(__file__).parents[2] / "published" / "astm_e1049_85_figure_6.csv"


def published() -> list[tuple[float, float]]:
    with PUBLISHED.open(encoding="utf-8") as file:
        return [(float(row["range"]), float(row["cycles"])) for row in csv.DictReader(file)]


def test_the_standards_own_example() -> None:
    assert cycles(HISTORY) == published()


def test_the_example_sampled_unevenly() -> None:
    """Points on the way between turning points, and pauses at them, change no count."""
    on_the_way = np.interp(
        [0, 0.2, 0.9, 1, 1, 1.5, 2, 2, 2.01, 3, 4, 4.3, 4.6, 5, 6, 7, 7.2, 8, 8], np.arange(9), HISTORY
    )
    assert cycles(turning_points(on_the_way)) == published()


def test_what_was_not_known_does_not_turn() -> None:
    gappy = np.insert(HISTORY, [0, 3, 3, 9], np.nan)
    assert cycles(turning_points(gappy)) == published()


@given(st.lists(st.integers(-20, 20), min_size=0, max_size=60))
def test_turning_points_are_all_that_counts(history: list[int]) -> None:
    loads = np.array(history, dtype=np.float64)
    assert cycles(turning_points(loads)) == cycles(loads)


def test_a_load_that_only_rises_is_half_a_cycle() -> None:
    assert cycles([20.0, 50.0]) == [(30.0, 0.5)]
    assert cycles([20.0]) == cycles([]) == []


def test_classes_of_the_example() -> None:
    """Of an MBL of 20: ranges 3 4 6 8 9 are 15, 20, 30, 40 and 45 % (ours)."""
    assert class_names() == ("5-10", "10-20", "20-30", "30-40", "40-50", "50+")
    assert cycles_by_class(HISTORY.tolist(), 20.0) == (0.0, 0.5, 1.5, 0.5, 1.5, 0.0)


@given(st.lists(st.integers(-20, 20), max_size=80), st.integers(1, 12))
def test_ripple_taken_out_changes_no_other_count(history: list[int], least: int) -> None:
    """Every cycle of that range or more counts as before, in the midst of a longer history too."""
    turns = turning_points(np.array(history, dtype=np.float64))
    shorter = without_ripple(turns, float(least))
    for around in ([], [0.0]):
        whole = [*around, *turns.tolist(), *around]
        left = [*around, *shorter.tolist(), *around]
        assert large(cycles(left), least) == large(cycles(whole), least)
    assert shorter.size <= turns.size


def large(counted: list[tuple[float, float]], least: int) -> list[tuple[float, float]]:
    return [each for each in counted if each[0] >= least]


def test_the_example_without_its_smallest_cycles() -> None:
    """Of the standard's example only the closed cycle of range 4 (-1 to 3) can go without another."""
    assert without_ripple(HISTORY, 4.1).tolist() == [-2.0, 1.0, -3.0, 5.0, -4.0, 4.0, -2.0]
    assert without_ripple(HISTORY, 4.0).tolist() == HISTORY.tolist()
