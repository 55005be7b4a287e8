"""Winch brakes that slip: a load above the brake's holding runs rope out instead of growing.

The line then carries the holding, and its unstretched length grows by what ran out; it stays that much
longer when the load eases. So what a stretch of time does to the lengths is a sequence. It is found for
many instants at once: each is balanced with the lengths that it is taken to begin with and with loads that
stop at the holding; what ran out up to then gives the lengths that the instants after begin with; and so
anew, until none changes. An instant is right once those before it are, so what is found is what a watch
finds that asks at every cycle; and since a line that slips carries its holding whatever its length, it
takes a few turns only. Whether a brake did slip is another question: `alongside.cycle.brakes`.
"""

from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.hold import hold, stacked
from alongside.mechanics.lines import line_states
from alongside.mechanics.making_fast import rope_out, strains_at
from alongside.mechanics.reasons import NoAnswer
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Hold
from alongside.readings import Floats

GRIP: Final = 1e-6
"""Of the holding: a load this little above it is rounding and runs nothing out."""
SAME_M: Final = 2e-8
"""Lengths that differ by no more are the same: what the balance leaves over is of that order."""
AT_ONCE: Final = 1024
"""Instants taken together."""


def run_out_through(
    arrangement: Arrangement,
    situation: Situation,
    unstretched: Floats,
    holding_kn: Floats | None = None,
    at_least_m: Floats | None = None,
    misled: NDArray[np.bool_] | None = None,
) -> tuple[Hold, Floats]:
    """Return how the set holds her at n instants while brakes slip, and the lengths (n, lines), m of main
    rope, from each instant on; before the first they are `unstretched` (lines,), NaN for a line not fast.

    A line runs out above `holding_kn` (lines,), what its winch brake holds, by default as set; one with
    none, NaN, stays as it is. At instants that are `misled` (n,) no load runs any out. Of `at_least_m` (n,
    lines) so many metres have run out by then whatever the load. Where nothing would hold her while brakes
    slip, or no length of rope gives the holding, nothing is known of the new lengths and they stay: the
    instant has its load above the holding, which is the alert.
    """
    n = len(situation)
    holding = arrangement.brake_kn if holding_kn is None else holding_kn
    misled = np.zeros(n, dtype=bool) if misled is None else misled
    least = np.broadcast_to(unstretched, (n, unstretched.size))
    if at_least_m is not None:
        least = least + np.maximum.accumulate(np.maximum(at_least_m, 0.0), axis=0)
    plain = hold(arrangement, situation, unstretched)
    over = (plain.lines.tension_kn > holding * (1.0 + GRIP)) & ~misled[:, None]
    starts = (over | (least > unstretched)).any(axis=1)
    first = int(starts.argmax()) if starts.any() else n
    if first == n:
        return plain, least
    parts, lengths = [plain.rows(0, first)] if first else [], least.copy()
    begins, sure = least.copy(), unstretched
    limit = np.where(np.isnan(holding), 0.0, holding)
    strains = strains_at(arrangement, limit[None])
    while first < n:
        rows = slice(first, min(first + AT_ONCE, n))
        here = situation.rows(rows.start, rows.stop)
        capped = hold(arrangement, here, begins[rows], cap_kn=holding)
        gives = (capped.lines.tension_kn > holding * (1.0 + GRIP)) & ~misled[rows, None]
        carries = rope_out(arrangement, capped.pose, limit, strains).unstretched
        needed = np.where(gives, carries, np.nan)
        after = np.fmax.accumulate(np.fmax(np.fmax(least[rows], sure), needed), axis=0)
        then = np.fmax(least[rows], np.concatenate([sure[None], after[:-1]]))
        # What an instant begins with was a guess where the one before it now ends with other lengths.
        guessed = (np.abs(then - begins[rows]) > SAME_M).any(axis=1)
        right = int(guessed.argmax()) if guessed.any() else len(here)
        parts.append(_with(arrangement, capped.rows(0, right), here.rows(0, right), after[:right], holding))
        lengths[first : first + right], sure = after[:right], after[right - 1]
        begins[rows], begins[rows.stop :] = then, np.fmax(least[rows.stop :], after[-1])
        first += right
    return stacked(parts), lengths


def _with(arrangement: Arrangement, capped: Hold, here: Situation, lengths: Floats, holding: Floats) -> Hold:
    """Return n instants with these lengths: she lies as she does with loads that stop at the holding, but
    where these could not hold her, or a load stands above it."""
    lines = line_states(arrangement, capped.pose, lengths)
    within = ~(lines.tension_kn > holding * (1.0 + GRIP)).any(axis=1)
    if (within & (capped.reason == NoAnswer.ANSWERED)).all():
        return replace(capped, lines=lines)
    return hold(arrangement, here, lengths)
