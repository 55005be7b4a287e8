"""Lines parted, let go, made fast anew, and what was entered wrongly taken back. Expected values: ours."""

from collections.abc import Mapping, Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.actions import Action, AnswerBrake, Correct, LineGone, MakeFast, TendLine
from alongside.cycle.deck.model import MOST_DEEDS
from alongside.cycle.lengths import Lengths
from alongside.mechanics.reasons import NoLength
from alongside.record.codec import from_text, to_text
from tests.cycle.brakes.gusts import BEGIN, GALE, Lived, gusts, lived

QUIET = 6.0
SECONDS = 8
LINES = ("1", "2", "3", "4")


def after(deeds: Mapping[int, Sequence[Action]], *speeds: float) -> Lived:
    return lived(gusts(*(speeds or (QUIET,) * SECONDS)), deeds)


def words(found: Lived) -> list[str]:
    return [event.text for event in found.events]


@pytest.mark.parametrize(("how", "why"), [("parted", NoLength.PARTED), ("let_go", NoLength.LET_GO)])
def test_a_line_that_is_gone_has_no_length_and_the_reason_it_has_none(how: str, why: NoLength) -> None:
    found = after({2: [LineGone("3", how, "RV")]})  # type: ignore[arg-type]
    assert np.isnan(found.lengths.unstretched[2])
    codes = found.held.why_no_length()[:, 2].tolist()
    assert codes == [NoLength.KNOWN] * 2 + [why] * (SECONDS - 2)
    (event,) = found.events
    assert (event.event, event.line, event.time) == (how, "3", BEGIN + 2.0)
    assert event.text == f"Line 3 {'parted' if how == 'parted' else 'let go'} (RV)"
    others = np.delete(found.held.lines.tension_kn, 2, axis=1)
    assert not np.isnan(others).any()


def test_a_line_let_go_is_made_fast_anew_by_load_as_the_ship_lies_then() -> None:
    found = after({1: [LineGone("3", "let_go")], 3: [MakeFast("3", tension_kn=40.0, by="RV")]})
    assert found.held.lines.tension_kn[-1, 2] == pytest.approx(40.0, abs=0.05)  # kN, as entered
    assert [event.event for event in found.events] == ["let_go", "made_fast"]
    assert found.events[1].text.startswith("Line 3 made fast with 4.1 t, ")


def test_by_length_it_has_that_length() -> None:
    found = after({1: [LineGone("3", "parted")], 3: [MakeFast("3", length_m=31.25)]})
    assert found.lengths.unstretched[2] == 31.25
    assert np.isinf(found.lengths.parted_at()[2])
    assert words(found)[1] == "Line 3 made fast, 31.25 m of main rope"


@pytest.mark.parametrize(
    ("deed", "why"),
    [
        (MakeFast("3", tension_kn=40.0), "it is fast"),
        (LineGone("9", "parted"), "there is no such line"),
        (Correct(line="3"), "nothing was entered that can be taken back"),
    ],
)
def test_what_cannot_be_is_a_note_and_changes_nothing(deed: Action, why: str) -> None:
    found = after({1: [deed]})
    np.testing.assert_array_equal(found.lengths.unstretched, after({}).lengths.unstretched)
    (event,) = found.events
    assert event.event == "note"
    assert why in event.text
    assert found.lengths.deeds == ()


def test_gone_twice_is_a_note() -> None:
    found = after({1: [LineGone("3", "parted"), LineGone("3", "let_go")]})
    assert [event.event for event in found.events] == ["parted", "note"]


def test_a_correction_says_what_it_takes_back_and_when_that_was_done() -> None:
    found = after({1: [TendLine("2", 0.4, by="RV")], 2: [Correct(line="2", by="TK")]})
    assert words(found)[1] == "Line 2: taken back, was wrong: slacked 0.40 m, 00:16 (TK)"
    assert found.lengths.unstretched[1] == after({}).lengths.unstretched[1]


def test_a_correction_takes_back_the_last_deed_of_that_line_alone_then_the_one_before() -> None:
    deeds: list[Action] = [TendLine("2", 0.4), TendLine("2", 0.1), TendLine("1", 0.2)]
    begun = after({}).lengths.unstretched
    once = after({1: [*deeds, Correct(line="2")]}).lengths.unstretched
    twice = after({1: [*deeds, Correct(line="2"), Correct(line="2")]}).lengths.unstretched
    np.testing.assert_allclose(once - begun, [0.2, 0.4, 0.0, 0.0], atol=1e-12)
    np.testing.assert_allclose(twice - begun, [0.2, 0.0, 0.0, 0.0], atol=1e-12)


def test_only_so_many_deeds_of_a_line_are_remembered() -> None:
    deeds: list[Action] = [TendLine("2", 0.01)] * (MOST_DEEDS + 3)
    kept = after({1: [*deeds, TendLine("1", 0.01)]}).lengths.deeds
    assert [deed.line for deed in kept] == ["2"] * MOST_DEEDS + ["1"]


def test_an_answer_taken_back_asks_again() -> None:
    speeds = (GALE, *(QUIET,) * 5)
    asked = lived(gusts(*speeds))
    back = lived(gusts(*speeds), {1: [AnswerBrake("3", "slipped", 0.3)], 2: [Correct(line="3")]})
    assert back.lengths.brakes.question("3") is not None
    assert asked.lengths.brakes.slipped is not None
    assert back.lengths.brakes.slipped is not None
    np.testing.assert_allclose(back.lengths.unstretched, asked.lengths.unstretched, atol=1e-12)
    np.testing.assert_allclose(back.lengths.brakes.slipped, asked.lengths.brakes.slipped, atol=1e-9)


def test_nothing_is_asked_of_the_brake_of_a_line_that_is_gone_until_that_is_taken_back() -> None:
    speeds = (GALE, *(QUIET,) * 5)
    gone = lived(gusts(*speeds), {1: [LineGone("3", "parted")]})
    assert gone.lengths.brakes.question("3") is None
    back = lived(gusts(*speeds), {1: [LineGone("3", "parted")], 3: [Correct(line="3")]})
    assert back.lengths.brakes.question("3") is not None
    assert back.lengths.brakes.slipped is not None
    assert np.isfinite(back.lengths.brakes.slipped).all()


amounts = st.sampled_from([-0.1, 0.05, 0.2])
deeds = st.one_of(
    st.builds(TendLine, st.sampled_from(LINES), paid_out=amounts),
    st.builds(TendLine, st.sampled_from(LINES), to_tension_kn=st.sampled_from([20.0, 60.0])),
    st.builds(LineGone, st.sampled_from(LINES), st.sampled_from(["parted", "let_go"])),
    st.builds(MakeFast, st.sampled_from(LINES), length_m=st.sampled_from([20.0, 31.25])),
    st.builds(MakeFast, st.sampled_from(LINES), tension_kn=st.sampled_from([20.0, 60.0])),
    st.builds(AnswerBrake, st.sampled_from(LINES), st.just("slipped"), st.sampled_from([0.1, 0.3])),
    st.builds(AnswerBrake, st.sampled_from(LINES), st.just("held")),
)
told = st.dictionaries(st.integers(0, SECONDS - 1), st.lists(deeds, max_size=3), max_size=4)
with_corrections = st.dictionaries(
    st.integers(0, SECONDS - 1),
    st.lists(st.one_of(deeds, st.builds(Correct, line=st.sampled_from(LINES))), max_size=4),
    max_size=5,
)
winds = st.lists(st.sampled_from([QUIET, 12.0, GALE]), min_size=SECONDS, max_size=SECONDS)


@pytest.mark.slow
@settings(max_examples=20)
@given(with_corrections, winds, st.sets(st.integers(1, SECONDS - 1)))
def test_cut_anywhere_deeds_and_corrections_give_the_same(
    actions: dict[int, list[Action]], speeds: list[float], cuts: set[int]
) -> None:
    whole, cut = lived(gusts(*speeds), actions), lived(gusts(*speeds), actions, sorted(cuts))
    np.testing.assert_allclose(cut.lengths.unstretched, whole.lengths.unstretched, atol=1e-9)
    assert [event.text for event in cut.events] == [event.text for event in whole.events]
    assert to_text(from_text(Lengths, to_text(cut.lengths))) == to_text(cut.lengths)


@pytest.mark.slow
@settings(max_examples=30)
@given(told, winds, deeds, st.integers(0, SECONDS - 2))
def test_a_corrected_deed_leaves_no_trace(
    before: dict[int, list[Action]], speeds: list[float], wrong: Action, at: int
) -> None:
    """Entered wrongly and taken back at once, or a second later with nothing in between of that line."""
    quiet = {row: those for row, those in before.items() if row <= at}
    plain = lived(gusts(*speeds), quiet)
    entered = {**quiet, at: [*quiet.get(at, []), wrong]}
    probe = lived(gusts(*speeds), entered)
    if len(probe.lengths.deeds) == len(plain.lengths.deeds):
        return  # it did not take effect
    line = wrong.line  # type: ignore[union-attr]
    now = lived(gusts(*speeds), {**quiet, at: [*entered[at], Correct(line=line)]})
    later = lived(gusts(*speeds), {**entered, at + 1: [Correct(line=line)]})
    np.testing.assert_array_equal(now.lengths.unstretched, plain.lengths.unstretched)
    np.testing.assert_array_equal(later.lengths.unstretched, plain.lengths.unstretched)
    assert now.lengths.fast == plain.lengths.fast
    assert to_text(now.lengths.deeds) == to_text(plain.lengths.deeds)
