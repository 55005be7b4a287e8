"""A ship that passes in words: how she and a peak are typed, and what is said of her. Words: ours."""

from dataclasses import replace
from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.cli.main import main
from alongside.errors import WrongInput
from alongside.forecast.pass_tried import Highest, OtherShip
from alongside.forecast.passing_words import passing_rows, passing_sentence
from alongside.forecast.peak_seen import SeenPeak
from alongside.forecast.typed_passing import asked_words, other_ship, seen_peak, ship_and_peak, ship_words
from alongside.units import KNOT
from tests.forecast.passes import CONFIGS, RIVER, berth, passed, vars_of


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


def test_a_peak_is_typed_behind_her_and_can_be_typed_again() -> None:
    stay = berth("coal_berth")[0].stay
    ship, seen = ship_and_peak("passing 220x32x9.5 at 100 m 6 kn depth 14, peak 4=12 to 32 at 5.5 kn", stay)
    assert ship == other_ship("220x32x9.5 at 100 m 6 kn depth 14")
    assert seen == seen_peak("4=12 to 32", 5.5 * KNOT, stay)
    words = asked_words(ship, seen, stay.display)
    assert words == "passing 220x32x9.5 at 100 m 6 kn depth 14 m, peak 4=12.0 to 32.0 t at 5.5 kn"
    again = ship_and_peak(words, stay)[1]
    assert again is not None
    assert again.peak_kn == pytest.approx(32 * 9.80665)
    assert ship_and_peak("220x32x9.5 at 100 m 6 kn", stay) == (other_ship("220x32x9.5 at 100 m 6 kn"), None)
    for wrong in ("220x32x9.5 at 100 m 6 kn peak 4=12 to 32", "220x32x9.5 at 100 m 6 kn peak 4=12 at 6 kn"):
        with pytest.raises(WrongInput, match="expected"):
            ship_and_peak(wrong, stay)


def test_a_seen_peak_is_read_in_the_display_s_unit() -> None:
    stay = berth("coal_berth")[0].stay
    kn = pytest.approx(12 * 9.80665), pytest.approx(32 * 9.80665)
    assert seen_peak("4=12 to 32", 3.0, stay) == SeenPeak("4", *kn, 3.0)
    for wrong in ("4=12", "4=32 to 12", "x=1 to 2", "4=12 to 900"):
        with pytest.raises(WrongInput):
            seen_peak(wrong, 3.0, stay)


def test_sentences() -> None:
    display = berth("coal_berth")[0].stay.display
    assert passing_sentence(passed(speed_ms=6.0 * KNOT), display) == (
        "Nothing gives: at most 25 % of a limit with twice the pull. Ask for at most 6 kn, her own speed."
    )
    fast = passing_sentence(passed(depth_m=14.0, speed_ms=10.0 * KNOT), display)
    assert fast == (
        "TOO FAST: with twice the pull computed, drift first. Ask for at most 5.5 kn: "
        "above she comes off her fenders; drift alone 8.25 kn."
    )
    river, unknown = (
        passing_sentence(passed("river_quay", **vars_of(RIVER, speed_ms=kn * KNOT), depth_m=8.2858), display)
        for kn in (8.5, 12.0)
    )
    ask = "Ask for at most 4.75 kn: above she comes off her fenders; lines alone 10.25 kn."
    assert river == f"OFF FENDERS with twice the pull computed; at most 66 % of a limit. {ask}"
    assert unknown == (
        "NOT KNOWN at 12 kn: above 10.5 kn the pull grows faster than is worked out "
        f"(depth Froude number 0.6). {ask}"
    )


def test_what_did_not_go_up_to_the_end_of_what_was_tried_is_more_than_that() -> None:
    jetty = passed("product_jetty", draught=7.0, speed_ms=6.0 * KNOT, depth_m=10.1)
    assert not jetty.lines.is_limit
    assert jetty.lines.ms == jetty.range_ms
    rows = passing_rows(jetty, berth("product_jetty")[0].stay)
    assert "With twice the pull: lines alone more than 11.5 kn, on her fenders to 7.75 kn." in rows


def test_strength_and_contact_are_each_said_to_govern() -> None:
    display, some = berth("coal_berth")[0].stay.display, passed(speed_ms=9.0)
    fast = replace(some, share=(0.4, 0.8, 1.6), gives="brake", where="4", range_ms=inf, off_fenders=True)
    lines, fenders = Highest(6.0 * KNOT, "brake", "4"), Highest(7.0 * KNOT, "off_fenders")
    begin = "TOO FAST: with twice the pull computed, brake of line 4 first. "
    for changes, words in (
        ({}, "Ask for at most 6 kn: above brake of line 4 is over its limit; on her fenders to 7 kn."),
        ({"fenders": Highest(0.0, "off_fenders")},
         "Ask her not to pass: she comes off her fenders; lines alone 6 kn."),
        ({"fenders": Highest(15.0)}, "Ask for at most 6 kn: above brake of line 4 is over its limit."),
    ):  # fmt: skip
        each = replace(fast, **{"lines": lines, "fenders": fenders, **changes})
        assert passing_sentence(each, display) == begin + words
    off = replace(fast, lines=lines, fenders=Highest(None, "off_fenders"))
    assert passing_sentence(off, display) == (
        "OFF FENDERS before she comes: no speed keeps her on; lines alone 6 kn."
    )
    over = replace(fast, lines=Highest(None, "brake", "4"), fenders=fenders)
    assert passing_sentence(over, display) == "OVER A LIMIT before she comes: brake of line 4."


def test_a_speed_is_never_rounded_up() -> None:
    some = berth("coal_berth")[0].stay.display
    slow = passed(speed_ms=3.2 * KNOT)
    assert passing_sentence(slow, some).endswith(" Ask for at most 3 kn, her own speed.")
    seen = SeenPeak("4", 60.0, 250.0, 0.83 * KNOT)  # at its limit of 255 kN at 0.84 kn
    assert " Ask for at most 0.75 kn: " in passing_sentence(passed(seen=seen), some)
    metres_a_second = replace(some, speed="m/s")
    assert " Ask for at most 1.2 m/s, " in passing_sentence(passed(speed_ms=1.29), metres_a_second)


def test_the_command_says_all_of_it(capsys: pytest.CaptureFixture[str]) -> None:
    stay = str(CONFIGS / "coal_berth.yaml")
    ship = ["--ship", "220x32x9.5 at 100 m 10 kn depth 14"]
    assert main(["passing", stay, *ship, "--peak", "4=6.1 to 20", "--seen-at", "8kn"]) == 0
    out = capsys.readouterr().out
    for words in ("TOO FAST", "over its limit", "27.8 t at 10 kn", "times as computed", "An estimate"):
        assert words in out
    assert main(["passing", stay, *ship, "--peak", "4=6.1 to 20"]) == 2
    assert main(["passing", stay, "--ship", "big"]) == 2
