"""A load by cell over the holding of the brake: asked as one that is computed. Expected values: ours."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import interpolate, optimize

from alongside.actions import AnswerBrake
from tests.cycle.brakes.gusts import BEGIN, BRAKE, gusts, lived, started

QUIET = 6.0


def cell(*kn: float) -> np.ndarray:
    """Return the loads of line 3 by its cell, one each second."""
    cells = np.full((len(kn), 4), np.nan)
    cells[:, 2] = kn
    return cells


def calm(n: int) -> tuple[float, ...]:
    return (QUIET,) * n


def test_a_good_cell_over_the_holding_asks_and_goes_on_asking() -> None:
    found = lived(gusts(*calm(4)), cells=cell(50.0, BRAKE * 1.2, BRAKE * 1.1, 50.0))
    (question,) = found.lengths.brakes.questions
    assert (question.line, question.since) == ("3", BEGIN + 1.0)
    assert question.most_kn == pytest.approx(BRAKE * 1.2)


def test_metres_are_those_of_the_line_at_that_load() -> None:
    """On the path of now, from its stretch under the cell's load to that under the holding: the rope's curve
    by scipy."""
    stay, _, before = started()
    found = lived(gusts(QUIET), cells=cell(BRAKE * 1.2))
    rope, table = stay.lines[2].rope, np.array(stay.lines[2].rope.curve)
    curve = interpolate.PchipInterpolator(table[:, 0], table[:, 1])

    def strain(kn: float) -> float:
        percent = optimize.brentq(lambda e: float(curve(e)) - kn / rope.mbl_kn, 0.0, table[-1, 0])
        return float(percent) / 100.0

    path = float(found.held.lines.path_m[0, 2])
    metres = path / (1.0 + strain(BRAKE)) - path / (1.0 + strain(BRAKE * 1.2))
    (question,) = found.lengths.brakes.questions
    assert question.ran_out_m == pytest.approx(metres, abs=1e-5)
    assert metres > 0.01
    assert found.lengths.brakes.slipped is not None
    longer = found.lengths.brakes.slipped - before.unstretched
    np.testing.assert_allclose(longer, [0.0, 0.0, question.ran_out_m, 0.0], atol=1e-12)
    np.testing.assert_array_equal(found.lengths.unstretched, before.unstretched)
    assert (found.in_slipped.lines.tension_kn <= BRAKE).all()


@pytest.mark.slow
@settings(max_examples=30)
@given(
    loads=st.lists(st.floats(40.0, 1.5 * BRAKE), min_size=2, max_size=10),
    speeds=st.lists(st.floats(5.0, 24.0), min_size=10, max_size=10),
    cuts=st.sets(st.integers(1, 9)),
)
def test_the_same_however_it_is_cut_and_what_ran_out_stays(
    loads: list[float], speeds: list[float], cuts: set[int]
) -> None:
    seen, cells, n = gusts(*speeds[: len(loads)]), cell(*loads), len(loads)
    whole, cut = (lived(seen, cuts=[c for c in some if c < n], cells=cells) for some in ((), cuts))
    one, two = whole.lengths.brakes.questions, cut.lengths.brakes.questions
    assert [(each.line, each.since) for each in one] == [(each.line, each.since) for each in two]
    for first, second in zip(one, two, strict=True):
        assert second.ran_out_m == pytest.approx(first.ran_out_m, abs=1e-6)
        assert second.most_kn == pytest.approx(first.most_kn, rel=1e-6)
    if whole.slipped[0] is None:
        return
    ran = whole.slipped[0].over.ran_out_m
    assert (np.diff(np.nan_to_num(ran), axis=0) >= 0.0).all()
    lengths = whole.slipped[0].hold.lines.unstretched_m
    np.testing.assert_allclose(lengths, whole.held.lines.unstretched_m + np.nan_to_num(ran), atol=1e-9)
    asked = ~np.isnan(ran[:, 2])
    assert asked[cells[:, 2] > BRAKE * 1.0001].all()


def test_the_same_load_again_runs_no_more_out() -> None:
    once, often = (lived(gusts(*calm(n)), cells=cell(*(BRAKE * 1.2,) * n)) for n in (1, 30))
    metres = [each.lengths.brakes.questions[0].ran_out_m for each in (once, often)]
    assert metres[1] == pytest.approx(metres[0], rel=1e-9)


def test_a_doubtful_cell_asks_and_one_that_is_wrong_runs_nothing_out() -> None:
    load = cell(BRAKE * 1.2)
    stale = lived(gusts(QUIET), doubtful=load)
    assert stale.lengths.brakes.questions[0].ran_out_m > 0.01
    wrong = lived(gusts(QUIET), doubtful=load, cells_misled=True)
    (question,) = wrong.lengths.brakes.questions
    assert (question.line, question.ran_out_m, question.most_kn) == ("3", 0.0, BRAKE)
    assert wrong.slipped[0] is not None
    assert wrong.slipped[0].over.or_more is not None
    assert wrong.slipped[0].over.or_more.tolist() == [[False, False, True, False]]


def test_a_cell_asks_where_nothing_can_be_computed() -> None:
    seen = replace(gusts(QUIET), tide=np.full(1, np.nan))
    (question,) = lived(seen, cells=cell(BRAKE * 1.2)).lengths.brakes.questions
    assert (question.line, question.ran_out_m) == ("3", 0.0)


@pytest.mark.parametrize("cuts", [(), (3, 11)])
def test_after_the_answer_the_mean_of_before_asks_nothing(cuts: tuple[int, ...]) -> None:
    """The length has changed: the mean of the cell, 10 s, holds values of before."""
    answer = {2: [AnswerBrake("3", "slipped", 0.2)]}
    cells = cell(*(BRAKE * 1.2,) * 20)
    before = lived(gusts(*calm(12)), answer, cells=cells[:12], smooth_s=10.0, cuts=cuts)
    assert before.lengths.brakes.asked == ()
    after = lived(gusts(*calm(20)), answer, cells=cells, smooth_s=10.0, cuts=cuts)
    assert [each.since for each in after.lengths.brakes.questions] == [BEGIN + 12.0]


def test_answered_without_metres_where_none_are_known_is_a_note() -> None:
    asked = {1: [AnswerBrake("3", "slipped")]}
    found = lived(gusts(QUIET, QUIET), asked, doubtful=cell(BRAKE * 1.2, 50.0), cells_misled=True)
    assert [event.text for event in found.events] == [
        "Line 3: no answer for its brake: its metres are not known: expected those seen"
    ]
    assert found.lengths.brakes.asked == ("3",)
