"""When a brake comes into question: what runs out does not come back, so inputs have to settle first."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from alongside.cycle.lengths import Lengths
from alongside.cycle.line_history import line_history, settling_s
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.situation import Situation
from alongside.stay.model import Feed, Source
from tests.mechanics.moored import blown
from tests.mechanics.stays import afloat
from tests.mechanics.test_render import berth

FEED = Feed("wind", "udp:10110", (Source("wind_speed", smooth_s=30.0),))


def gale(seconds: int) -> Situation:
    """A wind in which every load passes its brake, once a second."""
    return replace(blown(seconds, wind=(21.0, 180.0)), time=1000.0 + np.arange(float(seconds)))


def asked_since(good: np.ndarray, cuts: tuple[int, ...] = ()) -> list[float]:
    """Since when brakes are in question at the end, from made-fast lengths."""
    stay = replace(berth(), feeds=(FEED,))
    arrangement = arrangement_of(stay)
    lengths = replace(
        Lengths.before_all(stay),
        unstretched=unstretched_for(arrangement, afloat(), np.full(4, 60.0))[0],
        fast=(True,) * 4,
        tended=(9,) * 4,
    )
    situation = gale(len(good))
    edges = [0, *cuts, len(good)]
    for start, stop in pairwise(edges):
        rows = situation.rows(start, stop)
        history = line_history(stay, arrangement, lengths, rows, (), True, good[start:stop])
        lengths = history.lengths
    return [each.since for each in lengths.brakes.questions]


def test_a_mean_that_has_only_begun_runs_nothing_out() -> None:
    """The first value of a watch stands for a mean of 30 s: a gust must not put rope out for good."""
    assert asked_since(np.ones(30, dtype=bool)) == []
    assert min(asked_since(np.ones(60, dtype=bool))) == 1030.0


def test_inputs_that_were_doubtful_settle_anew() -> None:
    good = np.ones(80, dtype=bool)
    good[20:25] = False
    assert min(asked_since(good)) == 1055.0


@pytest.mark.parametrize("cuts", [(1, 2, 3), (10, 29, 30, 31), tuple(range(1, 80))])
def test_however_the_time_is_cut(cuts: tuple[int, ...]) -> None:
    good = np.ones(80, dtype=bool)
    good[3] = False
    assert asked_since(good, cuts) == asked_since(good)


def test_it_takes_as_long_as_the_longest_mean() -> None:
    slow = replace(FEED, channels=(*FEED.channels, Source("tide", smooth_s=180.0)))
    assert settling_s(replace(berth(), feeds=(FEED, slow))) == 180.0
    assert settling_s(berth()) == 0.0
