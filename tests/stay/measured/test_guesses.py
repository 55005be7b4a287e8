"""`guess:` in place of a number: what serves, how wide it is, and where the spread goes."""

from pathlib import Path

import pytest

from alongside.stay.read import read_stay
from alongside.units import G
from tests.stay.measured.sheet import faults_with, guess_of, stay_with

TENSION = "tension_kn: 20, tide"


def guessed(value: str, spread: str = "40 %", source: str = "by feel") -> str:
    return f"{{guess: {value}, source: {source}, spread: {spread}}}"


@pytest.mark.slow
def test_a_guess_serves_as_its_value(tmp_path: Path) -> None:
    stay = stay_with(tmp_path, ("charted_depth: 6.0", f"charted_depth: {guessed('6.5', '0.5')}"))
    assert stay.berth.charted_depth == 6.5
    guess = guess_of(stay, "berth.charted_depth")
    assert (guess.value, guess.spread, guess.unit, guess.source) == (6.5, 0.5, "m", "by feel")


def test_a_spread_in_per_cent_is_a_part_of_the_value(tmp_path: Path) -> None:
    stay = stay_with(tmp_path, (TENSION, f"tension_kn: {guessed('2 t')}, tide"))
    fast = stay.lines[1].made_fast
    assert fast.tension_kn == pytest.approx(2 * G)
    assert guess_of(stay, "lines[1].made_fast.tension_kn").spread == pytest.approx(0.8 * G)
    assert fast.tension_band == pytest.approx(0.40)


def test_a_band_that_is_given_goes_before_the_spread(tmp_path: Path) -> None:
    stay = stay_with(tmp_path, (TENSION, f"tension_band: 0.1, tension_kn: {guessed('2 t')}, tide"))
    assert stay.lines[1].made_fast.tension_band == 0.1


def test_spreads_go_into_the_bands_of_fenders_areas_and_ropes(tmp_path: Path) -> None:
    wind = f"wind: {{front_m2: 150, side_m2: {guessed('500', '15 %')}, at_draught: 4}}"
    stay = stay_with(
        tmp_path,
        ("{x: 30.0, stiffness_kn_per_m: 1000}", f"{{x: 30.0, stiffness_kn_per_m: {guessed('900', '30 %')}}}"),
        ("  depth: 8.0\n", f"  depth: 8.0\n  {wind}\n"),
        (
            "curve: [[0, 0], [4, 0.15], [8, 0.4], [14, 1.0]]",
            f"material: polyester, stretch: {{at_half: {guessed('9', '20 %')}}}",
        ),
    )
    assert [fender.stiffness_band for fender in stay.berth.fenders] == pytest.approx([0.30, 0.0])
    assert stay.ship.wind is not None
    assert stay.ship.wind.area_band == pytest.approx(0.15)
    assert stay.lines[0].rope.stiffness_band == pytest.approx(0.20)


def test_an_end_of_the_spread_serves_where_it_is_asked_for(tmp_path: Path) -> None:
    stay = stay_with(tmp_path, ("charted_depth: 6.0", f"charted_depth: {guessed('6.5', '0.5')}"))
    low, high = (read_stay(stay.file, {"berth.charted_depth": end}) for end in (-1.0, 1.0))
    assert (low.berth.charted_depth, high.berth.charted_depth) == (6.0, 7.0)
    assert low.guesses == high.guesses == stay.guesses


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        ("{guess: 6, spread: 10 %}", "berth.charted_depth.source: missing"),
        ("{guess: 6, source: by eye}", "berth.charted_depth.spread: missing, expected a spread such as 20 %"),
        ("{guess: 6, source: by eye, spread: 120 %}", "120 % is no spread of a guess"),
        ("{guess: 6, source: by eye, spread: 0}", "0 is no spread"),
        ("{guess: six, source: by eye, spread: 1}", "'six' is not a number"),
        (
            "{guess: 6, source: by eye, spread: 1, by: me}",
            "charted_depth.by: unknown key, expected one of guess",
        ),
        ("{guess: 199, source: by eye, spread: 2}", "spread: an end of the spread, 201, is out of bounds"),
        ("{guess: 600, source: by eye, spread: 1}", "'600' is out of bounds"),
    ],
)
def test_what_is_no_guess_is_refused_at_its_place(entry: str, words: str, tmp_path: Path) -> None:
    assert words in faults_with(tmp_path, ("charted_depth: 6.0", f"charted_depth: {entry}"))


@pytest.mark.parametrize(
    ("written", "kn"), [("12 t", 12 * 9.80665), ("12t", 12 * 9.80665), ("118 kN", 118.0), ("118", 118.0)]
)
def test_a_force_bears_its_unit_or_is_in_kn(written: str, kn: float, tmp_path: Path) -> None:
    stay = stay_with(
        tmp_path, ("brake_kn: 120", f"brake_kn: {written}"), ("swl_kn: 300", f"swl_kn: {written}")
    )
    assert stay.ship.winches["W1"].brake_kn == pytest.approx(kn)
    assert stay.berth.bollards["B1"].swl_kn == pytest.approx(kn)


@pytest.mark.parametrize("written", ["12 tons", "12 T", "12 kn", "t", "12 t t"])
def test_no_other_unit_of_force_is_read(written: str, tmp_path: Path) -> None:
    found = faults_with(tmp_path, ("brake_kn: 120", f"brake_kn: {written}"))
    assert (
        f"'{written}' is not a number, expected a number in kN above 0, or with its unit: 12 kN or 12 t"
        in found
    )
    assert ":17:45: ship.winches.W1.brake_kn" in found


def test_lengths_take_no_unit_of_force(tmp_path: Path) -> None:
    assert "'84 t' is not a number" in faults_with(tmp_path, ("loa: 84.0", "loa: 84 t"))
