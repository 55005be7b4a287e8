"""What came of each act in an exercise: a tending that the lines did not take is no tending, and what was
done before the exercise or after it belongs to nobody's score."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from alongside.actions import Done, TendLine
from alongside.alerts.model import Event
from alongside.cycle.advance import Block
from alongside.training.exercise.model import Exercise


@dataclass(frozen=True, slots=True)
class Uncounted:
    """An act that does not count, and why."""

    done: Done
    why: str


def undone(done: Iterable[Done]) -> tuple[Done, ...]:
    """Acts that were taken back by going back."""
    return tuple(each for each in done if each.undone)


def outside(exercise: Exercise, done: Iterable[Done]) -> list[Uncounted]:
    """Acts that stand but lie before the exercise or after it, in order of time."""
    stands = sorted((each for each in done if not each.undone), key=lambda each: each.time)
    early = [Uncounted(each, "before the exercise began") for each in stands if each.time < exercise.start]
    late = [Uncounted(each, "after the exercise had ended") for each in stands if each.time > exercise.end]
    return early + late


def effects(acts: Sequence[Done], block: Block) -> tuple[list[Done], list[Uncounted]]:
    """Acts that took effect, each at the block's first cycle, and tendings of which nothing came."""
    now = float(block.readings.time[0])
    tended = [event for event in block.events if event.event == "tended" and event.time == now]
    took: list[Done] = []
    refused: list[Uncounted] = []
    for done in acts:
        event = _tending(tended, done.action) if isinstance(done.action, TendLine) else None
        if event is not None:
            tended.remove(event)
        if event is None and isinstance(done.action, TendLine):
            refused.append(Uncounted(done, _why_not(block, now, done.action)))
        else:
            took.append(replace(done, time=now))
    return took, refused


def _tending(tended: Sequence[Event], action: TendLine) -> Event | None:
    """The event of this tending. By hand comes after what the stay file has for the same instant."""
    own = [event for event in tended if event.line == action.line]
    if action.paid_out is not None:
        own = [event for event in own if event.value == action.paid_out]
    return own[-1] if own else None


def _why_not(block: Block, now: float, action: TendLine) -> str:
    """The words in which the watch was told."""
    told = [
        event.text
        for event in block.events
        if event.event == "note" and event.line == action.line and event.time == now
    ]
    return f"nothing came of it: {told[-1]}" if told else "nothing came of it"
