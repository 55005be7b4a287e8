"""A ship that passes: loads of the lines, and the speed to ask for.

The pull itself is held against worked peaks in `tests/mechanics/test_passing.py`. Here: the largest pull that
stands in the answer against the same check values, statics by hand, and what must hold whatever the berth.
"""

from dataclasses import replace
from math import inf, isnan, nan, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.pass_tried import Highest, OtherShip
from alongside.forecast.passing_words import passing_rows, passing_sentence
from alongside.forecast.peak_seen import SeenPeak, peak_at, speed_by_peak
from alongside.forecast.ship_passes import ship_passes, speed_asked
from alongside.mechanics.hold import hold
from alongside.mechanics.passing import range_ms
from alongside.units import KNOT
from tests.forecast.passes import BERTHS, RIVER, SHIP, berth, passed, vars_of


@pytest.mark.parametrize(
    ("depth", "along", "off", "on"), [(1e9, 10.4, 32.8, 14.0), (20.0, 55.8, 138.7, 52.9)]
)
def test_the_pull_is_that_of_the_worked_example(depth: float, along: float, off: float, on: float) -> None:
    """Moored L 180 B 30 T 9, passing L 220 B 32 T 11, 100 m off, 3 m/s, kN: worked by others from Wang's
    formula. Tolerance: the last digit given, and 0.2 % for a peak between two places."""
    basis, present = berth("coal_berth")
    ship = replace(basis.stay.ship, lbp=180.0, breadth=30.0)
    other = Basis.of(replace(basis.stay, ship=ship))
    afloat = replace(present, draught_fwd=9.0, draught_aft=9.0)
    result = ship_passes(other, afloat, OtherShip(220.0, 32.0, 11.0, 100.0, 3.0, depth))
    assert result.pull_kn == pytest.approx((along, off, on), rel=0.002, abs=0.05)


def test_twice_the_speed_is_four_times_the_pull() -> None:
    slow, fast = passed(speed_ms=2.0), passed(speed_ms=4.0)
    assert np.array(fast.pull_kn) == pytest.approx(4.0 * np.array(slow.pull_kn), rel=1e-12)
    # Twice the pull at 2 m/s is half of it at 4 m/s: so are the loads.
    for one, other in zip(slow.loads, fast.loads, strict=True):
        assert one.peak_kn[2] == pytest.approx(other.peak_kn[0], rel=1e-6)


@pytest.mark.slow
@settings(max_examples=12)
@given(
    speed=st.floats(1.0, 5.0),
    distance=st.floats(60.0, 300.0),
    name=st.sampled_from(["coal_berth", "product_jetty"]),
)
def test_faster_nearer_and_in_less_water_is_never_less(speed: float, distance: float, name: str) -> None:
    here = passed(name, speed_ms=speed, distance_m=distance)
    for worse in ({"speed_ms": 1.2 * speed}, {"distance_m": 0.9 * distance}, {"depth_m": 14.0}):
        there = passed(name, **{"speed_ms": speed, "distance_m": distance, **worse})
        assert min(np.array(there.pull_kn) - np.array(here.pull_kn)) >= -1e-9
        assert there.share[2] >= here.share[2] - 1e-6
        for which in ("lines", "fenders"):
            before, then = getattr(here, which).ms, getattr(there, which).ms
            if "speed_ms" not in worse:
                assert then <= before + 1e-9


def test_before_she_comes_the_lines_carry_what_the_balance_gives() -> None:
    basis, present = berth("product_jetty")
    still = hold(basis.arrangement, present.situation(), present.unstretched).lines.tension_kn[0]
    result = passed("product_jetty")
    assert [line.still_kn for line in result.loads] == pytest.approx(still.tolist(), rel=1e-9)
    assert all(line.peak_kn[1] >= line.still_kn - 1e-6 for line in result.loads)


@pytest.mark.slow
def test_at_the_highest_speeds_nothing_gives_and_a_quarter_knot_more_is_too_fast() -> None:
    result = passed(depth_m=14.0, speed_ms=10.0 * KNOT)
    assert result.share[2] >= 1.0
    assert result.lines.ms is not None
    assert passed(depth_m=14.0, speed_ms=result.lines.ms).share[2] < 1.0
    assert passed(depth_m=14.0, speed_ms=result.lines.ms + 0.26 * KNOT).share[2] >= 1.0
    assert result.fenders.ms is not None
    assert not passed(depth_m=14.0, speed_ms=result.fenders.ms).off_fenders
    assert passed(depth_m=14.0, speed_ms=result.fenders.ms + 0.26 * KNOT).off_fenders


# --- how far the pull is worked out, and the speed to ask for


def test_in_eight_metres_the_range_ends_at_ten_knots_worked_by_hand() -> None:
    """0.6 sqrt(9.80665 x 8.2858) = 5.409 m/s = 10.51 kn; the limit 0.6 is common practice, no source."""
    here = passed("river_quay", **vars_of(RIVER), depth_m=8.2858)
    assert here.range_ms == pytest.approx(5.4085, abs=5e-4)  # m/s
    assert here.is_known
    there = passed("river_quay", **vars_of(RIVER, speed_ms=5.42), depth_m=8.2858)
    assert not there.is_known
    for values in (there.share, there.pull_kn, there.moved_m, [each.peak_kn[2] for each in there.loads]):
        assert np.isnan(values).all()
    # No less than half of that at the end: which goes with the square of the speed up to there.
    end = (5.4085 / (8.5 * KNOT)) ** 2
    assert there.at_least_kn == pytest.approx([0.5 * end * each for each in here.pull_kn], rel=1e-3)
    assert here.at_least_kn == pytest.approx([0.5 * each for each in here.pull_kn], rel=1e-12)
    # What is asked for, and what the lines carry before, is known all the same.
    assert speed_asked(there).because == "fenders"
    assert speed_asked(there).ms == here.fenders.ms
    assert [each.still_kn for each in there.loads] == [each.still_kn for each in here.loads]


@pytest.mark.slow
@settings(max_examples=25, deadline=None)
@given(
    name=st.sampled_from(BERTHS),
    speed=st.floats(0.5, 12.0),
    length=st.floats(40.0, 300.0),
    distance=st.floats(45.0, 300.0),
    keel=st.floats(0.5, 30.0),
)
def test_nobody_is_asked_for_more_than_she_makes_nor_beyond_the_range_nor_off_the_fenders(
    name: str, speed: float, length: float, distance: float, keel: float
) -> None:
    depth = max(berth(name)[1].draught_aft, length / 20.0) + keel
    ship = OtherShip(length, length / 7.0, length / 20.0, distance, speed, depth)
    asked = speed_asked(ship_passes(*berth(name), ship))
    assert asked.ms is not None, "nothing gives before she comes"
    assert asked.ms <= min(speed, range_ms(depth))
    if asked.ms > 0.0:
        at = ship_passes(*berth(name), replace(ship, speed_ms=asked.ms))
        assert at.share[2] < 1.0
        assert not at.off_fenders
        assert speed_asked(at) == replace(asked, because="own_speed")


def test_the_least_governs_and_a_tie_is_her_own_speed() -> None:
    """By hand: which of strength, fenders, range and her own speed is the speed to ask for."""
    some = passed()
    fast = replace(some.ship, speed_ms=9.0)
    over = replace(some, ship=fast, share=(0.4, 0.8, 1.6), off_fenders=True, range_ms=inf)
    lines, fenders = Highest(6.0, "brake", "4"), Highest(4.0, "off_fenders")
    for one, other, because, ms in (
        (lines, fenders, "fenders", 4.0),
        (lines, Highest(7.0, "off_fenders"), "lines", 6.0),
        (Highest(None, "wll", "1"), fenders, "lines", None),
        (lines, Highest(None, "off_fenders"), "fenders", None),
    ):
        asked = speed_asked(replace(over, lines=one, fenders=other))
        assert (asked.because, asked.ms) == (because, ms)
    serves = replace(
        over, share=(0.1, 0.2, 0.4), off_fenders=False, lines=Highest(15.0), fenders=Highest(15.0)
    )
    assert speed_asked(serves).because == "own_speed"
    unknown = replace(serves, share=(nan, nan, nan), range_ms=8.0, lines=Highest(8.0), fenders=Highest(8.0))
    assert (speed_asked(unknown).because, speed_asked(unknown).ms) == ("range", 8.0)


def test_a_ship_to_port_and_one_to_starboard_are_pulled_the_same() -> None:
    """A berth and its mirror: the other passes on the side away from the quay, whichever that is."""
    basis = berth("product_jetty")[0]  # port side to
    assert basis.stay.alongside == "port"
    result = passed("product_jetty", speed_ms=6.0)
    off = [line for line in result.loads if line.line in ("3", "4", "9", "10")]  # breasts
    assert all(line.peak_kn[2] > 1.2 * line.still_kn for line in off)
    assert all(abs(line.ahead_m) < 60.0 for line in off)  # she is abeam then


@pytest.mark.parametrize(
    ("ship", "words"),
    [
        (replace(SHIP, distance_m=30.0), "touches her"),
        (replace(SHIP, depth_m=9.0), "do not float"),
    ],
)
def test_what_cannot_be_is_refused(ship: OtherShip, words: str) -> None:
    with pytest.raises(WrongInput, match=words):
        ship_passes(*berth("coal_berth"), ship)


def test_the_balance_is_sought_for_a_ship_held_in_place_but_not_without_fenders() -> None:
    basis, present = berth("coal_berth")
    still = ship_passes(Basis.of(replace(basis.stay, balance=False)), present, SHIP)
    assert still.share == pytest.approx(passed().share, rel=1e-6)
    bare = replace(basis.stay, berth=replace(basis.stay.berth, fenders=()))
    with pytest.raises(WrongInput, match="fenders are missing"):
        ship_passes(Basis.of(bare), present, SHIP)


# --- by the peak that a load cell saw


def test_by_a_peak_worked_by_hand() -> None:
    """12 t before, 32 t at 6 kn: 20 t came on. At 3 kn a quarter, 17 t; 22 t at 6 sqrt(1/2) kn."""
    assert peak_at(3.0, 6.0, 12.0, 32.0) == pytest.approx(17.0)
    assert speed_by_peak(6.0, 12.0, 32.0, 22.0) == pytest.approx(6.0 * sqrt(0.5))
    assert np.isnan(speed_by_peak(6.0, 12.0, 12.0, 22.0))
    assert np.isnan(speed_by_peak(6.0, 12.0, 32.0, 11.0))


@given(st.floats(1.0, 10.0), st.floats(1.0, 50.0), st.floats(1.0, 100.0), st.floats(0.0, 200.0))
def test_at_that_speed_the_peak_is_the_limit(speed: float, still: float, came: float, room: float) -> None:
    limit = still + room
    highest = speed_by_peak(speed, still, still + came, limit)
    assert peak_at(highest, speed, still, still + came) == pytest.approx(limit)


def test_a_peak_that_the_calculation_gives_is_one_time_as_computed() -> None:
    """The computed peak handed in as the one seen: once the pull, and what is judged is judged by it."""
    river = vars_of(RIVER)
    plain = passed("river_quay", **river)
    line = next(each for each in plain.loads if each.line == "2")
    seen = SeenPeak("2", line.still_kn, line.peak_kn[1], RIVER.speed_ms)
    result = passed("river_quay", seen, **river)
    peak = result.by_peak
    assert peak is not None
    assert peak.times == pytest.approx(1.0, abs=1e-3)
    assert peak.next_kn == pytest.approx(line.peak_kn[1])
    assert peak.lines is not None
    assert peak.fenders is not None
    assert peak.lines.ms is not None
    assert peak.fenders.ms is not None
    # Half of what is judged without it: what gives twice the pull comes with it at sqrt(2) times the speed.
    assert plain.fenders.ms is not None
    assert peak.fenders.ms == pytest.approx(sqrt(2.0) * plain.fenders.ms, abs=0.36 * KNOT)


@pytest.mark.slow
def test_a_higher_peak_never_asks_for_more_and_judges_every_line() -> None:
    asked = []
    for seen_kn in (40.0, 60.0, 90.0, 120.0):
        result = passed("river_quay", SeenPeak("2", 21.0, seen_kn, 7.0 * KNOT), **vars_of(RIVER))
        peak = result.by_peak
        assert peak is not None
        assert peak.lines is not None
        assert peak.lines.ms is not None
        assert peak.lines.ms <= peak.line_ms + 0.5 * KNOT, "the line of the peak is among those judged"
        asked.append((speed_asked(result).ms, peak.times, peak.lines.ms))
    speeds, times, lines = zip(*asked, strict=True)
    assert list(speeds) == sorted(speeds, reverse=True)
    assert list(times) == sorted(times)
    assert list(lines) == sorted(lines, reverse=True)


def test_where_a_peak_cannot_be_the_pull_s_only_that_line_is_judged_and_it_is_said() -> None:
    display, stay = berth("coal_berth")[0].stay.display, berth("coal_berth")[0].stay
    result = passed(seen=SeenPeak("4", 60.0, 250.0, 2.0 * KNOT))
    peak = result.by_peak
    assert peak is not None
    assert (peak.lines, peak.fenders) == (None, None)
    assert isnan(peak.times)
    assert speed_asked(result).because == "peak"
    assert passing_sentence(result, display).endswith("Only line 4 was judged by the peak that was seen.")
    assert passing_rows(result, stay)[-1] == (
        "Only line 4 was judged by that peak: the pull would be more than 16 times that computed."
    )
    over = passed(seen=SeenPeak("4", 900.0, 950.0, 1.0 * KNOT))
    assert passing_sentence(over, display).startswith(
        "OVER A LIMIT before she comes: the load that was seen."
    )
    assert speed_asked(over).ms is None
