"""The debrief of a small exercise: a flood of 2.9 m an hour that stretches line 2 as nobody tends it."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.actions import Done, Note, TendLine
from alongside.cli.actions_done import actions_done
from alongside.cli.main import main
from alongside.errors import WrongInput
from alongside.stay.stage import Stage
from alongside.training.exercise.actions_file import write_actions
from alongside.training.exercise.best_plan import plan_of
from alongside.training.exercise.debrief import Debrief, Outcome, debrief
from alongside.training.exercise.debrief_json import debrief_json
from alongside.training.exercise.debrief_text import debrief_text
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.lessons import Lived, lessons_of
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.run import run_exercise
from tests.berth import START, a_stay
from tests.record.kept import Watch
from tests.training.exercise.lived import BEGIN, END, STAY, flood, second, write_exercise

TEND = Done(START + 1400.0, TendLine("2", paid_out=0.4, by="TK"))


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_exercise(tmp_path_factory.mktemp("exercise"), "", STAY, flood)


@pytest.fixture(scope="module")
def exercise(path: Path) -> Exercise:
    return read_exercise(path)


@pytest.fixture(scope="module")
def debriefed(exercise: Exercise) -> Debrief:
    return debrief(exercise, [TEND])


def test_every_second_of_every_line_is_at_some_stage_or_not_known(debriefed: Debrief) -> None:
    for outcome in debriefed.outcomes:
        whole = outcome.run.seconds.sum(axis=1) + outcome.run.unknown_s
        assert whole.tolist() == [END - BEGIN + 1] * 3


def test_what_is_done_changes_what_follows(debriefed: Debrief) -> None:
    done, nothing = debriefed.as_done, debriefed.nothing_done
    line = done.run.lines.index("2")
    assert done.run.stretch[line] < nothing.run.stretch[line]
    assert done.seconds_at(Stage.ALARM) < nothing.seconds_at(Stage.ALARM)
    assert (done.rounds, done.moves, nothing.rounds) == (1, 1, 0)
    assert nothing.alerts[0].acted_s is None


def test_time_to_act_is_that_of_the_tending(debriefed: Debrief) -> None:
    stretch = next(alert for alert in debriefed.as_done.alerts if alert.key == ("stretch", "2"))
    assert stretch.acted_s == pytest.approx(TEND.time - stretch.raised_at)
    assert stretch.seen_s == stretch.acted_s
    assert stretch.rectified_s is not None


def test_the_best_plan_keeps_stretch_short_of_a_warning(debriefed: Debrief) -> None:
    assert debriefed.plan.is_fewest
    assert 1 <= debriefed.best.rounds <= len(debriefed.plan.rounds)
    worst = [
        alert
        for alert in debriefed.best.alerts
        if alert.cause in ("stretch", "load") and alert.stage > Stage.CAUTION
    ]
    assert worst == []
    assert np.nanmax(debriefed.best.run.stretch) < 0.85


@pytest.mark.slow
def test_peaks_are_those_of_the_seconds(exercise: Exercise, tmp_path: Path, path: Path) -> None:
    states = tmp_path / "states.jsonl"
    assert main(["exercise", str(path), "--headless", "--states", str(states)]) == 0
    rows = [json.loads(row) for row in states.read_text().splitlines()]
    assert len(rows) == END - BEGIN + 1
    shares = [row["lines"][1]["stretch_share"] for row in rows]
    nothing = run_exercise(exercise, ())
    assert nothing.stretch[1] == pytest.approx(max(shares), abs=1e-6)
    assert nothing.stretch_at[1] - START - BEGIN == shares.index(max(shares))
    stages = [row["lines"][1]["stage"] for row in rows]
    assert nothing.seconds[1].tolist() == [stages.count(stage.word) for stage in Stage]


def test_rounds_are_planned_past_a_time_at_which_a_gauge_was_lost(tmp_path: Path) -> None:
    silent = f"  - {{kind: silent, channel: tide, at: {second(1000)}, seconds: 420}}\n"
    lost = read_exercise(write_exercise(tmp_path, silent, STAY, flood))
    plan = plan_of(lost, run_exercise(lost, ()))
    assert {move.line for each in plan.rounds for move in each.moves} == {1}
    assert plan.good_until > START + END - 60.0


def test_text_and_json_say_the_same(debriefed: Debrief) -> None:
    text, plain = "\n".join(debrief_text(debriefed)), debrief_json(debriefed)
    json.dumps(plain, allow_nan=False)
    assert "Rounds made: 1, 1 line tended" in text
    assert "Line 2 slacked 0.40 m, TK" in text
    assert plain["rounds"]["made"] == [{"time": second(1400), "lines": ["2"]}]
    assert [alert["alert"] for alert in plain["alerts"]] == [
        alert.cause for alert in debriefed.as_done.alerts
    ]
    assert set(plain["outcomes"]) == {"as_done", "nothing_done", "best_plan"}
    first = plain["alerts"][0]
    assert first["acknowledged_s"] is None, "nobody acknowledged it"


def test_same_files_in_same_bytes_out(path: Path, tmp_path: Path) -> None:
    actions = tmp_path / "done.jsonl"
    write_actions(actions, [TEND, Done(START + 1500.0, Note("line 2 slacked", "TK"))])
    outputs = []
    for name in ("one", "two"):
        events, states = tmp_path / f"{name}.events", tmp_path / f"{name}.states"
        command = ["exercise", str(path), "--headless", "--actions", str(actions), "--every", "60"]
        assert main([*command, "--events", str(events), "--states", str(states)]) == 0
        outputs.append((events.read_bytes(), states.read_bytes()))
    assert outputs[0] == outputs[1]
    events = [json.loads(row) for row in outputs[0][0].splitlines()]
    assert [event["text"] for event in events if event["event"] == "tended"] == ["Line 2 slacked 0.40 m, TK"]
    assert len(outputs[0][1].splitlines()) == (END - BEGIN) // 60 + 1


def test_the_command_tells_and_writes(path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    actions, out = tmp_path / "done.jsonl", tmp_path / "debrief.json"
    write_actions(actions, [TEND])
    assert main(["debrief", str(path), str(actions), "--json", str(out)]) == 0
    assert capsys.readouterr().out.startswith("Debrief: Small exercise\n")
    assert json.loads(out.read_text())["exercise"] == "Small exercise"


def test_what_was_done_is_read_from_a_record_too(tmp_path: Path) -> None:
    watch = Watch(a_stay(tmp_path), tmp_path / "record").run(20, {10: TEND.action})
    watch.end()
    (done,) = actions_done(tmp_path / "record")
    assert done.action == TEND.action
    assert done.time == pytest.approx(START + 10.0, abs=1.0)
    with pytest.raises(WrongInput, match="no record"):
        actions_done(tmp_path)


def test_a_tending_stands_under_its_line_though_none_cures_the_alert(
    exercise: Exercise, debriefed: Debrief
) -> None:
    """A lead that comes steep is not cured by tending; that the line was tended is so all the same."""

    def steep(outcome: Outcome) -> Lived:
        alerts = [
            replace(alert, episode=replace(alert.episode, cause="steep"), bearing=frozenset())
            for alert in outcome.alerts
            if alert.episode.line == "2"
        ]
        return Lived(alerts, outcome.run.events, outcome.run.course)

    lived = [steep(each) for each in debriefed.outcomes]
    works = debriefed.as_done.run.works
    lessons = lessons_of(exercise.stay, lived[0], lived[1], lived[2], debriefed.plan, debriefed.judged, works)
    (lesson,) = [each for each in lessons if each.line == "2"]
    assert lesson.cause == "steep"
    assert [each.work.order for each in lesson.deeds] == [TEND]
