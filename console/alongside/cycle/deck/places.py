"""A place in the arrangement for each line that is put out, and none for one that was entered wrongly."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

import numpy as np

from alongside.actions import Action, AddLine, Correct
from alongside.alerts.model import Event
from alongside.cycle.deck.altered import Rigged, altered_stay
from alongside.cycle.deck.model import last_deed
from alongside.cycle.deck.new_line import line_put_out
from alongside.cycle.deck.notes import not_done, taken_back_event
from alongside.cycle.lengths import Lengths
from alongside.errors import WrongInput
from alongside.readings import Floats
from alongside.stay.model import Stay

Each = TypeVar("Each")
Places = tuple[Lengths, Floats | None, tuple[Event, ...], tuple[Action, ...]]


def with_places(
    stay: Stay, lengths: Lengths, changed_at: Floats | None, actions: Sequence[Action], now: float
) -> Places:
    """Return the lengths with a place for each line that is put out now and without those whose putting out
    is taken back; `changed_at` (lines,) likewise; what there is to say, and the actions left to do. A new
    place is that of a line let go: it is made fast by its action. `stay` is the stay file."""
    events: list[Event] = []
    left: list[Action] = []
    alone = Counter(getattr(action, "line", "") for action in actions)
    for action in actions:
        ids = [line.id for line in altered_stay(stay, lengths.deck).lines]
        if isinstance(action, AddLine):
            try:
                line = line_put_out(altered_stay(stay, lengths.deck), lengths.gone, action, now)
            except WrongInput as error:
                events.append(not_done(now, action.line, str(error)))
                continue
            rig = Rigged(line.id, line.fairlead, line.bollard, new=line)
            lengths = _with_place(lengths, rig, now)
            changed_at = None if changed_at is None else np.append(changed_at, -np.inf)
        elif isinstance(action, Correct) and alone[action.line] == 1 and action.line in ids:
            deed = last_deed(lengths.deeds, action.line)
            if deed is not None and deed.adds:
                events.append(taken_back_event(now, stay.display, deed, action))
                at = ids.index(action.line)
                lengths = _without_place(lengths, action.line, at)
                changed_at = None if changed_at is None else np.delete(changed_at, at)
                continue
        left.append(action)
    return lengths, changed_at, tuple(events), tuple(left)


def _with_place(lengths: Lengths, rig: Rigged, now: float) -> Lengths:
    slipped = lengths.brakes.slipped
    return replace(
        lengths,
        unstretched=np.append(lengths.unstretched, np.nan),
        fast=(*lengths.fast, False),
        tended=(*lengths.tended, 0),
        parted=(*lengths.parted, np.inf) if lengths.parted else (),
        let_go=(*lengths.let_go_at().tolist(), now),
        brakes=replace(lengths.brakes, slipped=None if slipped is None else np.append(slipped, np.nan)),
        deck=lengths.deck.with_rig(rig.line, rig),
    )


def _without_place(lengths: Lengths, line: str, at: int) -> Lengths:
    brakes = lengths.brakes.without({line})
    if brakes.slipped is not None:
        brakes = replace(brakes, slipped=np.delete(brakes.slipped, at))
    return replace(
        lengths,
        unstretched=np.delete(lengths.unstretched, at),
        fast=_but(lengths.fast, at),
        tended=_but(lengths.tended, at),
        parted=_but(lengths.parted, at),
        let_go=_but(lengths.let_go, at),
        brakes=brakes,
        deck=lengths.deck.with_rig(line, None),
        deeds=tuple(deed for deed in lengths.deeds if deed.line != line),
    )


def _but(those: tuple[Each, ...], at: int) -> tuple[Each, ...]:
    return those[:at] + those[at + 1 :]
