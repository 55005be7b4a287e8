"""Times to decide by in an exercise: the limits and the wind forecast of its stay, where it shows them."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from alongside.actions import CallOut, Done
from alongside.errors import StayFaults
from alongside.reports.output_files import json_text
from alongside.training.exercise.briefing import briefing
from alongside.training.exercise.debrief import debrief
from alongside.training.exercise.debrief_json import debrief_json
from alongside.training.exercise.debrief_text import debrief_text
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.run import Playing, run_exercise
from alongside.training.exercise.staging import stay_of
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
