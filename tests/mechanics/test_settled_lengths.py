"""Lines made fast while the ship lies on her fenders, against a balance written from the formulas alone
(`reference`); all values are our own arithmetic."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.fenders import fender_row, side_distance
from alongside.mechanics.hold import hold
from alongside.mechanics.lines import line_states
from alongside.mechanics.settled_lengths import left_along, make_fast, settled_in_balance, settled_on_fenders
from alongside.mechanics.situation import Situation
from alongside.stay.making_fast import makings_fast
from alongside.stay.model import Fender, MadeFast, Rope, Stay, Tail
from alongside.stay.read import read_stay
from tests.mechanics.moored import blown, made_fast, random_stay
from tests.mechanics.reference import Reference
from tests.mechanics.stays import NYLON, POLYESTER, WIRE, Lead, afloat, situation, stay_with
from tests.reports.remarks.files import CONFIGS

NOTHING_FAST = np.full(40, np.nan)


def drawn(rng: np.random.Generator) -> Stay:
    """A random berth whose lines are all longer than their tails."""
    stay = random_stay(rng, buckling=False)
    paths = Reference(stay, 1.0, 6.2, 6.8, 0.5).paths(0.0, 0.0, 0.0)
    lines = (
        replace(line, tail=None) if path < 15.0 else line
        for line, path in zip(stay.lines, paths, strict=True)
    )
    return replace(stay, lines=tuple(lines))


def asked(stay: Stay, tension: np.ndarray) -> Stay:
    """The stay with all lines made fast at once, settled."""
    lines = tuple(
        replace(line, made_fast=MadeFast(0.0, float(load), 1.0, 6.2, 6.8, 0.5, settled=True))
        for line, load in zip(stay.lines, tension, strict=True)
    )
    return replace(stay, lines=lines)


def afloat_so() -> Situation:
    return situation(afloat(1.0, 6.2, 6.8, 0.5))


@pytest.mark.parametrize("seed", range(12))
def test_lengths_of_random_berths_against_an_independent_balance(seed: int) -> None:
    rng = np.random.default_rng(seed)
    stay = drawn(rng)
    tension = rng.uniform(30.0, 120.0, len(stay.lines))
    stay = asked(stay, tension)
    (making,) = makings_fast(stay)
    assert making.lies == "on_fenders"
    nothing = NOTHING_FAST[: len(stay.lines)]
    found = make_fast(stay, arrangement_of(stay), making, afloat_so(), nothing, making.lines)
    pose, lengths = Reference(stay, 1.0, 6.2, 6.8, 0.5).lengths(tension)
    assert found.settles
    assert found.pose.surge[0] == 0.0
    assert [found.pose.sway[0], found.pose.yaw[0]] == pytest.approx(pose, abs=1e-7)
    assert found.unstretched == pytest.approx(lengths, abs=1e-6)


@pytest.mark.parametrize("name", ["coal_berth", "coaster_quay", "product_jetty"])
def test_lengths_of_the_examples_against_the_same(name: str) -> None:
    """With fender tables, winches inboard, a ship port side to, trim."""
    stay = read_stay(CONFIGS / f"{name}.yaml")
    fast = stay.lines[0].made_fast
    (making,) = makings_fast(stay)
    seen = situation(afloat(fast.tide, fast.draught_fwd, fast.draught_aft))
    nothing = NOTHING_FAST[: len(stay.lines)]
    found = make_fast(stay, arrangement_of(stay), making, seen, nothing, making.lines)
    tension = np.array([line.made_fast.tension_kn for line in stay.lines])
    pose, lengths = Reference(stay, fast.tide, fast.draught_fwd, fast.draught_aft).lengths(tension)
    assert found.settles
    assert [found.pose.sway[0], found.pose.yaw[0]] == pytest.approx(pose, abs=1e-7)
    assert found.unstretched == pytest.approx(lengths, abs=1e-6)


@pytest.mark.slow
@given(st.integers(0, 10_000))
def test_there_each_line_carries_its_tension_and_the_fenders_balance(seed: int) -> None:
    rng = np.random.default_rng(seed)
    stay = drawn(rng)
    tension = rng.uniform(20.0, 150.0, len(stay.lines))
    arrangement = arrangement_of(stay)
    found = settled_on_fenders(arrangement, afloat_so(), NOTHING_FAST[: len(stay.lines)], tension)
    states = line_states(arrangement, found.pose, found.unstretched)
    assert states.tension_kn[0] == pytest.approx(tension, rel=1e-6)
    if found.settles:
        here = np.array([found.pose.sway[0], found.pose.yaw[0]])
        across, moment = Reference(stay, 1.0, 6.2, 6.8, 0.5).left_over(here, tension)
        assert abs(across) < 1e-6 * tension.sum()
        assert abs(moment) < 1e-4 * tension.sum()
    else:
        assert found.pose.sway[0] == found.pose.yaw[0] == 0.0


def opposed(rope: Rope, tail: Tail | None = None) -> Stay:
    """Four breasts and two pairs of springs that leave nothing over along, on four fenders."""
    leads = [Lead((x, -9.0, 12.0), (40.0 + x, -20.0, 4.0), rope, tail) for x in (20.0, 45.0, 75.0, 100.0)] + [
        Lead((x, -9.5, 12.0), (40.0 + x + run, -5.0, 4.0), rope, tail, role="spring")
        for x, run in ((30.0, 40.0), (90.0, -40.0), (35.0, 40.0), (85.0, -40.0))
    ]
    return stay_with(leads, fenders=(70.0, 90.0, 110.0, 130.0))


@pytest.mark.parametrize(
    ("rope", "tail", "in_place_from", "in_place_to"),
    [(WIRE, None, 0.0, 75.0), (WIRE, Tail(NYLON, 11.0), 80.0, 97.0), (POLYESTER, None, 60.0, 97.0)],
)
def test_settled_lines_carry_what_is_stated_where_lengths_in_place_lose_it(
    rope: Rope, tail: Tail | None, in_place_from: float, in_place_to: float
) -> None:
    """A bare wire whose length is that of a ship just touching loses up to two thirds of its load as all
    press her into the fenders."""
    stay = opposed(rope, tail)
    arrangement, calm = arrangement_of(stay), situation(afloat(0.0))
    tension = np.full(8, 100.0)
    found = settled_on_fenders(arrangement, calm, NOTHING_FAST[:8], tension)
    settled = hold(arrangement, calm, found.unstretched).lines.tension_kn[0]
    assert settled == pytest.approx(tension, rel=1e-4)
    in_place = hold(arrangement, calm, made_fast(stay, 100.0).unstretched).lines.tension_kn[0]
    assert in_place_from < in_place[:4].min()
    assert in_place[:4].max() < in_place_to


def test_what_is_left_over_along_is_taken_by_the_balance_that_follows() -> None:
    stay = opposed(POLYESTER)
    arrangement, calm = arrangement_of(stay), situation(afloat(0.0))
    tension = np.array([100.0, 100, 100, 100, 120, 100, 120, 100])
    found = settled_on_fenders(arrangement, calm, NOTHING_FAST[:8], tension)
    left, pull = left_along(arrangement, found.pose, tension)
    assert found.pose.surge[0] == 0.0
    assert left == pytest.approx(40.0, rel=0.05)  # two springs with 20 kN more than those against them
    assert pull == pytest.approx(440.0, rel=0.05)
    after = hold(arrangement, calm, found.unstretched)
    assert after.pose.surge[0] > 0.01
    ahead = after.lines.ahead_kn[0]
    assert abs(ahead.sum()) < 1e-5 * np.abs(ahead).sum()


def test_lines_already_fast_pull_by_their_lengths() -> None:
    stay = opposed(POLYESTER)
    arrangement, calm = arrangement_of(stay), situation(afloat(0.0))
    fast = np.array([*made_fast(stay, 60.0).unstretched[:4], *[np.nan] * 4])
    tension = np.array([*[np.nan] * 4, *[100.0] * 4])
    found = settled_on_fenders(arrangement, calm, fast, tension)
    assert np.isnan(found.unstretched[:4]).all()
    whole = np.where(np.isnan(fast), found.unstretched, fast)
    load = line_states(arrangement, found.pose, whole).tension_kn[0]
    assert load[4:] == pytest.approx([100.0] * 4, rel=1e-6)
    here = np.array([found.pose.sway[0], found.pose.yaw[0]])
    across, moment = Reference(stay, 0.0, 6.0, 6.0).left_over(here, load)
    assert abs(across) < 1e-3
    assert abs(moment) < 0.1


@pytest.mark.parametrize("to_y", [60.0, 1000.0])
def test_pulled_off_her_fenders_she_is_made_fast_in_place(to_y: float) -> None:
    leads = [Lead((x, 9.0, 12.0), (40.0 + x, to_y, 4.0)) for x in (20.0, 100.0)]
    arrangement = arrangement_of(stay_with(leads))
    found = settled_on_fenders(arrangement, situation(afloat(0.0)), NOTHING_FAST[:2], np.array([50.0, 50.0]))
    assert not found.settles
    assert found.pose.sway[0] == found.pose.yaw[0] == 0.0
    load = line_states(arrangement, afloat(0.0), found.unstretched).tension_kn[0]
    assert load == pytest.approx([50.0, 50.0], rel=1e-9)


def test_a_line_made_fast_later_carries_its_tension_in_the_wind_of_then() -> None:
    stay = random_stay(np.random.default_rng(5), buckling=False)
    arrangement = arrangement_of(stay)
    n = len(stay.lines)
    first = settled_on_fenders(arrangement, afloat_so(), NOTHING_FAST[:n], np.full(n, 60.0))
    windy = blown(1, tide=1.5, wind=(14.0, 180.0))
    lengths = np.where(np.arange(n) == 2, np.nan, first.unstretched)
    load = np.where(np.arange(n) == 2, 80.0, np.nan)
    later = settled_in_balance(arrangement, windy, lengths, load)
    after = hold(arrangement, windy, np.where(np.isnan(lengths), later.unstretched, lengths))
    assert later.settles
    assert after.lines.tension_kn[0, 2] == pytest.approx(80.0, rel=1e-6)
    calm = settled_in_balance(arrangement, blown(1, tide=1.5), lengths, load)
    assert abs(calm.unstretched[2] - later.unstretched[2]) > 0.005


def test_a_line_that_cannot_be_made_fast_pulls_nothing() -> None:
    stay = opposed(POLYESTER)
    lines = (*stay.lines[:7], replace(stay.lines[7], tail=Tail(NYLON, 300.0)))
    arrangement, calm = arrangement_of(replace(stay, lines=lines)), situation(afloat(0.0))
    found = settled_on_fenders(arrangement, calm, NOTHING_FAST[:8], np.full(8, 100.0))
    seven = settled_on_fenders(arrangement, calm, NOTHING_FAST[:8], np.array([*[100.0] * 7, np.nan]))
    assert np.isnan(found.unstretched[7])
    assert found.unstretched[:7] == pytest.approx(seven.unstretched[:7], abs=1e-12)
    assert found.settles


def test_a_single_fender_turns_her_until_it_carries_the_pull() -> None:
    stay = opposed(POLYESTER)
    one = replace(stay, berth=replace(stay.berth, fenders=(Fender(105.0, stiffness_kn_per_m=2000.0),)))
    arrangement = arrangement_of(one)
    found = settled_on_fenders(arrangement, situation(afloat(0.0)), NOTHING_FAST[:8], np.full(8, 50.0))
    assert found.settles
    side = side_distance(
        fender_row(one.berth.fenders),
        20.0,
        np.array([100.0]),
        10.0 + found.pose.sway,
        found.pose.yaw,
    )
    assert side[0, 0] < 0.0
