"""The fewest rounds with hindsight: planned on the way the stay went, and played once more."""

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from alongside.actions import Done, TendLine
from alongside.forecast.rounds.length_bands import bands
from alongside.forecast.rounds.plan import Crew, Plan
from alongside.forecast.rounds.rounds_apart import plan_rounds
from alongside.forecast.rounds.whole_steps import on_deck
from alongside.forecast.tending_plan import crew_of, within_of
from alongside.training.exercise.model import Exercise, PartedLine
from alongside.training.exercise.run import Run
from alongside.training.exercise.staging import log_source_of
from alongside.training.exercise.totals import PATHS_EVERY_S

MOST_SAMPLES = 1000


def plan_of(exercise: Exercise, run: Run) -> Plan:
    """Return the fewest rounds that would keep every line below the stage that the stay file asks for
    (`keep_within` under `outlook`), by the paths of the lines in a run in which nothing is done, with the
    hands it has. A line that parts, or is gone, is left out, and so is any time at which a gauge was lost and
    no path is known."""
    led = ~np.isnan(run.paths).all(axis=0)
    known = np.flatnonzero(~np.isnan(run.paths[:, led]).any(axis=1)) if led.any() else np.empty(0, np.intp)
    if not known.size:
        return Plan((), (), run.lengths[np.newaxis], run.start, 0.0, 0)
    known = known[:: max(1, math.ceil(known.size / MOST_SAMPLES))]
    basis = log_source_of(exercise).basis
    stay = basis.stay
    lo, hi = bands(basis.arrangement, run.paths[known], within_of(stay), run.levels[known])
    parted = {each.line for each in exercise.injections if isinstance(each, PartedLine)}
    gone = np.array([line in parted for line in run.lines]) | ~led
    present = np.where(gone, np.nan, run.lengths)
    crew, time = _crew(exercise), run.times[known]
    return on_deck(plan_rounds(time, lo, hi, present, crew), time, (lo, hi), (lo, hi), crew)


def moves_of(exercise: Exercise, plan: Plan, lines: Sequence[str]) -> tuple[Done, ...]:
    """Return what a watch orders that follows a plan: each round at its latest, but for the way to the line
    and the minute by which paths are known."""
    walk = exercise.stay.ship.lbp / exercise.crew.walk_ms if exercise.crew.hands is not None else 0.0
    early = walk + PATHS_EVERY_S
    return tuple(
        Done(
            max(exercise.start, each.not_before, each.latest - early),
            TendLine(lines[move.line], paid_out=round(move.pay_out_m, 4)),
        )
        for each in plan.rounds
        for move in each.moves
    )


def _crew(exercise: Exercise) -> Crew:
    """Return the hands of the exercise, with what else the stay file asks of rounds."""
    crew = exercise.crew
    few = crew.hands is not None and 0 < crew.hands < crew.hands_per_line
    longer = crew.hands_per_line / crew.hands if few and crew.hands else 1.0
    return replace(
        crew_of(exercise.stay.outlook),
        hands=crew.hands,
        hands_per_line=min(crew.hands_per_line, crew.hands or crew.hands_per_line),
        minutes_per_line=crew.minutes_per_line * longer,
    )
