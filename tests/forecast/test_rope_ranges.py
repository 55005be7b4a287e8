"""Between what loads a line's is likely to lie: figures of the examples' kind, and what must always hold."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.cli.examples import example_stay
from alongside.forecast.basis import Basis
from alongside.forecast.rope_ranges import rope_ranges
from alongside.mechanics.hold import hold
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.pose import in_place
from alongside.mechanics.situation import Situation
from alongside.readings import Quality
from alongside.stay.read import read_stay

BASIS = Basis.of(read_stay(example_stay("coaster_quay")))
TENSIONS = np.array([line.made_fast.tension_kn for line in BASIS.stay.lines])


def in_tide(tide: float, wind: float = 0.0, wind_from: float = 180.0) -> Situation:
    one = np.ones(1)
    return Situation(
        time=0.0 * one,
        tide=tide * one,
        draught_fwd=2.6 * one,
        draught_aft=3.3 * one,
        heel_deg=0.0 * one,
        heel_measured=False,
        wind_speed=wind * one,
        wind_gust=wind * one,
        wind_from=wind_from * one,
        current_speed=0.0 * one,
        current_to=0.0 * one,
        quality=np.full(1, Quality.GOOD, dtype=np.int8),
    )


LENGTHS = unstretched_for(BASIS.arrangement, in_place(in_tide(4.7)), TENSIONS)[0]


def ranges(tide: float, wind: float = 0.0, wind_from: float = 180.0, lengths: np.ndarray = LENGTHS):
    here = in_tide(tide, wind, wind_from)
    lines = hold(BASIS.arrangement, here, lengths).lines
    return lines, rope_ranges(BASIS, here, lines)


@pytest.mark.slow
@given(st.floats(2.5, 5.5), st.floats(0.0, 25.0), st.floats(0.0, 360.0))
def test_the_load_lies_within_its_range(tide: float, wind: float, wind_from: float) -> None:
    lines, found = ranges(tide, wind, wind_from)
    assert (found.tension_low_kn <= lines.tension_kn).all()
    assert (lines.tension_kn <= found.tension_high_kn).all()
    assert (found.stretch_low <= lines.stretch_share).all()
    assert (lines.stretch_share <= found.stretch_high).all()


def test_the_range_grows_with_what_the_tide_has_done_since_making_fast() -> None:
    _, near = ranges(4.7)
    lines, far = ranges(5.7)
    wider = (far.tension_high_kn - far.tension_low_kn) - (near.tension_high_kn - near.tension_low_kn)
    taut = lines.tension_kn[0] > 1.1 * TENSIONS
    assert taut.any()
    assert (wider[0][taut] > 0.0).all()


def test_a_line_without_a_length_has_no_range_and_the_others_have_theirs() -> None:
    lengths = LENGTHS.copy()
    lengths[0] = np.nan
    _, found = ranges(4.2, lengths=lengths)
    assert np.isnan(found.tension_high_kn[0, 0])
    assert np.isfinite(found.tension_high_kn[0, 1:]).all()
