"""A farther bollard: the rise in hand by plain geometry, the best of plain enumeration, a mirror image."""

from dataclasses import replace
from functools import cache
from math import hypot

import numpy as np
import pytest

from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.other_lines.farther import RISE_M, Farther, farther_bollard, rise_in_hand
from alongside.forecast.other_lines.farther_words import check_typed, farther_rows, farther_sentence
from alongside.forecast.present import Present
from alongside.forecast.what_if.case import Case
from alongside.forecast.what_if.changes import Shift
from alongside.mechanics.hold import hold
from alongside.mechanics.holding import holding_power
from alongside.mechanics.rope import elongation_pct, load_fraction, rope_curve
from alongside.stay.model import Bollard, Point
from tests.forecast.other_lines.small import made_fast, mirrored, small_stay
from tests.mechanics.stays import POLYESTER

BACK = {
    "B9": Bollard(Point(57.0, -40.0, 5.0), 800.0),
    "B10": Bollard(Point(145.0, -40.0, 5.0), 800.0),
}


@cache
def answer() -> Farther:
    return farther_bollard(*made_fast(small_stay(more=BACK)), ahead=False)


def by_geometry(basis: Basis, present: Present, column: int) -> float:
    """By how many metres the ship may rise until a line without winch or tail is at its limit, by halving."""
    lines = hold(basis.arrangement, present.situation(), present.unstretched).lines
    down, far = np.radians(float(lines.vertical_deg[0, column])), float(lines.outboard_m[0, column])
    level, drop = far * np.cos(down), far * np.sin(down)
    curve, out = rope_curve(POLYESTER.curve), float(present.unstretched[column])
    allowed = float(elongation_pct(curve, POLYESTER.wll_fraction))

    def share(rise: float) -> float:
        stretched = 100.0 * (hypot(level, drop + rise) / out - 1.0)
        return max(stretched / allowed, float(load_fraction(curve, stretched)) / POLYESTER.wll_fraction)

    low, high = 0.0, RISE_M
    if share(high) < 1.0:
        return RISE_M
    for _ in range(50):
        middle = (low + high) / 2.0
        low, high = (middle, high) if share(middle) < 1.0 else (low, middle)
    return low


def test_rise_in_hand_is_that_of_plain_geometry() -> None:
    basis, present = made_fast(small_stay())
    pose = hold(basis.arrangement, present.situation(), present.unstretched).pose
    found = rise_in_hand(basis.arrangement, pose, present.unstretched)
    for column in range(len(basis.stay.lines)):
        assert found[column] == pytest.approx(by_geometry(basis, present, column), abs=0.005)  # m


@pytest.mark.slow
def test_the_first_is_the_best_of_plain_enumeration() -> None:
    """Of the line that has least in hand, the bollard that gives most of those that hold enough, square."""
    basis, present = made_fast(small_stay(more=BACK))
    first = answer().moves[0]
    column = int(first.line.id) - 1
    least = [by_geometry(basis, present, each) for each in range(len(basis.stay.lines))]
    assert least[column] == pytest.approx(min(least), abs=0.01)
    now = holding_power(basis.arrangement, present.situation(), present.unstretched, basis.criteria)
    best = 0.0
    for bollard in basis.stay.berth.bollards:
        case = Case(basis.stay, present).with_changes((Shift(first.line.id, bollard, None, 60.0),))
        then, here = case.basis(basis), case.present
        lines = hold(then.arrangement, here.situation(), here.unstretched).lines
        square = abs(float(lines.horizontal_deg[0, column]) - 90.0) <= 15.5
        farther = float(lines.outboard_m[0, column]) >= 1.1 * first.lead[0].outboard_m
        power = holding_power(then.arrangement, here.situation(), here.unstretched, then.criteria)
        if square and farther and power.holds_ms.min() >= 0.95 * now.holds_ms.min():
            best = max(best, by_geometry(then, here, column))
    assert first.rise_m[1] == pytest.approx(best, abs=0.02)


def test_it_is_longer_and_the_set_holds() -> None:
    found = answer()
    assert [move.rise_m[0] for move in found.moves] == sorted(move.rise_m[0] for move in found.moves)
    for move in found.moves:
        assert move.lead[1].outboard_m >= 1.1 * move.lead[0].outboard_m
        assert move.rise_m[1] >= move.rise_m[0] + 0.1
        assert (move.weakest.holds_ms or 0.0) >= 0.95 * (found.weakest.holds_ms or 0.0) - 0.02
        after = {each.name: each.after for each in move.now.bollards}
        assert after[move.line.bollard] > 0.0
        assert {each.name for each in move.now.lines} == {line.id for line in small_stay().lines}


def test_in_a_mirror_it_is_the_same() -> None:
    other = farther_bollard(*made_fast(mirrored(small_stay(more=BACK))), ahead=False)
    own = [(move.line.id, move.line.bollard) for move in answer().moves]
    assert own == [(move.line.id, move.line.bollard) for move in other.moves]
    for one, two in zip(answer().moves, other.moves, strict=True):
        assert one.rise_m == pytest.approx(two.rise_m, abs=1e-6)


def test_a_bollard_more_never_makes_the_first_worse() -> None:
    first = answer().moves[0]
    more = {**BACK, "B11": Bollard(Point(57.0, -60.0, 5.0), 800.0)}
    found = farther_bollard(*made_fast(small_stay(more=more)), ahead=False)
    (same,) = [move for move in found.moves if move.line.id == first.line.id]
    assert same.rise_m[1] >= first.rise_m[1] - 1e-6


def test_a_rope_that_is_too_short_is_not_led_there() -> None:
    stay = small_stay(more=BACK)
    lines = tuple(replace(line, rope_length=30.0) for line in stay.lines)
    found = farther_bollard(*made_fast(replace(stay, lines=lines)), ahead=False)
    assert all(move.needs_m <= 30.0 for move in found.moves)
    assert found.left_out["short"] > 0


def test_in_words_and_typed() -> None:
    found, stay = answer(), small_stay(more=BACK)
    rows, first = farther_rows(found, stay), found.moves[0]
    assert rows[0].startswith(f"Line {first.line.id} to {first.line.bollard}: rise in hand ")
    assert any(row.startswith(f"+1 line {first.line.id} over ") for row in rows)
    none = replace(found, moves=())
    assert farther_sentence(none, stay).startswith("No line gains")
    holds = found.weakest.holds_ms
    assert holds is not None
    dearer = replace(first, weakest=replace(first.weakest, holds_ms=holds - 2.0))
    costly = farther_sentence(replace(found, moves=(dearer,)), stay)
    assert ", but lines then hold " in costly, "what a move costs stands beside what it gains"
    alike = replace(first, weakest=found.weakest)
    assert "but" not in farther_sentence(replace(found, moves=(alike,)), stay)
    check_typed("Farther  bollard")
    with pytest.raises(WrongInput, match="expected farther bollard"):
        check_typed("farther bollards please")
