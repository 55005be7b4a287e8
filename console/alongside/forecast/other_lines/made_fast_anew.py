"""Arrangements of a mooring plan made fast by the rule of the stay file, many at once."""

from collections.abc import Sequence
from dataclasses import replace
from typing import ClassVar

import numpy as np

from alongside.forecast.basis import Basis
from alongside.forecast.other_lines.options import Together
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.flow import Loads
from alongside.mechanics.line_sets import LineSets
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.pose import in_place
from alongside.mechanics.settled_lengths import sets_settled
from alongside.mechanics.situation import Situation
from alongside.readings import Floats
from alongside.stay.making_fast import makings_fast


class AllAnew:
    """All lines made fast together, at the tide and draughts of the plan's making fast, each with its load:
    as she then lies on her fenders, or in place where the stay file has that. `here` is the instant at which
    it is asked what is held."""

    AT_ONCE: ClassVar[int] = 24

    def __init__(self, basis: Basis, here: Situation, together: Together) -> None:
        self._basis, self._here, self._together = basis, here, together
        making = makings_fast(basis.stay)[-1]
        self._settles = any(each.lies == "on_fenders" for each in makings_fast(basis.stay))
        self._afloat = replace(
            here,
            tide=_stated(making.tide, here.tide),
            draught_fwd=_stated(making.draught_fwd, here.draught_fwd),
            draught_aft=_stated(making.draught_aft, here.draught_aft),
            heel_deg=_stated(making.heel_deg, here.heel_deg),
        )

    def sets(self, chosen: Sequence[tuple[int, ...]]) -> LineSets:
        """Return the sets of some arrangements, each by option of each line."""
        used = dict.fromkeys((i, a) for each in chosen for i, a in enumerate(each))
        column = {key: at for at, key in enumerate(used)}
        options = self._together.options.of_line
        lines = tuple(options[i][a] for i, a in used)
        exposure = self._basis.arrangement.exposure
        arrangement = arrangement_of(replace(self._basis.stay, lines=lines))
        arrangement = replace(arrangement, exposure=exposure, balanced=True)
        load = np.full((len(chosen), len(lines)), np.nan)
        for row, each in enumerate(chosen):
            for i, a in enumerate(each):
                load[row, column[i, a]] = options[i][a].made_fast.tension_kn
        if self._settles:
            still = Loads((), np.zeros((3, 1)), exposure.arm, exposure.head)
            nothing = np.full(load.shape, np.nan)
            made = sets_settled(arrangement, self._afloat, nothing, load, still, held_along=True).unstretched
        else:
            every = self._afloat.at(np.zeros(len(chosen), dtype=np.intp))
            lengths = unstretched_for(arrangement, in_place(every), np.nan_to_num(load))
            made = np.where(np.isnan(load), np.nan, lengths)
        return LineSets(arrangement, self._here, made, self._basis.criteria)


def _stated(value: float | None, planned: Floats) -> Floats:
    return planned if value is None else np.array([value])
