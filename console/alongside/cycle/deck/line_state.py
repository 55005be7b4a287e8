"""One line out of the lengths, with what is asked of its brake, and put back into them."""

from dataclasses import replace
from math import isfinite, nan

import numpy as np

from alongside.cycle.brakes.model import Brakes
from alongside.cycle.deck.loads_read import of_line
from alongside.cycle.deck.model import LineState, last_deed, taken_back
from alongside.cycle.lengths import Lengths
from alongside.cycle.line_row import LastDeed
from alongside.readings import Floats


def line_state(lengths: Lengths, index: int, line: str) -> LineState:
    """Return all that a deed may change of one line, `line` its id."""
    brakes = lengths.brakes
    return LineState(
        float(lengths.unstretched[index]),
        nan if brakes.slipped is None else float(brakes.slipped[index]),
        lengths.fast[index],
        float(lengths.parted_at()[index]),
        float(lengths.let_go_at()[index]),
        lengths.tended[index],
        brakes.question(line),
        brakes.answer(line),
        lengths.deck.rig(line),
        of_line(lengths.loads_read, line),
    )


def with_line_state(lengths: Lengths, index: int, line: str, state: LineState) -> Lengths:
    """Return the lengths with one line as in a state."""
    unstretched, parted, let_go = lengths.unstretched.copy(), lengths.parted_at(), lengths.let_go_at()
    unstretched[index], parted[index], let_go[index] = state.unstretched_m, state.parted, state.let_go
    fast, tended = list(lengths.fast), list(lengths.tended)
    fast[index], tended[index] = state.fast, state.tended
    return replace(
        lengths,
        unstretched=unstretched,
        fast=tuple(fast),
        tended=tuple(tended),
        parted=tuple(parted.tolist()) if np.isfinite(parted).any() else (),
        let_go=tuple(let_go.tolist()) if np.isfinite(let_go).any() else (),
        brakes=_brakes(lengths.brakes, unstretched, index, line, state),
        deck=lengths.deck.with_rig(line, state.rig),
        loads_read=(*(each for each in lengths.loads_read if each.line != line), *state.loads_read),
    )


def deed_to_take_back(lengths: Lengths, index: int, line: str) -> LastDeed | None:
    """Return what was entered of a line last; None where nothing was that may be taken back."""
    deed = last_deed(lengths.deeds, line)
    if deed is None:
        return None
    before = taken_back(line_state(lengths, index, line), deed)
    return LastDeed(deed.words, deed.time, before.unstretched_m, deed.by)


def _brakes(brakes: Brakes, unstretched: Floats, index: int, line: str, state: LineState) -> Brakes:
    """Return what is remembered of brakes with question and answer of one line as in a state."""
    answers = tuple(each for each in brakes.answers if each.line != line)
    answers += () if state.answer is None else (state.answer,)
    questions = tuple(each for each in brakes.questions if each.line != line)
    questions += () if state.question is None else (state.question,)
    if not questions:
        return Brakes((), None, answers)
    slipped = unstretched.copy() if brakes.slipped is None else brakes.slipped.copy()
    # A line that was out when the others came into question has one length in both states.
    slipped[index] = state.slipped_m if isfinite(state.slipped_m) else unstretched[index]
    return Brakes(questions, slipped, answers)
