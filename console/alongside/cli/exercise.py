"""`alongside exercise` and `alongside debrief`, without a screen."""

import json
import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import TextIO

from alongside.actions import Done
from alongside.cycle.advance import Block
from alongside.errors import WrongInput
from alongside.record.layout import journal_of
from alongside.record.reader import RecordReader
from alongside.reports.json_lines import event_line, state_lines
from alongside.reports.time_line import timeline_row
from alongside.training.exercise.actions_file import read_actions
from alongside.training.exercise.debrief import debrief
from alongside.training.exercise.debrief_json import debrief_json
from alongside.training.exercise.debrief_text import debrief_text
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.run import blocks
from alongside.training.exercise.staging import tape_of


def done_in(path: Path, exercise: Exercise | None = None) -> tuple[Done, ...]:
    """What was done: of a file of actions, which must fit the exercise, or of a record that was kept."""
    if not path.is_dir():
        return read_actions(path, exercise)
    if not journal_of(path).exists():
        raise WrongInput(f"{path}: no record, expected a folder with one or a file of actions")
    with RecordReader(path) as record:
        return tuple(Done(each.time, each.action) for each in record.actions())


def kept_actions(exercise: Exercise, started: str) -> Path:
    """Where the actions of an exercise at the console are kept."""
    state = os.environ.get("XDG_STATE_HOME") or Path.home() / ".local" / "state"
    return Path(state) / "alongside" / "exercises" / f"{Path(exercise.file).stem}-{started}.jsonl"


def exercise_headless(
    exercise: Exercise,
    done: Sequence[Done],
    *,
    states: Path | None = None,
    events: Path | None = None,
    every: float = 1.0,
) -> None:
    """Play an exercise with these actions; states and events to files, else its time line to standard
    output. The same files in give the same bytes out."""
    player = tape_of(exercise).rewound()
    with ExitStack() as files:
        state_file, event_file = _open(files, states), _open(files, events)
        for block in blocks(exercise, player, done):
            for event in block.events:
                if event_file is not None:
                    event_file.write(f"{event_line(event)}\n")
                if states is None and events is None:
                    print(timeline_row(event, exercise.stay.display))
            if state_file is not None:
                rows = list(_rows(block, exercise.start, every))
                state_file.writelines(f"{line}\n" for line in state_lines(player.plan, block, rows))


def tell_debrief(exercise: Exercise, done: Sequence[Done], to: Path | None = None) -> None:
    """The debrief to standard output, and as JSON to a file."""
    if sys.stderr.isatty():
        print("Playing it as it was done, with nothing done, and by the best plan …", file=sys.stderr)
    found = debrief(exercise, done)
    if to is not None:
        text = json.dumps(debrief_json(found), ensure_ascii=False, allow_nan=False, indent=1)
        with ExitStack() as files:
            file = _open(files, to)
            assert file is not None, "a path was given"
            file.write(f"{text}\n")
    sys.stdout.write("".join(f"{row}\n" for row in debrief_text(found)))


def _rows(block: Block, start: float, every: float) -> Iterator[int]:
    """Rows of a block that lie whole multiples of so many seconds after the start."""
    for row, time in enumerate(block.readings.time.tolist()):
        if (time - start) % max(every, 1.0) < 1.0:
            yield row


def _open(files: ExitStack, path: Path | None) -> TextIO | None:
    if path is None:
        return None
    try:
        return files.enter_context(path.open("w", encoding="utf-8", newline="\n"))
    except OSError as error:
        raise WrongInput(f"{path}: {error.strerror}, expected a file that can be written") from error
