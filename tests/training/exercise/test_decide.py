"""Times to decide by in an exercise: the limits and the wind forecast of its stay, where it shows them."""

import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from alongside.actions import Acknowledge, CallOut, ChangeCargo, Done, SayTransfer
from alongside.errors import StayFaults
from alongside.reports.output_files import json_text
from alongside.training.exercise.asked_for import ACTIONS
from alongside.training.exercise.briefing import briefing
from alongside.training.exercise.debrief import Debrief, debrief
from alongside.training.exercise.debrief_json import debrief_json
from alongside.training.exercise.debrief_text import debrief_text
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.points import Part
from alongside.training.exercise.run import Playing, run_exercise
from alongside.training.exercise.staging import stay_of
from alongside.training.exercise.yardstick import Yardstick, yardstick_of
from alongside.training.other_weather import OtherWeather
from tests.berth import START
from tests.training.exercise.lived import STAY, second, write_exercise

AGREED = f"""\
decide:
  lead_min: {{tugs: 60}}
  with_transfer: [{{do: tugs, mean_kn: 30}}]
wind_forecast:
  - {{issued: {second(0)}, at: {second(14400)}, mean_kn: 20, from_deg: 200}}
  - {{issued: {second(1500)}, at: {second(9000)}, mean_kn: 40, from_deg: 210}}
"""
"""The second issue, 25 min after the log begins and 10 after the exercise does, has the wind earlier."""
SHOWN = "shows: {decide: yes}"
CALLED_S = 2220.0
CALLED = [Done(START + CALLED_S, CallOut("tugs", by="TK"))]


def written(folder: Path, more: str = SHOWN, stay: str = STAY + AGREED) -> Exercise:
    return read_exercise(write_exercise(folder, "", stay, more=more))


def words(exercise: Exercise, done: list[Done]) -> list[tuple[float, str, str]]:
    events = run_exercise(exercise, done).events
    return [(each.time - START, each.event, each.text) for each in events if each.alert == "decide"]


def test_the_alert_comes_with_the_forecast_and_a_call_answers_it(tmp_path: Path) -> None:
    exercise = written(tmp_path)
    nothing = words(exercise, [])
    assert nothing[0][0] > 1500.0, "known from its issue on, not before"
    assert re.match(r"Order tugs (by|now, due) 0\d:\d\d", nothing[0][2])
    assert "limit 30 kn" in nothing[0][2]
    assert not [text for _, event, text in nothing if event == "rectified"]
    called = words(exercise, CALLED)
    assert called[: len([each for each in nothing if each[0] <= CALLED_S])] == [
        each for each in nothing if each[0] <= CALLED_S
    ]
    over = next(text for at, event, text in called if at > CALLED_S and event in ("rectified", "cleared"))
    assert over.startswith("Tugs ordered 04:37")


def test_the_same_deeds_give_the_same_debrief_also_played_in_parts(tmp_path: Path) -> None:
    exercise = written(tmp_path)
    first, again = (json_text(debrief_json(debrief(exercise, CALLED))) for _ in range(2))
    assert first == again
    assert debrief(exercise, CALLED).judged == (), "a call that an alert asks for is none in vain"
    assert "Order tugs" in first
    playing = Playing(exercise)
    playing.play(CALLED, START + 2400.0)
    in_parts = [(each.time, each.text) for each in playing.run(CALLED).events]
    assert in_parts == [(each.time, each.text) for each in run_exercise(exercise, CALLED).events]


def test_the_debrief_knows_a_call_for_an_answer_to_the_alert(tmp_path: Path) -> None:
    expects = f"""\
expected:
  - {{deed: call, whom: tugs, since: {second(900)}, by: {second(2700)}, why: "a gale is forecast"}}
  - {{deed: call, whom: master, since: {second(900)}, by: {second(2700)}, why: "he is to know"}}"""
    exercise = written(tmp_path, f"{SHOWN}\n{expects}")
    told = debrief(exercise, [*CALLED, Done(START + CALLED_S + 5.0, CallOut("master", by="TK"))])
    (lesson,) = told.lessons
    assert (lesson.cause, lesson.subject) == ("decide", "tugs")
    assert [work.order.action for work in lesson.answers] == [CALLED[0].action], "the master is no tug"
    (alert,) = (each for each in told.as_done.alerts if each.cause == "decide")
    assert alert.seen_s == pytest.approx(START + CALLED_S - alert.raised_at, abs=1.0)
    text = "\n".join(debrief_text(told))
    assert f"call tugs by {second(2700)[11:16]}" in " ".join(text.split())
    assert re.search(r"Done: .*tugs.*, ordered 04:37", text)


EMPTY_THREAT = """\
decide:
  lead_min: {tugs: 12, gang: 8, stop_cargo: 5, disconnect: 5}
  with_transfer: [{do: tugs, mean_kn: 36}, {do: stop_cargo, mean_kn: 34}, {do: disconnect, mean_kn: 38}]
wind_forecast:
  - {issued: 2026-03-02T04:00:00Z, at: 2026-03-02T05:30:00Z, mean_kn: 45, from_deg: 210}
"""
"""It goes on to blow 10 kn: the forecast never comes true. To disconnect is due after the exercise ends, as
the wind does not rise."""
CREW = "crew: {minutes_per_line: 0, tugs: 1}"


@pytest.fixture(scope="module")
def threat(tmp_path_factory: pytest.TempPathFactory) -> tuple[Exercise, Yardstick]:
    exercise = written(tmp_path_factory.mktemp("threat"), f"{SHOWN}\n{CREW}", STAY + EMPTY_THREAT)
    return exercise, yardstick_of(exercise)


def answered(exercise: Exercise, orders: Sequence[Done], measure: Yardstick) -> Debrief:
    """With each alert acknowledged a minute after it came, as it goes with these orders; one that worsens
    after that calls once more."""
    said: list[Done] = []
    for _ in range(3):
        found = debrief(exercise, [*orders, *said], measure)
        calls = [(alert, call) for alert in found.as_done.alerts for call in alert.calls]
        said = [Done(call.since + 60.0, Acknowledge(*alert.key)) for alert, call in calls]
    return found


def part(debrief: Debrief, name: str) -> Part:
    return next(each for each in debrief.points.parts if each.name == name)


def test_the_best_plan_orders_what_is_due_and_each_at_its_warning(
    threat: tuple[Exercise, Yardstick],
) -> None:
    """Also where nothing comes of it: the limits were agreed, and by the forecast they may be reached."""
    _, measure = threat
    orders = {each.order for each in measure.called}
    assert orders == {"tugs", "gang", "stop_cargo", "disconnect"}
    works = measure.best.works
    assert {type(each.order.action) for each in works} == {CallOut, ChangeCargo, SayTransfer}
    assert not any(each.why_not for each in works)
    for called in measure.called:
        (work,) = (each for each in works if each.order.action == ACTIONS[called.order])
        assert work.order.time == pytest.approx(called.since)
        assert called.by >= called.since + 900.0, "a warning comes 15 min before"
    assert len({each.since for each in measure.called}) > 1, "what takes longer is ordered before"


def test_who_does_as_the_best_plan_does_has_all_points(threat: tuple[Exercise, Yardstick]) -> None:
    exercise, measure = threat
    orders = [each.order for each in measure.best.works]
    good = answered(exercise, orders, measure)
    assert good.points.unrounded == pytest.approx(100.0), good.points.parts
    late = [replace(each, time=measure.called[2].by + 60.0) for each in orders]
    points = [answered(exercise, each, measure).points.unrounded for each in (orders, late, [])]
    assert points == sorted(points, reverse=True)
    assert points[1] <= 100.0 - 15.0, "not one was in time"
    assert points[2] == pytest.approx(100.0 - 15.0), "of what was called for nothing was ordered"


def test_orders_long_before_they_are_due_cost_points(threat: tuple[Exercise, Yardstick]) -> None:
    exercise, measure = threat
    orders = [each.order for each in measure.best.works]
    eager = [replace(each, raised=each.since - 100.0) for each in measure.called]
    near = replace(measure, called=tuple(eager))
    at_once = [replace(each, time=exercise.start + at) for at, each in enumerate(orders)]
    good, early = (debrief(exercise, each, near) for each in (orders, at_once))
    assert good.judged == ()
    assert {each.verdict for each in early.judged} == {"no difference"}
    assert len(early.judged) == 3, "two calls and to disconnect; cargo costs by the minute"
    stops = next(each for each in measure.called if each.order == "stop_cargo")
    minutes = (stops.since - exercise.start) / 60.0
    cost = early.as_done.run.course.agreed_cost.sum() - good.as_done.run.course.agreed_cost.sum()
    assert cost == pytest.approx(8.0 * minutes, abs=16.0)
    assert part(early, "ship and lines").points < part(good, "ship and lines").points - 20.0


def test_what_is_begun_again_at_once_was_not_stopped(threat: tuple[Exercise, Yardstick]) -> None:
    exercise, measure = threat
    orders = [each.order for each in measure.best.works]
    stop = next(each for each in orders if isinstance(each.action, ChangeCargo))
    tricked = debrief(exercise, [*orders, replace(stop, time=stop.time + 61.0, action=ChangeCargo("begun"))])
    kept = debrief(exercise, orders, measure)
    words = [part(each, "alerts acted upon").counted for each in (kept, tricked)]
    assert words == ["3 of 3 orders given when due", "2 of 3 orders given when due"]


def test_it_is_left_out_where_it_is_not_shown_and_the_briefing_says_what_is(tmp_path: Path) -> None:
    hidden = written(tmp_path, more="")
    assert (hidden.stay.decide, hidden.stay.wind_forecast) == (None, ())
    assert words(hidden, []) == []
    assert not any("Decide by" in row for row in briefing(hidden, False, 1.0))
    shown = written(tmp_path)
    assert any("Decide by" in row for row in briefing(shown, False, 1.0))


@pytest.mark.parametrize(
    ("more", "stay", "fault"),
    [
        (
            "shows: {decide: yes, ahead: no}",
            STAY + AGREED,
            "decide: times to decide by without the hours ahead",
        ),
        (SHOWN, STAY, "shows.decide: nothing to decide by, expected a section decide in the stay file"),
    ],
)
def test_what_does_not_fit_is_a_fault(tmp_path: Path, more: str, stay: str, fault: str) -> None:
    with pytest.raises(StayFaults) as wrong:
        written(tmp_path, more, stay)
    assert fault in str(wrong.value)


def test_a_drawn_wind_is_forecast_as_it_blows(tmp_path: Path) -> None:
    exercise = replace(written(tmp_path), weather=OtherWeather(wind_factor=1.5, wind_deg=170.0))
    plain, drawn = exercise.stay.wind_forecast, stay_of(exercise).wind_forecast
    assert [each.mean_ms for each in drawn] == pytest.approx([1.5 * each.mean_ms for each in plain])
    assert [each.from_deg for each in drawn] == pytest.approx([10.0, 20.0])
