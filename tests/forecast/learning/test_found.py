"""What is found of lines whose ropes and lengths truly are other than the stay has them: the loads are those
of the truth by the program's own mechanics, with noise."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.forecast.learning.found import found_in
from alongside.forecast.learning.line_found import LineFound
from alongside.forecast.learning.observed import Left, Observed
from alongside.forecast.learning_words import basis_words
from alongside.stay.model import Learnt, Stay
from alongside.wording.learnt import loads_words
from tests.forecast.learning.taught_stays import afloat, observed, river_quay, taught_so

QUAY = river_quay()


def of(found: tuple[LineFound, ...], line: str) -> LineFound:
    return next(each for each in found if each.line == line)


def others(found: tuple[LineFound, ...], *lines: str) -> set[str]:
    return {each.finding for each in found if each.line not in lines}


@pytest.mark.slow
def test_where_cells_say_what_is_computed_nothing_is_offered() -> None:
    found = found_in(QUAY, observed(QUAY, QUAY))
    assert [each.line for each in found] == [line.id for line in QUAY.lines]
    assert others(found) == {"as_computed"}
    assert all(each.learnt is None for each in found)


@pytest.mark.slow
def test_a_softer_rope_is_found_as_one_and_no_other_line_answers_for_it() -> None:
    truth = taught_so(QUAY, {"2": Learnt(0.82)})
    found = found_in(QUAY, observed(QUAY, truth))
    line = of(found, "2")
    assert line.finding == "stiffness"
    assert line.stiffness.value == pytest.approx(0.82, abs=0.04)
    low, high = line.stiffness.ends
    assert low < 0.82 < high
    assert line.learnt is not None
    assert line.learnt.stiffness_band < 0.08
    assert others(found, "2") == {"as_computed"}


@pytest.mark.slow
def test_rope_that_is_out_and_nobody_knew_of_is_found_as_length() -> None:
    found = found_in(QUAY, observed(QUAY, QUAY, more_m={"5": 0.10}))
    line = of(found, "5")
    assert line.finding == "length"
    assert line.longer_m == pytest.approx(0.10, abs=0.02)
    assert line.learnt is not None
    assert line.learnt.stiffness == 1.0
    assert line.learnt.stiffness_band == QUAY.lines[0].rope.stiffness_band
    assert line.learnt.load_band < 0.1
    assert others(found, "5") == {"as_computed"}


@pytest.mark.slow
def test_both_are_found_where_tide_and_cargo_show_them() -> None:
    truth = taught_so(QUAY, {"5": Learnt(0.85)}, {"5": 27.0})
    line = of(found_in(QUAY, observed(QUAY, truth)), "5")
    assert line.finding == "both"
    assert line.stiffness.value == pytest.approx(0.85, abs=0.05)
    assert line.more_m.value == pytest.approx(0.07, abs=0.03)


@pytest.mark.slow
def test_in_a_range_too_small_stiffness_and_length_cannot_be_told_apart_and_that_is_said() -> None:
    """All readings at one level, far from that of making fast."""
    calm = afloat(3.0, 36, tide_m=0.03, loaded_m=0.0, wind_ms=0.0)
    calm = replace(calm, tide=calm.tide + 0.9)
    truth = taught_so(QUAY, {"2": Learnt(0.82)})
    line = of(found_in(QUAY, observed(QUAY, truth, calm)), "2")
    assert line.finding in ("length", "stiffness")
    other = {"length": "stiffness", "stiffness": "length"}[line.finding]
    assert other in [name for name, _ in line.rivals]
    assert line.stiffness.sd > 0.06  # some five times that of a day with its tide


@pytest.mark.slow
def test_a_zero_that_may_be_off_is_said_beside_what_is_offered() -> None:
    """With cells on all lines she may lie elsewhere along the quay, and then other lengths do the same."""
    seen = observed(QUAY, QUAY)
    load = seen.load_kn.copy()
    load[:, 4] += 8.0
    line = of(found_in(QUAY, replace(seen, load_kn=load)), "5")
    assert line.finding == "cell" or "zero" in [name for name, _ in line.rivals]


@pytest.mark.slow
def test_one_cell_at_fault_makes_no_other_line_seem_to_be() -> None:
    seen = observed(QUAY, QUAY, afloat(13.0, 39, loaded_m=0.0), noise_kn=0.3)
    load = seen.load_kn.copy()
    load[:, 4] += 12.0
    found = found_in(QUAY, replace(seen, load_kn=load))
    line = of(found, "5")
    assert line.cell is not None
    assert line.cell[0] == "zero"
    assert line.cell[1] == pytest.approx(12.0, abs=1.0)
    assert others(found, "5") == {"as_computed"}


@pytest.mark.slow
def test_a_load_that_runs_off_with_time_teaches_nothing() -> None:
    seen = observed(QUAY, QUAY, afloat(36.0, loaded_m=0.0))
    load = seen.load_kn.copy()
    load[:, 4] += np.linspace(0.0, 12.0, len(seen))
    line = of(found_in(QUAY, replace(seen, load_kn=load)), "5")
    assert line.finding == "cell"
    assert line.cell is not None
    assert line.cell[0] == "drift"
    assert "drifts" in line.why


@pytest.mark.slow
def test_noise_without_any_shape_teaches_nothing() -> None:
    seen = observed(QUAY, QUAY)
    load = seen.load_kn.copy()
    load[:, 4] = np.random.default_rng(1).uniform(0.0, 80.0, len(seen))
    line = of(found_in(QUAY, replace(seen, load_kn=load)), "5")
    assert line.learnt is None
    assert line.finding == "nothing"


@pytest.mark.slow
def test_what_no_rope_can_be_is_said_to_be_something_else() -> None:
    """The cell of line 5 is wired to another line's plug, or its factor is that of another cell."""
    seen = observed(QUAY, QUAY)
    load = seen.load_kn.copy()
    load[:, 4] *= 3.5
    line = of(found_in(QUAY, replace(seen, load_kn=load)), "5")
    assert line.learnt is None
    assert "scale" in line.why


@pytest.mark.slow
def test_outliers_are_counted_and_do_not_bend() -> None:
    truth = taught_so(QUAY, {"2": Learnt(0.82)})
    seen = observed(QUAY, truth)
    load = seen.load_kn.copy()
    load[5:45:8, 1] += 150.0
    line = of(found_in(QUAY, replace(seen, load_kn=load)), "2")
    assert line.outliers == 5
    assert line.stiffness.value == pytest.approx(0.82, abs=0.05)


@pytest.mark.slow
def test_each_tending_begins_a_new_length_and_the_stiffness_goes_on() -> None:
    truth = taught_so(QUAY, {"2": Learnt(0.82)})
    seen = observed(QUAY, truth)
    half = len(seen) // 2
    tended = observed(QUAY, truth, more_m={"2": 0.30}, seed=2)
    load, out = seen.load_kn.copy(), seen.unstretched.copy()
    load[half:] = tended.load_kn[half:]
    out[half:, 1] += 0.30
    line = of(found_in(QUAY, replace(seen, load_kn=load, unstretched=out)), "2")
    assert line.finding in ("stiffness", "both")
    assert line.stiffness.value == pytest.approx(0.82, abs=0.06)


@pytest.mark.slow
def test_a_tending_that_was_other_than_entered_is_in_the_newest_length_alone() -> None:
    """0.30 m were slacked, 0.20 m entered."""
    seen, half = observed(QUAY, QUAY), 24
    tended = observed(QUAY, QUAY, more_m={"2": 0.30}, seed=2)
    load, out = seen.load_kn.copy(), seen.unstretched.copy()
    load[half:] = tended.load_kn[half:]
    out[half:, 1] += 0.20
    line = of(found_in(QUAY, replace(seen, load_kn=load, unstretched=out)), "2")
    assert line.finding == "length"
    assert line.longer_m == pytest.approx(0.10, abs=0.03)


def by_hand(seen: Observed, column: int, rows: list[int], sigma_kn: float = 3.0) -> Observed:
    """The same, of one line alone what somebody has read at some instants."""
    load = np.full_like(seen.load_kn, np.nan)
    sigma, hand = np.zeros_like(load), np.zeros(load.shape, dtype=np.int8)
    left = np.full(load.shape, Left.NOTHING, dtype=np.int8)
    load[rows, column] = seen.load_kn[rows, column]
    sigma[rows, column], hand[rows, column], left[rows, column] = sigma_kn, 1, Left.COUNTS
    return replace(seen, load_kn=load, sigma_kn=sigma, by_hand=hand, left=left)


def test_one_load_read_by_hand_shows_a_length_without_any_cell() -> None:
    truth = taught_so(QUAY, {}, {"2": 62.0})
    found = found_in(QUAY, by_hand(observed(QUAY, truth, noise_kn=0.1), 1, [0]))
    assert [each.line for each in found] == ["2"]
    line = found[0]
    assert line.finding == "length"
    assert line.by_hand == 1
    assert line.learnt is not None
    assert line.longer_m < -0.02
    assert "read by hand" in line.learnt.source


def test_a_line_found_slack_that_is_computed_taut_has_more_rope_out() -> None:
    seen = observed(QUAY, QUAY, noise_kn=0.0)
    load = seen.load_kn.copy()
    load[0, 1] = 0.0
    line = found_in(QUAY, by_hand(replace(seen, load_kn=load), 1, [0], 3.0))[0]
    assert line.finding == "length"
    assert line.longer_m > 0.1


@pytest.mark.slow
def test_too_few_readings_and_half_a_bight_teach_nothing() -> None:
    short = found_in(QUAY, observed(QUAY, QUAY, afloat(1.0, 30)))
    assert {each.finding for each in short} == {"nothing"}
    assert "2 h" in short[0].why
    lines = [replace(QUAY.lines[0], bight_with="2"), *QUAY.lines[1:]]
    bight = found_in(replace(QUAY, lines=tuple(lines)), observed(QUAY, QUAY))
    assert "bight" in bight[0].why
    assert "bight" in bight[1].why


@pytest.mark.slow
def test_what_is_accepted_leaves_nothing_more_to_learn() -> None:
    truth = taught_so(QUAY, {"2": Learnt(0.82)}, {"5": 27.0})
    found = found_in(QUAY, observed(QUAY, truth))
    accepted = taught_so(QUAY, {each.line: each.learnt for each in found if each.learnt is not None})
    again = found_in(accepted, observed(accepted, truth))
    assert others(again) == {"as_computed"}


def heavier(stay: Stay, by: float) -> Stay:
    """The same with all forces so many times as large."""
    ropes = {name: replace(rope, mbl_kn=by * rope.mbl_kn) for name, rope in stay.ropes.items()}
    lines = tuple(
        replace(
            line,
            rope=replace(line.rope, mbl_kn=by * line.rope.mbl_kn),
            made_fast=replace(line.made_fast, tension_kn=by * line.made_fast.tension_kn),
        )
        for line in stay.lines
    )
    fenders = tuple(
        replace(each, stiffness_kn_per_m=by * (each.stiffness_kn_per_m or 0.0)) for each in stay.berth.fenders
    )
    return replace(stay, ropes=ropes, lines=lines, berth=replace(stay.berth, fenders=fenders))


@pytest.mark.slow
@settings(max_examples=4)
@given(st.floats(0.5, 20.0))
def test_with_all_forces_so_many_times_as_large_the_same_is_found(by: float) -> None:
    still = afloat(24.0, 24, wind_ms=0.0)
    truth = taught_so(QUAY, {"2": Learnt(0.82)}, {"5": 27.0})
    one = found_in(QUAY, observed(QUAY, truth, still, noise_kn=1.0))
    other = found_in(heavier(QUAY, by), observed(heavier(QUAY, by), heavier(truth, by), still, noise_kn=by))
    for each, scaled in zip(one, other, strict=True):
        assert scaled.finding == each.finding
        assert scaled.stiffness.value == pytest.approx(each.stiffness.value, abs=2e-3)
        assert scaled.more_m.value == pytest.approx(each.more_m.value, abs=2e-3)


@pytest.mark.slow
@settings(max_examples=3)
@given(st.permutations(range(6)))
def test_lines_in_another_order_are_found_alike(order: list[int]) -> None:
    truth = taught_so(QUAY, {"2": Learnt(0.82)})
    seen = observed(QUAY, truth, afloat(24.0, 24))
    turned = replace(QUAY, lines=tuple(QUAY.lines[at] for at in order))
    other = replace(
        seen,
        unstretched=seen.unstretched[:, order],
        load_kn=seen.load_kn[:, order],
        sigma_kn=seen.sigma_kn[:, order],
        by_hand=seen.by_hand[:, order],
        left=seen.left[:, order],
    )
    one = {each.line: each for each in found_in(QUAY, seen)}
    for each in found_in(turned, other):
        assert each.finding == one[each.line].finding
        assert each.stiffness.value == pytest.approx(one[each.line].stiffness.value, abs=1e-3)


@pytest.mark.slow
def test_more_readings_narrow_the_spread() -> None:
    truth = taught_so(QUAY, {"2": Learnt(0.82)}, {"2": 30.0})
    widths = []
    for hours, n in ((4.0, 12), (8.0, 24), (24.0, 48)):
        line = of(found_in(QUAY, observed(QUAY, truth, afloat(hours, n))), "2")
        widths.append(line.stiffness.sd / line.stiffness.value)
    assert widths[0] > widths[1] > widths[2]


@pytest.mark.slow
def test_a_line_tended_since_keeps_its_stiffness_alone() -> None:
    truth = taught_so(QUAY, {"5": Learnt(0.85)}, {"5": 27.0})
    line = of(found_in(QUAY, observed(QUAY, truth)), "5")
    assert line.learnt is not None
    assert line.with_length(line.unstretched_m) == line
    tended = line.with_length(line.unstretched_m + 0.3)
    assert tended.finding == "stiffness"
    assert tended.learnt is not None
    assert tended.learnt.stiffness == line.learnt.stiffness
    assert (tended.learnt.at_kn, tended.learnt.more_m) == (None, pytest.approx(0.0))
    only_length = of(found_in(QUAY, observed(QUAY, QUAY, more_m={"5": 0.10})), "5")
    assert only_length.with_length(only_length.unstretched_m + 0.3).learnt is None


def test_too_few_readings_say_over_how_long_they_are() -> None:
    """`by 5 readings over 0 h` stood below `5 readings over 4.0 h`."""
    found = of(found_in(QUAY, observed(QUAY, QUAY, afloat(4.0, 5))), "2")
    assert found.why == "5 readings over 4.0 h, expected 8 over 2 h"
    assert basis_words(found) == "5 readings of its load cell over 4 h"
    both = loads_words(9, 1, 24.0)
    assert both == "9 readings of its load cell over 24 h and 1 load read by hand"
    assert (loads_words(0, 2, 0.0), loads_words(0, 0, 0.0)) == ("2 loads read by hand", "")
