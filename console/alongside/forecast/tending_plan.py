"""Tending rounds out of what is expected, each plan run through the mechanics before it is proposed.

The band of a line at an instant is what serves most of the members. Bands belong to the paths at hand; where
she lies in balance, tending one line moves her and with her all paths. So a plan is run, bands are taken anew
from the paths found with it, and the plan is made anew, until it holds; what still fails after that is named.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.forecast.expected.ensemble import Expected
from alongside.forecast.first_times import EARLY, LATE, quantile
from alongside.forecast.model import ChoiceAhead, Incurable, MoveAhead, RoundAhead, Tending
from alongside.forecast.present import Present
from alongside.forecast.rounds.fewest_rounds import plan_rounds
from alongside.forecast.rounds.length_bands import Within, bands, tensions_within, within_stage
from alongside.forecast.rounds.metres_by_time import ByTime, metres_by_time
from alongside.forecast.rounds.plan import UNLIMITED, Crew, Move, Plan
from alongside.forecast.rounds.rounds_against_margin import rounds_against_margin
from alongside.forecast.rounds.whole_steps import ROOM, rounded
from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.hold import hold
from alongside.mechanics.state import Hold
from alongside.readings import Floats
from alongside.stay.model import LookAhead, Stay

MOST_RUNS: Final = 6
CLEAR: Final = 0.995
"""Of every share: a stage is reached at its limit, so a plan keeps this much short of it."""
TOLERANCE_KN: Final = 1e-3
GIVEN_AWAY: Final = 0.25
"""Of a band as expected that is given away at either end to what may come."""
LEAST_M: Final = 0.005
"""Less is nothing that is missing."""
FOLLOWS_S: Final = 1800.0
"""Spells so near each other are one."""
SOME: Final = 12
"""Members that a plan is made with where she lies in balance; all of them judge the last one."""


@dataclass(frozen=True, slots=True, eq=False)
class Followed:
    """A plan, the lengths (m, lines) of main rope with it, m, and how the set held so, for all members."""

    tending: Tending
    lengths: Floats
    run: Hold


def plan_tending(
    stay: Stay, arrangement: Arrangement, present: Present, expected: Expected, held: Hold
) -> Followed:
    """Return the fewest rounds that keep every line short of the stage asked for, verified. `held` is what
    the mechanics found for all members with the present lengths."""
    settings = stay.outlook
    job = _Job(arrangement, present, expected, within_of(stay), crew_of(settings))
    lo, hi = job.bands_of(held)
    plan = job.plan(lo, hi)
    run = job.run(plan.lengths)
    if arrangement.balanced:
        plan, run, (lo, hi) = _until_it_holds(job, plan, run, (lo, hi))
    failing = job.failing(plan, run)
    tending = Tending(
        rounds=_rounds(arrangement, plan, expected.time, (lo, hi)),
        cannot_cure=(*_incurable(arrangement, plan), *failing),
        choices=_choices(job, plan, lo, hi),
        within=settings.keep_within,
        good_until=plan.good_until,
        is_fewest=plan.is_fewest,
        verified=not failing,
        holds=job.share_that_holds(plan, run),
    )
    return Followed(tending, job.tended(plan.lengths), run)


@dataclass(frozen=True, slots=True, eq=False)
class _Job:
    """What a plan is made from and checked against."""

    arrangement: Arrangement
    present: Present
    expected: Expected
    within: Within
    crew: Crew

    def bands_of(self, held: Hold) -> tuple[Floats, Floats]:
        """Return (m, lines) bands that serve 90 % of the members, as far as that leaves half of the band of
        what is expected: a plan that would serve whatever may come can ask for a round every quarter of an
        hour. The first instant is now, and its band the one expected. A line whose brake is in question has
        none: it waits for the answer."""
        m = self.expected.time.size
        waits = np.isin(self.arrangement.ids, self.present.asked)
        path = held.lines.path_m.reshape(-1, m, len(self.arrangement.ids))
        lo, hi = bands(self.arrangement, path, self.within)
        most = np.maximum(hi[0] - lo[0], 0.0) * GIVEN_AWAY
        most[0] = 0.0
        raised = np.clip(quantile(lo, LATE) - lo[0], 0.0, most)
        lowered = np.clip(hi[0] - quantile(hi, EARLY), 0.0, most)
        return np.where(waits, np.nan, lo[0] + raised), np.where(waits, np.nan, hi[0] - lowered)

    def plan(self, lo: Floats, hi: Floats) -> Plan:
        """Return the fewest rounds; of as few, those that leave room to round the moves."""
        time, present = self.expected.time, self.present.unstretched
        fewest = plan_rounds(time, lo, hi, present, self.crew)
        if not fewest.rounds or self.crew.margin >= ROOM:
            return rounded(fewest, time, lo, hi, self.crew.largest_move)
        roomy = plan_rounds(time, lo, hi, present, replace(self.crew, margin=ROOM))
        as_good = len(roomy.rounds) == len(fewest.rounds) and _not_cured(roomy) == _not_cured(fewest)
        best = replace(roomy, at_least=fewest.at_least) if as_good else fewest
        return rounded(best, time, lo, hi, self.crew.largest_move)

    def run(self, lengths: Floats, members: int | None = None) -> Hold:
        """Return the state with lengths (m, lines) as they would be tended, members end to end."""
        situation = self.expected.situation(members)
        lengths = self.tended(lengths)
        repeated = np.tile(lengths, (len(situation) // len(lengths), 1))
        return hold(self.arrangement, situation, repeated)

    def tended(self, lengths: Floats) -> Floats:
        """Return lengths (m, lines) of a plan; the present ones where it has none."""
        return np.where(np.isnan(lengths), self.present.unstretched, lengths)

    def outside(self, held: Hold) -> Floats:
        """Return m by which each length misses its band (members, m, lines); 0 inside, NaN if not known."""
        lo, hi = bands(self.arrangement, held.lines.path_m, self.within)
        least, most = tensions_within(self.arrangement, self.within)
        length, tension = held.lines.unstretched_m, held.lines.tension_kn
        out = np.maximum(np.maximum(lo - length, length - hi), 0.0)
        inside = (tension <= most + TOLERANCE_KN) & (tension >= least - TOLERANCE_KN)
        out[inside] = 0.0
        return out.reshape(-1, self.expected.time.size, out.shape[1])

    def excused(self, plan: Plan) -> np.ndarray:
        """Return (m, lines) where the plan says itself that it does not serve, or its first round is still to
        do."""
        excused = np.isnan(plan.lengths)
        for each in plan.cannot_cure:
            spell = (self.expected.time >= each.time) & (self.expected.time <= each.until)
            excused[spell, each.line] = True
        if plan.rounds and plan.rounds[0].overdue:
            first = plan.rounds[0]
            begun = self.expected.time <= first.latest + first.duration_s
            excused[np.ix_(begun, np.arange(excused.shape[1]))] = True
        return excused

    def failing(self, plan: Plan, run: Hold) -> tuple[Incurable, ...]:
        """Return lines that leave their bands although the plan is followed, as expected."""
        out = np.where(self.excused(plan), 0.0, np.nan_to_num(self.outside(run)[0]))
        found = []
        for line in np.flatnonzero((out > 0.0).any(axis=0)):
            rows = np.flatnonzero(out[:, line])
            time, until = float(self.expected.time[rows[0]]), float(self.expected.time[rows[-1]])
            name = self.arrangement.ids[line]
            found.append(Incurable(name, time, until, float(out[:, line].max()), "together"))
        return tuple(found)

    def share_that_holds(self, plan: Plan, run: Hold) -> float:
        """Return share of the members in which no line leaves its band, but where the plan says so itself."""
        out = np.where(self.excused(plan), 0.0, np.nan_to_num(self.outside(run)))
        return float((out <= 0.0).all(axis=(1, 2)).mean())


Bands = tuple[Floats, Floats]


def _not_cured(plan: Plan) -> list[tuple[int, str]]:
    """Return what a plan does not cure, line by line."""
    return sorted((each.line, each.why) for each in plan.cannot_cure)


def _until_it_holds(job: _Job, plan: Plan, run: Hold, ends: Bands) -> tuple[Plan, Hold, Bands]:
    """Plan anew from the paths of the run with the last plan, closing bands by what failed, until nothing
    fails; the plan that failed least where that is not reached. The last run is with all members."""
    tight = np.zeros(len(job.arrangement.ids))
    best, best_ends, least = plan, ends, _missing(job, plan, run)
    if least <= 0.0:
        return plan, run, ends
    for _ in range(MOST_RUNS):
        lo, hi = job.bands_of(run)
        lo, hi = _closed(lo, hi, tight)
        plan = job.plan(lo, hi)
        run = job.run(plan.lengths, SOME)
        missing = _missing(job, plan, run)
        if missing < least:
            best, best_ends, least = plan, (lo, hi), missing
        out = np.where(job.excused(plan), 0.0, np.nan_to_num(job.outside(run)[0])).max(axis=0)
        tight = tight + np.where(out > 0.0, out + 0.01, 0.0)
        if least <= 0.0:
            break
    return best, job.run(best.lengths), best_ends


def _missing(job: _Job, plan: Plan, run: Hold) -> float:
    """Return the metres by which the lines miss their bands as expected, the worst of each line added up."""
    return sum(each.missing_m for each in job.failing(plan, run))


def _closed(lo: Floats, hi: Floats, metres: Floats) -> Bands:
    """Return bands narrower by so much at either end, but never past their middle."""
    taken = np.clip(metres, 0.0, np.maximum(hi - lo, 0.0) / 2.0)
    return lo + taken, hi - taken


def within_of(stay: Stay) -> Within:
    """Return the shares of the stage that lines are kept short of, a hair inside."""
    asked = within_stage(stay.limits, stay.outlook.keep_within)
    return Within(
        asked.stretch_share * CLEAR,
        asked.load_share * CLEAR,
        asked.brake_share * CLEAR,
        asked.slack_share / CLEAR,
    )


def crew_of(settings: LookAhead) -> Crew:
    """Return what a round takes with the hands that the stay file has."""
    return Crew(
        minutes_per_line=settings.minutes_per_line,
        hands=settings.hands,
        hands_per_line=settings.hands_per_line,
        gap_s=settings.gap_min * 60.0,
        largest_move=UNLIMITED if settings.largest_move is None else settings.largest_move,
        margin=settings.margin,
    )


def _choices(job: _Job, plan: Plan, lo: Floats, hi: Floats) -> tuple[ChoiceAhead, ...]:
    """Return rounds against margin, without the crew's clock where that is not asked for."""
    if not plan.rounds or job.crew.largest_move < UNLIMITED:
        return ()
    found = rounds_against_margin(
        job.expected.time, lo, hi, job.present.unstretched, replace(job.crew, margin=0.0)
    )
    return tuple(ChoiceAhead(choice.rounds, choice.margin) for choice in found)


def _rounds(arrangement: Arrangement, plan: Plan, time: Floats, ends: Bands) -> tuple[RoundAhead, ...]:
    lo, hi = ends

    def by_time(number: int, move: Move) -> ByTime:
        later = [
            each for each in plan.rounds[number + 1 :] if any(one.line == move.line for one in each.moves)
        ]
        until = later[0].latest + later[0].duration_s if later else np.inf
        return metres_by_time(time, lo[:, move.line], hi[:, move.line], plan.rounds[number], move, until)

    return tuple(
        RoundAhead(
            not_before=each.not_before,
            latest=each.latest,
            lengths_from=each.lengths_from,
            serves_until=each.serves_until,
            duration_s=each.duration_s,
            moves=tuple(
                MoveAhead(arrangement.ids[move.line], round(move.pay_out_m, 4), by_time(number, move))
                for move in each.moves
            ),
            overdue=each.overdue,
        )
        for number, each in enumerate(plan.rounds)
    )


def _incurable(arrangement: Arrangement, plan: Plan) -> tuple[Incurable, ...]:
    found = [
        Incurable(arrangement.ids[each.line], each.time, each.until, each.missing_m, each.why)
        for each in plan.cannot_cure
        if each.missing_m >= LEAST_M
    ]
    return merged(found)


def merged(found: Sequence[Incurable]) -> tuple[Incurable, ...]:
    """Return spells of one line for one reason that follow on each other, as one; earliest first."""
    open_spells: dict[tuple[str, str], Incurable] = {}
    closed: list[Incurable] = []
    for each in sorted(found, key=lambda spell: spell.time):
        before = open_spells.get((each.line, each.why))
        if before is not None and each.time - before.until <= FOLLOWS_S:
            missing, until = max(before.missing_m, each.missing_m), max(before.until, each.until)
            each = replace(before, until=until, missing_m=missing)
        elif before is not None:
            closed.append(before)
        open_spells[each.line, each.why] = each
    return tuple(sorted([*closed, *open_spells.values()], key=lambda spell: (spell.time, spell.line)))
