"""Tending that helps where none cures, held against a calculation of its own."""

from dataclasses import replace
from itertools import pairwise
from math import inf

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.cli.examples import example_stay
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_present
from alongside.forecast.expected.ensemble import expected_situations
from alongside.forecast.in_the_wind import GUST, can_be_tried
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.rounds_into_the_wind import not_stood
from alongside.forecast.words import AheadWords
from alongside.mechanics.hold import hold
from alongside.stay.read import read_stay
from alongside.units import unix_time
from tests.forecast.scene import HOUR, looked, planned, stay_ahead

CAUSES = ("stretch", "load", "brake", "slack")
FEW = {"largest_move": 0.10, "gap_min": 120.0}
"""Rounds that cannot follow a tide of 4 m."""


def shares(stay, forecast, present, lengths):
    """(m, lines, causes) what each line is at with lengths (m, lines), and the limits of warning."""
    arrangement = Basis.of(stay).arrangement
    situation = expected_situations(stay, present, forecast.times, forecast.members).situation(1)
    lines = hold(arrangement, situation, lengths).lines
    of = [lines.stretch_share, lines.load_share, lines.tension_kn / arrangement.brake_kn, lines.load_share]
    asked = stay.limits
    limits = [getattr(asked, f"{cause}_share").warning for cause in CAUSES]
    return np.stack(of, axis=-1), [np.nan if limit is None else limit for limit in limits]


def deeds_added(forecast, present, upto):
    """(m, lines) lengths with every round done at its latest, and the deeds of the first cures."""
    lengths = np.tile(present.unstretched, (forecast.times.size, 1))
    for each in forecast.tending.rounds:
        for move in each.moves:
            lengths[forecast.times >= each.latest, forecast.lines.index(move.line)] += move.pay_out_m
    for cure in forecast.tending.cannot_cure[:upto]:
        if cure.helps is not None:
            rows = (forecast.times >= cure.helps.at) & (forecast.times < cure.helps.undone_at)
            lengths[rows, forecast.lines.index(cure.line)] += cure.helps.pay_out_m
    return lengths


def coarsely(stay, present):
    """A look ahead of few samples: what is proposed is held against the same ones."""
    return look_ahead(Basis.of(stay), present, Far(10.0, 600.0, 2))


@pytest.fixture(scope="module")
def stays(tmp_path_factory):
    folder = tmp_path_factory.mktemp("stays")
    return {balance: stay_ahead(folder, balance, cargo=(), **FEW) for balance in (False, True)}


@pytest.mark.slow
@given(balance=st.booleans(), hours_in=st.floats(0.0, 12.0), most=st.sampled_from([0.10, 0.25, 0.50]))
@settings(max_examples=12)
def test_a_deed_does_what_it_says_and_breaks_no_limit(stays, balance, hours_in, most):
    stay = stays[balance]
    stay = replace(stay, outlook=replace(stay.outlook, largest_move=most))
    present = planned(stay, 1772424000.0 + hours_in * HOUR)
    forecast = coarsely(stay, present)
    for number, cure in enumerate(forecast.tending.cannot_cure):
        helps = cure.helps
        if helps is None:
            continue
        assert abs(helps.pay_out_m) <= most + 1e-9
        assert helps.pay_out_m / 0.05 == pytest.approx(round(helps.pay_out_m / 0.05), abs=1e-6)
        assert helps.at <= cure.until
        assert helps.undone_at == inf or helps.undone_at > cure.time
        before, limits = shares(stay, forecast, present, deeds_added(forecast, present, number))
        after, _ = shares(stay, forecast, present, deeds_added(forecast, present, number + 1))
        line, cause = forecast.lines.index(cure.line), CAUSES.index(helps.cause)
        assert helps.limit == limits[cause]
        spell = (forecast.times >= max(cure.time, helps.at)) & (forecast.times <= cure.until)
        worst = np.min if helps.cause == "slack" else np.max
        assert helps.share == pytest.approx(worst(after[spell, line, cause]), abs=1e-9)
        assert helps.share_without == pytest.approx(worst(before[spell, line, cause]), abs=1e-9)
        assert abs(helps.share - helps.share_without) > 0.015 * helps.limit
        assert (helps.share > helps.share_without) == (helps.cause == "slack")
        for k, limit in enumerate(limits):
            sense = -1.0 if CAUSES[k] == "slack" else 1.0
            over_before, over_after = (sense * (each[:, :, k] - limit) / limit for each in (before, after))
            harmed = (over_after >= 0.0) & (over_after > over_before + 0.011)
            assert not harmed.any(), (cure, CAUSES[k])


def test_no_other_metres_help_more(stays):
    """Every whole step there is, one at a time, where the ship is kept in place: lines do not touch each
    other."""
    stay = replace(stays[False], outlook=replace(stays[False].outlook, largest_move=1.0, gap_min=300.0))
    compared = 0
    for hours_in in (0.0, 3.0, 6.0, 9.0):
        present = planned(stay, 1772424000.0 + hours_in * HOUR)
        forecast = coarsely(stay, present)
        if not forecast.tending.cannot_cure or forecast.tending.cannot_cure[0].helps is None:
            continue
        cure = forecast.tending.cannot_cure[0]
        helps, line, compared = cure.helps, forecast.lines.index(cure.line), compared + 1
        lengths = deeds_added(forecast, present, 0)
        before, limits = shares(stay, forecast, present, lengths)
        spell = (forecast.times >= max(cure.time, helps.at)) & (forecast.times <= cure.until)
        rows = forecast.times >= helps.at
        best = inf
        for steps in range(-20, 21):
            tried = lengths.copy()
            tried[rows, line] += 0.05 * steps
            after, _ = shares(stay, forecast, present, tried)
            sense = np.array([1.0, 1.0, 1.0, -1.0])
            over, was = (sense * (each[:, line] - limits) / limits for each in (after, before))
            harms = np.flatnonzero(((over >= 0.0) & (over > was + 0.01)).any(axis=1))
            if harms.size == 0:
                best = min(best, np.nanmax(over[spell][:, :3]))
        reached = (helps.share - helps.limit) / helps.limit
        assert helps.undone_at < inf or reached <= max(best, -0.02) + 0.011
    assert compared


@pytest.mark.slow
def test_part_of_a_round_that_the_wind_refuses():
    """The coal berth in 29 kn off the quay: both breasts by all their metres would leave too little; one of
    them and a part of the other does not."""
    stay = read_stay(example_stay("coal_berth"))
    basis = Basis.of(stay)
    calm = planned_present(stay, basis.arrangement, unix_time("2026-03-20T15:30:00Z"))
    present = calm.in_wind(15.0, 160.0)
    forecast = look_ahead(basis, present, Far(6.0, 300.0, 5))
    cures = forecast.tending.cannot_cure
    assert {cure.why for cure in cures} == {"wind"}
    assert any(cure.helps is not None for cure in cures)
    assert can_be_tried(basis)
    lengths = present.unstretched.copy()
    for cure in cures:
        if cure.helps is None:
            continue
        after = lengths.copy()
        after[forecast.lines.index(cure.line)] += cure.helps.pay_out_m
        rows = forecast.times >= cure.helps.at
        situation = expected_situations(stay, present, forecast.times, 5).situation(1).rows(0, rows.sum())
        some = situation.at(np.arange(0, len(situation), 6))
        strongest = np.fmax(some.wind_speed, GUST * present.wind_gust)
        assert not not_stood(basis, replace(some, wind_speed=strongest), lengths, after).any()
        lengths = after
    rows = AheadWords(stay.display, forecast.time).tending(forecast)
    assert not any(text.startswith(("No tending", "Do not")) for _, text in rows)


def test_in_a_gale_no_part_is_proposed():
    stay = read_stay(example_stay("coal_berth"))
    basis = Basis.of(stay)
    calm = planned_present(stay, basis.arrangement, unix_time("2026-03-20T15:30:00Z"))
    forecast = look_ahead(basis, calm.in_wind(22.0, 160.0), Far(6.0, 300.0, 5))
    assert forecast.tending.cannot_cure
    assert all(cure.helps is None for cure in forecast.tending.cannot_cure)


def test_few_hands_are_at_one_round_at_a_time(tmp_path):
    stay = stay_ahead(tmp_path, cargo=(), largest_move=0.10, gap_min=120.0, hands=2, minutes_per_line=10.0)
    forecast = looked(stay, members=4)
    taken = [(each.latest, each.latest + each.duration_s) for each in forecast.tending.rounds]
    helped = [cure.helps.at for cure in forecast.tending.cannot_cure if cure.helps is not None]
    assert helped
    spans = sorted([*taken, *((at, at + 600.0) for at in helped)])
    assert all(end <= begin for (_, end), (begin, _) in pairwise(spans))
