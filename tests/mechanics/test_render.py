"""A brake that slips: the load stays at its holding, and rope is conserved. Expected values: ours."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.mechanics.arrangement import Arrangement, arrangement_of
from alongside.mechanics.hold import hold
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.render import render
from alongside.mechanics.situation import Situation
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


def after(arrangement: Arrangement, seen: Situation, unstretched: np.ndarray):
    return render(arrangement, seen, hold(arrangement, seen, unstretched).lines.tension_kn, unstretched)


@pytest.mark.parametrize("balanced", [True, False])
def test_load_stays_at_the_holding_and_rope_is_conserved(balanced: bool) -> None:
    arrangement, before = ready(berth(balanced))
    seen = blown(tide=4.5 if not balanced else 0.0, wind=(21.0, 180.0))
    held = hold(arrangement, seen, before)
    over = held.lines.tension_kn[0] > BRAKE
    assert over.any()
    assert not over.all()
    ran = render(arrangement, seen, held.lines.tension_kn, before)
    assert ran is not None
    np.testing.assert_array_equal(ran.unstretched, before + ran.metres)
    now = hold(arrangement, seen, ran.unstretched)
    out = ran.metres > 0.0
    assert out[over].all()
    np.testing.assert_allclose(now.lines.tension_kn[0, out], BRAKE, rtol=1e-6)
    assert (now.lines.tension_kn[0, ~out] <= BRAKE * (1 + 1e-6)).all()
    stretched = now.lines.unstretched_m[0] * (1 + now.lines.elongation_pct[0] / 100)
    np.testing.assert_allclose(stretched, now.lines.path_m[0], rtol=1e-12)


def test_the_next_instant_starts_from_there() -> None:
    arrangement, before = ready(berth())
    blow = np.array([5.0, 10.0, 21.0, 21.0, 5.0])
    seen = blown(5, wind=(blow, 180.0))
    ran = after(arrangement, seen, before)
    assert ran is not None
    assert ran.row == 2
    rest = seen.rows(2, 5)
    assert after(arrangement, rest, ran.unstretched) is None
    eased, at_first = hold(arrangement, rest, ran.unstretched), hold(arrangement, seen, before)
    out = ran.metres > 0.0
    assert (eased.lines.tension_kn[2, out] < at_first.lines.tension_kn[0, out]).all()


def test_below_the_holding_nothing_runs_out() -> None:
    arrangement, before = ready(berth())
    assert after(arrangement, blown(3, wind=(8.0, 180.0)), before) is None


def test_a_line_without_a_winch_never_slips() -> None:
    stay = berth()
    bare = replace(stay, lines=tuple(replace(line, winch=None) for line in stay.lines))
    arrangement, before = ready(bare)
    seen = blown(wind=(30.0, 180.0))
    assert (hold(arrangement, seen, before).lines.tension_kn > BRAKE).any()
    assert after(arrangement, seen, before) is None


def test_brakes_that_cannot_hold_her_leave_the_lengths_alone() -> None:
    arrangement, before = ready(berth())
    assert after(arrangement, blown(wind=(60.0, 180.0)), before) is None
