"""Before arrival: the best arrangement of the lines of the mooring plan at this berth, within the guidance's
angles.

Every line keeps its rope, tail, winch, role and load at making fast; where it leads is sought. Where they are
few, all arrangements that go together are tried, and the best of them is proved the best. Else it is sought
step by step, from several beginnings: one or two lines at a time are led otherwise for as long as that holds
more. Then it is the best found, beside what no arrangement can hold more than.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Final

import numpy as np

from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_situation, when_fast
from alongside.forecast.instant_words import Instant
from alongside.forecast.other_lines.bound import most_held
from alongside.forecast.other_lines.made_fast_anew import AllAnew
from alongside.forecast.other_lines.options import Options, Together, options_of
from alongside.forecast.other_lines.places import Places
from alongside.forecast.other_lines.trial import TIE_MS, tried_first, weak_spot
from alongside.forecast.progress import Seen, unseen
from alongside.mechanics.holding import WeakSpot, directions, why_not
from alongside.mechanics.pose import in_place
from alongside.mechanics.situation import Situation, joined
from alongside.readings import Floats
from alongside.stay.model import Stay

HALF_HOURS: Final = 26
"""From making fast on: a tide and a little more, at which no lead may come too steep."""
FEW: Final = 3000
"""Arrangements up to which all are tried."""
MOST: Final = 1500
"""Arrangements that are tried where they are more."""
BEGINNINGS: Final = 8
SEED: Final = 16
SOME: Final = 6

Chosen = tuple[int, ...]
Rank = tuple[int, int, Chosen]
"""How good an arrangement is, the best first: what it holds, how many lines lead otherwise than planned, the
leads themselves in order of names."""


@dataclass(frozen=True, slots=True, eq=False)
class Arranged:
    """The plan and the best arrangement, by option of each line, what each holds from its weakest direction;
    lines that each leads outside of the guidance; how many arrangements go together (None: not counted), how
    many were tried, whether all that matter were; and the wind, m/s, that none holds more than."""

    instant: Instant
    options: Options
    places: Places
    plan: Chosen
    plan_holds: WeakSpot
    plan_outside: int
    best: Chosen | None
    best_holds: WeakSpot | None
    best_outside: int
    count: int | None
    tried: int
    is_proved: bool
    at_most_ms: float


def best_arrangement(stay: Stay, seen: Seen = unseen) -> Arranged:
    """Return the best arrangement for the water of making fast. Raise WrongInput where what is held cannot be
    known."""
    basis = Basis.of(stay)
    here = planned_situation(stay, when_fast(stay))
    why = why_not(basis.arrangement, here)
    if why:
        raise WrongInput(f"{stay.file}: what the lines hold is not known: {why}")
    places = Places(stay, basis.arrangement, in_place(_hours(stay, here)))
    options = options_of(stay, places)
    together = Together(stay, places, options)
    search = _Search(basis, here, together, seen)
    plan, fewest = together.planned, _fewest_outside(together)
    plan_holds = search.weakest(plan)
    best, count = (None, 0) if fewest is None else search.best(fewest)
    at_most = most_held(stay, basis.arrangement, places, options.of_line, here, basis.criteria, directions())
    return Arranged(
        instant=Instant.of_plan(here),
        options=options,
        places=places,
        plan=plan,
        plan_holds=plan_holds,
        plan_outside=together.outside(plan),
        best=best,
        best_holds=None if best is None else search.weakest(best),
        best_outside=fewest or 0,
        count=count,
        tried=search.tried,
        is_proved=count is not None,
        at_most_ms=float(at_most.min()),
    )


def _hours(stay: Stay, here: Situation) -> Situation:
    """Return the moment and each half hour of the plan after it, as far as that goes."""
    known = [here]
    for each in range(1, HALF_HOURS):
        try:
            known.append(planned_situation(stay, float(here.time[0]) + 1800.0 * each))
        except WrongInput:
            break
    return joined(known)


def _fewest_outside(together: Together) -> int | None:
    """Return the fewest lines outside of the guidance with which an arrangement goes together; None where
    none is found."""
    every = [range(len(own)) for own in together.options.of_line]
    for outside in range(len(every) + 1):
        if next(together.in_order(every, outside), None) is not None:
            return outside
    return None


class _Search:
    """What arrangements hold as far as they were asked."""

    def __init__(self, basis: Basis, here: Situation, together: Together, seen: Seen) -> None:
        self._together, self._seen = together, seen
        self._anew = AllAnew(basis, here, together)
        self._found: dict[Chosen, WeakSpot] = {}
        self._first: Floats = directions()
        self._plan = together.planned
        self.tried, self._of, self._words = 0, MOST, "seeking a better arrangement"

    def weakest(self, chosen: Chosen) -> WeakSpot:
        return self._all_round([chosen])[chosen]

    def _rank(self, holds_ms: float, each: Chosen) -> Rank:
        changed = sum(a != b for a, b in zip(each, self._plan, strict=True))
        return -round(holds_ms / TIE_MS), changed, each

    def best(self, outside: int) -> tuple[Chosen | None, int | None]:
        """Return the best with so many lines outside of the guidance, and of how many; None for more than all
        could be tried."""
        every = [range(len(own)) for own in self._together.options.of_line]
        few = list(islice(self._together.in_order(every, outside), FEW + 1))
        if len(few) > FEW or self._together.is_cut_off:
            return self._step_by_step(outside), None
        self._of, self._words = len(few), "trying every arrangement"
        return (self._best_of(few, self._at_most(few))[-1] if few else None), len(few)

    def _best_of(self, those: Sequence[Chosen], at_most: Mapping[Chosen, float]) -> Rank:
        """Return the rank of the best of some arrangements: what holds most from its weakest direction.
        None holds more than from any direction: so those are asked all round that might."""

        def at_best(each: Chosen) -> Rank:
            return self._rank(at_most[each], each)

        left = sorted(those, key=at_best)
        best = at_best(left[-1])
        for at in range(0, len(left), SOME):
            if at and best < at_best(left[at]):
                break
            some = left[at : at + SOME]
            ranks = [self._rank(spot.holds_ms or 0.0, each) for each, spot in self._all_round(some).items()]
            best = min([*([best] if at else []), *ranks])
        return best

    def _at_most(self, those: Sequence[Chosen]) -> Mapping[Chosen, float]:
        """Return what each holds from some directions: no more from its weakest."""
        found: dict[Chosen, float] = {}
        for some in _parts(those, AllAnew.AT_ONCE):
            sets = self._anew.sets(some)
            held = sets.holds(np.arange(len(some)), self._first)[0].min(axis=1)
            found |= zip(some, held.tolist(), strict=True)
            self.tried += len(some)
            self._seen(self.tried / self._of, self._words)
        return found

    def _all_round(self, those: Sequence[Chosen]) -> Mapping[Chosen, WeakSpot]:
        new = [each for each in those if each not in self._found]
        for some in _parts(new, SOME):
            sets = self._anew.sets(some)
            held, limit, where = sets.holds(np.arange(len(some)), directions())
            for row, each in enumerate(some):
                self._found[each] = weak_spot(sets, held[row], limit[row], where[row], directions())
                if len(self._found) == 1:  # the plan, which is asked first
                    self._first = directions()[tried_first(held[row])]
        return {each: self._found[each] for each in those}

    def _step_by_step(self, outside: int) -> Chosen | None:
        best: Rank | None = None
        for begin in self._beginnings(outside):
            if self.tried > MOST:
                break
            reached = self._climbed(begin, outside)
            best = reached if best is None else min(best, reached)
        return None if best is None else best[-1]

    def _beginnings(self, outside: int) -> Iterator[Chosen]:
        """Yield arrangements to begin from: next to the plan, then any ones, always the same."""
        together, rng = self._together, np.random.default_rng(SEED)
        counts = [len(own) for own in together.options.of_line]
        orders = [
            [[own, *(at for at in range(n) if at != own)] for n, own in zip(counts, self._plan, strict=True)]
        ]
        orders += [[rng.permutation(n).tolist() for n in counts] for _ in range(BEGINNINGS - 1)]
        known: set[Chosen] = set()
        for order in orders:
            each = next(together.in_order(order, outside), None)
            if each is not None and each not in known:
                known.add(each)
                yield each

    def _climbed(self, begin: Chosen, outside: int) -> Rank:
        """Return the rank of where changes of one or two lines lead that are better each time."""
        now = self._rank(self.weakest(begin).holds_ms or 0.0, begin)
        while self.tried < MOST:
            near = [each for each in self._near(now[-1]) if self._together.outside(each) <= outside]
            at_most = self._at_most(near)
            may = [each for each in near if self._rank(at_most[each], each) < now]
            best = self._best_of(may, at_most) if may else now
            if best >= now:
                break
            now = best
        return now

    def _near(self, now: Chosen) -> list[Chosen]:
        """Return every arrangement in which one line, or two of one role and station, lead otherwise."""
        options = self._together.options.of_line
        near: set[Chosen] = set()
        for i, own in enumerate(options):
            for a in range(len(own)):
                near.add((*now[:i], a, *now[i + 1 :]))
                for j in range(i + 1, len(options)):
                    if options[j][0].role == own[0].role:
                        near |= {
                            (*now[:i], a, *now[i + 1 : j], b, *now[j + 1 :]) for b in range(len(options[j]))
                        }
        near.discard(now)
        return sorted(each for each in near if self._together.fits_all(each))


def _parts(those: Sequence[Chosen], at_once: int) -> Iterator[list[Chosen]]:
    return (list(those[at : at + at_once]) for at in range(0, len(those), at_once))
