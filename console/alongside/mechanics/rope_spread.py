"""Ropes stiffer or softer than the stay file has them, and lines made fast harder or more gently; fenders and
wind areas too, where they are guesses.

Both are the largest unknowns of a line's load: a curve is one of a new or of a worked-in rope, measured
slowly or in waves, and few ships can measure the tension with which a line was made fast. So a load has a
range: it is computed anew with all ropes at the stiff end of their bands and all lines made fast at the hard
end of theirs, and with all at the other ends. Each rope has its own band, yet all go to the same end at once:
one cause (a maker's curves, one mate's hand) moves all of them, they do not cancel out.

A rope that is k times as stiff carries at a strain e what the curve has at k e. The line was made fast along
the path that its length and tension say, so with another curve and another tension it has another length of
main rope out:  L' = (L (1 + e) + l (e_t - e_t')) / (1 + e'),  e and e_t the strains of main rope and tail at
the tension of making fast, with a dash those of the other. Of a line whose length was learnt from its loads
it is the load at which that was, with its own band. Metres that were slacked or heaved since are taken as
part of L, which is wrong by their share of the difference of two strains: a centimetre a metre at most.

Fenders whose stiffness is a guess go to the same end, and wind areas that are. On softer fenders the ship lay
nearer the quay while she was made fast: the paths were others, and the difference is added to the lengths.
"""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.mechanics.arrangement import Arrangement, arrangement_of
from alongside.mechanics.fender_spread import any_guessed, path_on_other_fenders, with_stiffness
from alongside.mechanics.making_fast import strains_at
from alongside.mechanics.rope import elongation_pct, rope_curve
from alongside.readings import Floats
from alongside.stay.model import Line, Rope, Stay, Tail

LEAST_FACTOR: Final = 0.2
"""Of stiffness and tension: no draw makes a rope of nothing."""


@dataclass(frozen=True, slots=True, eq=False)
class OtherRopes:
    """An arrangement with other ropes, and how its lengths of main rope follow from those of the stay's own:
    `scale` and `more_m` (lines,)."""

    arrangement: Arrangement
    scale: Floats
    more_m: Floats

    def lengths(self, unstretched: Floats) -> Floats:
        """Return the lengths (…, lines), m, that the lines have out with these ropes; NaN stays NaN."""
        longer: Floats = unstretched * self.scale + self.more_m
        return longer

    def own_lengths(self, lengths: Floats) -> Floats:
        """Return the lengths (…, lines), m, that the stay's own ropes have out where these have `lengths`."""
        own: Floats = (lengths - self.more_m) / self.scale
        return own


def other_ropes(stay: Stay, own: Arrangement, stiffness: float, tension: float) -> OtherRopes:
    """Return the ropes at a place in their bands: 0 is what the stay file says, 1 the stiff end of every
    rope's band and the hard end of every line's making fast, -1 the other ends; beyond them is less likely.
    `own` is the arrangement of the stay as it is."""
    other = arrangement_of(with_other_ropes(stay, stiffness))
    stated, bands = np.array([line.known_kn for line in stay.lines]).T[:, np.newaxis]
    main, tail = strains_at(own, stated)
    path_m = path_on_other_fenders(stay, own, other) if any_guessed(stay.berth.fenders) else 0.0
    other_main, other_tail = strains_at(other, stated * np.maximum(1.0 + tension * bands, LEAST_FACTOR))
    scale = (1.0 + main[0]) / (1.0 + other_main[0])
    more_m = (own.tail_length * (tail[0] - other_tail[0]) + path_m) / (1.0 + other_main[0])
    return OtherRopes(other, scale, more_m)


def with_other_ropes(stay: Stay, stiffness: float) -> Stay:
    """Return the stay with every rope, fender and wind area at this place in its band. An allowance that the
    file states in per cent stays as it is."""
    lines = tuple(_with_other_ropes(line, stiffness) for line in stay.lines)
    fenders = tuple(
        with_stiffness(each, _factor(stiffness, each.stiffness_band)) for each in stay.berth.fenders
    )
    ship, wind = stay.ship, stay.ship.wind
    if wind is not None and wind.area_band:
        larger = _factor(stiffness, wind.area_band)
        areas = replace(wind, front_m2=wind.front_m2 * larger, side_m2=wind.side_m2 * larger)
        ship = replace(ship, wind=areas)
    return replace(stay, lines=lines, ship=ship, berth=replace(stay.berth, fenders=fenders))


def _with_other_ropes(line: Line, stiffness: float) -> Line:
    tail = line.tail and Tail(_stiffer(line.tail.rope, stiffness), line.tail.length, line.tail.serial)
    return replace(line, rope=_stiffer(line.rope, stiffness), tail=tail)


def _stiffer(rope: Rope, stiffness: float) -> Rope:
    factor = _factor(stiffness, rope.stiffness_band)
    return replace(rope, curve=tuple((percent / factor, load) for percent, load in rope.curve))


def _factor(place: float, band: float) -> float:
    return max(1.0 + place * band, LEAST_FACTOR)


def length_as_learnt(was: Line, line: Line, unstretched_m: float) -> float:
    """Return the main rope out, m, of a line whose length was worked out as `was`, with what is learnt of it
    in `line`: it was made fast with the same load along the same path, and more is out beyond that."""
    tail_m = 0.0 if was.tail is None else was.tail.length
    (main, tail), (other_main, other_tail) = (_strains(each) for each in (was, line))
    length = (unstretched_m * (1.0 + main) + tail_m * (tail - other_tail)) / (1.0 + other_main)
    more, other_more = (0.0 if each.learnt is None else each.learnt.more_m for each in (was, line))
    return length + other_more - more


def _strains(line: Line) -> tuple[float, float]:
    """Return the strains of main rope and tail at the load of making fast; 0 without a tail."""
    ropes = [line.rope, *([] if line.tail is None else [line.tail.rope])]
    load = line.made_fast.tension_kn
    strains = [float(elongation_pct(rope_curve(rope.curve), load / rope.mbl_kn)) / 100.0 for rope in ropes]
    return strains[0], strains[1] if len(strains) > 1 else 0.0
