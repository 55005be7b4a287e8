"""The actions file: what was written is read, and every fault bears its line."""

import json
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.actions import (
    Acknowledge,
    Correct,
    Done,
    ForecastWind,
    GiveOrder,
    HandOver,
    Note,
    ReadByHand,
    SayTransfer,
    SelfTest,
    Silence,
    TakeOver,
    TendLine,
    WithdrawOrder,
)
from alongside.cli.actions_done import actions_done
from alongside.cli.main import main
from alongside.errors import WrongInput
from alongside.readings import READ_BY_HAND
from alongside.reports.manual_pages import page
from alongside.stay.causes import CAUSES
from alongside.training.exercise.action_rows import KINDS
from alongside.training.exercise.actions_file import read_actions, write_actions
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.model import Exercise
from alongside.wording.typed_reading import WAYS
from tests.berth import START
from tests.training.exercise.lived import BEGIN, END, second, write_exercise

AT = second(1200)


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_exercise(tmp_path_factory.mktemp("exercise"), "")


@pytest.fixture(scope="module")
def exercise(path: Path) -> Exercise:
    return read_exercise(path)


def test_actions_are_read_by_time_and_read_back_as_written(tmp_path: Path) -> None:
    rows = """\
{"time": "2026-03-02T04:20:00Z", "action": "acknowledge", "cause": "holding", "subject": "", "by": "TK"}
{"time": "2026-03-02T04:10:00.500Z", "action": "silence"}

{"time": "2026-03-02T04:30:00Z", "action": "tend", "line": "2", "to_tension_kn": 30, "undone": true}
{"time": "2026-03-02T04:40:00Z", "action": "take_over", "by": "RV", "undone": false}
"""
    given_rows, written = tmp_path / "given.jsonl", tmp_path / "written.jsonl"
    given_rows.write_text(rows, encoding="utf-8")
    done = read_actions(given_rows)
    assert [each.time - START for each in done] == [600.5, 1200.0, 1800.0, 2400.0]
    assert [each.undone for each in done] == [False, False, True, False]
    write_actions(written, done)
    assert read_actions(written) == done
    assert ["undone" in json.loads(row) for row in written.read_text().splitlines()] == [
        each.undone for each in done
    ]


def test_a_former_name_of_a_cause_is_read_as_the_present_one(tmp_path: Path) -> None:
    actions = tmp_path / "older.jsonl"
    row = {"time": AT, "action": "acknowledge", "cause": "soon", "subject": "2", "by": "TK"}
    actions.write_text(json.dumps(row), encoding="utf-8")
    (done,) = read_actions(actions)
    assert done.action == Acknowledge("ahead", "2", "TK")


words = st.text(st.characters(codec="utf-8"), max_size=12)
tends = st.builds(TendLine, st.sampled_from("123"), paid_out=st.floats(-50.0, 50.0), by=words) | st.builds(
    TendLine, st.sampled_from("123"), to_tension_kn=st.floats(0.1, 200.0), by=words
)
moments = st.integers(BEGIN, END).map(lambda at: START + at)
acts = (
    tends
    | st.builds(Acknowledge, st.sampled_from(CAUSES), words, words)
    | st.builds(Silence, words)
    | st.builds(Note, words, words)
    | st.builds(TakeOver, words, st.booleans(), words)
    | st.builds(HandOver, words)
    | st.builds(GiveOrder, words, words)
    | st.builds(WithdrawOrder, words, words)
    | st.builds(SelfTest, st.booleans(), st.booleans(), words, words)
    | st.builds(
        ReadByHand,
        st.dictionaries(st.sampled_from(READ_BY_HAND[:5]), st.floats(0.0, 9.0), min_size=1).map(
            lambda values: tuple(values.items())
        ),
        moments,
        st.sampled_from(WAYS),
        st.floats(0.0, 3.0),
        words,
    )
    | st.builds(
        ForecastWind, moments, st.floats(0.0, 40.0), st.floats(0.0, 60.0), st.floats(0.0, 360.0), words
    )
    | st.builds(Correct, st.sampled_from(READ_BY_HAND), words)
)


@pytest.mark.slow
@given(st.lists(st.builds(Done, st.integers(BEGIN, END).map(lambda at: START + at), acts, st.booleans())))
def test_all_that_the_console_can_write_is_read(
    tmp_path_factory: pytest.TempPathFactory, exercise: Exercise, done: list[Done]
) -> None:
    """Whatever is typed into a note, and whatever the console lets be tended."""
    written = tmp_path_factory.getbasetemp() / "any.jsonl"
    written.unlink(missing_ok=True)
    write_actions(written, done)
    assert read_actions(written, exercise) == tuple(sorted(done, key=lambda each: each.time))


FAULTS = (
    ("{", "no JSON"),
    (
        '{"time": "2026-03-02 04:20", "action": "silence"}',
        "expected a time such as",
    ),
    (f'{{"time": "{AT}", "action": "heave"}}', "action: 'heave', expected one of acknowledge"),
    (f'{{"time": "{AT}", "action": "tend", "line": "2"}}', "expected exactly one of paid_out and to_tension"),
    (f'{{"time": "{AT}", "action": "tend", "line": "2", "paid_out": "0.4"}}', "expected a number"),
    (f'{{"time": "{AT}", "action": "acknowledge", "cause": "stretch"}}', "subject: missing"),
    (f'{{"time": "{AT}", "action": "note", "text": "x", "line": "2"}}', "line: unknown, expected text, by"),
    (
        f'{{"time": "{AT}", "action": "acknowledge", "cause": "stretsh", "subject": "2"}}',
        "cause: 'stretsh' is no cause of alerts, expected perhaps 'stretch'",
    ),
    (
        f'{{"time": "{AT}", "action": "tend", "line": "9", "paid_out": 0.4}}',
        "line: there is no line '9', expected one of 1, 2, 3",
    ),
    (
        f'{{"time": "{AT}", "action": "tend", "line": "2", "paid_out": -50.5}}',
        "paid_out: -50.5 m at once, expected at most 50 m either way",
    ),
    (
        f'{{"time": "{AT}", "action": "tend", "line": "2", "to_tension_kn": 0}}',
        "to_tension_kn: 0, expected more than 0",
    ),
    (
        f'{{"time": "{second(BEGIN - 1)}", "action": "tend", "line": "2", "paid_out": 0.4}}',
        "time: 2026-03-02T04:14:59Z is outside the exercise, expected between 2026-03-02T04:15:00Z and",
    ),
    (
        f'{{"time": "{second(END + 1)}", "action": "tend", "line": "2", "paid_out": 0.4}}',
        "time: 2026-03-02T04:58:21Z is outside the exercise",
    ),
    (
        f'{{"time": "{AT}", "action": "read", "values": {{"tide": 99}}, "at": "{AT}"}}',
        "values: tide 99 m is not possible",
    ),
    (
        f'{{"time": "{AT}", "action": "read", "values": {{"moon": 1}}, "at": "{AT}"}}',
        "values: 'moon' is not read by hand",
    ),
    (
        f'{{"time": "{AT}", "action": "read", "values": [3.4], "at": "{AT}"}}',
        "expected an object of channels and values",
    ),
    (
        f'{{"time": "{AT}", "action": "read", "values": {{"tide": 3}}, "at": "{AT}", "way": "x"}}',
        "way: 'x', expected quay, boat, waves",
    ),
    (f'{{"time": "{AT}", "action": "silence", "undone": "yes"}}', "undone: 'yes', expected true or false"),
)


@pytest.mark.parametrize("command", ["debrief", "exercise"])
def test_every_fault_bears_its_line(
    tmp_path: Path, path: Path, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    actions = tmp_path / "done.jsonl"
    actions.write_text("\n".join(row for row, _ in FAULTS), encoding="utf-8")
    more = [str(actions)] if command == "debrief" else ["--headless", "--actions", str(actions)]
    assert main([command, str(path), *more]) == 2
    faults = capsys.readouterr().err.splitlines()
    assert [row.split(":")[1] for row in faults] == [str(at) for at in range(1, len(FAULTS) + 1)]
    for row, (_, fault) in zip(faults, FAULTS, strict=True):
        assert fault in row


def test_what_else_lies_outside_is_left_to_the_debrief(tmp_path: Path, exercise: Exercise) -> None:
    actions = tmp_path / "done.jsonl"
    write_actions(actions, [Done(START, Note("early"))])
    assert actions_done(actions, exercise) == (Done(START, Note("early")),)
    with pytest.raises(WrongInput, match="cannot be read"):
        actions_done(tmp_path / "none.jsonl", exercise)


KEYS = (
    "time",
    "action",
    "line",
    "paid_out",
    "to_tension_kn",
    "cause",
    "subject",
    "text",
    "by",
    "undone",
    "values",
    "at",
    "way",
)
plain = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=3) | st.just(10**400)
anything = st.recursive(
    plain | st.sampled_from([AT, "tend", "note", "acknowledge", "steep"]),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(st.text(max_size=2), inner, max_size=2),
    max_leaves=3,
)


@pytest.mark.slow
@given(st.dictionaries(st.sampled_from(KEYS), anything))
def test_whatever_a_row_holds_is_an_action_or_a_fault(
    tmp_path_factory: pytest.TempPathFactory, exercise: Exercise, row: dict[str, object]
) -> None:
    path = tmp_path_factory.getbasetemp() / "odd.jsonl"
    for text in (json.dumps(row), "[" * 100_000):
        path.write_text(text)
        with suppress(WrongInput):
            read_actions(path, exercise)


@pytest.mark.parametrize("name", ["outputs", "exercises"])
def test_the_manual_names_every_action(name: str) -> None:
    rows = [row for row in page(name).splitlines() if "`action`" in row]
    assert any(all(f"`{kind}`" in row for kind in KINDS) for row in rows)


@pytest.mark.parametrize("connected", [True, False])
def test_whether_arms_are_connected_is_read_back(tmp_path: Path, connected: bool) -> None:
    """What is false was left out, and the list of who disconnects could not be read."""
    path, done = tmp_path / "done.jsonl", (Done(START + 1000.0, SayTransfer(connected, "TK")),)
    write_actions(path, done)
    assert tuple(read_actions(path)) == done
    older = path.read_text().replace(',"connected":false', "").replace(', "connected": false', "")
    path.write_text(older)
    assert tuple(read_actions(path)) == done
