"""Points worked by hand. The weights are the program's own and stand in the manual; no source."""

from dataclasses import replace
from math import nan
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.actions import (
    Action,
    AddLine,
    CallOut,
    ChangeCargo,
    Done,
    LineGone,
    MakeFast,
    PutTug,
    ReadByHand,
    SayTransfer,
    SetBrake,
    TendLine,
)
from alongside.alerts.episodes import Call, Episode
from alongside.alerts.rule_model import Assessment, Rule
from alongside.errors import StayFaults
from alongside.stay.stage import Stage
from alongside.training.exercise.conduct import Attempt
from alongside.training.exercise.course import OF_THE_SHIP, Course, CourseMaker
from alongside.training.exercise.crew import Work
from alongside.training.exercise.debrief import debrief
from alongside.training.exercise.expected import came_of, met_of
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.judged import Judged, Trouble, judge
from alongside.training.exercise.let_go import with_lines_let_go
from alongside.training.exercise.model import Expected
from alongside.training.exercise.points import Costs, points_of
from alongside.training.exercise.score import AlertScore
from alongside.training.exercise.yardstick import yardstick_of
from tests.training.exercise.lived import BALANCED, flood, second, write_exercise

START = 1_772_424_000.0
STRETCH = (0.70, 0.85, 1.00)


def course(**costs: list[float]) -> Course:
    """Costs a minute of lines, and of `ship`."""
    ship = np.zeros((len(next(iter(costs.values()))), len(OF_THE_SHIP)))
    ship[:, 0] = costs.pop("ship", 0.0)  # type: ignore[arg-type]
    lines = np.array(list(costs.values()), dtype=float).reshape(len(costs), len(ship)).T
    return Course(START, tuple(costs), lines, ship, np.full(lines.shape, nan), np.full(ship.shape, nan))


def done(minute: float, action: Action, ordered: float | None = None) -> Work:
    order = Done(START + 60.0 * (minute if ordered is None else ordered), action)
    return Work(order, 2, order.time, order.time, START + 60.0 * minute)


def test_a_minute_costs_by_its_stage_and_twice_for_the_ship() -> None:
    """Line 4: a minute normal, half a minute of warning, 15 s of alarm; of line 5 nothing is known; the ship
    a minute of caution."""
    rules = (
        Rule("stretch", "4", STRETCH, line="4"),
        Rule("load", "4", STRETCH, line="4"),
        Rule("drift", "", (0.5, 1.0, 1.5)),
        Rule("ahead", "4", (60.0, nan, nan), -1, line="4"),
        Rule("feed", "gauges", (1.0, 2.0, 3.0)),
    )
    value = np.tile([0.5, 0.2, 0.1, nan, 9.0], (120, 1))
    value[60:90, 0], value[90:105, 1], value[60:, 2] = 0.9, 1.2, 0.6
    level = np.zeros(value.shape, dtype=np.int8)
    level[60:90, 0], level[90:105, 1], level[60:, 2], level[:, 4] = 2, 3, 1, 3
    maker = CourseMaker(["4", "5"], START, START + 120.0)
    for rows in (slice(0, 77), slice(77, 120)):
        part = (value[rows], level[rows], level[rows])
        maker.add(Assessment(START + np.arange(120.0)[rows], rules, *part))
    made = maker.course()
    assert made.line_cost[:2, 0] == pytest.approx([0.0, 0.5 * 4.0 + 0.25 * 10.0])
    assert made.ship_cost[:2].sum(axis=1) == pytest.approx([0.0, 2.0])
    assert made.line_cost[:2, 1] == pytest.approx([1.0, 1.0])
    assert made.cost == pytest.approx(8.5)
    assert (made.of_line("4", START, START + 60.0), made.of_line("9", START, START + 120.0)) == (0.0, 0.0)
    assert made.line_bar[:2, 0] == pytest.approx([50.0, 120.0])
    assert np.isnan(made.line_bar[:, 1]).all()


def test_a_tug_is_judged_by_the_ship_and_eases_what_costs_less() -> None:
    went = course(a=[0, 0, 4, 0, 0, 0], b=[0, 0, 0, 0, 0, 0], ship=[0, 0, 0, 0, 0, 0])
    (tug,) = judge([done(2, PutTug("bow", 300.0, 9.0))], NOTHING, went, START + 360.0)
    assert (tug.without, tug.went, tug.eased) == (6.0, 0.0, frozenset({"a"}))


def test_a_line_let_go_costs_as_an_alarm_until_another_is_put_out() -> None:
    """Let go in minute 1, another added in minute 4: three minutes. Added before, or parted: none."""
    gone, added = done(1, LineGone("a", "let_go")), done(4, AddLine("9", like="a"))
    calm = course(a=[0, 0, 0, 0, 0, 0], b=[0, 0, 0, 0, 0, 0])
    end = START + 360.0
    assert with_lines_let_go(calm, [gone, added], end).line_cost[:, 0].tolist() == [0, 10, 10, 10, 0, 0]
    assert with_lines_let_go(calm, [gone], end).line_cost[:, 0].tolist() == [0, 10, 10, 10, 10, 10]
    fast_again = done(3, MakeFast("a", tension_kn=50.0))
    assert with_lines_let_go(calm, [gone, fast_again], end).cost == 20.0
    assert with_lines_let_go(calm, [done(0, AddLine("9", like="a")), gone], end).cost == 0.0
    assert with_lines_let_go(calm, [done(1, LineGone("a", "parted"))], end).cost == 0.0
    assert with_lines_let_go(calm, [replace(gone, why_not="x")], end).cost == 0.0
    worse = with_lines_let_go(NOTHING, [gone], end)
    assert judge([gone], NOTHING, worse, end)[0].verdict == "harmed"


def test_who_is_called_over_and_over_is_work_for_nothing() -> None:
    """Once counts as no work; the engineer may be called to two gauges, the master comes once."""
    calls = [
        ("master", ""),
        ("engineer", "tide"),
        ("engineer", "heel"),
        ("master", "wind"),
        ("engineer", "tide"),
    ]
    works = [done(at, CallOut(whom, about)) for at, (whom, about) in enumerate(calls)]  # type: ignore[arg-type]
    failing = [Trouble(channel, START - 60.0, START + 360.0) for channel in ("tide", "heel")]
    again = judge(works, NOTHING, NOTHING, START + 360.0, troubles=failing)
    assert [each.work for each in again] == works[3:]
    assert {each.verdict for each in again} == {"no difference"}


@pytest.mark.parametrize(
    ("calls", "then", "in_vain"),
    [
        ([CallOut("engineer", "tide")], [], 0),
        ([CallOut("engineer", "heel")], [], 1),
        ([CallOut("linesmen")], [], 1),
        ([CallOut("linesmen")], [done(4, LineGone("a", "let_go"))], 0),
        ([CallOut("tugs")], [], 1),
        ([CallOut("tugs")], [done(4, PutTug("bow", 300.0, 9.0))], 0),
        ([CallOut("tugs")], [done(0, PutTug("bow", 300.0, 9.0))], 1),  # it is fast already
        ([CallOut("master"), CallOut("terminal")], [], 0),
    ],
)
def test_who_is_called_and_gets_nothing_to_do_is_work_for_nothing(
    calls: list[CallOut], then: list[Work], in_vain: int
) -> None:
    end = START + 360.0
    failing = [Trouble("tide", START, START + 120.0), Trouble("heel", START + 180.0, end)]
    works = [done(1, each) for each in calls]
    judged = judge([*works, *then], NOTHING, NOTHING, end, troubles=failing)
    assert sum(each.work in works for each in judged) == in_vain
    asked = judge([*works, *then], NOTHING, NOTHING, end, troubles=failing, asked_for=calls)
    assert not any(each.work in works for each in asked), "what the exercise asks for is never in vain"


NOTHING = course(a=[0, 0, 4, 4, 10, 10], b=[0, 0, 0, 0, 0, 0], ship=[0, 0, 0, 2, 2, 2])


@pytest.mark.parametrize(
    ("went", "works", "verdicts"),
    [
        (course(a=[0, 0, 0, 0, 0, 0], b=[0] * 6), [done(1, TendLine("a", paid_out=0.5))], ["helped"]),
        (course(a=[0, 4, 10, 10, 10, 10], b=[0] * 6), [done(1, TendLine("a", paid_out=-0.5))], ["harmed"]),
        (NOTHING, [done(1, TendLine("b", paid_out=0.001))], ["no difference"]),
        (  # the second undoes the first
            course(a=[0, 0, 0, 0, 20, 20], b=[0] * 6),
            [done(1, TendLine("a", paid_out=0.5)), done(4, TendLine("a", paid_out=-1.0))],
            ["helped", "harmed"],
        ),
        (course(a=[0] * 6, b=[0] * 6), [done(2, PutTug("bow", 300.0, 10.0))], ["helped"]),
        (NOTHING, [done(2, ChangeCargo("stopped")), done(3, SetBrake("a", 9.0))], ["no difference"] * 2),
        (NOTHING, [done(2, CallOut("master")), done(7, TendLine("a", paid_out=1.0))], []),
    ],
)  # fmt: skip
def test_a_deed_is_judged_by_what_it_changed(went: Course, works: list[Work], verdicts: list[str]) -> None:
    assert [each.verdict for each in judge(works, NOTHING, went, START + 360.0)] == verdicts


def alert(line: str, acknowledged_s: float | None, raised: float = START) -> AlertScore:
    call = Call(Stage.WARNING, raised, nan if acknowledged_s is None else raised + acknowledged_s)
    stages = Stage.NORMAL, Stage.WARNING
    episode = Episode("stretch", line, line, raised, *stages, "stretch", "stretch", calls=(call,))
    return AlertScore(episode, frozenset({line}))


def deed(line: str, saved: float, ordered: float = 5.0) -> Judged:
    return Judged(done(10, TendLine(line, paid_out=0.4), ordered), START + 7200.0, 100.0, 100.0 - saved)


def total(costs: Costs, *judged: Judged, alerts: tuple[AlertScore, ...] = (), **more: object) -> int:
    return points_of(costs, alerts, judged, (0, 0), **more).total  # type: ignore[arg-type]


def test_the_best_plan_has_all_points_and_nothing_done_has_none_but_for_answers() -> None:
    answered = (alert("4", 30.0),)
    assert total(Costs(300, 0, 0), deed("4", 50), alerts=answered) == 100
    assert total(Costs(300, 300, 0), alerts=answered) == 5
    assert total(Costs(300, 300, 0), alerts=(alert("4", None),)) == 0


def test_half_of_what_could_be_kept() -> None:
    """35 of 70, 5 for the answer in 2 minutes, 15 for the deed, half of 10 for the work."""
    assert total(Costs(300, 200, 100), deed("4", 50), alerts=(alert("4", 120.0),)) == 60


def test_an_answer_is_worth_less_the_later_it_comes() -> None:
    """By 6 of 10 minutes half of it: (600 - 360) / (600 - 120)."""
    points = points_of(Costs(300, 0, 0), [alert("4", 360.0)], [], (0, 0))
    assert next(part.points for part in points.parts if part.name == "alerts answered") == pytest.approx(2.5)


def test_worse_than_nothing_done_is_below_nothing() -> None:
    """It cost 600 more where 300 could be saved: 600 / 900 of 70 are taken off; 5 since no alert was left to
    answer, and 3 for a deed that did harm."""
    assert total(Costs(300, 900, 0), deed("4", -50)) == round(5 - 70 * 600 / 900 - 3)
    assert total(Costs(300, 600, 0)) == 5 - 35, "half of them where it cost as much more as could be saved"


def test_pauses_alone_take_nobody_below_nothing() -> None:
    assert total(Costs(300, 300, 0), attempt=replace(ATTEMPT, pauses=15)) == 0


def test_of_two_who_did_harm_the_one_who_did_less_has_more() -> None:
    points = [total(Costs(300, went, 0)) for went in (301, 600, 3_000, 30_000)]
    assert points == sorted(points, reverse=True)
    assert len(set(points)) == len(points)
    assert points[-1] > 5 - 70


def test_where_there_is_nothing_to_gain_doing_nothing_has_all_points() -> None:
    quiet = Costs(3.0, 3.0, 3.0)
    assert total(quiet) == 100
    assert total(quiet, deed("4", 0)) == 99
    assert total(replace(quiet, went=13.0), deed("4", -10)) == 2
    assert total(replace(quiet, went=43.0), deed("4", -40)) == round(5 - 70 * 30 / 40 - 3)


def test_needless_work_and_harm_cost_points() -> None:
    good = Costs(300, 0, 0)
    assert total(good, *[deed("4", 0)] * 10) == 90
    assert total(good, *[deed("4", 0)] * 99) == 80, "and no more than ten below none of its points"
    assert total(good, deed("4", -5)) == 97
    assert total(good, *[deed("4", -5)] * 20) == 80, "no more than that for harm"


def test_expected_deeds_are_a_fifth() -> None:
    costs = Costs(300, 0, 0)
    assert [points_of(costs, (), (), (met, 4)).total for met in (4, 2, 0)] == [100, 90, 80]


@pytest.mark.slow
def test_an_expected_deed_that_did_harm_does_not_count(tmp_path: Path) -> None:
    """Line 1 is to be slacked: half a metre is no harm, two metres hang it slack."""
    row = f"  - {{deed: tend, line: '1', way: slack, since: {second(900)}, by: {second(3000)}, why: 'so'}}"
    more = f"crew: {{minutes_per_line: 1}}\nexpected:\n{row}"
    exercise = read_exercise(write_exercise(tmp_path, "", BALANCED, flood, more=more))
    measure = yardstick_of(exercise)

    def counted(metres: float) -> tuple[float, str]:
        order = Done(exercise.start + 300.0, TendLine("1", paid_out=metres))
        parts = debrief(exercise, [order], measure).points.parts
        return next((part.points, part.counted) for part in parts if part.name == "expected deeds")

    assert counted(0.5) == (20.0, "1 of 1 in time")
    assert counted(2.0) == (0.0, "0 of 1 in time, 1 more did harm and does not count")
    assert counted(0.05) == (0.0, "0 of 1 in time, 1 more made no difference and does not count")


ATTEMPT = Attempt("A", exam=True, begun=0.0, ended=1.0, left_at=START + 3600.0)


@pytest.mark.parametrize(
    ("without", "went", "verdict"),
    [(2000, 1975, "no difference"), (2000, 1890, "helped"), (2000, 2110, "harmed"), (0, 0, "no difference")],
)
def test_a_token_of_an_expected_deed_makes_no_difference(without: float, went: float, verdict: str) -> None:
    """A hundredth of what the line costs is nothing that a trainer asked for."""
    work = done(2, TendLine("a", paid_out=0.05), ordered=1.0)
    calm = course(a=[0] * 6)
    deeds = [Judged(work, START + 360.0, without, went)]
    assert came_of(expected(line="a", way="slack"), [work], deeds, calm, calm) == verdict
    eased = course(a=[0] * 6, ship=[0, 0, 8, 8, 8, 8])
    assert came_of(expected(line="a"), [work], [replace(deeds[0], went=without)], eased, calm) == "helped"


def test_each_call_of_an_alert_counts_for_itself() -> None:
    """It was acknowledged as a warning, and not again when it came to alarm: half of the points."""
    (once,) = (alert("4", 30.0),)
    again = Call(Stage.ALARM, START + 900.0)
    both = replace(once, episode=replace(once.episode, calls=(*once.calls, again)))
    part = next(p for p in points_of(Costs(300, 0, 0), (both,), (), (0, 0)).parts if "answered" in p.name)
    assert (part.points, part.counted) == (2.5, "1 of 2 warnings and alarms acknowledged")


def test_looks_ahead_and_pauses_cost_points_up_to_twenty() -> None:
    def with_(**counts: int) -> int:
        return total(Costs(300, 0, 0), attempt=replace(ATTEMPT, **counts))  # type: ignore[arg-type]

    assert with_(looked_ahead=1) == with_(went_back=1) == with_(jumped_on=1) == 98
    assert with_(pauses=3) == 97
    assert with_(went_back=500) == 80


def test_who_leaves_early_has_not_passed() -> None:
    def passed(left: float, mark: int | None = 60) -> bool | None:
        went = replace(ATTEMPT, left_at=START + left)
        return points_of(Costs(9, 0, 0), (), (), (0, 0), attempt=went, mark=mark, end=START + 3600.0).passed

    assert (passed(3600.0), passed(1800.0), passed(3600.0, None)) == (True, False, None)


def test_an_alert_is_acted_upon_by_a_deed_on_a_line_that_bears_on_it() -> None:
    costs, asked = Costs(300, 0, 0), (alert("4", 30.0),)

    def acted(*judged: Judged) -> float:
        parts = points_of(costs, asked, judged, (0, 0)).parts
        return next(part.points for part in parts if part.name == "alerts acted upon")

    assert acted(deed("4", 50)) == 15.0
    assert acted(deed("5", 50)) == 0.0, "another line"
    assert acted(deed("4", 0)) == 0.0, "no difference"
    assert acted(deed("4", 50, ordered=31.0)) == 0.0, "half an hour late"
    tug = Judged(done(5, PutTug("bow", 300.0, 9.0)), START + 7200.0, 9.0, 0.0)
    assert acted(tug) == 0.0, "it helped the ship, and not line 4"
    assert acted(replace(tug, eased=frozenset({"4"}))) == 15.0


@given(st.floats(0, 1e4), st.floats(0, 1e4), st.floats(0, 1e4), st.floats(0, 1e4))
def test_who_keeps_her_better_has_no_fewer_points(nothing: float, best: float, a: float, b: float) -> None:
    better, worse = sorted((a, b))
    costs = [Costs(nothing, went, best) for went in (better, worse)]
    assert 0.0 <= costs[1].kept <= costs[0].kept <= 1.0
    assert 0.0 <= costs[0].harm <= costs[1].harm < 1.0
    assert all(each.kept == 0.0 for each in costs if each.harm > 0.0)


def expected(**more: object) -> Expected:
    kind = str(more.pop("deed", "tend"))
    return Expected(kind, START, START + 600.0, "why", **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("wanted", "action", "met"),
    [
        (expected(line="4", way="slack"), TendLine("4", paid_out=0.3), True),
        (expected(line="4", way="slack"), TendLine("4", paid_out=-0.3), False),
        (expected(line="4", way="slack"), TendLine("4", to_tension_kn=30.0), True),
        (expected(line="4"), TendLine("5", paid_out=0.3), False),
        (expected(deed="call", whom="master"), CallOut("master", "wind"), True),
        (expected(deed="call", whom="master"), CallOut("tugs"), False),
        (expected(deed="call", whom="engineer", channel="tide"), CallOut("engineer", "tide"), True),
        (expected(deed="call", whom="engineer", channel="tide"), CallOut("engineer", "heel"), False),
        (expected(deed="read", channel="tide"), ReadByHand((("tide", 2.0),), START), True),
        (expected(deed="read", channel="heel"), ReadByHand((("tide", 2.0),), START), False),
        (expected(deed="cargo"), ChangeCargo("stopped"), True),
        (expected(deed="cargo"), ChangeCargo("begun"), False),
        (expected(deed="cargo"), ChangeCargo("rate", rate=100.0), True),
        (expected(deed="cargo", what="stopped", operation="hold 1"), ChangeCargo("stopped"), True),
        (expected(deed="cargo", what="stopped", operation="hold 1"), ChangeCargo("stopped", "hold 2"), False),
        (expected(deed="cargo", what="stopped"), ChangeCargo("rate", rate=100.0), False),
        (expected(deed="transfer"), SayTransfer(False), True),
        (expected(deed="transfer"), SayTransfer(True), False),
        (expected(deed="transfer", what="connected"), SayTransfer(True), True),
        (expected(deed="tug"), ChangeCargo("stopped"), False),
    ],
)
def test_what_the_trainer_expects(wanted: Expected, action: Action, met: bool) -> None:
    assert (met_of(wanted, [done(20, action, ordered=10.0)]) is not None) == met
    assert met_of(wanted, [done(20, action, ordered=10.1)]) is None, "too late"
    assert met_of(wanted, [done(20, action, ordered=-0.1)]) is None, "too early"
    assert met_of(wanted, [replace(done(20, action, ordered=1.0), why_not="x")]) is None


@pytest.mark.parametrize(
    ("item", "fault"),
    [
        ("deed: tend, line: '9'", "there is no line '9'"),
        ("deed: dance", "deed: 'dance'"),
        ("deed: call, way: slack", "only a tending has one"),
        ("deed: tend, whom: master", "only a call has one"),
        ("deed: read, channel: rain", "there is no channel of the feeds 'rain'"),
        ("order: dance", "expected[0].order: 'dance' is no order, expected call tugs, call engineer tide"),
        ("order: call nobody", "is no order, expected master, terminal"),
        ("order: call engineer rain", "expected nothing behind 'engineer', or a channel of the feeds"),
        ("order: stop cargo hold 9", "expected an operation of the plan, hold 1, hold 2"),
        ("order: slack 9", "is no order, expected a line of the stay, 1, 2, 3"),
        ("order: stop cargo, deed: cargo", "one of both is needed, expected either `deed`, or `order`"),
        ("line: '2'", "one of both is needed"),
        ("order: slack 2, way: slack", "says all of what is expected, expected none of line"),
    ],
)
def test_expected_deeds_are_checked(tmp_path: Path, item: str, fault: str) -> None:
    row = f"  - {{{item}, since: {second(1000)}, by: {second(2000)}, why: x}}"
    with pytest.raises(StayFaults) as refused:
        read_exercise(write_exercise(tmp_path, "", more=f"expected:\n{row}"))
    assert fault in str(refused.value)


@pytest.mark.parametrize(
    ("order", "keys"),
    [
        ("call tugs", {"deed": "call", "whom": "tugs"}),
        ("Order pilot", {"deed": "call", "whom": "pilot"}),
        ("call gang", {"deed": "call", "whom": "linesmen"}),
        ("master", {"deed": "call", "whom": "master"}),
        ("call terminal", {"deed": "call", "whom": "terminal"}),
        ("engineer tide", {"deed": "call", "whom": "engineer", "channel": "tide"}),
        ("stop cargo", {"deed": "cargo", "what": "stopped"}),
        ("cargo stopped hold 1", {"deed": "cargo", "what": "stopped", "operation": "hold 1"}),
        ("cargo rate 300", {"deed": "cargo", "what": "rate"}),
        ("disconnect", {"deed": "transfer", "what": "disconnected"}),
        ("transfer disconnected", {"deed": "transfer", "what": "disconnected"}),
        ("heave line 2", {"deed": "tend", "line": "2", "way": "heave"}),
    ],
)
def test_an_order_is_expected_in_the_words_of_the_console(
    tmp_path: Path, order: str, keys: dict[str, Any]
) -> None:
    row = f"  - {{order: {order}, since: {second(1000)}, by: {second(2000)}, why: 'so'}}"
    exercise = read_exercise(write_exercise(tmp_path, "", more=f"expected:\n{row}"))
    begin = exercise.start - 900.0
    assert exercise.expected == (Expected(since=begin + 1000, by=begin + 2000, why="so", **keys),)


def test_what_nobody_can_do_within_the_exercise_is_a_fault(tmp_path: Path) -> None:
    row = f"  - {{order: stop cargo, since: {second(100)}, by: {second(200)}, why: 'so'}}"
    with pytest.raises(StayFaults) as refused:
        read_exercise(write_exercise(tmp_path, "", more=f"expected:\n{row}"))
    assert "expected[0].by: nobody can do it within the exercise" in str(refused.value)


def test_expected_deeds_are_read(tmp_path: Path) -> None:
    row = f"  - {{deed: tend, line: '2', way: heave, since: {second(1000)}, by: {second(2000)}, why: 'so'}}"
    exercise = read_exercise(write_exercise(tmp_path, "", more=f"expected:\n{row}"))
    begin = exercise.start - 900.0
    assert exercise.expected == (Expected("tend", begin + 1000, begin + 2000, "so", line="2", way="heave"),)
