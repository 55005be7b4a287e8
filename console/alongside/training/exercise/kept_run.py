"""What came of an exercise as somebody did it, kept from one debrief to the next: the page to print that
follows the text has it at once.

It is known again by a digest of all that it follows from: the exercise and all that goes with it, and what
was ordered. One that is missing or cannot be read is played again.
"""

import json
import zlib
from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from hashlib import sha256
from typing import Final, get_args

from alongside.actions import Action, Done
from alongside.errors import AlongsideError
from alongside.feeds.kept_files import KeptFiles
from alongside.record.codec import from_text, to_text
from alongside.training.exercise.answers import met_by
from alongside.training.exercise.effects import Uncounted
from alongside.training.exercise.kept_yardstick import key_of
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.run import Playing, Run, Seen, unseen

RULES: Final = 2
"""Goes up when what is written changes."""
KEPT: Final = KeptFiles("runs", ".run", 1 << 24)
ACTIONS: Final[dict[str, type[Action]]] = {kind.__name__: kind for kind in get_args(Action)}


@dataclass(frozen=True, slots=True)
class _Row:
    """Something that was done, its action by its class as a record has it; `why` it did not count."""

    time: float
    kind: str
    action: str
    why: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class _Kept:
    """A run without its actions, and these."""

    run: Run
    done: tuple[_Row, ...]
    uncounted: tuple[_Row, ...]


def kept_run(exercise: Exercise, done: Sequence[Done], playing: Playing, seen: Seen = unseen) -> Run:
    """Return what came of an exercise played with these orders, as an earlier debrief left it, else played on
    from where `playing` is, and kept. Raises WrongInput where its log is too short."""
    key = _key(exercise, done)
    known = _read(key, exercise, done)
    if known is None:
        known = playing.run(done, seen)
        # A folder that cannot be written, or a full disk, only makes the next debrief as long as this one.
        with suppress(OSError):
            _write(key, known)
    return known


def _key(exercise: Exercise, done: Sequence[Done]) -> str:
    parts = [RULES, key_of(exercise), *([each.undone, *_row(each)] for each in done)]
    return sha256(json.dumps(parts).encode()).hexdigest()[:40]


def _read(key: str, exercise: Exercise, done: Sequence[Done]) -> Run | None:
    try:
        file = KEPT.opened(key)
        if file is None:
            return None
        with file:
            kept = from_text(_Kept, zlib.decompress(file.read()))
        took = tuple(_done(row) for row in kept.done)
        uncounted = tuple(Uncounted(_done(row), row.why) for row in kept.uncounted)
    except (OSError, AlongsideError, ValueError, KeyError, zlib.error):
        return None  # what cannot be read is played
    return replace(kept.run, works=met_by(exercise, done), done=took, uncounted=uncounted)


def _write(key: str, run: Run) -> None:
    bare = replace(run, works=(), done=(), uncounted=())
    kept = _Kept(bare, _rows(run.done), tuple(_Row(*_row(each.done), each.why) for each in run.uncounted))
    data = zlib.compress(to_text(kept).encode(), 1)
    with KEPT.begin(len(data)) as part:
        part.write(data)
        part.keep(key)


def _rows(done: Iterable[Done]) -> tuple[_Row, ...]:
    return tuple(_Row(*_row(each)) for each in done)


def _row(done: Done) -> tuple[float, str, str]:
    return done.time, type(done.action).__name__, to_text(done.action)


def _done(row: _Row) -> Done:
    return Done(row.time, from_text(ACTIONS[row.kind], row.action))
