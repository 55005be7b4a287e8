"""The search for the first limit: each wind for itself, within its width, against a plain search."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.mechanics.holding import directions, holding_power, weakest_from
from alongside.mechanics.holding_search import CAP_MS, WITHIN_MS, Winds, first_limits
from alongside.mechanics.tension import tensions_of
from alongside.mechanics.usage import Criteria
from tests.mechanics.moored import Moored, blown, made_fast, random_stay


def berth(seed: int) -> Moored:
    rng = np.random.default_rng(seed)
    stay = random_stay(rng, lines=int(rng.integers(6, 13)), fenders=int(rng.integers(2, 6)))
    return made_fast(stay, rng.uniform(0.0, 100.0, len(stay.lines)))


def winds(moored: Moored, come_from: np.ndarray, tide: np.ndarray) -> Winds:
    tensions = tensions_of(moored.arrangement, moored.unstretched)
    return Winds(
        moored.arrangement, blown(come_from.size, tide=tide), tensions, Criteria(margin=0.1), come_from
    )


@pytest.mark.slow
@settings(max_examples=15)
@given(st.integers(0, 10_000))
def test_what_is_below_holds_and_what_is_above_does_not(seed: int) -> None:
    asked = winds(berth(seed), np.linspace(0.0, 350.0, 36), np.linspace(-1.0, 3.0, 36))
    bracket = first_limits(asked)
    rows = np.arange(36)
    assert (bracket.high - bracket.low <= WITHIN_MS).all()
    held = asked.usage(rows, bracket.low[:, None], bracket.place)
    gone = asked.usage(rows, bracket.high[:, None], bracket.place)
    calm, capped = bracket.high == 0.0, bracket.low == CAP_MS
    assert (held.share <= 1.0 + 1e-9)[~calm].all()
    assert (gone.share > 1.0 - 1e-9)[~capped].all()
    assert (gone.limit == bracket.limit)[~capped].all()


@settings(max_examples=10)
@given(st.integers(0, 10_000))
def test_a_plain_search_up_the_steps_finds_the_same(seed: int) -> None:
    """Every 4 m/s, and then every 0.05 m/s of the step in which the limit goes."""
    moored = berth(seed)
    asked = winds(moored, np.array([10.0, 130.0, 250.0]), np.array([0.0, 1.0, 2.0]))
    bracket = first_limits(asked)
    steps = np.arange(0.0, CAP_MS + 1.0, 4.0)
    for row, low in enumerate(bracket.low):
        share = asked.usage(np.array([row]), steps[None], None).share
        gone = np.flatnonzero(share > 1.0)
        if not gone.size or not gone[0]:
            assert low == (0.0 if gone.size else CAP_MS)
            continue
        fine = np.arange(steps[gone[0] - 1], steps[gone[0]] + 0.01, 0.05)
        share = asked.usage(np.array([row]), fine[None], None).share
        crossings = fine[np.flatnonzero((share[:-1] <= 1.0) & (share[1:] > 1.0))]
        assert np.abs(low - crossings).min() <= 0.06


def test_each_wind_is_sought_for_itself() -> None:
    """One of many to the last digit as alone, so that how a stay is cut into blocks makes no difference."""
    moored = berth(3)
    tide, come_from = np.linspace(0.0, 2.0, 24), np.linspace(0.0, 345.0, 24)
    many, spots = weakest_from(moored.arrangement, blown(24, tide=tide), moored.unstretched, come_from)
    for row in (0, 7, 23):
        alone, spot = weakest_from(
            moored.arrangement, blown(tide=tide[row]), moored.unstretched, come_from[row : row + 1]
        )
        assert alone[0] == many[row]
        assert spot[0] == spots[row]


def test_the_polar_is_the_same_search() -> None:
    moored = berth(5)
    power = holding_power(moored.arrangement, blown(tide=1.0), moored.unstretched)
    alone, _ = weakest_from(
        moored.arrangement, blown(72, tide=np.full(72, 1.0)), moored.unstretched, directions()
    )
    np.testing.assert_array_equal(power.holds_ms, alone)


@pytest.mark.parametrize("margin", [0.0, 0.3])
def test_lines_that_are_broken_in_a_calm_hold_no_wind(margin: float) -> None:
    moored = berth(5)
    asked = Winds(
        moored.arrangement,
        blown(2, tide=np.array([9.0, 9.0])),
        tensions_of(moored.arrangement, moored.unstretched - 4.0),
        Criteria(margin=margin),
        np.array([0.0, 180.0]),
    )
    bracket = first_limits(asked)
    assert bracket.low.tolist() == bracket.high.tolist() == [0.0, 0.0]
    assert (bracket.limit >= 0).all()
