"""What befell lines, by what a watch entered, and without what it took back."""

from dataclasses import replace
from pathlib import Path

import pytest

from alongside.actions import AnswerBrake, Correct, LineGone, MakeFast
from alongside.alerts.model import Event
from alongside.cycle.deck.altered import AS_WRITTEN
from alongside.cycle.deck.model import OtherDeed
from alongside.cycle.deck.notes import taken_back_event
from alongside.record.reader import RecordReader
from alongside.record.ropes.on_deck import on_deck
from alongside.record.ropes.use import Use, uses_in
from alongside.stay.model import Display
from tests.berth import START, STAY_TEXT, a_stay
from tests.record.kept import ASKED, Watch, worn_stay

TEXT = STAY_TEXT.replace("balance: off", "")


def uses(watch: Watch, folder: Path) -> dict[str, Use]:
    watch.end()
    with RecordReader(folder) as record:
        return {use.part.line: use for use in uses_in(record)}


@pytest.mark.slow
def test_lines_that_parted_were_let_go_and_made_fast_again(tmp_path: Path) -> None:
    """Line 1 parts after 20 s and 2 after 20 s, which was wrong; line 3 is let go and made fast again."""
    folder = tmp_path / "record"
    done = {
        20: LineGone("1", "parted", "RV"),
        21: LineGone("2", "parted", "RV"),
        25: Correct(line="2", by="RV"),
        30: LineGone("3", "let_go", "RV"),
        40: MakeFast("3", tension_kn=20.0, by="RV"),
    }
    found = uses(Watch(a_stay(tmp_path, TEXT), folder).run(60, dict(done)), folder)
    assert round(found["1"].until - START) == 20
    assert round(found["1"].parted_at - START) == 20
    assert round(found["2"].until - START) == 60
    assert found["2"].parted_at != found["2"].parted_at
    assert round(found["3"].until - START) == 60
    assert found["3"].parted_at != found["3"].parted_at


@pytest.mark.slow
def test_a_line_let_go_carries_no_more(tmp_path: Path) -> None:
    folder = tmp_path / "record"
    watch = Watch(a_stay(tmp_path, TEXT), folder).run(60, {30: LineGone("3", "let_go", "RV")})
    found = uses(watch, folder)
    assert round(found["3"].until - START) == 30
    assert found["3"].known_s <= 30.0
    assert found["3"].carried_s <= found["3"].known_s


@pytest.mark.slow
@pytest.mark.parametrize("corrected", [False, True])
def test_a_brake_that_slipped_as_answered(tmp_path: Path, corrected: bool) -> None:
    folder = tmp_path / "record"
    watch = Watch(worn_stay(tmp_path), folder).run(ASKED)
    watch.run(2, {ASKED + 1: AnswerBrake("1", "slipped", 0.1, "RV")})
    if corrected:
        watch.run(2, {ASKED + 3: AnswerBrake("1", "held", by="RV")})
    found = uses(watch, folder)
    assert [round(at - START) for at in found["1"].slips] == ([] if corrected else [ASKED + 1])


def test_a_brake_that_slipped_and_then_held_at_another_alert() -> None:
    """Two questions, two answers: the second corrects nothing."""
    slipped = Event(10.0, "brake_slipped", line="4", value=0.2, text="Line 4 slipped 0.20 m")
    raised = Event(20.0, "raised", alert="brake", subject="4", line="4", text="Line 4 brake 98 %")
    held = Event(30.0, "brake_held", line="4", text="Line 4 held")
    assert on_deck([slipped, raised, held]).slipped == {"4": (10.0,)}
    assert on_deck([slipped, held]).slipped == {}
    assert on_deck([slipped, Event(20.0, "brake_held", line="5", text="")]).slipped == {"4": (10.0,)}


def test_two_who_take_back_together_take_back() -> None:
    """`RV, TK` in the form: the comma was taken for the one before the time, and the rope stayed parted."""
    for by in ("", "RV", "RV, TK", "R (2nd), TK"):
        parted = Event(10.0, "parted", line="4", text="Line 4 parted (RV)")
        deed = OtherDeed("line 4", 10.0, "parted", AS_WRITTEN)
        back = taken_back_event(20.0, Display(), deed, Correct(line="4", by=by))
        back = replace(back, line="4")
        assert on_deck([parted, back]).parted == {}, by
