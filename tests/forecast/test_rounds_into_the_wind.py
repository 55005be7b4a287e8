"""No round is proposed that would only let the wind carry her off, nor one resting on what is not known."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.cli.examples import example_stay
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_present
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.model import Incurable
from alongside.forecast.rounds.plan import Crew
from alongside.forecast.rounds.rounds_apart import plan_rounds
from alongside.forecast.rounds.whole_steps import on_deck
from alongside.forecast.tending_plan import merged
from alongside.stay.read import read_stay
from alongside.units import unix_time
from tests.forecast.scene import HOUR, looked, planned, stay_ahead

OFF_THE_QUAY = 160.0


@pytest.mark.slow
def test_a_gale_off_the_quay_is_no_work_for_the_lines() -> None:
    """Slackened lines would follow her off the berth, metre after metre."""
    stay = read_stay(example_stay("coal_berth"))
    basis = Basis.of(stay)
    present = planned_present(stay, basis.arrangement, unix_time("2026-03-20T03:30:00Z"))
    forecast = look_ahead(basis, present.in_wind(32.0, OFF_THE_QUAY), Far(6.0, 300.0, 8))
    alarms = {limit.cause for limit in forecast.limits if limit.stage == 3 and limit.expected is not None}
    assert "off_fenders" in alarms
    tending = forecast.tending
    assert tending.rounds == ()
    assert not tending.verified
    assert {each.why for each in tending.cannot_cure} == {"wind"}
    assert all(each.missing_m > 0.0 for each in tending.cannot_cure)


def test_a_plan_is_good_no_farther_than_is_known(tmp_path) -> None:
    stay = stay_ahead(tmp_path)
    assert stay.tide is not None
    end = stay.tide.high_low[2][0]
    short = replace(stay, tide=replace(stay.tide, high_low=stay.tide.high_low[:3]))
    forecast = looked(short)
    assert forecast.known_until <= end < forecast.known_until + 600.0
    assert not forecast.tending.verified
    assert not forecast.tending.good_until > forecast.known_until
    served = [each.serves_until for each in forecast.tending.rounds]
    assert served
    assert max(served) <= forecast.known_until
    whole = looked(stay)
    assert whole.known_until == whole.times[-1]
    assert whole.tending.verified


def test_what_is_known_of_no_line_at_all_ends_now(tmp_path) -> None:
    stay = stay_ahead(tmp_path)
    forecast = looked(stay, replace(planned(stay), draught_fwd=np.nan, planned=False))
    assert forecast.known_until < forecast.time
    assert forecast.reason


def test_no_move_is_rounded_beyond_the_largest() -> None:
    time = np.arange(13.0) * HOUR
    lo = np.linspace(10.0, 11.2, 13)[:, None]
    hi = lo + 0.37
    crew = Crew(largest_move=0.33)
    basis = plan_rounds(time, lo, hi, np.array([10.2]), crew)
    found = on_deck(basis, time, (lo, hi), (lo, hi), crew)
    moves = [move for each in found.rounds for move in each.moves]
    assert moves
    assert all(abs(move.pay_out_m) <= 0.33 + 1e-9 for move in moves)


def test_spells_that_follow_on_each_other_are_one() -> None:
    spells = [
        Incurable("4", 0.0, 300.0, 0.2, "together"),
        Incurable("4", 600.0, 900.0, 0.5, "together"),
        Incurable("5", 600.0, 900.0, 0.1, "together"),
        Incurable("4", 9000.0, 9300.0, 0.3, "together"),
    ]
    assert merged(spells) == (
        Incurable("4", 0.0, 900.0, 0.5, "together"),
        Incurable("5", 600.0, 900.0, 0.1, "together"),
        Incurable("4", 9000.0, 9300.0, 0.3, "together"),
    )
