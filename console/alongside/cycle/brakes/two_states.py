"""The lines through a stretch of instants in which nobody touches them, in both states of what is asked of
their brakes."""

from dataclasses import dataclass, replace
from math import nan
from typing import Final

import numpy as np

from alongside.alerts.over_brake import OverBrake
from alongside.cycle.brakes.loads_seen import Flags, LoadsSeen
from alongside.cycle.brakes.model import BrakeQuestion, Brakes
from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.hold import hold, stacked
from alongside.mechanics.render import run_out_through
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Hold
from alongside.readings import Floats

LEAST_M: Final = 1e-9
"""Metres by cell below this are rounding."""


@dataclass(frozen=True, slots=True, eq=False)
class SlippedState:
    """n instants as they are if every brake in question slipped: how the set holds her then, and what is in
    question."""

    hold: Hold
    over: OverBrake

    def rows(self, start: int, stop: int) -> "SlippedState":
        """Return the instants start..stop-1 as views."""
        return SlippedState(self.hold.rows(start, stop), self.over.rows(slice(start, stop)))


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
    arrangement: Arrangement, unstretched: Floats, brakes: Brakes, situation: Situation, seen: LoadsSeen
) -> BothStates:
    """Return n instants in both states. `unstretched` (lines,) m of main rope stand in the one; a line whose
    load, computed or by cell, passes the holding of its brake is in question from then on."""
    held = hold(arrangement, situation, unstretched)
    unknown = np.isnan(unstretched)
    brakes = brakes.without({line for line, gone in zip(arrangement.ids, unknown, strict=True) if gone})
    brakes = _with_proofs(brakes, arrangement, held)
    holding = brakes.holding_kn(arrangement)
    over = seen.over(held, holding)
    first = 0 if brakes.questions else _first(np.asarray(over.any(axis=1)))
    if first == len(situation):
        return BothStates(held, None, brakes)
    begin = unstretched if brakes.slipped is None else np.where(unknown, np.nan, brakes.slipped)
    rest, seen, over = situation.rows(first, len(situation)), seen.rows(first, len(situation)), over[first:]
    later = held.rows(first, len(situation))
    questions = [brakes.question(line) for line in arrangement.ids]
    was = np.array([each is not None for each in questions])
    before = np.array([each.ran_out_m if each else 0.0 for each in questions])
    most = np.array([each.most_kn if each else -np.inf for each in questions])
    by_cell = seen.ran_out_m(arrangement, later, holding)
    more = np.where(by_cell - before > LEAST_M, by_cell - before, 0.0)
    # What runs out does not come back, so loads that a wrong gauge shows do not count.
    slipped, lengths = run_out_through(arrangement, rest, begin, holding, more, seen.misled)
    ran = np.nan_to_num(lengths - begin)
    asked = np.logical_or.accumulate(was | over | (ran > 0.0), axis=0)
    # What a wrong gauge shows proves nothing of a brake; it was asked above its holding all the same.
    loads = np.fmax(seen.believed_kn(later), np.where(over, holding, np.nan))
    borne = np.maximum.accumulate(np.maximum(np.where(asked, np.nan_to_num(loads), -np.inf), most), axis=0)
    ran_out = np.where(asked, before + ran, np.nan)
    unclear = asked & seen.unclear(slipped, holding)
    nothing = np.full((first, len(arrangement.ids)), np.nan)
    return BothStates(
        held,
        SlippedState(
            stacked([held.rows(0, first), slipped]) if first else slipped,
            OverBrake(
                np.concatenate([nothing, ran_out]),
                np.concatenate([nothing, np.where(asked, borne, np.nan)]),
                np.concatenate([nothing > 0.0, unclear]),
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
