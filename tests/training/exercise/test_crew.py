"""Who does what is ordered, and when: worked by hand for the small exercise's berth, whose lines lead over
fairleads at known stations; walking at 1 m/s. Minutes are invented."""

from dataclasses import replace
from math import inf
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.actions import (
    Acknowledge,
    Action,
    AddLine,
    CallOut,
    ChangeCargo,
    Correct,
    Done,
    LineGone,
    Note,
    PutTug,
    ReadByHand,
    SetBrake,
    TendLine,
)
from alongside.stay.model import Stay
from alongside.training.exercise.crew import Work, works
from alongside.training.exercise.model import Crew
from tests.berth import a_stay
from tests.training.exercise.lived import STAY

FOUR = Crew(hands=4, hands_per_line=2, minutes_per_line=10.0)
SLACK = 0.5


@pytest.fixture(scope="module")
def stay(tmp_path_factory: pytest.TempPathFactory) -> Stay:
    return a_stay(tmp_path_factory.mktemp("stay"), STAY)


def tend(at: float, line: str = "2") -> Done:
    return Done(at, TendLine(line, paid_out=SLACK))


def ends(stay: Stay, crew: Crew, *orders: Done) -> list[float]:
    return [work.end for work in works(stay, crew, orders)]


def station(stay: Stay, line: str) -> float:
    return next(stay.ship.fairleads[each.fairlead].x for each in stay.lines if each.id == line)


def test_hands_walk_to_the_line_and_then_take_its_minutes(stay: Stay) -> None:
    walk = abs(station(stay, "2") - stay.ship.lbp / 2.0)
    (work,) = works(stay, FOUR, [tend(100.0)])
    assert (work.hands, work.leave, work.begin) == (2, 100.0, 100.0 + walk)
    assert work.end == pytest.approx(700.0 + walk, abs=1.0)


def test_lines_at_one_place_are_done_two_at_a_time(stay: Stay) -> None:
    first = ends(stay, FOUR, tend(0.0))[0]
    assert ends(stay, FOUR, *(tend(0.0) for _ in range(6))) == [
        first, first, first + 600.0, first + 600.0, first + 1200.0, first + 1200.0,
    ]  # fmt: skip


def test_twelve_lines_with_two_hands_take_two_hours(stay: Stay) -> None:
    two = replace(FOUR, hands=2)
    done = ends(stay, two, *(tend(float(k)) for k in range(12)))
    assert done[-1] - done[0] == pytest.approx(11 * 600.0)


def test_one_man_takes_twice_as_long(stay: Stay) -> None:
    walk = abs(station(stay, "2") - stay.ship.lbp / 2.0)
    assert ends(stay, replace(FOUR, hands=1), tend(0.0))[0] == pytest.approx(1200.0 + walk, abs=1.0)


def test_nobody_does_nothing(stay: Stay) -> None:
    (work,) = works(stay, replace(FOUR, hands=0), [tend(0.0)])
    assert (work.end, work.why_not) == (inf, "there are no hands")


def test_as_many_hands_as_wanted_take_their_minutes_all_the_same(stay: Stay) -> None:
    any_number = replace(FOUR, hands=None)
    assert ends(stay, any_number, *(tend(0.0) for _ in range(9))) == [600.0] * 9


def test_the_master_turns_out_more_hands(stay: Stay) -> None:
    alone = replace(FOUR, hands=1, more_hands=4, master_min=10.0)
    without = ends(stay, alone, tend(0.0), tend(1.0), tend(2.0))
    called = ends(stay, alone, tend(0.0), tend(1.0), tend(2.0), Done(3.0, CallOut("master")))
    walk = abs(station(stay, "2") - stay.ship.lbp / 2.0)
    assert without[2] == pytest.approx(3600.0 + walk, abs=2.0)
    assert called[1] == pytest.approx(603.0 + walk + 600.0, abs=2.0)
    assert called[2] == called[1], "four came: both lines at once"


def test_linesmen_must_be_on_the_quay(stay: Stay) -> None:
    add = AddLine("9", like="2")
    walk = abs(station(stay, "2") - stay.ship.lbp / 2.0)
    assert ends(stay, FOUR, Done(0.0, add))[0] == pytest.approx((20 + 25) * 60.0 + walk, abs=1.0)
    called = ends(stay, FOUR, Done(0.0, CallOut("linesmen")), Done(900.0, add))
    assert called[1] == pytest.approx((20 + 25) * 60.0 + walk, abs=1.0), "called a quarter of an hour before"


def test_work_that_waits_for_linesmen_lets_others_by(stay: Stay) -> None:
    two = replace(FOUR, hands=2)
    add, tended = works(stay, two, [Done(0.0, AddLine("9", like="2")), tend(1.0)])
    assert tended.leave == 1.0
    assert add.leave == 1200.0


def test_tugs_come_in_their_time_and_are_as_many_as_there_are(stay: Stay) -> None:
    first, again, second = works(
        stay,
        FOUR,
        [
            Done(0.0, PutTug("bow", 300.0, 70.0)),
            Done(3000.0, PutTug("bow", 200.0, 70.0)),
            Done(3001.0, PutTug("stern", 300.0, 10.0)),
        ],
    )
    assert (first.end, again.end) == (2700.0, 3060.0)
    assert second.why_not == "no more tugs to be had here: there are only 1"


def test_what_needs_no_hands_takes_effect_at_once(stay: Stay) -> None:
    orders = [Done(5.0, Acknowledge("drift", "")), Done(6.0, Note("x")), Done(7.0, LineGone("2", "parted"))]
    assert ends(stay, replace(FOUR, hands=0), *orders) == [5.0, 6.0, 7.0]


def test_cargo_reading_and_brake(stay: Stay) -> None:
    cargo, read, brake = works(
        stay,
        FOUR,
        [
            Done(0.0, ChangeCargo("stopped")),
            Done(0.0, ReadByHand((("tide", 2.0),), 0.0)),
            Done(0.0, SetBrake("1", 60.0)),
        ],
    )
    assert cargo.end == 300.0
    assert (read.hands, read.end) == (1, 300.0), "amidships, where the hands are"
    assert (brake.hands, brake.end - brake.begin) == (1, pytest.approx(300.0, abs=1.0))


def test_an_order_is_taken_back_while_nobody_has_begun(stay: Stay) -> None:
    two = replace(FOUR, hands=2)
    begun, waits, back = works(stay, two, [tend(0.0), tend(1.0, "1"), Done(2.0, Correct(line="1"))])
    assert begun.end < inf
    assert waits.why_not == "taken back before anybody began"
    late = works(stay, two, [tend(0.0), Done(2.0, Correct(line="2"))])[1]
    assert late.why_not == "what was done stays done: order it back"
    assert back.end == 2.0


ACTIONS: st.SearchStrategy[Action] = st.one_of(
    st.sampled_from(["1", "2"]).map(lambda line: TendLine(line, paid_out=SLACK)),
    st.sampled_from(["1", "2"]).map(lambda line: SetBrake(line, 60.0)),
    st.sampled_from(["1", "2"]).map(lambda line: Correct(line=line)),
    st.sampled_from(["a", "b"]).map(lambda tug: PutTug(tug, 200.0, 40.0)),
    st.sampled_from(["master", "linesmen", "tugs", "terminal"]).map(CallOut),  # type: ignore[arg-type]
    st.just(AddLine("9", like="2")),
    st.just(ReadByHand((("tide", 2.0),), 0.0)),
)
ORDERS = st.lists(st.tuples(st.integers(0, 7200), ACTIONS), max_size=14).map(
    lambda given: [Done(float(at), action) for at, action in sorted(given, key=lambda each: each[0])]
)
CREWS = st.builds(
    Crew,
    hands=st.one_of(st.none(), st.integers(0, 6)),
    hands_per_line=st.integers(1, 4),
    minutes_per_line=st.integers(0, 30).map(float),
    more_hands=st.integers(0, 4),
)


@given(ORDERS, CREWS, st.integers(0, 7200))
def test_what_comes_later_changes_nothing_that_is_done(
    stay: Stay, orders: list[Done], crew: Crew, now: int
) -> None:
    before = [order for order in orders if order.time <= now]
    whole, known = works(stay, crew, orders)[: len(before)], works(stay, crew, before)
    for later, earlier in zip(whole, known, strict=True):
        if earlier.begin <= now or earlier.end <= now or later.end <= now:
            assert later == earlier


@given(ORDERS, CREWS)
def test_never_more_hands_at_work_than_there_are(stay: Stay, orders: list[Done], crew: Crew) -> None:
    if crew.hands is None:
        return
    done = [work for work in works(stay, crew, orders) if work.hands]
    called = [each.time for each in orders if each.action == CallOut("master")]
    come = min(called, default=inf) + 60.0 * crew.master_min
    for each in done:
        busy = sum(other.hands for other in done if other.leave <= each.leave < other.end)
        assert busy <= crew.hands + (crew.more_hands if each.leave >= come else 0)


@given(ORDERS, CREWS)
def test_every_order_is_done_or_has_a_reason(stay: Stay, orders: list[Done], crew: Crew) -> None:
    for work in works(stay, crew, orders):
        assert work.why_not or work.end < inf
        assert work.end >= work.order.time
        assert not work.hands or work.order.time <= work.leave <= work.begin <= work.end


def test_undone_orders_are_left_out(stay: Stay, tmp_path: Path) -> None:
    assert works(stay, FOUR, [replace(tend(0.0), undone=True)]) == ()
    assert isinstance(works(stay, FOUR, [tend(0.0)])[0], Work)
