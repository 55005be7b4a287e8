"""What an exercise is measured by, kept from one debrief to the next.

It is known again by a digest of all that it follows from: the exercise, its stay, its log and the program.
One that is missing or cannot be read is worked out anew.
"""

import zlib
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Final

from alongside.actions import CallOut, ChangeCargo, Done, SayTransfer, TendLine
from alongside.errors import AlongsideError, WrongInput
from alongside.feeds.kept_files import KeptFiles
from alongside.feeds.log_identity import identity
from alongside.record.codec import from_text, to_text
from alongside.runtime.kept_play import program
from alongside.training.exercise.answers import met_by
from alongside.training.exercise.model import Exercise, Instructed, Message, Vary
from alongside.training.exercise.run import Beginning
from alongside.training.exercise.yardstick import Shown, Yardstick, not_shown, yardstick_of

RULES: Final = 4
"""Goes up when what is written changes."""
KEPT: Final = KeptFiles("exercises", ".yardstick", 1 << 26)


Deed = TendLine | CallOut | ChangeCargo | SayTransfer
"""What a best plan has."""


@dataclass(frozen=True, slots=True, eq=False)
class _Kept:
    """A yardstick without the actions of its runs, which a record knows by their class: nothing was done in
    the one; in the other these were ordered, and these took effect, each at a time."""

    yardstick: Yardstick
    ordered: tuple[tuple[float, Deed], ...]
    done: tuple[tuple[float, Deed], ...]


def kept_yardstick(exercise: Exercise, shown: Shown = not_shown) -> Yardstick:
    """Return what an exercise is measured by, as an earlier debrief left it, else worked out and kept. Raises
    WrongInput where its log is too short."""
    key = key_of(exercise)
    known = _read(key, exercise)
    exercise = measured(exercise)
    if known is None:
        known = yardstick_of(exercise, shown)
        # A folder that cannot be written, or a full disk, only makes the next debrief as long as this one.
        with suppress(OSError):
            _write(key, known)
    return known


def kept_beginning(exercise: Exercise) -> Beginning | None:
    """Return how things stand as an exercise begins, where an earlier debrief left that; else None."""
    known = _read(key_of(exercise), exercise)
    return None if known is None else known.beginning


def measured(exercise: Exercise) -> Exercise:
    """Return what of an exercise it is measured by: without messages, marks and freezes, which change nothing
    of the stay. What an instructor put in is among all injections."""
    injections = tuple(each for each in exercise.injections if not isinstance(each, Message))
    return replace(exercise, injections=injections, instructed=Instructed())


def key_of(exercise: Exercise) -> str:
    """Return the digest of all that the yardstick of an exercise follows from. Raises WrongInput for a log
    that cannot be read."""
    bare = replace(measured(exercise), file="", log="", digest="", seed=None, vary=Vary())
    plain = to_text(replace(bare, stay=replace(exercise.stay, file="")))
    kinds = [type(each).__name__ for each in bare.injections]
    try:
        with open(exercise.log, "rb") as log:
            return identity(log, RULES, plain, kinds, program())
    except OSError as error:
        why = error.strerror or error
        raise WrongInput(f"{exercise.log}: {why}, expected a feed log, plain or .gz") from error


def _read(key: str, exercise: Exercise) -> Yardstick | None:
    try:
        file = KEPT.opened(key)
        if file is None:
            return None
        with file:
            kept = from_text(_Kept, zlib.decompress(file.read()))
    except (OSError, AlongsideError, ValueError, zlib.error):
        return None  # what cannot be read is worked out
    ordered, done = (tuple(Done(*each) for each in some) for some in (kept.ordered, kept.done))
    best = replace(kept.yardstick.best, works=met_by(exercise, ordered), done=done)
    return replace(kept.yardstick, best=best)


def _write(key: str, known: Yardstick) -> None:
    ordered = [each.order for each in known.best.works]
    bare = replace(known, best=replace(known.best, works=(), done=(), uncounted=()))
    data = zlib.compress(to_text(_Kept(bare, _plain(ordered), _plain(known.best.done))).encode(), 1)
    with KEPT.begin(len(data)) as part:
        part.write(data)
        part.keep(key)


def _plain(done: Iterable[Done]) -> tuple[tuple[float, Deed], ...]:
    return tuple((each.time, each.action) for each in done if isinstance(each.action, Deed))
