"""Key `learnt` of a line: what it does to curves, bands and lengths, and what is refused."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.errors import StayFaults
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.hold import hold
from alongside.mechanics.lines import line_states
from alongside.mechanics.rope_spread import other_ropes
from alongside.mechanics.settled_lengths import make_fast
from alongside.stay.making_fast import makings_fast
from alongside.stay.model import Learnt
from tests.berth import STAY_TEXT, a_stay
from tests.forecast.learning.taught_stays import afloat, lengths_of, loads_of, river_quay, taught_so

LEARNT = (
    '{stiffness: 0.8, stiffness_band: 0.06, more_m: 0.12, at_kn: 40, load_band: 0.05, source: "its cell"}'
)
ROW = '{id: "2", role: breast,'


def test_the_rope_of_the_line_alone_is_softer_and_its_band_is_what_was_learnt(tmp_path) -> None:
    plain = a_stay(tmp_path)
    stay = a_stay(tmp_path, STAY_TEXT.replace(ROW, f"{ROW} learnt: {LEARNT},"))
    line = stay.lines[1]
    assert line.learnt == Learnt(0.8, 0.06, 0.12, 40.0, 0.05, "its cell")
    assert line.rope.curve == tuple((percent / 0.8, load) for percent, load in plain.lines[1].rope.curve)
    assert line.rope.stiffness_band == 0.06
    assert line.known_kn == (40.0, 0.05)
    assert stay.lines[0].rope == plain.lines[0].rope
    assert stay.ropes == plain.ropes


def test_making_fast_leaves_so_much_more_rope_out() -> None:
    quay, here = river_quay(), afloat()
    longer = taught_so(quay, {"5": Learnt(more_m=0.12)})
    more = lengths_of(longer, here) - lengths_of(quay, here)
    assert more == pytest.approx([0.0, 0.0, 0.0, 0.0, 0.12, 0.0], abs=1e-9)


def test_at_the_load_of_making_fast_a_softer_rope_carries_the_same() -> None:
    quay, here = river_quay(), afloat()
    softer = taught_so(quay, {"2": Learnt(0.8)})
    arrangement, making = arrangement_of(softer), makings_fast(softer)[0]
    made = make_fast(softer, arrangement, making, here.rows(0, 1), np.full(6, np.nan), making.lines)
    carried = line_states(arrangement, made.pose, made.unstretched).tension_kn
    assert carried[0] == pytest.approx([35.0] * 6, rel=1e-9)


@pytest.mark.parametrize("end", [-1.0, 1.0])
def test_the_range_of_a_learnt_line_is_the_learnt_one(end: float) -> None:
    """At the load at which its length is known: that load, within its band, whatever its rope's end."""
    quay, here = river_quay(), afloat().rows(0, 1)
    arrangement, lengths = arrangement_of(quay), lengths_of(quay, afloat())
    held = hold(arrangement, here, lengths)
    known = float(held.lines.tension_kn[0, 1])
    stay = taught_so(quay, {"2": Learnt(1.0, 0.05, 0.0, known, 0.04)})
    other = other_ropes(stay, arrangement, end, end)
    there = line_states(other.arrangement, held.pose, other.lengths(lengths))
    assert float(there.tension_kn[0, 1]) == pytest.approx(known * (1.0 + 0.04 * end), rel=1e-6)


def test_what_was_learnt_is_of_the_curve_of_the_file_however_often_it_is_learnt() -> None:
    quay = river_quay()
    twice = taught_so(taught_so(quay, {"2": Learnt(0.8)}), {"2": Learnt(0.9)})
    once = taught_so(quay, {"2": Learnt(0.9)})
    both = (np.array(each.lines[1].rope.curve) for each in (twice, once))
    assert np.allclose(*both, rtol=1e-12)


def test_a_line_of_which_nothing_was_learnt_is_as_before() -> None:
    quay, here = river_quay(), afloat()
    same = replace(quay, lines=tuple(replace(line, learnt=Learnt()) for line in quay.lines))
    assert np.array_equal(lengths_of(same, here), lengths_of(quay, here))
    loads = (loads_of(each, here, lengths_of(quay, here)) for each in (same, quay))
    assert np.array_equal(*loads)


@pytest.mark.parametrize(
    ("learnt", "what"),
    [("{stiffness: 9}", "stiffness"), ("{more_m: soft}", "more_m"), ("{softer: 1}", "unknown key")],
)
def test_what_can_hardly_be_is_refused(tmp_path, learnt: str, what: str) -> None:
    with pytest.raises(StayFaults, match=what):
        a_stay(tmp_path, STAY_TEXT.replace(ROW, f"{ROW} learnt: {learnt},"))
