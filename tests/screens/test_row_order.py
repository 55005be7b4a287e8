"""Rows keep their places among equals."""

from itertools import combinations
from math import nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.screens.row_order import BY_MORE_THAN, Ranked, steady_order

IDS = [str(at) for at in range(1, 9)]


def rows(**bars: float) -> list[Ranked]:
    return [Ranked(name.strip("_"), 0.0, bar) for name, bar in bars.items()]


def test_the_most_severe_first_then_the_highest_bar() -> None:
    of = [Ranked("1", 0.0, 60.0), Ranked("2", 3.0, 101.0), Ranked("3", 1.0, 72.0), Ranked("4", 0.0, 65.0)]
    assert steady_order(of) == ["2", "3", "4", "1"]


def test_a_few_points_change_no_places() -> None:
    assert steady_order(rows(_1=40.0, _2=45.0), ["1", "2"]) == ["1", "2"]
    assert steady_order(rows(_1=40.0, _2=45.1), ["1", "2"]) == ["2", "1"]
    # And back only by as much again.
    assert steady_order(rows(_1=44.0, _2=40.0), ["2", "1"]) == ["2", "1"]
    assert steady_order(rows(_1=45.1, _2=40.0), ["2", "1"]) == ["1", "2"]


def test_another_stage_is_another_place_at_once() -> None:
    of = [Ranked("1", 0.0, 69.9), Ranked("2", 1.0, 70.0)]
    assert steady_order(of, ["1", "2"]) == ["2", "1"]


def test_a_slow_rise_in_small_steps_ends_in_order() -> None:
    """No row stands above another that is more than 5 points worse, however many lie between."""
    of = rows(_1=30.0, _2=34.0, _3=38.0)
    assert steady_order(of, ["1", "2", "3"]) == ["3", "1", "2"]


def test_what_is_not_known_stands_below_what_is() -> None:
    assert steady_order([Ranked("1", 0.0, nan), Ranked("2", 0.0, 1.0)]) == ["2", "1"]
    assert steady_order([Ranked("1", 0.0, nan), Ranked("2", 0.0, nan)], ["2", "1"]) == ["2", "1"]


def test_a_new_row_stands_by_its_bar() -> None:
    assert steady_order(rows(_1=50.0, _2=30.0, _3=40.0), ["1", "2"]) == ["1", "3", "2"]
    assert steady_order(rows(_1=50.0, _2=30.0, _3=30.1), ["1", "2"]) == ["1", "3", "2"], "no margin for it"


def test_one_of_which_nothing_is_known_stands_above_all_that_are_normal() -> None:
    """It lies between normal and caution (`view.severity`), whatever the bars are."""
    of = [Ranked("1", 0.0, 69.0), Ranked("2", 0.5, nan), Ranked("3", 1.0, 70.0)]
    assert steady_order(of, ["1", "2", "3"]) == ["3", "2", "1"]


RANKED = st.builds(
    Ranked, st.sampled_from(IDS), st.sampled_from((0.0, 0.5, 1.0, 3.0)), st.floats(0.0, 120.0) | st.just(nan)
)


@pytest.mark.slow
@given(st.lists(RANKED, unique_by=lambda row: row.id), st.lists(st.sampled_from([*IDS, "gone"]), unique=True))
def test_order_holds_for_any_rows(of: list[Ranked], former: list[str]) -> None:
    order = steady_order(of, former)
    assert sorted(order) == sorted(row.id for row in of)
    by_id = {row.id: row for row in of}
    for above, below in combinations([by_id[row] for row in order], 2):
        assert above.severity >= below.severity
        if above.severity == below.severity and below.bar == below.bar:
            assert above.bar == above.bar
            assert below.bar <= above.bar + BY_MORE_THAN
    assert steady_order(of, order) == order


@given(st.lists(st.floats(40.0, 45.0), min_size=3, max_size=3), st.permutations(["1", "2", "3"]))
def test_within_five_points_nothing_moves(bars: list[float], former: list[str]) -> None:
    of = [Ranked(str(at), 0.0, bar) for at, bar in enumerate(bars, 1)]
    assert steady_order(of, former) == former
