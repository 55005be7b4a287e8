"""What follows when the first thing gives: against plain statics, and against the set without it."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.mechanics.holding import holding_power, weakest_from
from alongside.mechanics.holding_search import CAP_MS
from alongside.mechanics.usage import Criteria
from alongside.mechanics.what_goes_next import what_goes_next
from alongside.stay.model import WindAreas
from tests.mechanics.moored import blown, made_fast
from tests.mechanics.stays import Lead, stay_with, straight
from tests.mechanics.test_holding import AREA, FAR, LOOSE, OFF, random_set, speed_for


def three(brakes: tuple[float | None, ...], swl_kn: float | None = None):
    """Three level lines square off the quay, 100 kN/m and a working limit of 200 kN each."""
    rope = straight("spring", 400.0, 100.0 * FAR)
    leads = [
        Lead(
            (60.0 + x, 0.0, 6.0),
            (100.0 + x, 10.0 - FAR, 0.0),
            rope,
            winch=(60.0 + x, 0.0, 6.0) if brake else None,
            brake_kn=brake,
            swl_kn=swl_kn,
        )
        for x, brake in zip((50.0, 0.0, -50.0), brakes, strict=True)
    ]
    stay = stay_with(leads)
    wind = WindAreas(1.0, AREA, 6.0, side_centroid_x=60.0, coefficients="rule")
    moored = made_fast(replace(stay, ship=replace(stay.ship, wind=wind)), 0.0)
    return moored, holding_power(moored.arrangement, blown(), moored.unstretched, LOOSE)


def chain_off(moored, power):
    return what_goes_next(moored.arrangement, blown(), moored.unstretched, power, [OFF], LOOSE)[0]


@pytest.mark.slow
def test_a_brake_that_slips_keeps_its_load() -> None:
    """The middle brake holds 80 kN and slips at 240 in all; the others then go on to 200 each: 480 in all.
    One line alone keeps her against nothing that turns her: she is gone with the next."""
    moored, power = three((None, 80.0, None))
    assert (power.gives_first[OFF], power.where[OFF]) == ("brake", "2")
    assert float(power.holds_ms[OFF]) == pytest.approx(speed_for(240.0), abs=0.02)
    first = chain_off(moored, power)[0]
    assert first.gives == "wll"
    assert first.holds_ms == pytest.approx(speed_for(480.0), abs=0.02)
    assert replace(power, then={OFF: (first,)}).holds_after(OFF) == first.holds_ms


@pytest.mark.slow
def test_a_line_beyond_its_limit_is_taken_as_gone() -> None:
    """Three that share 600 kN; without the middle one, or one at the end, 400 at most: it goes at once."""
    moored, power = three((None, None, None))
    chain = chain_off(moored, power)
    assert float(power.holds_ms[OFF]) == pytest.approx(speed_for(600.0), abs=0.02)
    assert all(step.holds_ms <= float(power.holds_ms[OFF]) for step in chain)
    assert chain[-1].gives == "drift"
    assert replace(power, then={OFF: chain}).holds_after(OFF) == 0.0, "nothing keeps her"


@pytest.mark.slow
def test_where_nothing_gives_or_she_drifts_first_there_is_no_chain() -> None:
    moored, power = three((None, None, None))
    assert what_goes_next(moored.arrangement, blown(), moored.unstretched, power, [0], LOOSE) == ((),)
    assert float(power.holds_ms[0]) == CAP_MS
    short = Criteria(surge_m=None, sway_m=0.5)
    drifts = holding_power(moored.arrangement, blown(), moored.unstretched, short)
    assert drifts.gives_first[OFF] == "drift"
    assert what_goes_next(moored.arrangement, blown(), moored.unstretched, drifts, [OFF], short) == ((),)


@pytest.mark.slow
@settings(max_examples=8)
@given(seed=st.integers(0, 10_000))
def test_the_next_is_what_the_set_holds_without_the_first(seed: int) -> None:
    """Brute force: let go what gives, and ask again."""
    _, moored = random_set(seed)
    power = holding_power(moored.arrangement, blown(), moored.unstretched, LOOSE)
    some = [at for at in range(0, 72, 8) if power.gives_first[at] == "wll"]
    chains = what_goes_next(moored.arrangement, blown(), moored.unstretched, power, some, LOOSE)
    for at, chain in zip(some, chains, strict=True):
        lengths, line = moored.unstretched.copy(), power.where[at]
        for step in chain:
            lengths[moored.arrangement.ids.index(line)] = np.nan
            held, spots = weakest_from(moored.arrangement, blown(), lengths, power.from_deg[[at]], LOOSE)
            assert step.holds_ms == pytest.approx(float(held[0]), abs=1e-6)
            assert (step.gives, step.where) == (spots[0].gives, spots[0].where)
            line = step.where
        assert chain[-1].gives in (None, "drift")
