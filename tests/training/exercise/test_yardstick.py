"""What an exercise is measured by: the same for whatever was done, the same from where it was kept. Expected
values: ours."""

import zlib
from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import pytest

from alongside.actions import Acknowledge, Done, TendLine
from alongside.cli.main import main
from alongside.record.codec import from_text, to_text
from alongside.training.exercise.actions_file import write_actions
from alongside.training.exercise.course import Course
from alongside.training.exercise.debrief import debrief
from alongside.training.exercise.debrief_json import debrief_json
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.kept_yardstick import kept_beginning, key_of
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.run import Beginning, Played, Playing, Run, beginning_of, run_exercise
from alongside.training.exercise.yardstick import yardstick_of
from tests.berth import START
from tests.training.exercise.lived import BALANCED, flood, second, write_exercise

ACTS = (
    Done(START + 1300.0, Acknowledge("stretch", "2", "TK")),
    Done(START + 1400.0, TendLine("2", paid_out=0.4, by="TK")),
    Done(START + 2100.0, TendLine("1", paid_out=-0.1, by="TK")),
)
TROUBLE = (
    f"  - {{kind: silent, channel: tide, at: {second(1000)}, seconds: 300}}\n"
    f"  - {{kind: gust, at: {second(1700)}, seconds: 600, speed_kn: 40, from_deg: 180}}\n"
)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return write_exercise(tmp_path, TROUBLE, BALANCED, flood)


@pytest.fixture
def exercise(path: Path) -> Exercise:
    return read_exercise(path)


def assert_same(one: Run | Course, other: Run | Course) -> None:
    for each in fields(one):
        ours, theirs = getattr(one, each.name), getattr(other, each.name)
        if isinstance(ours, np.ndarray) and isinstance(one, Course):
            # A block that begins elsewhere finds the balance from elsewhere: the last bit of a share differs.
            np.testing.assert_allclose(ours, theirs, rtol=1e-12, err_msg=each.name)
        elif isinstance(ours, np.ndarray):
            np.testing.assert_array_equal(ours, theirs, err_msg=each.name)
        elif isinstance(ours, Course):
            assert_same(ours, theirs)
        else:
            assert ours == theirs, each.name


@pytest.mark.slow
def test_from_its_beginning_it_comes_out_as_played_whole(exercise: Exercise) -> None:
    """To the last bit, and read back from text too."""
    beginning = from_text(Beginning, to_text(beginning_of(exercise)))
    assert_same(run_exercise(exercise, ACTS), run_exercise(exercise, ACTS, beginning))


@pytest.mark.slow
def test_it_is_the_same_whatever_was_done(exercise: Exercise) -> None:
    idle, busy = debrief(exercise, ()), debrief(exercise, ACTS)
    assert idle.plan.rounds == busy.plan.rounds != ()
    assert_same(idle.nothing_done.run, busy.nothing_done.run)
    assert_same(idle.best.run, busy.best.run)
    assert_same(idle.as_done.run, idle.nothing_done.run)
    assert busy.as_done.moves == 2


@pytest.mark.slow
def test_what_is_undone_or_outside_is_not_played_but_said(exercise: Exercise) -> None:
    measure = yardstick_of(exercise)
    early = Done(START + 10.0, TendLine("2", paid_out=0.4, by="TK"))
    found = debrief(exercise, [early, replace(ACTS[1], undone=True)], measure).as_done.run
    assert found.undone == 1
    assert [each.done for each in found.uncounted] == [early]
    assert_same(replace(found, undone=0, uncounted=()), measure.nothing)


def kept_file(cache: Path) -> Path:
    (file,) = (cache / "alongside" / "exercises").iterdir()
    return file


@pytest.mark.slow
@pytest.mark.parametrize("spoilt", ["as it is", "cut", "other", "older", "missing", "folder"])
def test_kept_missing_or_spoilt_the_debrief_is_the_same(
    path: Path, tmp_path: Path, cache: Path, capsys: pytest.CaptureFixture[str], spoilt: str
) -> None:
    actions = tmp_path / "done.jsonl"
    write_actions(actions, ACTS)
    outputs = []
    for number in (1, 2):
        out = tmp_path / f"{number}.json"
        assert main(["debrief", str(path), str(actions), "--json", str(out)]) == 0
        outputs.append((out.read_bytes(), capsys.readouterr().out))
        file = kept_file(cache)
        if number == 1:
            whole = file.read_bytes()
            if spoilt == "cut":
                file.write_bytes(whole[: len(whole) // 2])
            elif spoilt == "other":
                file.write_bytes(zlib.compress(b"{}"))
            elif spoilt == "older":
                older = zlib.decompress(whole).replace(b'"seconds"', b'"secs"')
                file.write_bytes(zlib.compress(older))
            elif spoilt in ("missing", "folder"):
                file.unlink()
            if spoilt == "folder":
                file.mkdir()
    assert outputs[0] == outputs[1]
    if spoilt != "folder":
        assert kept_file(cache).read_bytes() == whole, "worked out anew it is the same"


@pytest.mark.slow
def test_a_headless_run_goes_on_from_what_is_kept(path: Path, tmp_path: Path, exercise: Exercise) -> None:
    actions = tmp_path / "done.jsonl"
    write_actions(actions, ACTS)
    outputs = []
    for number in (1, 2):
        states, events = tmp_path / f"{number}.states", tmp_path / f"{number}.events"
        command = ["exercise", str(path), "--headless", "--actions", str(actions)]
        assert main([*command, "--states", str(states), "--events", str(events)]) == 0
        outputs.append((states.read_bytes(), events.read_bytes()))
        assert (kept_beginning(exercise) is None) == (number == 1)
        assert main(["debrief", str(path), str(actions)]) == 0
    assert outputs[0] == outputs[1]


@pytest.mark.slow
def test_nothing_can_be_kept_and_the_debrief_comes_all_the_same(
    path: Path, tmp_path: Path, cache: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    cache.write_text("a file where the folder would be")
    actions = tmp_path / "done.jsonl"
    write_actions(actions, ACTS)
    assert main(["debrief", str(path), str(actions)]) == 0
    captured = capsys.readouterr()
    assert captured.out.startswith("Debrief: Small exercise\n")
    assert captured.err == ""
    assert cache.read_text() == "a file where the folder would be"


def test_the_key_is_of_all_that_it_follows_from(exercise: Exercise, path: Path) -> None:
    first = key_of(exercise)
    assert key_of(read_exercise(path)) == first
    lines = exercise.stay.lines
    others = [
        replace(exercise, end=exercise.end - 60.0),
        replace(exercise, injections=exercise.injections[:1]),
        replace(exercise, shows=replace(exercise.shows, ahead=False)),
        replace(exercise, stay=replace(exercise.stay, lines=lines[:-1])),
    ]
    assert len({first, *map(key_of, others)}) == 1 + len(others)
    log = Path(exercise.log)
    log.write_bytes(log.read_bytes().replace(b"30,R,5.0", b"30,R,5.1", 1))
    assert key_of(exercise) != first


@pytest.mark.slow
def test_figures_of_the_kept_one_are_those_worked_out(exercise: Exercise) -> None:
    measure = yardstick_of(exercise)
    fresh, given = debrief(exercise, ACTS), debrief(exercise, ACTS, measure)
    assert debrief_json(fresh) == debrief_json(given)


@pytest.mark.slow
@pytest.mark.parametrize("later", [0, 1, 2], ids=["all other", "the last two other", "the last other"])
def test_what_is_the_same_of_two_runs_is_played_once_and_comes_out_the_same(
    exercise: Exercise, later: int
) -> None:
    """But for the last bit of means, which are added up from elsewhere; whatever was played before: with
    nothing done, with all, and with the first of it."""
    beginning, played = beginning_of(exercise), Played(exercise)
    for before in ((), ACTS, ACTS[:1]):
        run_exercise(exercise, before, beginning, played=played)
    acts = [*ACTS[:later], *(replace(each, time=each.time + 61.0) for each in ACTS[later:])]
    shared = run_exercise(exercise, acts, beginning, played=played)
    alone = run_exercise(exercise, acts, beginning)
    assert [(each.time, each.event, each.text) for each in shared.events] == [
        (each.time, each.event, each.text) for each in alone.events
    ]
    assert (shared.works, shared.done, shared.called) == (alone.works, alone.done, alone.called)
    for name in ("seconds", "unknown_s", "stretch", "stretch_at", "load", "times", "paths", "levels"):
        ours, theirs = getattr(shared, name), getattr(alone, name)
        np.testing.assert_allclose(ours, theirs, rtol=1e-12, err_msg=name)
    for name in ("line_cost", "ship_cost", "agreed_cost", "line_bar", "ship_bar"):
        ours, theirs = getattr(shared.course, name), getattr(alone.course, name)
        np.testing.assert_allclose(ours, theirs, rtol=1e-12, err_msg=name)
    assert played.farthest([]) is not None


def test_another_exercise_is_played_for_itself(exercise: Exercise) -> None:
    other = replace(exercise, injections=exercise.injections[:1])
    played = Played(other)
    with_none = Playing(exercise, None, played)
    with_none.play((), exercise.start + 1800.0)
    assert played.farthest([]) is None
