"""A brake that slips: the load stays at its holding, and rope is conserved. Expected values: ours."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.mechanics.arrangement import Arrangement, arrangement_of
from alongside.mechanics.hold import hold
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.render import run_out_through
from alongside.stay.model import Stay, WindAreas
from tests.mechanics.moored import blown
from tests.mechanics.stays import Lead, afloat, stay_with

BRAKE = 110.0


def berth(balanced: bool = True) -> Stay:
    """Two springs and two breasts, winches on all; wind off the quay is from 180."""
    leads = [
        Lead((x, -9.0, 12.0), (bollard_x, -back, 5.0), winch=(x, -4.0, 12.5), brake_kn=BRAKE)
        for x, bollard_x, back in (
            (110.0, 150.0, 25.0),
            (10.0, 50.0, 25.0),
            (100.0, 110.0, 4.0),
            (20.0, 90.0, 4.0),
        )
    ]
    stay = stay_with(leads)
    wind = WindAreas(350.0, 1300.0, 6.0, coefficients="cargo_loaded")
    return replace(stay, ship=replace(stay.ship, wind=wind), balance=balanced)


def ready(stay: Stay) -> tuple[Arrangement, np.ndarray]:
    arrangement = arrangement_of(stay)
    return arrangement, unstretched_for(arrangement, afloat(), np.full(4, 60.0))[0]


@pytest.mark.parametrize("balanced", [True, False])
def test_load_stays_at_the_holding_and_rope_is_conserved(balanced: bool) -> None:
    arrangement, before = ready(berth(balanced))
    seen = blown(tide=4.5 if not balanced else 0.0, wind=(21.0, 180.0))
    held = hold(arrangement, seen, before)
    over = held.lines.tension_kn[0] > BRAKE
    assert over.any()
    assert not over.all()
    now, lengths = run_out_through(arrangement, seen, before)
    out = lengths[0] > before
    assert out[over].all()
    np.testing.assert_array_equal(now.lines.unstretched_m, lengths)
    np.testing.assert_allclose(now.lines.tension_kn[0, out], BRAKE, rtol=1e-6)
    assert (now.lines.tension_kn[0, ~out] <= BRAKE * (1 + 1e-6)).all()
    stretched = now.lines.unstretched_m[0] * (1 + now.lines.elongation_pct[0] / 100)
    np.testing.assert_allclose(stretched, now.lines.path_m[0], rtol=1e-12)


def test_what_ran_out_stays_out() -> None:
    arrangement, before = ready(berth())
    seen = blown(5, wind=(np.array([5.0, 10.0, 21.0, 21.0, 5.0]), 180.0))
    eased, lengths = run_out_through(arrangement, seen, before)
    np.testing.assert_array_equal(lengths[:2], [before, before])
    out = lengths[2] > before
    assert out.any()
    np.testing.assert_array_equal(lengths[3:], [lengths[2], lengths[2]])
    at_first = hold(arrangement, seen, before)
    assert (eased.lines.tension_kn[4, out] < at_first.lines.tension_kn[0, out]).all()


@pytest.mark.slow
def test_many_instants_at_once_are_those_of_one_after_the_other() -> None:
    """Gusts that come round and rise, so that now one line slips, now another, and each bears on the rest."""
    arrangement, before = ready(berth())
    n = 240
    rng = np.random.default_rng(7)
    speed = 17.0 + 4.0 * np.arange(n) / n + rng.normal(0.0, 2.0, n)
    seen = blown(n, wind=(speed, 180.0 + 55.0 * np.sin(np.arange(n) / 9.0)))
    misled = rng.random(n) < 0.1
    least = np.zeros((n, 4))
    least[100:, 1], least[150:, 2] = 0.3, 0.9
    whole, lengths = run_out_through(arrangement, seen, before, None, least, misled)
    one_by_one, tension, now, ran = [], [], before, np.zeros(4)
    for row in range(n):
        more = np.maximum(least[row] - ran, 0.0)[None]
        held, then = run_out_through(
            arrangement, seen.rows(row, row + 1), now, None, more, misled[row : row + 1]
        )
        now, ran = then[0], then[0] - before
        one_by_one.append(now)
        tension.append(held.lines.tension_kn[0])
    slips = np.diff(np.array(one_by_one), axis=0) > 1e-6
    assert (slips.sum(axis=0) > 3).sum() >= 2, "several lines slip, each in several gusts"
    np.testing.assert_allclose(lengths, one_by_one, rtol=0.0, atol=1e-6)
    np.testing.assert_allclose(whole.lines.tension_kn, tension, rtol=2e-6)


def test_below_the_holding_nothing_runs_out() -> None:
    arrangement, before = ready(berth())
    _, lengths = run_out_through(arrangement, blown(3, wind=(8.0, 180.0)), before)
    np.testing.assert_array_equal(lengths, [before] * 3)


def test_a_line_without_a_winch_never_slips() -> None:
    stay = berth()
    bare = replace(stay, lines=tuple(replace(line, winch=None) for line in stay.lines))
    arrangement, before = ready(bare)
    held, lengths = run_out_through(arrangement, blown(wind=(30.0, 180.0)), before)
    assert (held.lines.tension_kn > BRAKE).any()
    np.testing.assert_array_equal(lengths[0], before)


def test_brakes_that_cannot_hold_her_leave_the_lengths_alone() -> None:
    arrangement, before = ready(berth())
    _, lengths = run_out_through(arrangement, blown(wind=(60.0, 180.0)), before)
    np.testing.assert_array_equal(lengths[0], before)
