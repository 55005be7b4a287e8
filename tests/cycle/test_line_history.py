"""When a brake comes into question: at the first instant at which its line's load passes its holding,
whatever else is not known. Nothing changes before the answer, so that nothing has to settle first."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from alongside.cycle.lengths import Lengths
from alongside.cycle.line_history import LineHistory, line_history
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.situation import Situation
from tests.mechanics.moored import blown
from tests.mechanics.stays import afloat
from tests.mechanics.test_render import berth


def gale(seconds: int) -> Situation:
    """A wind in which every load passes its brake, once a second."""
    return replace(blown(seconds, wind=(21.0, 180.0)), time=1000.0 + np.arange(float(seconds)))


def lived_through(
    situation: Situation, cuts: tuple[int, ...] = (), good_since: float = np.nan
) -> LineHistory:
    """Return the end of some instants, from lengths made fast."""
    stay = berth()
    arrangement = arrangement_of(stay)
    unstretched = unstretched_for(arrangement, afloat(), np.full(4, 60.0))[0]
    lengths = replace(
        Lengths.before_all(stay),
        unstretched=unstretched,
        fast=(True,) * 4,
        tended=(9,) * 4,
        good_since=good_since,
    )
    for start, stop in pairwise([0, *cuts, len(situation)]):
        history = line_history(stay, arrangement, lengths, situation.rows(start, stop), (), True)
        lengths = history.lengths
    np.testing.assert_array_equal(lengths.unstretched, unstretched)  # no metres are lost
    return history


def asked_since(history: LineHistory) -> set[float]:
    return {each.since for each in history.lengths.brakes.questions}


def test_a_gust_as_the_first_value_of_a_watch_asks() -> None:
    assert asked_since(lived_through(gale(1))) == {1000.0}


@pytest.mark.parametrize("cuts", [(), (1, 2, 3), (10, 29)])
def test_a_gust_after_a_pause_asks(cuts: tuple[int, ...]) -> None:
    calm, gust = gale(30), gale(30)
    calm = replace(calm, wind_speed=np.zeros(30))
    first = lived_through(calm)
    assert asked_since(first) == set()
    seen = replace(gust, time=np.where(np.arange(30) < 15, gust.time, gust.time + 4000.0))
    seen = replace(seen, wind_speed=np.where(np.arange(30) < 15, 0.0, 21.0))
    assert asked_since(lived_through(seen, cuts)) == {5015.0}


@pytest.mark.parametrize("lost", ["wind_from", "wind_gust", "current_speed", "current_to"])
def test_whatever_is_not_known_besides(lost: str) -> None:
    """A gauge that was never heard: the load without it passes the holding by the tide alone."""
    high = replace(gale(20), tide=np.full(20, 5.5), wind_speed=np.zeros(20))
    unheard = replace(high, **{lost: np.full(20, np.nan)})
    assert asked_since(lived_through(unheard)) == asked_since(lived_through(high)) == {1000.0}


def test_where_nothing_is_known_nothing_is_asked_and_what_was_asked_stays() -> None:
    seen = gale(3)
    tide = np.array([seen.tide[0], np.nan, np.nan])
    history = lived_through(replace(seen, tide=tide))
    assert asked_since(history) == {1000.0}
    assert history.slipped is not None
    assert history.slipped.over.or_more is not None
    assert history.slipped.over.or_more.all(axis=1).tolist() == [False, True, True]
    assert asked_since(lived_through(replace(seen, tide=np.full(3, np.nan)))) == set()


def test_records_of_old_go_on() -> None:
    """They hold since when inputs had been good: nothing rests on it."""
    assert asked_since(lived_through(gale(1), good_since=999.0)) == {1000.0}
