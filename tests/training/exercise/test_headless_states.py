"""States of an exercise without a screen, on a grid that its actions do not keep to."""

import json
from pathlib import Path

import pytest

from alongside.cli.main import main
from tests.training.exercise.lived import BALANCED, TENDED, second, write_exercise

ACTIONS = [
    {"action": "tend", "line": "2", "paid_out": 0.05},
    {"action": "tend", "line": "1", "to_tension_kn": 30.0},
    {"action": "brake", "line": "2", "did": "slipped", "metres": 0.05},
    {"action": "take_over", "by": "YY"},
    {"action": "note", "text": "looked"},
    {"action": "silence"},
    {"action": "acknowledge", "cause": "steep", "subject": "1"},
    {
        "action": "accept",
        "cause": "steep",
        "subject": "1",
        "until": second(3000),
        "reason": "short",
        "by": "YY",
    },
    {"action": "judge", "channel": "tide", "right": "gauge"},
]


def states(folder: Path, exercise: Path, actions: Path, every: str) -> tuple[list[dict], list[dict]]:
    out = folder / f"{every}.states", folder / f"{every}.events"
    command = ["exercise", str(exercise), "--headless", "--actions", str(actions), "--every", every]
    assert main([*command, "--states", str(out[0]), "--events", str(out[1])]) == 0
    read = [[json.loads(row) for row in path.read_text().splitlines()] for path in out]
    return read[0], read[1]


@pytest.mark.slow
@pytest.mark.parametrize("stay", [TENDED, BALANCED])
def test_states_on_a_grid_are_those_of_every_cycle_there(tmp_path: Path, stay: str) -> None:
    """Ours: each action by itself half a minute off the grid, so that a block of no due row comes of it."""
    exercise = write_exercise(tmp_path, "", stay, end=1800)
    actions = tmp_path / "actions.jsonl"
    rows = [{"time": second(930 + 60 * at), **each} for at, each in enumerate(ACTIONS)]
    actions.write_text("".join(f"{json.dumps(row)}\n" for row in rows))
    whole, events = states(tmp_path, exercise, actions, "1")
    some, same = states(tmp_path, exercise, actions, "60")
    assert some == whole[::60]
    assert same == events
    assert any(event["event"] == "watch_taken" for event in events)
