"""The lines through a stretch of instants in which nobody touches them, in both states of what is asked of
their brakes."""

from dataclasses import dataclass, replace
from math import nan

import numpy as np
from numpy.typing import NDArray

from alongside.alerts.over_brake import OverBrake
from alongside.cycle.brakes.model import BrakeQuestion, Brakes
from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.hold import hold, stacked
from alongside.mechanics.render import GRIP, render
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Hold
from alongside.readings import Floats

Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class SlippedState:
    """n instants as they are if every brake in question slipped: how the set holds her then, and what is in
    question."""

    hold: Hold
    over: OverBrake

    def rows(self, start: int, stop: int) -> "SlippedState":
        """Return the instants start..stop-1 as views."""
        part = slice(start, stop)
        over = OverBrake(self.over.ran_out_m[part], self.over.most_kn[part])
        return SlippedState(self.hold.rows(start, stop), over)


@dataclass(frozen=True, slots=True, eq=False)
class BothStates:
    """n instants as they are if all brakes held, and if those in question slipped; None where none is in
    question at any of them. `brakes` is what was remembered before the first."""

    held: Hold
    slipped: SlippedState | None
    brakes: Brakes

    def rows(self, start: int, stop: int) -> "BothStates":
        """Return the instants start..stop-1."""
        slipped = None if self.slipped is None else self.slipped.rows(start, stop)
        return BothStates(self.held.rows(start, stop), slipped, self.brakes)

    def brakes_at(self, row: int, lines: tuple[str, ...], time: Floats) -> Brakes:
        """Return what is remembered at one instant; `time` (n,) of the instants."""
        if self.slipped is None:
            return self.brakes
        over = self.slipped.over
        asked = ~np.isnan(over.ran_out_m[: row + 1])
        questions = []
        for column in np.flatnonzero(asked[row]).tolist():
            first, line = int(asked[:, column].argmax()), lines[column]
            before = self.brakes.question(line) or BrakeQuestion(line, float(time[first]), nan)
            ran_out, most = (float(each[row, column]) for each in (over.ran_out_m, over.most_kn))
            questions.append(replace(before, most_kn=most, ran_out_m=ran_out))
        lengths = self.slipped.hold.lines.unstretched_m[row].copy()
        return self.brakes.with_questions(questions, lengths)


def both_states(
    arrangement: Arrangement, unstretched: Floats, brakes: Brakes, situation: Situation, sure: Flags
) -> BothStates:
    """Return n instants in both states. `unstretched` (lines,) m of main rope stand in the one; a line whose
    load passes the holding of its brake while inputs are `sure` (n,) is in question from then on."""
    held = hold(arrangement, situation, unstretched)
    unknown = np.isnan(unstretched)
    brakes = brakes.without({line for line, gone in zip(arrangement.ids, unknown, strict=True) if gone})
    brakes = _with_proofs(brakes, arrangement, held)
    holding = brakes.holding_kn(arrangement)
    over: Flags = (held.lines.tension_kn > holding * (1.0 + GRIP)) & sure[:, None]
    first = 0 if brakes.questions else _first(np.asarray(over.any(axis=1)))
    if first == len(situation):
        return BothStates(held, None, brakes)
    begin = unstretched if brakes.slipped is None else np.where(unknown, np.nan, brakes.slipped)
    rest = situation.rows(first, len(situation))
    slipped, ran = _run_out_through(arrangement, begin, rest, sure[first:], holding)
    questions = [brakes.question(line) for line in arrangement.ids]
    was = np.array([each is not None for each in questions])
    before = np.array([each.ran_out_m if each else 0.0 for each in questions])
    most = np.array([each.most_kn if each else -np.inf for each in questions])
    asked = np.logical_or.accumulate(was | over[first:] | (ran > 0.0), axis=0)
    loads = np.where(asked & sure[first:, None], np.nan_to_num(held.lines.tension_kn[first:]), -np.inf)
    borne = np.maximum.accumulate(np.maximum(loads, most), axis=0)
    nothing = np.full((first, len(arrangement.ids)), np.nan)
    return BothStates(
        held,
        SlippedState(
            stacked([held.rows(0, first), slipped]) if first else slipped,
            OverBrake(
                np.concatenate([nothing, np.where(asked, before + ran.cumsum(axis=0), np.nan)]),
                np.concatenate([nothing, np.where(asked, borne, np.nan)]),
            ),
        ),
        brakes,
    )


def _first(rows: Flags) -> int:
    """Return the first row that is true; how many there are where none is."""
    return int(rows.argmax()) if rows.any() else rows.size


def _with_proofs(brakes: Brakes, arrangement: Arrangement, held: Hold) -> Brakes:
    """Return the same with the load that each brake just answered of bears now: that it holds."""
    if not any(np.isnan(each.proved_kn) for each in brakes.answers):
        return brakes
    answers = []
    for each in brakes.answers:
        loads = held.lines.tension_kn[:, arrangement.ids.index(each.line)]
        known = ~np.isnan(loads)
        if np.isnan(each.proved_kn) and known.any():
            borne = float(loads[_first(known)])
            each = replace(each, proved_kn=max(borne, 0.0 if each.slipped_m else each.most_kn))
        answers.append(each)
    return replace(brakes, answers=tuple(answers))


def _run_out_through(
    arrangement: Arrangement, unstretched: Floats, situation: Situation, sure: Flags, holding_kn: Floats
) -> tuple[Hold, Floats]:
    """Return how the set holds her through n instants while brakes slip at `holding_kn` (lines,), and the
    metres (n, lines) that run out at each. What runs out does not come back, so a doubtful gauge does not
    count, nor a mean that has only begun: only instants that are `sure` (n,).

    After a brake has slipped the next rows are taken few at a time, since it may slip again; each piece
    without it doubles the next.
    """
    parts: list[Hold] = []
    ran = np.zeros((len(situation), len(arrangement.ids)))
    row, most = 0, len(situation)
    while row < len(situation):
        piece = situation.rows(row, min(row + most, len(situation)))
        held = hold(arrangement, piece, unstretched)
        loads = np.where(sure[row : row + len(piece), None], held.lines.tension_kn, np.nan)
        rendered = render(arrangement, piece, loads, unstretched, holding_kn)
        if rendered is None:
            parts.append(held)
            row, most = row + len(piece), 2 * most
            continue
        if rendered.row:
            parts.append(held.rows(0, rendered.row))
        unstretched = rendered.unstretched
        here = piece.rows(rendered.row, rendered.row + 1)
        parts.append(hold(arrangement, here, unstretched))
        row += rendered.row
        ran[row] = rendered.metres
        row, most = row + 1, 1
    return stacked(parts), ran
