"""The least of neighbouring directions: that of the polar, whatever else is asked beside it."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.mechanics.holding import DIRECTIONS, holding_power
from alongside.mechanics.holding_around import NOTHING_SOUGHT, Questions, Sought, least_around
from alongside.mechanics.holding_search import WITHIN_MS
from alongside.mechanics.usage import Criteria
from tests.mechanics.moored import Moored, blown, made_fast, random_stay

MARGIN = Criteria(margin=0.1)


def berth(seed: int) -> Moored:
    rng = np.random.default_rng(seed)
    stay = random_stay(rng, lines=int(rng.integers(6, 13)), fenders=int(rng.integers(2, 6)))
    return made_fast(stay, rng.uniform(0.0, 100.0, len(stay.lines)))


def asked(moored: Moored, tide: np.ndarray, questions: Questions, before: Sought = NOTHING_SOUGHT):
    seen = blown(tide.size, tide=tide)
    return least_around(moored.arrangement, seen, moored.unstretched, MARGIN, questions, before)


@pytest.mark.slow
@settings(max_examples=12)
@given(st.integers(0, 10_000), st.integers(0, 71), st.integers(0, 71))
def test_it_is_the_least_of_the_polar_of_that_instant(seed: int, first: int, wide: int) -> None:
    """At instants between which the tide goes by half a metre, as in an hour of a great range."""
    moored, tide = berth(seed), np.array([0.0, 0.3, 0.7, 1.2])
    questions = Questions(np.arange(4), np.full(4, first), np.full(4, first + wide))
    spots, _ = asked(moored, tide, questions)
    among = np.arange(first, first + wide + 1) % DIRECTIONS
    for row, spot in enumerate(spots):
        power = holding_power(moored.arrangement, blown(tide=tide[row]), moored.unstretched, MARGIN)
        least = float(power.holds_ms[among].min())
        assert spot.holds_ms is not None
        assert spot.from_deg is not None
        assert abs(spot.holds_ms - least) <= WITHIN_MS
        at = round(spot.from_deg / 5.0)
        assert at in among
        assert power.holds_ms[at] - least <= 2.0 * WITHIN_MS


@pytest.mark.slow
@settings(max_examples=8)
@given(st.integers(0, 10_000))
def test_an_answer_is_the_same_to_the_last_digit_asked_alone_or_among_others(seed: int) -> None:
    moored, tide = berth(seed), np.array([0.0, 0.2, 0.4])
    many = Questions(np.array([0, 0, 1, 2, 2]), np.array([3, 40, 3, 3, 40]), np.array([9, 46, 9, 10, 46]))
    spots, sought = asked(moored, tide, many)
    one_by_one, before = [], NOTHING_SOUGHT
    for at in range(5):
        row = many.row[at]
        alone = Questions(np.array([0]), many.first[[at]], many.last[[at]])
        spot, before = asked(moored, tide[[row]], alone, before)
        one_by_one += spot
    assert one_by_one == spots
    np.testing.assert_array_equal(before.holds_ms, sought.holds_ms)


def test_lines_broken_in_a_calm_hold_nothing_whatever_was_sought_before() -> None:
    moored = berth(5)
    question = Questions(np.array([0]), np.array([10]), np.array([16]))
    _, sought = asked(moored, np.array([0.0]), question)
    short = moored.unstretched - 4.0
    spots, _ = least_around(moored.arrangement, blown(tide=9.0), short, MARGIN, question, sought)
    assert spots[0].holds_ms == 0.0
    assert spots[0].gives is not None
