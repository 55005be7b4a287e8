"""Marks and names on a chart do not lie over one another, whatever there is of them."""

import itertools

from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.training.exercise.page.happened import Happened
from alongside.training.exercise.page.marks import in_lanes, spread, together

TIMES = st.lists(st.tuples(st.floats(0.0, 1e4), st.floats(0.0, 1e4)), max_size=40)


@settings(deadline=None)
@given(TIMES, st.floats(1.0, 900.0))
def test_marks_do_not_touch_and_none_is_lost(spells: list[tuple[float, float]], apart: float) -> None:
    things = [Happened(f"{at}", begin, begin + lasts, "") for at, (begin, lasts) in enumerate(spells)]
    marks = together(things, apart)
    starts = [each.begin for each in marks]
    assert all(b - a >= apart for a, b in itertools.pairwise(starts))
    assert {each.begin for each in things} >= set(starts)
    placed = in_lanes(marks, 1.5 * apart)
    for lane in {each.lane for each in placed}:
        row = [each for each in placed if each.lane == lane]
        assert all(a.end <= b.begin and b.begin - a.begin >= 1.5 * apart for a, b in itertools.pairwise(row))


def test_marks_that_stand_as_one_name_first_and_last() -> None:
    def marked(*begins: float) -> list[str]:
        things = [Happened("abcd"[at], begin, begin, "") for at, begin in enumerate(begins)]
        return [each.text for each in together(things, 60.0)]

    assert marked(0.0, 100.0) == ["a", "b"]
    assert marked(0.0, 30.0, 100.0) == ["a,b", "c"]
    assert marked(0.0, 10.0, 20.0, 100.0) == ["a–c", "d"]


@settings(deadline=None)
@given(st.lists(st.floats(-0.5, 1.5), min_size=1, max_size=4))
def test_names_of_curves_lie_apart_within_the_chart(heights: list[float]) -> None:
    moved = spread(heights, 0.2, 0.05, 0.95)
    rising = sorted(moved)
    assert all(b - a >= 0.2 - 1e-9 for a, b in itertools.pairwise(rising))
    assert rising[0] - 0.05 >= -1e-9
    assert rising[-1] <= 0.95 + 1e-9
    order = sorted(range(len(heights)), key=lambda at: heights[at])
    assert [moved[at] for at in order] == rising, "the order of the curves is kept"


def test_names_that_lie_apart_already_stay() -> None:
    assert spread([0.8, 0.2, 0.5], 0.2, 0.05, 0.95) == [0.8, 0.2, 0.5]
