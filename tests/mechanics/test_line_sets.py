"""Many sets of lines at once hold what each holds alone, and are made fast as each alone."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from alongside.forecast.basis import Basis
from alongside.forecast.present import Present
from alongside.mechanics.exposure import loads_of
from alongside.mechanics.holding import holding_power
from alongside.mechanics.line_sets import LineSets
from alongside.mechanics.one_line_fast import length_made_fast
from alongside.mechanics.settled_lengths import sets_settled
from alongside.mechanics.usage import LIMITS
from alongside.readings import Floats
from alongside.runtime.log_moment import present_of
from alongside.stay.read import read_stay

CONFIGS = Path(__file__).parents[2] / "configs"
BERTHS = ["river_quay", "product_jetty"]


@cache
def berth(name: str) -> tuple[Basis, Present]:
    basis = Basis.of(read_stay(CONFIGS / f"{name}.yaml"))
    return basis, present_of(basis, None, None)


def some_sets(present: Present, other_lengths: bool) -> Floats:
    """All lines, all without the second, all without the last two; the third line longer in one of them."""
    sets = np.tile(present.unstretched, (3, 1))
    sets[1, 1] = np.nan
    sets[2, -2:] = np.nan
    if other_lengths:
        sets[2, 2] += 0.05
    return sets


@pytest.mark.slow
@pytest.mark.parametrize("name", BERTHS)
@pytest.mark.parametrize("other_lengths", [False, True])
def test_each_set_holds_what_its_polar_has(name: str, other_lengths: bool) -> None:
    basis, present = berth(name)
    lengths = some_sets(present, other_lengths)
    sets = LineSets(basis.arrangement, present.situation(), lengths, basis.criteria)
    every = np.arange(0.0, 360.0, 5.0)
    held, limit, where = sets.holds(np.array([2, 0, 1]), every)
    for row, own in enumerate((2, 0, 1)):
        power = holding_power(basis.arrangement, present.situation(), lengths[own], basis.criteria)
        assert held[row] == pytest.approx(power.holds_ms, abs=0.02)  # m/s, twice what the search leaves
        at = int(power.holds_ms.argmin())
        assert LIMITS[limit[row, at]] == power.gives_first[at]
        if power.gives_first[at] in ("wll", "brake"):
            assert basis.arrangement.ids[where[row, at]] == power.where[at]


@pytest.mark.parametrize("name", BERTHS)
def test_sets_are_made_fast_as_each_alone(name: str) -> None:
    basis, present = berth(name)
    count = present.unstretched.size
    others = np.tile(present.unstretched, (count, 1))
    load = np.full((count, count), np.nan)
    np.fill_diagonal(others, np.nan)
    np.fill_diagonal(load, 40.0)
    here = present.situation()
    loads, _ = loads_of(basis.arrangement.exposure, here)
    made = sets_settled(basis.arrangement, here, others, load, loads, held_along=False)
    assert made.settles.all()
    for column in range(count):
        alone = length_made_fast(basis.arrangement, here, present.unstretched, column, 40.0)
        assert made.unstretched[column, column] == pytest.approx(alone, abs=1e-7)  # m
        assert np.isnan(np.delete(made.unstretched[column], column)).all()


def test_a_load_that_no_length_carries_is_no_length() -> None:
    basis, present = berth("river_quay")
    load = np.full((2, present.unstretched.size), np.nan)
    load[0, 0], load[1, 1] = 40.0, -5.0
    others = np.tile(present.unstretched, (2, 1))
    others[0, 0] = others[1, 1] = np.nan
    here = present.situation()
    loads, _ = loads_of(basis.arrangement.exposure, here)
    made = sets_settled(basis.arrangement, here, others, load, loads, held_along=False)
    assert made.settles.tolist() == [True, False]
    assert np.isnan(made.unstretched[1]).all()


def test_usage_of_each_set_is_that_of_the_set_alone() -> None:
    basis, present = berth("river_quay")
    lengths = some_sets(present, other_lengths=False)
    here = present.in_wind(18.0, 110.0).situation()
    together = LineSets(basis.arrangement, here, lengths, basis.criteria).usage()
    for row in range(3):
        alone = LineSets(basis.arrangement, here, lengths[row : row + 1], basis.criteria).usage()
        assert together.share[row] == pytest.approx(alone.share[0], rel=1e-6)
