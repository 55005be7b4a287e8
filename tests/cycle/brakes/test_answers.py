"""Answers: by the watch, by a load cell, corrected; only they change a length. Expected values: ours."""

import numpy as np
import pytest

from alongside.actions import AnswerBrake, TendLine
from tests.cycle.brakes.gusts import BEGIN, GALE, Lived, gusts, lived, started

QUIET = 6.0


def length(found: Lived, line: str) -> float:
    _, arrangement, before = started()
    at = arrangement.ids.index(line)
    return float(found.lengths.unstretched[at] - before.unstretched[at])


def asked(found: Lived) -> list[str]:
    return list(found.lengths.brakes.asked)


def expected_m(line: str) -> float:
    found = lived(gusts(GALE))
    question = found.lengths.brakes.question(line)
    assert question is not None
    assert question.ran_out_m > 0.05
    return question.ran_out_m


@pytest.mark.parametrize(
    ("metres", "longer"), [(None, None), (0.30, 0.30), (0.0, 0.0)], ids=["as expected", "measured", "none"]
)
def test_slipped_gives_the_line_its_metres(metres: float | None, longer: float | None) -> None:
    found = lived(gusts(GALE, QUIET), {1: [AnswerBrake("3", "slipped", metres, "RV")]})
    longer = expected_m("3") if longer is None else longer
    assert length(found, "3") == pytest.approx(longer)
    assert "3" not in asked(found)
    assert asked(found), "the others are still asked"
    (event,) = found.events
    assert (event.event, event.line, event.time) == ("brake_slipped", "3", BEGIN + 1.0)
    assert event.value == pytest.approx(longer)
    assert event.text == f"Line 3: brake slipped {longer:.2f} m (RV)"


def test_held_leaves_the_line_as_it_is() -> None:
    found = lived(gusts(GALE, QUIET), {1: [AnswerBrake("3", "held", by="RV")]})
    assert length(found, "3") == 0.0
    assert "3" not in asked(found)
    (event,) = found.events
    assert (event.event, event.value) == ("brake_held", None)
    load = float(lived(gusts(GALE)).held.lines.tension_kn[0, 2])
    assert event.text == f"Line 3: brake held {load / 9.80665:.1f} t (RV)"


def test_answers_for_all_end_both_states() -> None:
    found = lived(gusts(GALE, QUIET), {1: [AnswerBrake(str(line), "held") for line in (1, 2, 3, 4)]})
    assert asked(found) == []
    assert found.lengths.brakes.slipped is None
    assert found.slipped[-1] is None


@pytest.mark.parametrize("first", ["slipped", "held"])
def test_another_answer_corrects_the_first(first: str) -> None:
    answers = [AnswerBrake("3", first), AnswerBrake("3", "slipped", 0.15)]  # type: ignore[arg-type]
    found = lived(gusts(GALE, QUIET, QUIET), {1: answers[:1], 2: answers[1:]})
    assert length(found, "3") == pytest.approx(0.15)
    back = lived(gusts(GALE, QUIET, QUIET), {1: answers[1:], 2: [AnswerBrake("3", "held")]})
    assert length(back, "3") == pytest.approx(0.0, abs=1e-12)
    assert [event.event for event in back.events] == ["brake_slipped", "brake_held"]


def test_a_correction_counts_after_the_line_was_slacked_too() -> None:
    deeds = {1: [AnswerBrake("3", "held")], 2: [TendLine("3", 0.5)], 3: [AnswerBrake("3", "slipped", 0.2)]}
    found = lived(gusts(GALE, QUIET, QUIET, QUIET), deeds)
    assert length(found, "3") == pytest.approx(0.7)


def test_rope_that_somebody_saw_run_out_counts_unasked() -> None:
    found = lived(gusts(QUIET, QUIET), {1: [AnswerBrake("3", "slipped", 0.25)]})
    assert length(found, "3") == pytest.approx(0.25)


@pytest.mark.parametrize(
    "answer",
    [AnswerBrake("3", "held"), AnswerBrake("3", "slipped"), AnswerBrake("99", "slipped", 0.2)],
    ids=["held unasked", "no metres unasked", "no such line"],
)
def test_what_answers_nothing_is_a_note(answer: AnswerBrake) -> None:
    found = lived(gusts(QUIET, QUIET), {1: [answer]})
    assert [event.event for event in found.events] == ["note"]
    assert length(found, "3") == 0.0


def test_a_brake_that_held_is_asked_again_only_above_what_it_held() -> None:
    held = {1: [AnswerBrake(str(line), "held") for line in (1, 2, 3, 4)]}
    assert asked(lived(gusts(GALE, GALE, GALE * 1.01), held)) == []
    assert asked(lived(gusts(GALE, GALE, GALE * 1.15), held)) != []
    slacked = {**held, 2: [TendLine("1", -0.02)]}
    assert "1" in asked(lived(gusts(GALE, GALE, GALE), slacked)), "it was opened and set anew"


def cell_of(line: str, kn: float, seconds: int) -> np.ndarray:
    cells = np.full((seconds, 4), np.nan)
    cells[:, int(line) - 1] = kn
    return cells


def loads_in(speed: float) -> tuple[float, float]:
    """Loads of line 1 in a wind after the gale: held, slipped."""
    found = lived(gusts(GALE, speed))
    return float(found.held.lines.tension_kn[-1, 0]), float(found.in_slipped.lines.tension_kn[0, 0])


@pytest.mark.slow
@pytest.mark.parametrize("cuts", [(), (10, 61, 62), tuple(range(1, 90))])
@pytest.mark.parametrize("slipped", [False, True])
def test_a_cell_that_agrees_for_a_minute_with_one_state_answers(slipped: bool, cuts: tuple[int, ...]) -> None:
    """Not in the gale itself, in which the loads of both states are asked at the first second: the wind after
    it parts them."""
    speeds = (GALE, *(16.0,) * 89)
    loads = loads_in(16.0)
    assert loads[0] - loads[1] > 12.0
    found = lived(gusts(*speeds), cuts=cuts, cells=cell_of("1", loads[slipped], 90))
    (event,) = [each for each in found.events if each.line == "1"]
    assert event.event == ("brake_slipped" if slipped else "brake_held")
    assert event.time in (BEGIN + 60.0, BEGIN + 61.0)
    assert "load cell" in event.text
    assert length(found, "1") == pytest.approx(expected_m("1") if slipped else 0.0)
    assert "1" not in asked(found)


def test_a_cell_is_corrected_by_the_watch() -> None:
    loads = loads_in(16.0)
    speeds = (GALE, *(16.0,) * 89)
    found = lived(gusts(*speeds), {80: [AnswerBrake("1", "held", by="RV")]}, cells=cell_of("1", loads[1], 90))
    assert [each.event for each in found.events if each.line == "1"] == ["brake_slipped", "brake_held"]
    assert length(found, "1") == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("kn", [0.0, 1000.0])
def test_a_cell_that_agrees_with_neither_says_nothing(kn: float) -> None:
    found = lived(gusts(GALE, *(16.0,) * 89), cells=cell_of("1", kn, 90))
    assert found.events == ()


def test_a_cell_that_agrees_with_both_says_nothing() -> None:
    loads = loads_in(16.0)
    found = lived(gusts(GALE, *(16.0,) * 89), cells=cell_of("1", sum(loads) / 2, 90), near_kn=100.0)
    assert found.events == ()


def test_a_cell_that_is_doubted_in_between_begins_anew() -> None:
    loads = loads_in(16.0)
    cells = cell_of("1", loads[0], 90)
    cells[40] = np.nan
    found = lived(gusts(GALE, *(16.0,) * 89), cells=cells)
    assert found.events == ()
