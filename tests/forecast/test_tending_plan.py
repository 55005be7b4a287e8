"""Tending rounds out of a forecast: what is proposed holds when it is run through the mechanics."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from alongside.forecast.basis import Basis
from alongside.forecast.expected.ensemble import expected_situations
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.rounds.length_bands import bands, within_stage
from alongside.forecast.rounds.plan import Crew
from alongside.forecast.rounds.rounds_apart import plan_rounds
from alongside.forecast.rounds.whole_steps import ROOM, on_deck
from alongside.mechanics.hold import hold
from tests.berth import START
from tests.forecast.scene import HOUR, basis, looked, planned, stay_ahead


def lengths_as_tended(stay, forecast, present):
    """(m, lines) unstretched lengths when every round is done at its latest; a test's own book-keeping."""
    lengths = np.tile(present.unstretched, (forecast.times.size, 1))
    for each in forecast.tending.rounds:
        for move in each.moves:
            lengths[forecast.times >= each.latest, forecast.lines.index(move.line)] += move.pay_out_m
    return lengths


def outside(stay, forecast, present):
    """Rows and lines out of warning, with the rounds done, where the plan does not say so itself."""
    arrangement = Basis.of(stay).arrangement
    situation = expected_situations(stay, present, forecast.times, forecast.members).situation(1)
    held = hold(arrangement, situation, lengths_as_tended(stay, forecast, present))
    limits = stay.limits
    bad = held.lines.stretch_share >= limits.stretch_share.warning
    bad |= held.lines.load_share <= limits.slack_share.warning
    bad |= held.lines.tension_kn / arrangement.brake_kn >= limits.brake_share.warning
    for cure in forecast.tending.cannot_cure:
        spell = (forecast.times >= cure.time) & (forecast.times <= cure.until)
        bad[spell, forecast.lines.index(cure.line)] = False
    if forecast.tending.rounds and forecast.tending.rounds[0].overdue:
        bad[forecast.times <= forecast.tending.rounds[0].latest + forecast.tending.rounds[0].duration_s] = (
            False
        )
    return bad


@pytest.fixture(scope="module")
def stays(tmp_path_factory):
    folder = tmp_path_factory.mktemp("stays")
    return {balance: stay_ahead(folder, balance, cargo=()) for balance in (False, True)}


@pytest.mark.slow
@given(
    balance=st.booleans(),
    hours_in=st.floats(0.0, 12.0),
    tighter=st.floats(0.6, 1.0),
    fwd=st.floats(3.2, 5.0),
)
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_no_band_is_left_inside_a_verified_plan(stays, balance, hours_in, tighter, fwd):
    stay = stays[balance]
    stretch = replace(stay.limits.stretch_share, caution=0.5 * tighter, warning=0.85 * tighter)
    stay = replace(stay, limits=replace(stay.limits, stretch_share=stretch))
    present = replace(planned(stay, START + hours_in * HOUR), draught_fwd=fwd)
    forecast = looked(stay, present, members=4)
    if forecast.tending.verified:
        assert not outside(stay, forecast, present).any()
    for each in forecast.tending.rounds:
        assert each.not_before <= each.latest
        assert all(move.pay_out_m != 0.0 for move in each.moves)


@given(tighter=st.floats(0.0, 0.3), seed=st.integers(0, 1000))
@settings(max_examples=30, deadline=None)
def test_tighter_bands_never_need_fewer_rounds(tighter, seed):
    rng = np.random.default_rng(seed)
    time = 300.0 * np.arange(60)
    path = 30.0 + 2.0 * np.cumsum(rng.normal(0.0, 0.1, (60, 3)), axis=0)
    lo, hi, present = path - 0.4, path + 0.4, path[0]
    wide = plan_rounds(time, lo, hi, present)
    tight = plan_rounds(time, lo + tighter, hi - tighter, present)
    assert len(tight.rounds) >= len(wide.rounds) or tight.cannot_cure


@given(seed=st.integers(0, 1000))
@settings(max_examples=30, deadline=None)
def test_moves_are_in_steps_of_five_centimetres_where_the_bands_leave_room(seed):
    rng = np.random.default_rng(seed)
    time = 300.0 * np.arange(80)
    path = 30.0 + 2.0 * np.cumsum(rng.normal(0.0, 0.05, (80, 3)), axis=0)
    lo, hi, present = path - 0.3, path + 0.3, path[0]
    basis = plan_rounds(time, lo, hi, present, Crew(margin=ROOM))
    assert all(each.why != "pace" for each in basis.cannot_cure)
    found = on_deck(basis, time, (lo, hi), (lo, hi), Crew())
    lengths = present.copy()
    for each in found.rounds:
        for move in each.moves:
            assert abs(move.pay_out_m / 0.05 - round(move.pay_out_m / 0.05)) < 1e-6
            lengths[move.line] += move.pay_out_m
            assert move.length == pytest.approx(lengths[move.line], abs=1e-9)
    assert (found.lengths >= lo - 1e-9).all()
    assert (found.lengths <= hi + 1e-9).all()


def test_a_line_that_no_length_serves_is_named_with_what_is_missing(tmp_path):
    # stretch allowed only between 0.30 and 0.32 of the allowance leaves no length that is not slack
    stay = stay_ahead(tmp_path, cargo=())
    limits = replace(
        stay.limits,
        stretch_share=replace(stay.limits.stretch_share, caution=0.01, warning=0.02, alarm=1.0),
        slack_share=replace(stay.limits.slack_share, caution=0.5, warning=0.4),
    )
    forecast = looked(replace(stay, limits=limits))
    assert {cure.line for cure in forecast.tending.cannot_cure} == {"1", "2", "3"}
    assert all(cure.missing_m > 0.0 and cure.why == "empty" for cure in forecast.tending.cannot_cure)
    arrangement = Basis.of(stay).arrangement
    situation = expected_situations(stay, planned(stay), forecast.times, 30).situation(1)
    path = hold(arrangement, situation, planned(stay).unstretched).lines.path_m
    lo, hi = bands(arrangement, path, within_stage(limits))
    assert (lo > hi).all()


def test_hands_that_can_tend_one_line_at_a_time_make_rounds_longer(tmp_path):
    free = looked(stay_ahead(tmp_path, cargo=(), minutes_per_line=15.0))
    few = looked(stay_ahead(tmp_path, cargo=(), minutes_per_line=15.0, hands=2))
    for forecast, teams in ((free, 99), (few, 1)):
        for each in forecast.tending.rounds:
            assert each.duration_s == 900.0 * -(-len(each.moves) // teams)


def test_a_forecast_without_tending_proposes_nothing(tmp_path):
    stay = stay_ahead(tmp_path, cargo=())
    forecast = look_ahead(basis(stay), planned(stay), Far(3.0, 300.0, 5), tend=False)
    assert forecast.tending.rounds == ()
    assert not forecast.tending.verified
