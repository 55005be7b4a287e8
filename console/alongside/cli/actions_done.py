"""What was done in an exercise: from a file of actions, or from a record."""

from pathlib import Path

from alongside.actions import Done
from alongside.errors import WrongInput
from alongside.record.layout import journal_of
from alongside.record.reader import RecordReader
from alongside.training.exercise.actions_file import read_actions
from alongside.training.exercise.model import Exercise


def actions_done(path: Path, exercise: Exercise | None = None) -> tuple[Done, ...]:
    """Return the actions of a file, which must fit the exercise, or of a record that was kept."""
    if not path.is_dir():
        return read_actions(path, exercise)
    if not journal_of(path).exists():
        raise WrongInput(f"{path}: no record, expected a folder with one or a file of actions")
    with RecordReader(path) as record:
        return tuple(Done(each.time, each.action) for each in record.actions())
