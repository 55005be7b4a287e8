"""A ship that passes: loads of the lines, the speed to ask for, how she is typed.

The pull itself is held against worked peaks in `tests/mechanics/test_passing.py`. Here: the largest pull that
stands in the answer against the same check values, statics by hand, and what must hold whatever the berth.
"""

from dataclasses import replace
from functools import cache
from math import nan, sqrt
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.cli.main import main
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.passing_words import other_ship, passing_sentence, seen_peak, ship_words
from alongside.forecast.present import Present
from alongside.forecast.ship_passes import OtherShip, Passed, peak_at, ship_passes, speed_by_peak
from alongside.mechanics.hold import hold
from alongside.runtime.log_moment import present_of
from alongside.stay.read import read_stay
from alongside.units import KNOT

CONFIGS = Path(__file__).parents[2] / "configs"
BERTHS = ("coal_berth", "product_jetty")
SHIP = OtherShip(220.0, 32.0, 9.5, 100.0, 4.0, 20.0)


@cache
def berth(name: str) -> tuple[Basis, Present]:
    basis = Basis.of(read_stay(CONFIGS / f"{name}.yaml"))
    return basis, present_of(basis, None, None)


def passed(name: str = "coal_berth", **changes: float) -> Passed:
    return ship_passes(*berth(name), replace(SHIP, **changes))


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
    for one, other in zip(slow.lines, fast.lines, strict=True):
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
        assert here.ask_ms is not None
        assert there.ask_ms is not None
        if "speed_ms" not in worse:
            assert there.ask_ms <= here.ask_ms + 1e-9


def test_before_she_comes_the_lines_carry_what_the_balance_gives() -> None:
    basis, present = berth("product_jetty")
    still = hold(basis.arrangement, present.situation(), present.unstretched).lines.tension_kn[0]
    result = passed("product_jetty")
    assert [line.still_kn for line in result.lines] == pytest.approx(still.tolist(), rel=1e-9)
    assert all(line.peak_kn[1] >= line.still_kn - 1e-6 for line in result.lines)


@pytest.mark.slow
def test_at_the_speed_to_ask_for_nothing_gives_and_a_quarter_knot_more_is_too_fast() -> None:
    result = passed(depth_m=14.0, speed_ms=10.0 * KNOT)
    assert result.share[2] >= 1.0
    assert result.ask_ms is not None
    assert passed(depth_m=14.0, speed_ms=result.ask_ms).share[2] < 1.0
    assert passed(depth_m=14.0, speed_ms=result.ask_ms + 0.26 * KNOT).share[2] >= 1.0
    assert result.on_fenders_ms is not None
    assert not passed(depth_m=14.0, speed_ms=result.on_fenders_ms).off_fenders
    assert passed(depth_m=14.0, speed_ms=result.on_fenders_ms + 0.26 * KNOT).off_fenders


def test_a_ship_to_port_and_one_to_starboard_are_pulled_the_same() -> None:
    """A berth and its mirror: the other passes on the side away from the quay, whichever that is."""
    basis = berth("product_jetty")[0]  # port side to
    assert basis.stay.alongside == "port"
    result = passed("product_jetty", speed_ms=6.0)
    off = [line for line in result.lines if line.line in ("3", "4", "9", "10")]  # breasts
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


# --- words


@pytest.mark.parametrize(
    "text",
    [
        "passing 220x32x9.5 at 100 m 6 kn",
        "220 x 32 x 9,5 at 100m, 6kn",
        "Passing 220mx32mx9.5m at 100 6 kn",
    ],
)
def test_how_she_is_typed(text: str) -> None:
    assert other_ship(text) == OtherShip(220.0, 32.0, 9.5, 100.0, pytest.approx(6.0 * KNOT), None)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "220x32 at 100 m 6 kn",
        "220x32x9 at 100 m 6",
        "220x32x9 at 100 m 0 kn",
        "2200x32x9 at 100 m 6 kn",
        "passing",
    ],
)
def test_what_is_not_understood_says_what_is_expected(text: str) -> None:
    with pytest.raises(WrongInput, match="expected"):
        other_ship(text)


@given(
    st.builds(
        OtherShip,
        st.integers(20, 400).map(float),
        st.integers(5, 60).map(float),
        st.integers(2, 20).map(float),
        st.integers(20, 900).map(float),
        st.integers(4, 80).map(lambda quarters: quarters * 0.25 * KNOT),
        st.none() | st.integers(10, 40).map(float),
    )
)
def test_words_can_be_typed_again(ship: OtherShip) -> None:
    display = berth("coal_berth")[0].stay.display
    again = other_ship(ship_words(ship, display))
    assert again == replace(ship, speed_ms=pytest.approx(ship.speed_ms))


def test_a_seen_peak_is_read_in_the_display_s_unit() -> None:
    stay = berth("coal_berth")[0].stay
    assert seen_peak("4=12 to 32", stay) == ("4", pytest.approx(12 * 9.80665), pytest.approx(32 * 9.80665))
    for wrong in ("4=12", "4=32 to 12", "x=1 to 2", "4=12 to 900"):
        with pytest.raises(WrongInput):
            seen_peak(wrong, stay)


def test_sentences() -> None:
    display = berth("coal_berth")[0].stay.display
    assert passing_sentence(passed(), display).startswith(
        "Nothing gives: at most 43 % of a limit with twice the pull. Ask for at most 7.75 kn."
    )
    fast = passing_sentence(passed(depth_m=14.0, speed_ms=10.0 * KNOT), display)
    assert fast.startswith("TOO FAST: with twice the pull computed, ")
    assert fast.endswith(" Ask for at most 8.25 kn.")


def test_nobody_is_asked_for_more_than_her_own_speed_nor_for_more_than_a_peak_allows() -> None:
    display, slow = berth("coal_berth")[0].stay.display, passed(speed_ms=3.0 * KNOT)
    assert slow.ask_ms is not None
    assert slow.ask_ms > 3.0 * KNOT
    assert passing_sentence(slow, display).endswith(" Ask for at most 3 kn.")
    by_peak = passing_sentence(slow, display, 2.6 * KNOT)
    assert by_peak == "TOO FAST by the peak that was seen, not by the pull computed. Ask for at most 2.5 kn."
    fast = passing_sentence(passed(depth_m=14.0, speed_ms=10.0 * KNOT), display, 5.18 * KNOT)
    assert fast.endswith(" Ask for at most 5 kn."), "never rounded up"
    assert passing_sentence(slow, display, nan).startswith("OVER A LIMIT before she comes")
    metres_a_second = replace(display, speed="m/s")
    assert passing_sentence(slow, metres_a_second, 1.29).endswith(" Ask for at most 1.2 m/s.")


def test_the_command_says_all_of_it(capsys: pytest.CaptureFixture[str]) -> None:
    stay = str(CONFIGS / "coal_berth.yaml")
    ship = ["--ship", "220x32x9.5 at 100 m 10 kn depth 14"]
    assert main(["passing", stay, *ship, "--peak", "4=6.1 to 20", "--seen-at", "8kn"]) == 0
    out = capsys.readouterr().out
    for words in ("TOO FAST", "over its limit", "27.8 t at 10 kn", "An estimate", "master's judgement"):
        assert words in out
    assert main(["passing", stay, *ship, "--peak", "4=6.1 to 20"]) == 2
    assert main(["passing", stay, "--ship", "big"]) == 2
