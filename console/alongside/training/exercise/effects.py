"""Which actions of an exercise count. A tending that the lines did not take does not, nor does what was done
before the exercise or after it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from alongside.actions import Done, TendLine
from alongside.alerts.model import Event
from alongside.cycle.block import Block
from alongside.training.exercise.model import Exercise


@dataclass(frozen=True, slots=True)
class Uncounted:
    """An action that does not count, and why."""

    done: Done
    why: str


def undone(done: Iterable[Done]) -> tuple[Done, ...]:
    """Return actions that were undone by going back."""
    return tuple(each for each in done if each.undone)


def outside(exercise: Exercise, done: Iterable[Done]) -> list[Uncounted]:
    """Return actions that stand but lie before the exercise or after it, in order of time."""
    stands = sorted((each for each in done if not each.undone), key=lambda each: each.time)
    early = [Uncounted(each, "before the exercise began") for each in stands if each.time < exercise.start]
    late = [Uncounted(each, "after the exercise had ended") for each in stands if each.time > exercise.end]
    return early + late


def effects(actions: Sequence[Done], block: Block) -> tuple[list[Done], list[Uncounted]]:
    """Return actions that took effect, each at the block's first cycle, and tendings that did not."""
    now = float(block.readings.time[0])
    tended = [event for event in block.events if event.event == "tended" and event.time == now]
    took: list[Done] = []
    refused: list[Uncounted] = []
    for done in actions:
        event = _tending(tended, done.action) if isinstance(done.action, TendLine) else None
        if event is not None:
            tended.remove(event)
        if event is None and isinstance(done.action, TendLine):
            refused.append(Uncounted(done, _why_not(block, now, done.action)))
        else:
            took.append(replace(done, time=now))
    return took, refused


def _tending(tended: Sequence[Event], action: TendLine) -> Event | None:
    """The event of this tending: the last, for those of the stay file come before those by hand."""
    own = [event for event in tended if event.line == action.line]
    if action.paid_out is not None:
        own = [event for event in own if event.value == action.paid_out]
    return own[-1] if own else None


def _why_not(block: Block, now: float, action: TendLine) -> str:
    """The reason that the console gave."""
    notes = [
        event.text
        for event in block.events
        if event.event == "note" and event.line == action.line and event.time == now
    ]
    return f"no effect: {notes[-1]}" if notes else "no effect"
